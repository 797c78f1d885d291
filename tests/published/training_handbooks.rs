//! Worked numbers of the US Navy's photography courses (NAVEDTRA 14208, 1995; NAVEDTRA 14209, 1993)
//! and printed logarithms of exposures, as far as the product has a routine for them.

use crate::shapes::{StraightLine, as_fitted, number, table};
use wedgebook::bath::limits::{Allowed, Verdict};
use wedgebook::curve::{Curve, Observations};
use wedgebook::measures::{Measures, speed_point};
use wedgebook::readings::ExposureScale;

/// `key=value` of a row's input.
fn input(id: &str, key: &str) -> f64 {
    let row = row(id);
    let found = row[2].split(';').find_map(|pair| pair.split_once('=').filter(|p| p.0 == key));
    found.unwrap().1.parse().unwrap()
}

fn row(id: &str) -> csv::StringRecord {
    table("training_handbooks.csv").into_iter().find(|row| &row[0] == id).unwrap()
}

fn expected(id: &str) -> f64 {
    number(&row(id), 3)
}

/// H09: the speed point of ground pictorial film.
#[test]
fn speed_point_stands_above_gross_fog() {
    let line = StraightLine::new(0.31, 0.62, -2.0);
    let m = speed_point(&line).unwrap().value;
    assert!((line.density(m) - line.base_plus_fog() - expected("H09")).abs() < 1e-9);
}

/// H13 to H16: densities of a control strip above its base plus fog. The curve passes through the
/// reading; the exposure found for it gives back the difference that the course works out.
#[test]
fn densities_above_base_plus_fog() {
    for id in ["H13", "H14", "H15"] {
        let (base, reading) = (input(id, "base_plus_fog"), input(id, "reading"));
        let line = StraightLine::new(base, 0.75, 0.0);
        let x = line.log_exposure_at(reading).unwrap();
        assert!((line.density(x) - line.base_plus_fog() - expected(id)).abs() <= 0.005, "{id}");
        assert!((x * 0.75 - expected(id)).abs() <= 0.005, "{id}: {x}");
    }
    let line = StraightLine::new(0.12, 1.0, 0.0);
    let at = |key| line.log_exposure_at(input("H16", key)).unwrap();
    assert!((at("high") - at("low") - expected("H16")).abs() <= 0.005);
}

/// H17 and H18: tablets of 21 and 11 even steps from 0.05 to 3.05. H19: their range is 10 stops,
/// 9.966 rounded by the course, hence half a stop of tolerance and no more.
#[test]
fn step_tablets() {
    for (id, steps) in [("H17", 21_u32), ("H18", 11)] {
        assert!((input(id, "steps") - f64::from(steps)).abs() < 1e-12);
        let (low, high, increment) = (input(id, "low"), input(id, "high"), expected(id));
        let mut strip = Observations::default();
        for step in (0..steps).rev() {
            // Behind density d the log exposure is that behind clear tablet, less d.
            strip.push(-(low + increment * f64::from(step)), 0.1, 0.01);
        }
        let (first, last) = strip.range().unwrap();
        assert_eq!(strip.distinct_exposures(), steps as usize);
        assert!(
            (first + high).abs() <= 0.005 && (last + low).abs() <= 0.005,
            "{id}: {first} to {last}"
        );
        // Ten stops as printed, from our stop.
        assert_eq!(((last - first) / wedgebook::units::STOP).round(), expected("H19"));
    }
}

/// Exposures at the printed logarithms: the speed 0.8/Hm gives back the exposure.
#[test]
fn printed_logarithms_of_exposures() {
    for row in table("log_exposures.csv") {
        let (exposure, log, half_unit) = (number(&row, 0), number(&row, 1), number(&row, 2));
        let line = StraightLine::new(0.1, 0.5, log - 0.2);
        let iso = Measures::of(&as_fitted(line), ExposureScale::Absolute).iso;
        let found = 0.8 / iso.speed.unwrap().value;
        assert!((found / exposure).log10().abs() <= half_unit, "{found} for {exposure}");
    }
}

/// H07 and H08: limits of a control chart from an aim and its tolerance. Both limits still pass, a
/// hundredth beyond them does not.
#[test]
fn control_limits_about_an_aim() {
    for id in ["H07", "H08"] {
        let (aim, tolerance) = (input(id, "aim"), input(id, "tolerance"));
        let allowed = Allowed::symmetric(tolerance).unwrap();
        let limit = |name: &str| -> f64 {
            let row = row(id);
            let found =
                row[3].split(';').find_map(|pair| pair.split_once('=').filter(|p| p.0 == name));
            found.unwrap().1.parse().unwrap()
        };
        let (low, high) = (limit("low"), limit("high"));
        let judged = |reading: f64| allowed.judge(reading - aim);
        assert_eq!([judged(low), judged(high)], [Verdict::Within; 2], "{id}");
        assert_eq!(judged(low - 0.01), Verdict::Below, "{id}");
        assert_eq!(judged(high + 0.01), Verdict::Above, "{id}");
    }
}
