//! Slopes: gamma and average gradient.

use super::{Estimate, Why};
use crate::curve::Curve;
use crate::numerics::search;

/// Length in log exposure of the average gradient's chord.
const CHORD: f64 = 1.5;

/// Gamma: the greatest slope of the curve within the readings, dD/dx at its steepest.
///
/// On a curve with a straight line it is close to that line's slope: see
/// [`straight_line`](super::straight_line).
///
/// # Source
/// F. Hurter and V. C. Driffield 1890.
#[must_use]
pub fn gamma(curve: &dyn Curve) -> Estimate {
    let (x, value) = search::greatest(|x| curve.slope(x), curve.range(), 48);
    let mut gradient = vec![0.0; curve.parameters().len()];
    curve.slope_gradient(x, &mut gradient);
    Estimate { value, gradient }
}

/// Average gradient: the slope of the chord from the speed point m to m + 1.50.
///
/// # Errors
/// The reason why the readings do not reach m + 1.50.
pub fn average_gradient(curve: &dyn Curve, m: &Estimate) -> Result<Estimate, Why> {
    let (_, high) = curve.range();
    if m.value + CHORD > high {
        return Err(Why::EndsBeforeChord { reach: high - m.value, needed: CHORD });
    }
    let from = Estimate::density_at(curve, m, 0.0);
    let to = Estimate::density_at(curve, m, CHORD);
    Ok(to.combined(1.0 / CHORD, &from, -1.0 / CHORD))
}
