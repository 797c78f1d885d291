//! C. J. Niederpruem, C. N. Nelson and J. A. C. Yule 1966, Contrast Index; with it the average
//! gradient, which the same curves can be held to.
//!
//! Read: the arcs are 2.0 apart and their common origin lies on the base-plus-fog line. From memory:
//! their radii, 0.2 and 2.2.

use crate::shapes::{Formula, StraightLine, as_fitted};
use wedgebook::curve::Curve;
use wedgebook::measures::{ContrastIndexChord, Measures, contrast_index};
use wedgebook::readings::ExposureScale;

/// A straight line from base plus fog is its own chord, whichever way contrast is measured. Slopes
/// and corners of every kind that film has, and the range of the readings long enough.
#[test]
fn all_contrasts_of_a_straight_line_are_its_slope() {
    for slope in [0.30, 0.56, 0.60, 0.8 / 1.30, 0.90, 1.50] {
        for corner in [-2.4, -0.37, 0.0, 1.1] {
            let line = StraightLine::new(0.21, slope, corner);
            let measures = Measures::of(&as_fitted(line), ExposureScale::Absolute);
            for (name, measured) in [
                ("contrast index", &measures.contrast_index),
                ("average gradient", &measures.average_gradient),
                ("gamma", &measures.gamma),
            ] {
                let value = measured.as_ref().unwrap().value;
                assert!(
                    (value - slope).abs() < 1e-9,
                    "{name} {value} of a line of slope {slope} from {corner}"
                );
            }
            let chord = measures.contrast_index_chord.unwrap();
            assert!((chord.origin.0 - corner).abs() < 1e-9, "the origin is the corner: {chord:?}");
        }
    }
}

/// A rise of 1.20 over a run of 2.10 is a gradient of 0.57.
#[test]
fn gradient_of_1_20_over_2_10() {
    let measures =
        Measures::of(&as_fitted(StraightLine::new(0.0, 1.20 / 2.10, 0.0)), ExposureScale::Relative);
    assert!((measures.average_gradient.unwrap().value - 0.57).abs() <= 0.005);
    assert!((measures.contrast_index.unwrap().value - 0.57).abs() <= 0.005);
}

/// Curves with a toe, with a shoulder, with both, and one that is concave from the start.
fn curved() -> Vec<(&'static str, Formula)> {
    let formula = |rise| Formula { base: [0.17], range: (-2.5, 3.5), rise };
    vec![
        (
            "parabola into its tangent",
            formula(|x| {
                let toe = x.clamp(0.0, 0.4);
                (0.8 * (toe * toe + 2.0 * toe * (x - toe).max(0.0)), 1.6 * toe)
            }),
        ),
        (
            "soft toe",
            formula(|x| {
                let e = (x / 0.25_f64).exp();
                (0.65 * 0.25 * e.ln_1p(), 0.65 * e / (1.0 + e))
            }),
        ),
        (
            "growth curve",
            formula(|x| {
                let e = (-1.9 * (x - 0.9_f64)).exp();
                (1.9 / (1.0 + e), 1.9 * 1.9 * e / (1.0 + e).powi(2))
            }),
        ),
        (
            "lopsided growth curve",
            formula(|x| {
                let e = (-2.2 * (x - 0.5_f64)).exp();
                (2.1 * (1.0 + e).powf(-1.7), 2.1 * 1.7 * 2.2 * e * (1.0 + e).powf(-2.7))
            }),
        ),
        (
            "saturation",
            formula(|x| {
                let h = (std::f64::consts::LN_10 * 0.7 * (x - 0.8)).exp();
                (2.0 * -(-h).exp_m1(), 2.0 * 0.7 * std::f64::consts::LN_10 * h * (-h).exp())
            }),
        ),
        (
            "steep",
            formula(|x| {
                let e = (x / 0.1_f64).exp();
                (1.8 * 0.1 * e.ln_1p(), 1.8 * e / (1.0 + e))
            }),
        ),
    ]
}

fn distance(p: (f64, f64), q: (f64, f64)) -> f64 {
    (p.0 - q.0).hypot(p.1 - q.1)
}

/// What defines the chord: O on the base-plus-fog line, P at 0.2 and Q at 2.2 from it, both on the
/// curve, all three on one line, P and Q 2.0 apart; and its slope is the contrast index.
#[test]
fn the_chord_is_what_its_definition_says() {
    for (name, curve) in curved() {
        let (index, ContrastIndexChord { origin, near, far }) = contrast_index(&curve).unwrap();
        let exact = |found: f64, wanted: f64, what: &str| {
            assert!((found - wanted).abs() < 1e-9, "{name}: {what} is {found} and not {wanted}");
        };
        exact(origin.1, curve.base_plus_fog(), "height of O");
        exact(distance(origin, near), 0.2, "OP");
        exact(distance(origin, far), 2.2, "OQ");
        exact(distance(near, far), 2.0, "PQ");
        exact(near.1, curve.density(near.0), "height of P");
        exact(far.1, curve.density(far.0), "height of Q");
        let (p, q) = ((near.0 - origin.0, near.1 - origin.1), (far.0 - origin.0, far.1 - origin.1));
        exact(p.0 * q.1 - p.1 * q.0, 0.0, "area of OPQ");
        exact(index.value, (far.1 - near.1) / (far.0 - near.0), "contrast index");
    }
}

/// The chord found by drawing: O moved along the base line in small steps, the arcs walked along in
/// small steps, the angles of P and Q compared.
#[test]
fn a_gauge_laid_on_the_curve_finds_the_same() {
    for (name, curve) in curved() {
        let angle = |o: f64, r: f64| {
            let above =
                |t: f64| curve.density(o + r * t.cos()) - curve.base_plus_fog() - r * t.sin();
            (0..=15_700).map(|k| 0.000_1 * f64::from(k)).find(|&t| above(t) <= 0.0).unwrap()
        };
        let m = curve.log_exposure_at(curve.base_plus_fog() + 0.1).unwrap();
        let origin = (0..500)
            .map(|k| m - 0.4 + 0.001 * f64::from(k))
            .find(|&o| angle(o, 0.2) >= angle(o, 2.2))
            .unwrap();
        let drawn = angle(origin, 2.2).tan();
        let found = contrast_index(&curve).unwrap().0.value;
        // A step of 0.001 of O turns the chord by less than 0.001/2.2·slope, and one of the angle by 0.0001.
        assert!(
            (found - drawn).abs() < 0.001 * (1.0 + found * found),
            "{name}: {found}, drawn {drawn}"
        );
    }
}

/// No contrast index where the readings end before the far arc.
#[test]
fn a_short_strip_has_no_contrast_index() {
    let mut line = StraightLine::new(0.2, 0.6, -2.4);
    // Q lies 2.2·cos(atan 0.6) = 1.886 beyond the corner.
    line.range.1 = -2.4 + 1.88;
    assert!(contrast_index(&line).unwrap_err().to_string().contains("2.2"));
    line.range.1 = -2.4 + 1.89;
    assert!((contrast_index(&line).unwrap().0.value - 0.6).abs() < 1e-9);
}
