//! Speed points: log exposures that stand for the speed of a film.

use super::{Estimate, Measured, PointOf, Quantity, Why};
use crate::curve::Curve;
use crate::elementary::hypot;
use crate::numerics::search;

/// Density above base plus fog at the speed point (ISO 6:1993).
pub const SPEED_DENSITY: f64 = 0.10;
/// Share of the chord's slope that the slope has at the fractional-gradient speed point.
const FRACTION: f64 = 0.3;
/// Length of that chord in log exposure.
const CHORD: f64 = 1.5;
/// What the form of the toe adds to the standard uncertainty of the fractional-gradient point, below it and
/// above, in log exposure: between two steps it is the model's word. By simulation, on toes of six forms;
/// sharp ones have the point higher than the model.
const FORM: (f64, f64) = (0.010, 0.035);

/// The speed point m: the log exposure where D = base plus fog + 0.10.
///
/// # Errors
/// The reason why the readings do not bracket it.
///
/// # Source
/// ISO 6:1993, speed of black-and-white still camera negative film.
pub fn speed_point(curve: &dyn Curve) -> Result<Estimate, Why> {
    let target = curve.base_plus_fog() + SPEED_DENSITY;
    let (low, high) = curve.range();
    let Some(x) = curve.log_exposure_at(target) else {
        let (point, base) = (PointOf::FilmSpeed, curve.base_plus_fog());
        return Err(if curve.density(low) > target {
            Why::PointBelowReadings { point, above: curve.density(low) - base }
        } else {
            Why::PointAboveReadings { point, above: curve.density(high) - base }
        });
    };
    let level = Estimate::base_plus_fog(curve).raised(SPEED_DENSITY);
    Ok(passing(curve, x, &level))
}

/// The log exposure `x` where the curve passes `level`, which itself depends on the parameters:
/// ∂x/∂p = (∂level/∂p − ∂D/∂p)/(dD/dx).
pub(crate) fn passing(curve: &dyn Curve, x: f64, level: &Estimate) -> Estimate {
    let mut gradient = vec![0.0; level.gradient.len()];
    curve.density_gradient(x, &mut gradient);
    let slope = curve.slope(x);
    for (g, l) in gradient.iter_mut().zip(&level.gradient) {
        *g = (l - *g) / slope;
    }
    Estimate { value: x, gradient }
}

/// The fractional-gradient speed point: the log exposure x where the slope is 0.3 of the slope of
/// the chord from x to x + 1.50.
///
/// # Errors
/// The reason why the readings do not show it.
///
/// # Source
/// L. A. Jones and H. R. Condit 1941, the brightness scale of exterior scenes and the computation
/// of correct photographic exposure.
pub fn fractional_gradient_speed_point(curve: &dyn Curve) -> Result<f64, Why> {
    let (low, high) = curve.range();
    let last = high - CHORD;
    let excess = |x: f64| fractional_excess(curve, x);
    let x = (last > low).then(|| search::first_rise(excess, (low, last), 24));
    x.flatten().ok_or(Why::NoFractionalGradient)
}

/// How far the slope at `x` is above 0.3 of the chord's.
fn fractional_excess(curve: &dyn Curve, x: f64) -> f64 {
    curve.slope(x) - FRACTION / CHORD * (curve.density(x + CHORD) - curve.density(x))
}

/// The fractional-gradient speed point with its interval: the places where the slope may be 0.3 of the
/// chord's, give or take `quantile` standard errors, and what the form of the toe leaves open.
///
/// # Errors
/// The reason why the readings do not show the point, or give it no bounds.
///
/// # Source
/// Inversion of a test, as E. C. Fieller 1954 did for ratios.
pub(super) fn fractional_gradient(curve: &dyn Curve, quantile: f64) -> Measured {
    let x = fractional_gradient_speed_point(curve)?;
    let (low, high) = curve.range();
    let n = curve.parameters().len();
    let standard_error = |x: f64| {
        let (mut gradient, mut here, mut there) = (vec![0.0; n], vec![0.0; n], vec![0.0; n]);
        curve.slope_gradient(x, &mut gradient);
        curve.density_gradient(x, &mut here);
        curve.density_gradient(x + CHORD, &mut there);
        for ((g, h), t) in gradient.iter_mut().zip(&here).zip(&there) {
            *g -= FRACTION / CHORD * (t - h);
        }
        curve.standard_error(&gradient)
    };
    let end = |from: f64, to: f64, sign: f64| {
        let bound = |x: f64| fractional_excess(curve, x) + sign * quantile * standard_error(x);
        // Where nothing is uncertain the interval is the point itself.
        if sign * bound(x) < 1e-12 {
            return Ok(x);
        }
        search::root(bound, from, to).ok_or(Why::NoFractionalGradient)
    };
    let (least, most) = (end(low, x, 1.0)?, end(x, high - CHORD, -1.0)?);
    let half = |own: f64, form: f64| hypot(own, quantile * form);
    Ok(Quantity { value: x, low: x - half(x - least, FORM.0), high: x + half(most - x, FORM.1) })
}

/// The Delta-X speed point: m − ΔX with ΔX = 0.83 − 0.86·ΔD + 0.24·ΔD², ΔD being the density
/// gained between m and m + 1.30.
///
/// # Source
/// C. N. Nelson and J. L. Simonds 1956, simple methods for approximating the fractional gradient
/// speeds of photographic materials; coefficients from memory.
#[must_use]
pub fn delta_x_speed_point(m: &Estimate, delta_d: &Estimate) -> Estimate {
    let d = delta_d.value;
    let delta_x = 0.83 - 0.86 * d + 0.24 * d * d;
    let mut point = m.combined(1.0, delta_d, 0.86 - 0.48 * d);
    point.value = m.value - delta_x;
    point
}
