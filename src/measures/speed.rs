//! Speed points: log exposures that stand for the speed of a film.

use super::{Estimate, PointOf, Why};
use crate::curve::Curve;
use crate::numerics::search;

/// Density above base plus fog at the speed point (ISO 6:1993).
pub const SPEED_DENSITY: f64 = 0.10;
/// Share of the chord's slope that the slope has at the fractional-gradient speed point.
const FRACTION: f64 = 0.3;
/// Length of that chord in log exposure.
const CHORD: f64 = 1.5;

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
pub fn fractional_gradient_speed_point(curve: &dyn Curve) -> Result<Estimate, Why> {
    let (low, high) = curve.range();
    let excess =
        |x: f64| curve.slope(x) - FRACTION / CHORD * (curve.density(x + CHORD) - curve.density(x));
    let last = high - CHORD;
    let x = (last > low).then(|| search::first_rise(excess, (low, last), 24));
    let Some(x) = x.flatten() else {
        return Err(Why::NoFractionalGradient);
    };
    let n = curve.parameters().len();
    let (mut gradient, mut here, mut there) = (vec![0.0; n], vec![0.0; n], vec![0.0; n]);
    curve.slope_gradient(x, &mut gradient);
    curve.density_gradient(x, &mut here);
    curve.density_gradient(x + CHORD, &mut there);
    const H: f64 = 1e-4;
    let steepness = (excess(x + H) - excess(x - H)) / (2.0 * H);
    for ((g, h), t) in gradient.iter_mut().zip(&here).zip(&there) {
        *g = -(*g - FRACTION / CHORD * (t - h)) / steepness;
    }
    Ok(Estimate { value: x, gradient })
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
