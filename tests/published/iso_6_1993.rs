//! ISO 6:1993, speed of black-and-white still camera negative film.
//!
//! Each speed is measured on a straight line whose speed point lies where the table says.

use crate::shapes::{StraightLine, as_fitted, number, table};
use wedgebook::measures::{ContrastCondition, IsoSpeed, Measures, Quantity, StandardSpeed};
use wedgebook::readings::ExposureScale;

/// The ISO speed of a straight line that gains `delta_d` over 1.30, with its speed point at
/// `log_hm` (log10 of lux·s).
fn speed_at(log_hm: f64, delta_d: f64) -> IsoSpeed {
    let slope = delta_d / 1.30;
    let line = StraightLine::new(0.20, slope, log_hm - 0.10 / slope);
    Measures::of(&as_fitted(line), ExposureScale::Absolute).iso
}

#[test]
fn speed_is_0_8_over_hm() {
    // The pairs that were read: 0.0064 lux·s at speed 125, 0.008 at 100.
    for (hm, speed) in [(0.0064_f64, 125.0), (0.008, 100.0)] {
        let found = speed_at(hm.log10(), 0.80).speed.unwrap();
        assert!((found.value - speed).abs() < 1e-9 * speed, "{found:?}");
        assert!(found.low < speed && speed < found.high);
    }
}

#[test]
fn degrees_are_one_and_ten_logs() {
    for row in table("iso6_speed_series.csv") {
        let (degrees, exact, log_hm) = (number(&row, 1), number(&row, 2), number(&row, 3));
        // Printed with four decimals: both columns are the formulas' to half a unit of the last.
        assert!(
            (1.0 + 10.0 * exact.log10() - degrees).abs()
                <= 10.0 * 0.000_05 / exact / std::f64::consts::LN_10
        );
        assert!(
            (speed_at(log_hm, 0.80).speed.unwrap().value / exact).log10().abs() <= 0.000_05 + 1e-5
        );
    }
}

#[test]
fn table_1_at_its_centre_and_to_its_edges() {
    let rows = table("iso6_speed_series.csv");
    assert_eq!(rows.len(), 30);
    for row in &rows {
        let printed =
            StandardSpeed { arithmetic: row[0].parse().unwrap(), degrees: row[1].parse().unwrap() };
        let (centre, low, high) = (number(row, 3), number(row, 4), number(row, 5));
        // The standard prints its own ranges, which were not seen: 0.01 from an edge is near enough.
        for log_hm in [centre, low + 0.01, high - 0.01, centre - 0.02, centre + 0.02] {
            assert_eq!(speed_at(log_hm, 0.80).standard, Some(printed), "log Hm {log_hm}");
        }
        for (beyond, degrees) in
            [(low - 0.01, printed.degrees + 1), (high + 0.01, printed.degrees - 1)]
        {
            assert_eq!(
                speed_at(beyond, 0.80).standard.unwrap().degrees,
                degrees,
                "log Hm {beyond}"
            );
        }
        assert_eq!(
            StandardSpeed::nearest(printed.arithmetic),
            Some(printed),
            "a speed of the series is its own"
        );
    }
}

#[test]
fn slow_films_have_their_own_values() {
    // The series below 4 from memory.
    for (speed, arithmetic, degrees) in [
        (1.0, 1.0, 1),
        (1.3, 1.25, 2),
        (1.55, 1.6, 3),
        (2.0, 2.0, 4),
        (2.45, 2.5, 5),
        (3.1, 3.0, 6),
    ] {
        assert_eq!(StandardSpeed::nearest(speed), Some(StandardSpeed { arithmetic, degrees }));
    }
    for none in [0.6, 0.85, 0.0, -1.0, f64::NAN, 2e6] {
        assert_eq!(StandardSpeed::nearest(none), None, "{none}");
    }
}

#[test]
fn no_iso_speed_without_the_contrast_condition() {
    for (delta_d, is_met) in [(0.80, true), (0.60, false), (1.00, false)] {
        let iso = speed_at(-2.0969, delta_d);
        assert!(iso.speed.is_ok());
        assert_eq!(iso.standard.is_some(), is_met, "delta D {delta_d}");
    }
}

#[test]
fn a_condition_is_judged_by_its_interval() {
    use ContrastCondition::{Met, TooHigh, TooLow, TooNear};
    for (value, half, condition) in [
        (0.80, 0.049, Met),
        (0.80, 0.051, TooNear),
        (0.74, 0.02, TooNear),
        (0.76, 0.02, TooNear),
        (0.72, 0.02, TooLow),
        (0.88, 0.02, TooHigh),
        (0.84, 0.02, TooNear),
        (0.80, f64::INFINITY, TooNear),
    ] {
        assert_eq!(ContrastCondition::of(&Quantity::around(value, half)), condition, "{value}");
    }
}

#[test]
fn contrast_condition_holds_its_ends() {
    use ContrastCondition::{Met, TooHigh, TooLow};
    // 0.80 and 1.30 were read; the tolerance of 0.05 is from memory, so what is asserted of it alone
    // is that the product's own constant is inclusive.
    let tolerance = 0.05;
    for (delta_d, condition) in [
        (0.80, Met),
        (0.80 - tolerance, Met),
        (0.80 + tolerance, Met),
        (0.80 - tolerance - 0.000_1, TooLow),
        (0.80 + tolerance + 0.000_1, TooHigh),
        (0.40, TooLow),
        (1.30, TooHigh),
    ] {
        for log_hm in [-3.137, -2.0969, -1.7, 0.0, 0.3] {
            let iso = speed_at(log_hm, delta_d);
            assert!((iso.delta_d.as_ref().unwrap().value - delta_d).abs() < 1e-12);
            let value = iso.delta_d.as_ref().unwrap().value;
            let found = ContrastCondition::of(&Quantity::around(value, 0.0));
            assert_eq!(found, condition, "delta D {delta_d} at {log_hm}");
        }
    }
}

#[test]
fn relative_exposures_have_no_speed() {
    let line = StraightLine::new(0.20, 0.8 / 1.30, -2.2);
    let iso = Measures::of(&as_fitted(line), ExposureScale::Relative).iso;
    assert!(iso.speed.unwrap_err().to_string().contains("relative"));
    assert_eq!(iso.standard, None);
    assert_eq!(
        iso.condition,
        Some(ContrastCondition::Met),
        "the contrast condition needs no absolute exposure"
    );
}
