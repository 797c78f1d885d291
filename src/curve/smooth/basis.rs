//! Cubic B-splines on even knots, and the running integrals of the exponential of one.

use super::foundation::{Shape, Stand};
use crate::elementary::exp;

/// Number of spline segments.
pub(super) const SEGMENTS: usize = 16;
/// Number of spline coefficients.
pub(super) const COEFFICIENTS: usize = SEGMENTS + 3;

/// Abscissae and weights of Lobatto's rule of four points on [0, 1], (1 ∓ 1/√5)/2 being those between the
/// ends. It integrates polynomials of the fifth degree exactly, as Gauss's rule of three points does, but a
/// piece has its first point in common with the piece before.
const NODES: [(f64, f64); 4] = [
    (0.0, 1.0 / 12.0),
    (0.276_393_202_250_021, 5.0 / 12.0),
    (0.723_606_797_749_979, 5.0 / 12.0),
    (1.0, 1.0 / 12.0),
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
        (((x - self.low) / self.width).max(0.0) as usize).min(SEGMENTS - 1)
    }

    pub fn knot(&self, k: usize) -> f64 {
        self.low + self.width * k as f64
    }

    pub fn local(&self, x: f64) -> Local {
        self.local_in(self.segment(x), x)
    }

    /// The basis functions of segment `first` at `x`, which may be its end.
    fn local_in(&self, first: usize, x: f64) -> Local {
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

/// A quadrature node of a piece of the exposure axis: its weight, and the basis functions there.
#[derive(Clone, Copy)]
struct Node {
    x: f64,
    weight: f64,
    values: [f64; 4],
}

/// A piece of the exposure axis without a knot inside.
#[derive(Clone, Copy)]
pub(super) struct Piece {
    /// The first of the four coefficients that have a part in the piece.
    first: usize,
    nodes: [Node; NODES.len()],
}

/// The integrand where one piece ends and the next begins.
#[derive(Clone, Copy)]
pub(super) struct Joint {
    rise: Stand,
    slope: Stand,
    /// exp(s).
    over: f64,
}

impl Piece {
    pub fn new(knots: Knots, from: f64, to: f64) -> Self {
        let length = to - from;
        let first = knots.segment(0.5 * (from + to));
        let nodes = NODES.map(|(at, weight)| {
            let x = from + at * length;
            Node { x, weight: weight * length, values: knots.local_in(first, x).values }
        });
        Self { first, nodes }
    }

    /// exp(s) at node `k`.
    fn over(&self, k: usize, coefficients: &[f64]) -> f64 {
        exp(Local { first: self.first, values: self.nodes[k].values }.value(coefficients))
    }

    fn joint(&self, k: usize, shape: &Shape, coefficients: &[f64]) -> Joint {
        let [rise, slope] = shape.both(self.nodes[k].x);
        Joint { rise, slope, over: self.over(k, coefficients) }
    }

    /// The integrand where the piece begins.
    pub fn begin(&self, shape: &Shape, coefficients: &[f64]) -> Joint {
        self.joint(0, shape, coefficients)
    }

    /// The rise over the piece, ∫ r·exp(s), added to `sum`, with its derivatives by the coefficients
    /// and the parameters of the foundation added to `gradient`. `from` is the integrand where the
    /// piece begins; that where it ends is given back.
    ///
    /// What the foundation itself rises over the piece is exact, however sharp its toe; the quadrature
    /// is for exp(s), which is smooth.
    pub fn add(
        &self,
        shape: &Shape,
        coefficients: &[f64],
        from: &Joint,
        sum: &mut f64,
        gradient: Option<&mut [f64]>,
    ) -> Joint {
        let end = self.joint(3, shape, coefficients);
        let inner = [1, 2].map(|k| shape.slope(self.nodes[k].x));
        let slopes = [&from.slope, &inner[0], &inner[1], &end.slope];
        let over = [from.over, self.over(1, coefficients), self.over(2, coefficients), end.over];
        let mut weights: [f64; 4] = std::array::from_fn(|k| self.nodes[k].weight * slopes[k].value);
        let rise = end.rise.value - from.rise.value;
        let all: f64 = weights.iter().sum();
        let exact = if all > 0.0 { rise / all } else { 0.0 };
        weights.iter_mut().for_each(|weight| *weight *= exact);
        let pieces: [f64; 4] = std::array::from_fn(|k| weights[k] * over[k]);
        let whole: f64 = pieces.iter().sum();
        *sum += whole;
        let Some(out) = gradient else { return end };
        let own: &mut [f64; 4] = (&mut out[self.first..self.first + 4]).try_into().unwrap();
        for (piece, node) in pieces.iter().zip(&self.nodes) {
            for (g, b) in own.iter_mut().zip(node.values) {
                *g += piece * b;
            }
        }
        if rise > 0.0 && !matches!(shape, Shape::Plain) {
            let mean = whole / rise;
            let shares: [f64; 4] =
                std::array::from_fn(|k| (over[k] - mean) * exact * self.nodes[k].weight);
            for (i, g) in out[COEFFICIENTS..].iter_mut().enumerate() {
                *g += mean * (end.rise.gradient[i] - from.rise.gradient[i]);
                // The shares of the nodes change as well.
                for (share, slope) in shares.iter().zip(slopes) {
                    *g += share * slope.gradient[i];
                }
            }
        }
        end
    }

    /// One past the last coefficient that has a part in the piece.
    pub fn reach(&self) -> usize {
        self.first + 4
    }
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
