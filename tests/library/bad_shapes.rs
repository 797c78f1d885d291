//! Strips that are no good: too few readings, no image, falling densities, ties, a strip that ends
//! too early. A fit either has a curve that keeps its promises or a reason in words.

use crate::emulsions::{Emulsion, FAMILIES, noise, seeded, tablet};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use rand::Rng;
use wedgebook::curve::{Choice, Curve, FitError, FitNote, FittedCurve, Fitter, Observations};
use wedgebook::measures::{Measured, Measures, Why};
use wedgebook::readings::ExposureScale;

const UNEXPOSED: f64 = f64::NEG_INFINITY;
const CHOICES: [Choice; 4] = [Choice::Auto, Choice::Smooth, Choice::Shoulder, Choice::Toe];

fn observations(readings: impl IntoIterator<Item = (f64, f64)>) -> Observations {
    let mut o = Observations::default();
    for (x, density) in readings {
        o.push(x, density, 0.010);
    }
    o
}

/// Readings of a plain curve at the given log exposures: base plus fog 0.20, gamma 0.60, a shoulder
/// towards 2.2.
fn plain(x: impl IntoIterator<Item = f64>) -> Observations {
    observations(x.into_iter().map(|x| (x, plain_density(x))))
}

fn plain_density(x: f64) -> f64 {
    if x == UNEXPOSED {
        return 0.20;
    }
    let rise = 0.60 * 0.2 * ((x + 2.2) / 0.2).exp().ln_1p();
    0.20 + 2.0 * -(-rise / 2.0_f64).exp_m1()
}

/// All measures of a fit, with their names.
fn measured(fit: &FittedCurve) -> Vec<(&'static str, Measured)> {
    let m = Measures::of(fit, ExposureScale::Absolute);
    vec![
        ("base plus fog", m.base_plus_fog),
        ("greatest density", m.d_max),
        ("gamma", m.gamma),
        ("contrast index", m.contrast_index),
        ("average gradient", m.average_gradient),
        ("speed point", m.speed_point),
        ("delta D", m.iso.delta_d),
        ("speed", m.iso.speed),
        ("fractional gradient", m.fractional_gradient),
        ("delta-X", m.delta_x),
    ]
}

/// What every curve promises, whatever the readings; the first promise that is broken, if any.
fn broken_promise(fit: &FittedCurve) -> Option<String> {
    let curve: &dyn Curve = fit.curve.as_ref();
    let (low, high) = curve.range();
    if !(low.is_finite() && high.is_finite() && low <= high) {
        return Some(format!("range {low} to {high}"));
    }
    if !curve.parameters().iter().all(|p| p.is_finite()) {
        return Some(format!("parameters {:?}", curve.parameters()));
    }
    let at = |k: u32| low + (high - low) * f64::from(k) / 200.0;
    let mut before = f64::NEG_INFINITY;
    for k in 0..=200 {
        let (x, density, slope) = (at(k), curve.density(at(k)), curve.slope(at(k)));
        if !(density.is_finite() && slope.is_finite() && slope >= 0.0) {
            return Some(format!("density {density} and slope {slope} at {x}"));
        }
        if density < before - 1e-8 {
            return Some(format!("falls from {before} to {density} at {x}"));
        }
        before = density;
    }
    if curve.base_plus_fog() > curve.density(low) + 1e-9 {
        return Some(format!(
            "base plus fog {} above {}",
            curve.base_plus_fog(),
            curve.density(low)
        ));
    }
    for k in [1, 37, 100, 163, 199] {
        let wanted = curve.density(at(k));
        // On a level end the density of the end itself may be a rounding below.
        if wanted > curve.density(high) - 1e-9 || wanted < curve.density(low) + 1e-9 {
            continue;
        }
        let Some(x) = curve.log_exposure_at(wanted) else {
            return Some(format!(
                "no log exposure for {wanted}, which is the density at {}",
                at(k)
            ));
        };
        // x is found to 1e-12, which on a jump is more in density.
        if (curve.density(x) - wanted).abs() > 1e-8 + 1e-11 * curve.slope(x) {
            return Some(format!(
                "{wanted} is found at {x}, where the density is {}",
                curve.density(x)
            ));
        }
    }
    if !(fit.residual_sd.is_finite() && fit.variance.is_finite() && fit.quantile.is_finite()) {
        return Some(format!("scatter {} {} {}", fit.residual_sd, fit.variance, fit.quantile));
    }
    measured(fit).into_iter().find_map(|(name, measured)| match measured {
        Ok(q) if [q.value, q.low, q.high].iter().any(|v| !v.is_finite()) => {
            Some(format!("{name} {q:?}"))
        }
        Ok(q) if !(q.low <= q.value && q.value <= q.high) => {
            Some(format!("{name} {q:?} outside its interval"))
        }
        Ok(_) => None,
        Err(why) => (why.to_string().is_empty()
            || why.to_string().contains("NaN")
            || why.to_string().contains("inf"))
        .then(|| format!("{name}: {why}")),
    })
}

/// Fits with every choice of model and both kinds of σ; panics on a broken promise. Returns the
/// results of [`Choice::Auto`] with an assumed σ.
fn all_fits(o: &Observations) -> Result<FittedCurve, FitError> {
    for choice in CHOICES {
        for assumed in [true, false] {
            if let Ok(fit) = Fitter::new().fit(o.clone(), choice, assumed) {
                let broken = broken_promise(&fit);
                assert!(
                    broken.is_none(),
                    "{choice:?}, σ assumed {assumed}: {} of {o:?}",
                    broken.unwrap()
                );
            }
        }
    }
    Fitter::new().fit(o.clone(), Choice::Auto, true)
}

#[test]
fn too_few_readings_are_refused() {
    for n in 0..=4_u32 {
        let o = plain((0..n).map(|k| -2.4 + 0.4 * f64::from(k)));
        let error = all_fits(&o).unwrap_err();
        assert!(
            matches!(error, FitError::TooFew { found, needed } if found == n as usize && needed >= 4),
            "{error}"
        );
    }
    assert!(matches!(all_fits(&plain([UNEXPOSED])), Err(FitError::TooFew { found: 0, .. })));
    assert!(matches!(all_fits(&plain([UNEXPOSED; 30])), Err(FitError::TooFew { found: 0, .. })));
}

#[test]
fn five_readings_have_a_curve() {
    for x in [[-2.6, -2.1, -1.6, -1.1, -0.6], [UNEXPOSED, -2.2, -1.7, -1.2, -0.7]] {
        let fit = all_fits(&plain(x)).unwrap();
        assert_eq!(fit.curve.name(), "toe");
        assert!(Measures::of(&fit, ExposureScale::Relative).gamma.is_ok());
    }
}

/// Two levels and next to nothing between them: the slope there is not determined, and gamma is a
/// number or absent, not infinite.
#[test]
fn a_small_step_of_few_readings() {
    let density = [0.20, 0.20, 0.20, 0.25, 0.25, 0.25, 0.26, 0.26];
    let o = observations(density.into_iter().enumerate().map(|(k, d)| (-3.0 + 0.15 * k as f64, d)));
    let _ = all_fits(&o);
}

#[test]
fn no_image_is_refused() {
    let even = |d: fn(f64) -> f64| {
        observations((0..21).map(|k| (-3.0 + 0.15 * f64::from(k), d(f64::from(k)))))
    };
    assert!(matches!(all_fits(&even(|_| 0.25)), Err(FitError::Flat { rise }) if rise == 0.0));
    assert!(matches!(all_fits(&even(|k| 0.25 + 0.004 * (k % 3.0))), Err(FitError::Flat { .. })));
    assert!(matches!(all_fits(&even(|_| 6.0)), Err(FitError::Flat { .. })));
}

/// A reversal strip, or a file sorted the wrong way round. No rising curve follows it: it is refused,
/// or the scatter is named for what it is.
#[test]
fn falling_densities_are_no_curve() {
    let falling =
        observations((0..21).map(|k| (-3.0 + 0.15 * f64::from(k), 2.2 - 0.09 * f64::from(k))));
    match all_fits(&falling) {
        Err(_) => {}
        Ok(fit) => {
            let noticed = fit
                .notes
                .iter()
                .any(|n| matches!(n, FitNote::Scatter { found, .. } if *found > 0.2));
            assert!(noticed, "fitted to {:.3} without a word: {:?}", fit.residual_sd, fit.notes);
        }
    }
}

#[test]
fn a_single_jump() {
    for jump in 1..20 {
        let o = observations(
            (0..21).map(|k| (-3.0 + 0.15 * f64::from(k), if k < jump { 0.2 } else { 1.9 })),
        );
        let _ = all_fits(&o);
    }
}

#[test]
fn ties() {
    // Repeats of every step, some equal to the last digit, some not.
    let x = (0..42).map(|k| -3.0 + 0.15 * f64::from(k / 2));
    let fit = all_fits(&plain(std::iter::once(UNEXPOSED).chain(x))).unwrap();
    assert_eq!(fit.curve.name(), "smooth");
    // Densities rounded so coarsely that neighbours tie.
    let coarse = (0..21)
        .map(|k| -3.0 + 0.15 * f64::from(k))
        .map(|x| (x, (plain_density(x) * 5.0).round() / 5.0));
    assert!(all_fits(&observations(coarse)).is_ok());
}

#[test]
fn exposures_all_equal() {
    let o = observations((0..20).map(|k| (-1.0, 0.3 + 0.05 * f64::from(k))));
    assert!(matches!(all_fits(&o), Err(FitError::TooFew { found: 1, .. })));
}

#[test]
fn two_exposures_ten_times_each() {
    let o = observations((0..20).map(|k| if k < 10 { (-2.0, 0.3) } else { (-1.0, 0.9) }));
    assert!(matches!(all_fits(&o), Err(FitError::TooFew { found: 2, .. })));
}

#[test]
fn uncertainties_out_of_proportion() {
    let x = || std::iter::once(UNEXPOSED).chain((0..21).map(|k| -3.0 + 0.15 * f64::from(k)));
    for sigma in [0.000_1, 0.001, 0.1, 1.0] {
        let mut o = plain(x());
        o.sigma.fill(sigma);
        let _ = all_fits(&o);
        let mut rng = seeded(5);
        for d in &mut o.density {
            *d += noise(&mut rng, 0.01);
        }
        assert!(all_fits(&o).is_ok(), "σ {sigma}");
    }
    // One reading known a thousand times better than the rest.
    let mut o = plain(x());
    o.sigma[9] = 0.000_1;
    assert!(all_fits(&o).is_ok());
}

/// The last step misread on strips of few and many steps: the reading set aside is beyond the
/// curve's own range.
#[test]
fn the_last_step_misread() {
    for steps in 6..=21_u32 {
        for error in [-0.5, -0.3, 0.3, 0.5] {
            let x = (0..steps).map(|k| -2.8 + 0.15 * f64::from(k));
            let mut o = plain(std::iter::once(UNEXPOSED).chain(x));
            *o.density.last_mut().unwrap() += error;
            let _ = all_fits(&o);
        }
    }
}

/// Highest density that the shoulder model tends to: b + s·A·ln(1 + exp(1/s)).
fn asymptote(fit: &FittedCurve) -> f64 {
    let named = fit.curve.named_parameters();
    let at = |name: &str| named.iter().find(|p| p.0 == name).unwrap().1;
    let (s, cap) = (at("shoulder_softness"), at("shoulder_density"));
    at("base_plus_fog") + s * cap * (1.0 / s).exp().ln_1p()
}

/// Strips that end on the straight line. The shoulder is refused with a note, or where it is not, its
/// parameters are those of a film: it never runs away.
#[test]
fn truncated_strips_do_not_run_away() {
    let mut fitter = Fitter::new();
    for family in FAMILIES {
        let mut rng = seeded(40_001 + family.number());
        let (mut refused, mut kept, mut highest_above) = (0, 0, 0.0_f64);
        for _ in 0..300 {
            let emulsion = Emulsion::random(family, &mut rng);
            let lowest = emulsion.speed_point() - rng.random_range(0.4..0.7);
            let steps = rng.random_range(9..14);
            let mut o = observations([(UNEXPOSED, emulsion.base + noise(&mut rng, 0.01))]);
            for x in tablet(lowest, 0.15, steps) {
                o.push(x, emulsion.density(x) + noise(&mut rng, 0.01), 0.01);
            }
            let highest = o.density.iter().copied().fold(0.0, f64::max);
            let fit = fitter.fit(o, Choice::Shoulder, true).unwrap();
            assert_eq!(broken_promise(&fit), None);
            let gamma = Measures::of(&fit, ExposureScale::Absolute).gamma.unwrap().value;
            assert!(
                (0.1..3.0).contains(&gamma),
                "{family:?}: gamma {gamma}, {:?}",
                fit.curve.named_parameters()
            );
            if fit.curve.name() == "shoulder" {
                kept += 1;
                highest_above = highest_above.max(asymptote(&fit) - highest);
            } else {
                refused += 1;
                let said = fit.notes.iter().any(|n| matches!(n, FitNote::Instead { wanted: "shoulder", why, .. } if !why.is_empty()));
                assert!(said, "{:?}", fit.notes);
            }
        }
        println!(
            "{family:?}: refused {refused}, kept {kept}, asymptote at most {highest_above:.2} above the strip"
        );
        assert!(
            refused > 150,
            "{family:?}: a shoulder is seen on {kept} of 300 strips that hardly show one"
        );
        assert!(highest_above <= 2.0);
    }
}

/// Exactly straight above its toe: there is no shoulder to be had.
#[test]
fn a_strip_that_ends_on_its_straight_line() {
    let x = (0..14).map(|k| -2.9 + 0.15 * f64::from(k));
    let line = |x: f64| 0.2 + 0.6 * 0.15 * ((x + 2.3) / 0.15).exp().ln_1p();
    let o = observations(std::iter::once((UNEXPOSED, 0.2)).chain(x.map(|x| (x, line(x)))));
    let fit = Fitter::new().fit(o, Choice::Shoulder, true).unwrap();
    assert_eq!(fit.curve.name(), "toe");
    let note = fit.notes.iter().map(ToString::to_string).collect::<String>();
    assert!(note.contains("shoulder") && note.contains("toe"), "{note}");
    let m = Measures::of(&fit, ExposureScale::Absolute);
    assert!(
        matches!(m.d_max, Err(Why::NotLevelledOff { .. })),
        "no greatest density without a shoulder"
    );
    assert!((m.gamma.unwrap().value - 0.6).abs() < 0.005);
}

/// Only the shoulder was read: nothing that is counted from base plus fog can be had.
#[test]
fn just_a_shoulder() {
    let x = (0..12).map(|k| -0.2 + 0.15 * f64::from(k));
    let o = observations(x.map(|x| (x, 2.0 - 0.6 * (-1.6 * (x + 0.2)).exp())));
    let fit = all_fits(&o).unwrap();
    let m = Measures::of(&fit, ExposureScale::Absolute);
    for (name, measured) in [
        ("base plus fog", m.base_plus_fog),
        ("speed point", m.speed_point),
        ("contrast index", m.contrast_index),
    ] {
        let why = measured.expect_err(name);
        assert!(matches!(why, Why::NoUnexposedPatch { .. }), "{name}: {why}");
    }
}

/// No unexposed patch, and the lowest step already 0.5 above base plus fog.
#[test]
fn base_plus_fog_is_not_guessed() {
    let mut rng = seeded(50_001);
    let mut given = Vec::new();
    for family in FAMILIES {
        for _ in 0..60 {
            let emulsion = Emulsion::random(family, &mut rng);
            let lowest = emulsion.log_exposure_at(emulsion.base + 0.5);
            let mut o = Observations::default();
            for x in tablet(lowest, 0.15, 13) {
                o.push(x, emulsion.density(x) + noise(&mut rng, 0.01), 0.01);
            }
            let fit = Fitter::new().fit(o, Choice::Auto, true).unwrap();
            let m = Measures::of(&fit, ExposureScale::Absolute);
            match m.base_plus_fog {
                Ok(q) => given.push(format!(
                    "{family:?} {}: {:.3} ({:.3} to {:.3}), is {:.3}",
                    fit.curve.name(),
                    q.value,
                    q.low,
                    q.high,
                    emulsion.base
                )),
                Err(why) => {
                    assert!(matches!(why, Why::NoUnexposedPatch { .. }), "{why}");
                    assert!(
                        m.speed_point.is_err()
                            && m.contrast_index.is_err()
                            && m.average_gradient.is_err()
                    );
                }
            }
        }
    }
    assert!(given.is_empty(), "{} of 180 given: {given:#?}", given.len());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, rng_seed: RngSeed::Fixed(1890), ..ProptestConfig::default() })]

    /// Any densities whatever at any exposures whatever.
    #[test]
        fn arbitrary_readings(
        mut x in prop::collection::vec(-6.0..4.0_f64, 4..26),
        density in prop::collection::vec(-0.5..6.0_f64, 28),
        sigma in prop::collection::vec(0.000_1..1.0_f64, 28),
        unexposed in 0..3_usize,
    ) {
        x.sort_by(f64::total_cmp);
        let exposures = std::iter::repeat_n(UNEXPOSED, unexposed).chain(x);
        let mut o = Observations::default();
        for ((x, d), s) in exposures.zip(density).zip(sigma) {
            o.push(x, d, s);
        }
        for choice in CHOICES {
            if let Ok(fit) = Fitter::new().fit(o.clone(), choice, true) {
                prop_assert_eq!(broken_promise(&fit), None, "{:?}", choice);
            }
        }
    }

    /// Rising curves of any size with any noise: nearer to what comes from a densitometer.
    #[test]
        fn rising_readings(
        low in -5.0..1.0_f64,
        step in 0.05..0.4_f64,
        steps in 5..24_u32,
        base in 0.0..0.6_f64,
        gamma in 0.05..4.0_f64,
        toe in 0.02..0.6_f64,
        inertia in -0.5..2.5_f64,
        cap in 0.2..4.5_f64,
        noise in prop::collection::vec(-0.2..0.2_f64, 24),
        quiet in prop::bool::ANY,
        unexposed in prop::bool::ANY,
    ) {
        let mut o = Observations::default();
        if unexposed {
            o.push(UNEXPOSED, base, 0.01);
        }
        for k in 0..steps {
            let x = low + step * f64::from(k);
            let rise = gamma * toe * ((x - low - inertia) / toe).exp().ln_1p();
            let wrong = noise[k as usize] * if quiet { 0.05 } else { 1.0 };
            o.push(x, base + cap * -(-rise / cap).exp_m1() + wrong, 0.01);
        }
        for choice in CHOICES {
            for assumed in [true, false] {
                if let Ok(fit) = Fitter::new().fit(o.clone(), choice, assumed) {
                    prop_assert_eq!(broken_promise(&fit), None, "{:?} {}", choice, assumed);
                }
            }
        }
    }
}
