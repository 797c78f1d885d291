//! F. Hurter and V. C. Driffield 1890, Photo-chemical investigations: Experiment 21, plate A.
//!
//! Densities are net of fog, so the unexposed plate has density 0 by definition; exposures are in
//! candle-metre-seconds. Their gamma is the slope of the straight line, which they read between 20
//! and 320; the product gives that line's slope beside the greatest slope of the curve. On this plate the two differ: between
//! 320 and 640 the readings rise by 1.10 per unit of log exposure.

use crate::shapes::{number, table};
use wedgebook::curve::{Choice, Curve, FittedCurve, Fitter, Observations};
use wedgebook::measures::Measures;
use wedgebook::readings::ExposureScale;

/// End of the straight line, and of the plate, in candle-metre-seconds.
const STRAIGHT: f64 = 320.0;
const WHOLE: f64 = 5120.0;
/// Slopes between neighbouring points of the straight line are 0.89 to 0.91, least squares over its
/// points gives 0.899: half a unit of the last digit to either side.
const GAMMA: std::ops::RangeInclusive<f64> = 0.885..=0.915;
/// 6.0 by least squares, 6.12 in the transcription: half a unit of the last digit beyond each.
const INERTIA: std::ops::RangeInclusive<f64> = 5.95..=6.125;

fn plate(end: f64, with_unexposed: bool) -> Observations {
    let mut o = Observations::default();
    if with_unexposed {
        o.push(f64::NEG_INFINITY, 0.0, 0.010);
    }
    for row in table("hd1890_plate_a_curve.csv").iter().filter(|row| number(row, 0) <= end) {
        o.push(number(row, 0).log10(), number(row, 2), 0.010);
    }
    o
}

fn fit(choice: Choice, end: f64, with_unexposed: bool) -> FittedCurve {
    // The densities of 1890 scatter by 0.02: the uncertainty of 0.010 is an assumption.
    Fitter::new().fit(plate(end, with_unexposed), choice, true).unwrap()
}

/// Slope and inertia of the straight line through the fitted curve at 20, 40, 80, 160 and 320.
fn straight_line(curve: &dyn Curve) -> (f64, f64) {
    let at = [20.0, 40.0, 80.0, 160.0, 320.0].map(f64::log10);
    let density = at.map(|x| curve.density(x));
    let mean = |v: [f64; 5]| v.iter().sum::<f64>() / 5.0;
    let (x, d) = (mean(at), mean(density));
    let products: f64 = at.iter().zip(&density).map(|(a, b)| (a - x) * (b - d)).sum();
    let slope = products / at.iter().map(|a| (a - x).powi(2)).sum::<f64>();
    (slope, 10_f64.powf(x - d / slope))
}

#[test]
fn logarithms_of_the_table() {
    for row in table("hd1890_plate_a_curve.csv") {
        assert!((number(&row, 0).log10() - number(&row, 1)).abs() <= 0.000_05, "{row:?}");
    }
}

#[test]
fn gamma_inertia_and_speed_of_the_straight_line() {
    for choice in [Choice::Auto, Choice::Smooth, Choice::Shoulder, Choice::Toe] {
        for with_unexposed in [false, true] {
            let fit = fit(choice, STRAIGHT, with_unexposed);
            let (gamma, inertia) = straight_line(fit.curve.as_ref());
            println!(
                "{choice:?} {}: gamma {gamma:.3}, inertia {inertia:.2}, speed {:.2}",
                fit.curve.name(),
                34.0 / inertia
            );
            assert!(GAMMA.contains(&gamma), "{choice:?}: gamma {gamma}");
            assert!(INERTIA.contains(&inertia), "{choice:?}: inertia {inertia}");
            // The speed 5.6 is 34 over an inertia of 6.12; the bounds are those of the inertia.
            assert!((5.55..=5.72).contains(&(34.0 / inertia)));
            assert!(fit.suspects.is_empty(), "{choice:?}: {:?}", fit.suspects);
        }
    }
}

#[test]
fn the_whole_plate_keeps_its_straight_line() {
    for choice in [Choice::Auto, Choice::Smooth, Choice::Shoulder] {
        for with_unexposed in [false, true] {
            let fit = fit(choice, WHOLE, with_unexposed);
            let (gamma, inertia) = straight_line(fit.curve.as_ref());
            println!("{choice:?} {}: gamma {gamma:.3}, inertia {inertia:.2}", fit.curve.name());
            // Readings that scatter by 0.023 leave a slope over five points uncertain by
            // 0.023/0.95 = 0.025 and the log of the inertia by 0.033, which is 0.47 of 6.1.
            assert!((gamma - 0.899).abs() <= 0.025, "{choice:?}: gamma {gamma}");
            assert!((inertia - 6.06).abs() <= 0.47, "{choice:?}: inertia {inertia}");
        }
    }
}

/// The product finds the straight line by itself, within their 20 to 320. It has other ends than they
/// chose, so that its slope is theirs as far as scattered readings let it be: see
/// [`the_whole_plate_keeps_its_straight_line`].
#[test]
fn the_straight_line_is_found() {
    for choice in [Choice::Auto, Choice::Smooth, Choice::Shoulder, Choice::Toe] {
        for with_unexposed in [false, true] {
            let fit = fit(choice, STRAIGHT, with_unexposed);
            let line = Measures::of(&fit, ExposureScale::Relative).straight_line.unwrap();
            println!("{choice:?} {}: {line:?}", fit.curve.name());
            assert!((line.slope.value - 0.899).abs() <= 0.025, "{choice:?}: {line:?}");
            assert!(line.slope.low < 0.899 && 0.899 < line.slope.high, "{choice:?}: {line:?}");
            assert!(
                line.from < 80_f64.log10() && line.to > 160_f64.log10(),
                "{choice:?}: {line:?}"
            );
        }
    }
}

/// The greatest slope is at least that of the straight line and at most that of the steepest pair
/// of neighbours, 320 and 640.
#[test]
fn greatest_slope_of_the_whole_plate() {
    let steepest = (1.885 - 1.555) / 2_f64.log10();
    for choice in [Choice::Auto, Choice::Smooth, Choice::Shoulder] {
        for with_unexposed in [false, true] {
            let fit = fit(choice, WHOLE, with_unexposed);
            let gamma = Measures::of(&fit, ExposureScale::Relative).gamma.unwrap();
            println!("{choice:?} {}: {gamma:?}", fit.curve.name());
            assert!((0.895..=steepest).contains(&gamma.value), "{choice:?}: {gamma:?}");
        }
    }
}

/// Net of fog, base plus fog is 0: what is said of it must hold 0, or nothing is said and why.
#[test]
fn base_plus_fog_is_nothing_or_unknown() {
    let mut wrong = Vec::new();
    for choice in [Choice::Auto, Choice::Smooth, Choice::Shoulder, Choice::Toe] {
        for end in [STRAIGHT, WHOLE] {
            for with_unexposed in [false, true] {
                let fit = fit(choice, end, with_unexposed);
                let which = format!(
                    "{choice:?} ({}) to {end}, unexposed plate {with_unexposed}",
                    fit.curve.name()
                );
                match Measures::of(&fit, ExposureScale::Relative).base_plus_fog {
                    Ok(q) if q.low <= 0.0 && 0.0 <= q.high => {}
                    Ok(q) => wrong.push(format!("{which}: {:.3} to {:.3}", q.low, q.high)),
                    Err(why) if with_unexposed => wrong.push(format!("{which}: {why}")),
                    Err(why) => assert!(why.to_string().contains("unexposed"), "{why}"),
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
