//! Cubic B-splines on even knots, and the running integrals of the exponential of one.

use crate::curve::Curve;
use std::sync::Arc;

/// Number of spline segments.
pub(super) const SEGMENTS: usize = 16;
/// Number of spline coefficients.
pub(super) const COEFFICIENTS: usize = SEGMENTS + 3;

/// Abscissae and weights of Gauss and Legendre's rule of three points on [0, 1].
const NODES: [(f64, f64); 3] = [
    (0.112_701_665_379_258_31, 5.0 / 18.0),
    (0.5, 8.0 / 18.0),
    (0.887_298_334_620_741_7, 5.0 / 18.0),
];

/// Even knots from `low` on, [`SEGMENTS`] segments of `width`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Knots {
    pub low: f64,
    pub width: f64,
}

/// The four basis functions that do not vanish at a point, and the index of the first.
#[derive(Clone, Copy, Debug)]
pub(super) struct Local {
    pub first: usize,
    pub values: [f64; 4],
}

impl Local {
    /// The spline's value there.
    pub fn value(&self, coefficients: &[f64]) -> f64 {
        let c = &coefficients[self.first..self.first + 4];
        self.values[0] * c[0]
            + self.values[1] * c[1]
            + self.values[2] * c[2]
            + self.values[3] * c[3]
    }
}

impl Knots {
    pub fn between(low: f64, high: f64) -> Self {
        Self { low, width: (high - low) / SEGMENTS as f64 }
    }

    /// Segment that holds `x`; the first and last reach outwards.
    pub fn segment(&self, x: f64) -> usize {
        (((x - self.low) / self.width).floor().max(0.0) as usize).min(SEGMENTS - 1)
    }

    pub fn knot(&self, k: usize) -> f64 {
        self.low + self.width * k as f64
    }

    pub fn local(&self, x: f64) -> Local {
        let first = self.segment(x);
        let t = (x - self.knot(first)) / self.width;
        let (t2, r) = (t * t, 1.0 - t);
        let t3 = t2 * t;
        let values = [
            r * r * r / 6.0,
            (3.0 * t3 - 6.0 * t2 + 4.0) / 6.0,
            (-3.0 * t3 + 3.0 * t2 + 3.0 * t + 1.0) / 6.0,
            t3 / 6.0,
        ];
        Local { first, values }
    }

    /// Where spline coefficient `k` has its greatest say.
    pub fn centre(&self, k: usize) -> f64 {
        self.low + self.width * (k as f64 - 1.0)
    }
}

/// What the spline is the logarithm of: the slope itself, or the slope over that of a curve of few
/// parameters.
#[derive(Clone, Debug, Default)]
pub(super) struct Foundation(pub Option<Arc<dyn Curve>>);

impl Foundation {
    /// The slope where the spline is 0.
    pub fn slope(&self, x: f64) -> f64 {
        self.0.as_ref().map_or(1.0, |curve| curve.slope(x))
    }
}

/// The quadrature nodes of [from, to], a piece without a knot inside: the integral of the foundation's
/// slope times a smooth function.
pub(super) fn nodes(
    knots: Knots,
    foundation: &Foundation,
    from: f64,
    to: f64,
) -> impl Iterator<Item = (f64, Local)> {
    let length = to - from;
    let at = NODES.map(|(at, _)| from + at * length);
    let mut weights = NODES.map(|(_, weight)| weight * length);
    if let Some(curve) = &foundation.0 {
        let mut sum = 0.0;
        for (weight, x) in weights.iter_mut().zip(at) {
            *weight *= curve.slope(x);
            sum += *weight;
        }
        // A sharp toe within the piece: what it rises is known without quadrature.
        if sum > 0.0 {
            let exact = (curve.density(to) - curve.density(from)) / sum;
            weights.iter_mut().for_each(|weight| *weight *= exact);
        }
    }
    weights.into_iter().zip(at).map(move |(weight, x)| (weight, knots.local(x)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_basis_adds_up_to_one_and_reproduces_a_line() {
        let knots = Knots::between(-3.0, 1.0);
        let line: Vec<f64> = (0..COEFFICIENTS).map(|k| 2.0 * knots.centre(k) + 1.0).collect();
        for i in 0..=40 {
            let x = -3.0 + 0.1 * f64::from(i);
            let local = knots.local(x);
            assert!((local.values.iter().sum::<f64>() - 1.0).abs() < 1e-14);
            assert!((local.value(&line) - (2.0 * x + 1.0)).abs() < 1e-12);
        }
    }
}
