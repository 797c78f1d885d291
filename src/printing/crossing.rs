//! Where a curve passes a level, with an interval that knows how flat the curve is there.

use crate::curve::Curve;
use crate::elementary::hypot;
use crate::measures::{Estimate, Quantity, passing};
use crate::numerics::search;

/// How far below the lowest reading the model may be followed for the end of an interval.
const BELOW: f64 = 0.6;

/// What a corner between two steps leaves open of a point there, as a standard uncertainty over their distance;
/// by simulation of papers with sharp toes.
const CORNER: f64 = 0.25;
/// Standard uncertainties in half of an interval.
const HALF: f64 = 2.0;

/// A log exposure where the curve passes a level.
#[derive(Clone, Debug)]
pub(super) struct Crossing {
    /// To first order.
    estimate: Estimate,
    /// With its interval.
    pub quantity: Quantity,
}

impl Crossing {
    /// Where `curve` passes `level`, which is uncertain itself; `None` where it does not within the
    /// readings, or where they do not bound it.
    ///
    /// The interval holds every x at which D(x) − level differs from 0 by no more than `quantile`
    /// standard errors: in a toe, where the slope changes within the interval, first-order errors
    /// would be too short on one side.
    ///
    /// # Source
    /// Inversion of a test, as E. C. Fieller 1954 did for ratios.
    pub fn of(curve: &dyn Curve, level: &Estimate, quantile: f64) -> Option<Self> {
        let x = curve.log_exposure_at(level.value)?;
        let (low, high) = curve.range();
        let bound = |x: f64, sign: f64| {
            let mut gradient = vec![0.0; level.gradient.len()];
            curve.density_gradient(x, &mut gradient);
            for (g, l) in gradient.iter_mut().zip(&level.gradient) {
                *g -= l;
            }
            curve.density(x) - level.value + sign * quantile * curve.standard_error(&gradient)
        };
        let root = |from: f64, to: f64, sign: f64| {
            // Where nothing is uncertain the interval is the point itself.
            if sign * bound(x, sign) < 1e-12 {
                return Some(x);
            }
            search::root(|x| bound(x, sign), from, to)
        };
        let quantity = Quantity {
            value: x,
            low: root(low, x, 1.0).or_else(|| root(low - BELOW, low, 1.0))?,
            high: root(x, high, -1.0)?,
        };
        Some(Self { estimate: passing(curve, x, level), quantity })
    }

    /// The same with what a toe leaves open that turns between the two steps about the point: a standard
    /// uncertainty of 0.25·s·t⁴ with t = (D′₂ − D′₁)/(D′₂ + D′₁), s being the distance of the steps and D′
    /// the slopes there. A corner, t = 1, may lie anywhere between them; a toe over several steps, t ≤ ½, is
    /// seen.
    pub fn between_steps(mut self, curve: &dyn Curve, steps: &[f64]) -> Self {
        let x = self.quantity.value;
        let below = steps.iter().copied().filter(|s| *s <= x).fold(f64::NEG_INFINITY, f64::max);
        let above = steps.iter().copied().filter(|s| *s > x).fold(f64::INFINITY, f64::min);
        if below.is_finite() && above.is_finite() {
            let (before, after) = (curve.slope(below), curve.slope(above));
            let turn = (after - before).abs() / (after + before);
            let open = HALF * CORNER * (above - below) * turn.powi(4);
            let q = &mut self.quantity;
            q.low = x - hypot(x - q.low, open);
            q.high = x + hypot(q.high - x, open);
        }
        self
    }

    /// How far `self` is above `other`, with its interval from those of the two and their
    /// correlation.
    ///
    /// # Source
    /// G. Y. Zou and A. Donner 2008: intervals of a difference from the intervals of its terms.
    pub fn beyond(&self, other: &Self, curve: &dyn Curve) -> Quantity {
        let variance = |e: &Estimate| curve.standard_error(&e.gradient).powi(2);
        let (own, others) = (variance(&self.estimate), variance(&other.estimate));
        let of_sum = variance(&self.estimate.combined(1.0, &other.estimate, 1.0));
        let correlation = (0.5 * (of_sum - own - others) / (own * others).sqrt()).clamp(-1.0, 1.0);
        let length = |a: f64, b: f64| (a * a + b * b - 2.0 * correlation * a * b).max(0.0).sqrt();
        let (s, t) = (&self.quantity, &other.quantity);
        let value = s.value - t.value;
        Quantity {
            value,
            low: value - length(s.value - s.low, t.high - t.value),
            high: value + length(s.high - s.value, t.value - t.low),
        }
    }
}
