//! C. N. Nelson and J. L. Simonds 1956: two simple methods for the 0.3-gradient speed.
//!
//! The abstract (read) gives the two points: 0.10 above the least density and 20 times its exposure.
//! The polynomial's coefficients are from memory.

use crate::shapes::{Formula, StraightLine, as_fitted};
use wedgebook::measures::{Estimate, Measures, delta_x_speed_point};
use wedgebook::readings::ExposureScale;

/// What the method is for: the Delta-X point stands in for the fractional-gradient point. Toes of
/// the shape D = b + γ·w·ln(1 + e^(x/w)) with γ from 0.45 to 0.80 and w from 0.15 to 0.30.
/// Agreement to a third of a stop, the step of the standard speeds, is the least that makes one a
/// stand-in for the other; these toes are ours, not the authors' films.
#[test]
fn delta_x_stands_in_for_the_fractional_gradient() {
    let mut worst: f64 = 0.0;
    let mut check = |rise: fn(f64) -> (f64, f64), name: &str| {
        let measures = Measures::of(
            &as_fitted(Formula { base: [0.2], range: (-2.5, 3.0), rise }),
            ExposureScale::Absolute,
        );
        let (simple, exact) =
            (measures.delta_x.unwrap().value, measures.fractional_gradient.unwrap().value);
        println!(
            "{name}: delta D {:.3}, delta-X {simple:.4}, fractional gradient {exact:.4}",
            measures.iso.delta_d.unwrap().value
        );
        worst = worst.max((simple - exact).abs());
    };
    macro_rules! toe {
        ($gamma:literal, $w:literal) => {
            check(
                |x| {
                    let e = (x / $w as f64).exp();
                    ($gamma * $w * e.ln_1p(), $gamma * e / (1.0 + e))
                },
                concat!("gamma ", $gamma, ", w ", $w),
            )
        };
    }
    toe!(0.45, 0.15);
    toe!(0.45, 0.30);
    toe!(0.60, 0.15);
    toe!(0.60, 0.22);
    toe!(0.60, 0.30);
    toe!(0.80, 0.15);
    toe!(0.80, 0.30);
    assert!(worst < 0.1, "differs by {worst}");
}

/// ΔX is 0.2956 at ΔD = 0.80. Derived from the coefficients from memory, this holds the code to its
/// own documentation and is no evidence for them.
#[test]
fn polynomial_as_documented() {
    let at = |value: f64| Estimate { value, gradient: vec![0.0] };
    let found = -delta_x_speed_point(&at(0.0), &at(0.80)).value;
    assert!((found - 0.2956).abs() <= 0.000_05, "{found}");
}

/// The second point lies at 20 times the exposure of the first: 1.3010, which ISO 6 rounds to 1.30.
#[test]
fn second_point_is_20_times_the_first() {
    let slope = 0.8 / 1.30;
    let measures =
        Measures::of(&as_fitted(StraightLine::new(0.1, slope, -2.3)), ExposureScale::Absolute);
    let delta_d = measures.iso.delta_d.unwrap().value;
    assert!((delta_d / slope - 20_f64.log10()).abs() <= 0.005);
    assert!(
        (measures.iso.speed.unwrap().value - 0.8 / 10_f64.powf(-2.3 + 0.1 / slope)).abs() < 1e-6
    );
}
