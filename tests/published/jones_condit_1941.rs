//! L. A. Jones and H. R. Condit 1941: the exposure at which the slope of the curve is 0.3 of the
//! slope of the chord over the next 1.50 of log exposure, on curves where that exposure is a root
//! that can be written down.

use crate::shapes::Formula;
use wedgebook::measures::fractional_gradient_speed_point;

/// D = b + 0.4·x² from 0 on. Slope 0.8·x is 0.2·(D(x + 1.5) − D(x)) = 0.08·(3x + 2.25) where
/// x = 0.45/1.4.
#[test]
fn a_parabola() {
    let rise = |x: f64| (0.4 * x.max(0.0).powi(2), 0.8 * x.max(0.0));
    let curve = Formula { base: [0.15], range: (-1.0, 3.0), rise };
    let found = fractional_gradient_speed_point(&curve).unwrap();
    assert!((found - 0.45 / 1.4).abs() < 1e-9, "{found}");
}

/// The parabola runs into its tangent at T = 0.5: 2x = 0.2·(3T − T² + 2T·x − x²), which is
/// 0.2·x² + 1.8·x − 0.25 = 0.
#[test]
fn a_parabola_and_its_tangent() {
    let rise = |x: f64| {
        let toe = x.clamp(0.0, 0.5);
        (0.7 * (toe * toe + 2.0 * toe * (x - toe).max(0.0)), 1.4 * toe)
    };
    let curve = Formula { base: [0.3], range: (-1.0, 3.0), rise };
    let answer = (-1.8 + (1.8_f64 * 1.8 + 4.0 * 0.2 * 0.25).sqrt()) / 0.4;
    let found = fractional_gradient_speed_point(&curve).unwrap();
    assert!((found - answer).abs() < 1e-9, "{found} for {answer}");
}

/// D = b + e^(c·x): slope and chord grow alike, and their ratio 1.5·c/(e^(1.5·c) − 1) is nowhere
/// 0.3 but for one c. There is no such point, and the product must say so.
#[test]
fn an_exponential_has_none() {
    let curve = Formula { base: [0.1], range: (-2.0, 2.0), rise: |x| (x.exp(), x.exp()) };
    assert!(fractional_gradient_speed_point(&curve).unwrap_err().to_string().contains("0.3"));
}
