//! Contrast index.

use super::{Estimate, Why};
use crate::curve::Curve;
use crate::elementary::{atan, cos, sin, sin_cos, tan};
use crate::numerics::search;

/// Radii of the two arcs, in units of density and of log exposure alike.
const NEAR: f64 = 0.2;
const FAR: f64 = 2.2;

/// The chord whose slope is the contrast index: O on the base-plus-fog line, P and Q on the curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ContrastIndexChord {
    /// (log exposure, density) of O.
    pub origin: (f64, f64),
    /// (log exposure, density) of P, on the arc of radius 0.2.
    pub near: (f64, f64),
    /// (log exposure, density) of Q, on the arc of radius 2.2.
    pub far: (f64, f64),
}

/// Contrast index and its chord.
///
/// On equal scales, arcs of radius 0.2 and 2.2 about a point O of the base-plus-fog line cut the
/// curve at P and Q; O is where O, P and Q lie on one line, and the contrast index is its slope:
///
/// ```text
/// D(o + r·cos θ) = b + r·sin θ    for r = 0.2 and r = 2.2;    CI = tan θ
/// ```
///
/// # Errors
/// The reason why the readings do not carry it.
///
/// # Source
/// C. J. Niederpruem, C. N. Nelson and J. A. C. Yule 1966, contrast index.
pub fn contrast_index(curve: &dyn Curve) -> Result<(Estimate, ContrastIndexChord), Why> {
    let base = curve.base_plus_fog();
    let (low, high) = curve.range();
    let (origin, angle) = newton(curve, base)
        .or_else(|| nested(curve, base))
        .ok_or_else(|| Why::EndsBelowArc { density: curve.density(high), radius: FAR })?;
    let point = |r: f64| (origin + r * cos(angle), base + r * sin(angle));
    let (near, far) = (point(NEAR), point(FAR));
    if far.0 > high {
        return Err(Why::EndsBeforeArc { end: high, radius: FAR, arc: far.0 });
    }
    if near.0 < low {
        return Err(Why::BeginsBehindArc { begin: low, radius: NEAR, arc: near.0 });
    }
    let gradient = implicit_gradient(curve, origin, angle);
    let estimate = Estimate { value: tan(angle), gradient };
    Ok((estimate, ContrastIndexChord { origin: (origin, base), near, far }))
}

/// Newton's method in O and the angle, started where a straight line of the curve's middle slope
/// would have them.
fn newton(curve: &dyn Curve, base: f64) -> Option<(f64, f64)> {
    let (low, high) = curve.range();
    let m = curve.log_exposure_at(base + 0.1).unwrap_or(low);
    let mut angle =
        atan(((curve.density((m + 1.5).min(high)) - base - 0.1) / 1.5).clamp(0.05, 5.0));
    let mut origin = m - NEAR * cos(angle);
    for _ in 0..30 {
        let (sin, cos) = sin_cos(angle);
        let equation = |r: f64| {
            let x = origin + r * cos;
            let slope = curve.slope(x);
            (curve.density(x) - base - r * sin, slope, -r * (slope * sin + cos))
        };
        let ((f1, a1, b1), (f2, a2, b2)) = (equation(NEAR), equation(FAR));
        let determinant = a1 * b2 - a2 * b1;
        let (d_origin, d_angle) =
            ((f1 * b2 - f2 * b1) / determinant, (a1 * f2 - a2 * f1) / determinant);
        if !d_origin.is_finite() || !d_angle.is_finite() {
            return None;
        }
        let limit = (0.5 / d_origin.abs()).min(0.2 / d_angle.abs()).min(1.0);
        origin -= limit * d_origin;
        angle -= limit * d_angle;
        if !(0.0..1.57).contains(&angle) || origin < low - 4.0 || origin > high {
            return None;
        }
        if d_origin.abs() < 1e-12 && d_angle.abs() < 1e-12 {
            return Some((origin, angle));
        }
    }
    None
}

/// The same by one bracketed root inside another: slower, and sure where a solution exists.
fn nested(curve: &dyn Curve, base: f64) -> Option<(f64, f64)> {
    let (low, high) = curve.range();
    let angle_at = |origin: f64, r: f64| {
        search::root(
            |t| curve.density(origin + r * cos(t)) - base - r * sin(t),
            0.0,
            std::f64::consts::FRAC_PI_2,
        )
    };
    let difference = |origin: f64| match (angle_at(origin, NEAR), angle_at(origin, FAR)) {
        (Some(near), Some(far)) => near - far,
        _ => f64::NAN,
    };
    let range = (low - NEAR, high);
    let pieces = ((range.1 - range.0) / 0.1).ceil() as usize;
    let origin = search::first_rise(difference, range, pieces)?;
    Some((origin, angle_at(origin, FAR)?))
}

/// Derivatives of the contrast index by the curve's parameters, from those of the two equations.
fn implicit_gradient(curve: &dyn Curve, origin: f64, angle: f64) -> Vec<f64> {
    let n = curve.parameters().len();
    let (sin, cos) = sin_cos(angle);
    let row = |r: f64| {
        let x = origin + r * cos;
        let slope = curve.slope(x);
        let (mut gradient, mut base) = (vec![0.0; n], vec![0.0; n]);
        curve.density_gradient(x, &mut gradient);
        curve.base_gradient(&mut base);
        gradient.iter_mut().zip(&base).for_each(|(g, b)| *g -= b);
        (gradient, slope, -r * (slope * sin + cos))
    };
    let ((g1, a1, b1), (g2, a2, b2)) = (row(NEAR), row(FAR));
    let determinant = a1 * b2 - a2 * b1;
    // d(angle)/dp = −(a1·g2 − a2·g1)/determinant and d(tan θ) = dθ/cos²θ.
    let factor = -1.0 / (determinant * cos * cos);
    g1.iter().zip(&g2).map(|(one, two)| factor * (a1 * two - a2 * one)).collect()
}
