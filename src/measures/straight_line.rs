//! The straight line of a characteristic curve.

use super::{Estimate, Measured, Quantity, Why, around};
use crate::curve::Curve;

/// The slope stays within this share of its middle value.
const EVEN: f64 = 0.05;
/// And is at least this share of the greatest slope.
const STEEP: f64 = 0.75;
/// Shortest straight line, in log exposure: two stops.
const SHORTEST: f64 = 0.60;
/// Distance in log exposure of the places where the slope is compared.
const STEP: f64 = 0.02;

/// The straight line of a curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StraightLine {
    /// Its slope.
    pub slope: Quantity,
    /// Log exposure where it begins.
    pub from: f64,
    /// Log exposure where it ends, at the last reading at most.
    pub to: f64,
}

/// The straight line: the longest part over which the slope stays within 5 % of its middle value, and
/// the mean slope over it, (D(to) − D(from))/(to − from).
///
/// The ends are those of the fitted curve; the interval of the slope is for these ends.
///
/// # Errors
/// [`Why::NoStraightLine`] where that part is shorter than 0.60 in log exposure, two stops.
///
/// # Source
/// F. Hurter and V. C. Driffield 1890, gamma as the slope of the straight line. How even a slope must
/// be to count as straight, and how long: common practice, no source.
pub fn straight_line(curve: &dyn Curve, quantile: f64) -> Result<StraightLine, Why> {
    let (low, high) = curve.range();
    let pieces = ((high - low) / STEP).ceil().max(1.0) as usize;
    let at = |k: usize| low + (high - low) * k as f64 / pieces as f64;
    let slopes: Vec<f64> = (0..=pieces).map(|k| curve.slope(at(k))).collect();
    let (first, last) = longest_even(&slopes);
    let (from, to) = (at(first), at(last));
    if !(to - from > SHORTEST - 1e-9) {
        return Err(Why::NoStraightLine { longest: to - from, needed: SHORTEST });
    }
    let density = |x: f64| {
        let mut gradient = vec![0.0; curve.parameters().len()];
        curve.density_gradient(x, &mut gradient);
        Estimate { value: curve.density(x), gradient }
    };
    let per = 1.0 / (to - from);
    let slope: Measured = around(curve, quantile, &density(to).combined(per, &density(from), -per));
    Ok(StraightLine { slope: slope.map_err(|_| Why::SlopeNotDetermined)?, from, to })
}

/// First and last index of the longest run of slopes that are even and steep; the first of them where
/// several are as long.
fn longest_even(slopes: &[f64]) -> (usize, usize) {
    let steep = STEEP * slopes.iter().copied().fold(0.0, f64::max);
    let mut best = (0, 0);
    for first in 0..slopes.len() {
        let (mut least, mut greatest) = (f64::INFINITY, 0.0_f64);
        let even = |s: &&f64| {
            (least, greatest) = (least.min(**s), greatest.max(**s));
            least >= steep && greatest * (1.0 - EVEN) <= least * (1.0 + EVEN)
        };
        let length = slopes[first..].iter().take_while(even).count();
        if length > best.1 - best.0 + 1 {
            best = (first, first + length - 1);
        }
    }
    best
}
