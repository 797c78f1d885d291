//! ISO 6846:1992, ISO speed and ISO range of black-and-white papers, on curves whose points are known
//! without any fit.
//!
//! Read in an encyclopedia: the highlight point 0.04 above the least density, the range as the
//! difference of two log exposures, the shadow point at nine tenths of the greatest density. From
//! memory: that this is net density, the factor 100, the speed point at 0.60, P = 1000/Hm.

use crate::shapes::{Formula, as_fitted, number, table};
use wedgebook::printing::PaperMeasures;
use wedgebook::printing::iso_6846::{printed_range, printed_speed};
use wedgebook::readings::ExposureScale;

const NET: f64 = 2.0;
const WHITE: f64 = 0.06;
/// Slope of the logit by log exposure, and log exposure of half the net density.
const SLOPE: f64 = 6.0;
const MIDDLE: f64 = 0.8;

/// D = 0.06 + 2/(1 + e^(−6·(x − 0.8))): half of its range lies on either side of x = 0.8.
fn logistic() -> PaperMeasures {
    let rise = |x: f64| {
        let share = 1.0 / (1.0 + (-SLOPE * (x - MIDDLE)).exp());
        (NET * share, NET * SLOPE * share * (1.0 - share))
    };
    let curve = Formula { base: [WHITE], range: (-2.2, 3.8), rise };
    PaperMeasures::of(&as_fitted(curve), ExposureScale::Absolute)
}

/// The log exposure of a share of the net density.
fn exact(share: f64) -> f64 {
    MIDDLE + (share / (1.0 - share)).ln() / SLOPE
}

fn definition(quantity: &str) -> f64 {
    let row = table("paper_definitions.csv")
        .into_iter()
        .find(|row| &row[0] == quantity && row[3].starts_with("read"));
    number(&row.expect(quantity), 1)
}

/// Read: the highlight point.
#[test]
fn the_highlight_point_is_0_04_above_the_least_density() {
    let net = definition("highlight_point_T_density_above_min");
    let found = logistic().highlight.unwrap().value;
    assert!((found - exact(net / NET)).abs() < 1e-9, "{found}");
}

/// Read: nine tenths of the greatest density. Whether that is net density is from memory; the two
/// wordings differ by a tenth of the white, and the product's point lies within that.
#[test]
fn the_shadow_point_is_nine_tenths_of_the_greatest_density() {
    let variant = table("paper_definitions.csv")
        .into_iter()
        .find(|row| &row[0] == "shadow_point_S_density_variant_1")
        .unwrap();
    let share: f64 = variant[1].split(' ').next().unwrap().parse().unwrap();
    let gross = share * (WHITE + NET);
    let found = logistic().shadow_density.unwrap().value;
    assert!((0.0..=0.1 * WHITE + 1e-4).contains(&(found - gross)), "{found} against {gross}");
}

/// Read: the range is the difference of the two log exposures. The arithmetic is that of the
/// documentation; factor 100 and net shadow point are from memory, and this is no evidence for them.
#[test]
fn the_range_is_the_difference_of_log_exposures() {
    let m = logistic();
    let difference = m.shadow.unwrap().value - m.highlight.unwrap().value;
    let range = m.range_r.unwrap().value;
    assert!((range / difference - 100.0).abs() < 1e-9);
    let by_hand = 100.0 * (exact(0.9) - exact(0.04 / NET));
    assert!((range - by_hand).abs() < 0.01, "{range} against {by_hand}");
}

/// Holds the code to its documentation; from memory, no evidence.
#[test]
fn speed_and_average_gradient_as_documented() {
    let m = logistic();
    let speed = 1000.0 / 10_f64.powf(exact(0.60 / NET));
    assert!((m.speed_p.unwrap().value / speed - 1.0).abs() < 1e-9);
    let gradient = (0.9 * NET - 0.04) / (exact(0.9) - exact(0.04 / NET));
    assert!((m.average_gradient.unwrap().value - gradient).abs() < 1e-4);
    assert!((m.gamma.unwrap().value - NET * SLOPE / 4.0).abs() < 1e-3);
    assert!((m.d_max.unwrap().value - WHITE - NET).abs() < 1e-6);
    assert!((m.d_min.unwrap().value - WHITE).abs() < 1e-12);
}

/// Ten times the exposure for every density is a tenth of the speed and the same range.
#[test]
fn a_slower_paper_has_the_same_range() {
    let slower = Formula {
        base: [WHITE],
        range: (-1.2, 4.8),
        rise: |x| {
            let share = 1.0 / (1.0 + (-SLOPE * (x - MIDDLE - 1.0)).exp());
            (NET * share, NET * SLOPE * share * (1.0 - share))
        },
    };
    let slower = PaperMeasures::of(&as_fitted(slower), ExposureScale::Absolute);
    let fast = logistic();
    assert!(
        (slower.speed_p.unwrap().value * 10.0 / fast.speed_p.unwrap().value - 1.0).abs() < 1e-9
    );
    assert!((slower.range_r.unwrap().value - fast.range_r.unwrap().value).abs() < 1e-6);
}

/// The steps of P and R from memory.
#[test]
fn speed_and_range_as_printed() {
    for (p, printed) in [(288.0, Some(320.0)), (391.0, Some(400.0)), (2.4, Some(2.5)), (0.1, None)]
    {
        assert_eq!(printed_speed(p), printed, "P {p}");
    }
    for (r, printed) in [(114.2, Some(110)), (115.0, Some(120)), (65.9, Some(70)), (f64::NAN, None)]
    {
        assert_eq!(printed_range(r), printed, "R {r}");
    }
}
