//! Cubic B-splines on even knots, and the running integrals of the exponential of one.

use super::foundation::{Shape, Stand};

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

/// A quadrature node of a piece of the exposure axis.
#[derive(Clone, Copy)]
pub(super) struct Node {
    x: f64,
    weight: f64,
    local: Local,
}

/// A piece of the exposure axis without a knot inside.
#[derive(Clone, Copy)]
pub(super) struct Piece {
    pub to: f64,
    nodes: [Node; 3],
}

impl Piece {
    pub fn new(knots: Knots, from: f64, to: f64) -> Self {
        let length = to - from;
        let nodes = NODES.map(|(at, weight)| {
            let x = from + at * length;
            Node { x, weight: weight * length, local: knots.local(x) }
        });
        Self { to, nodes }
    }

    /// The rise over the piece, ∫ r·exp(s), added to `sum`, with its derivatives by the coefficients
    /// and the parameters of the foundation added to `gradient`. `from` is the foundation where the
    /// piece begins; that where it ends is given back.
    ///
    /// What the foundation itself rises over the piece is exact, however sharp its toe; the quadrature
    /// is for exp(s), which is smooth.
    pub fn add(
        &self,
        shape: &Shape,
        coefficients: &[f64],
        from: &Stand,
        sum: &mut f64,
        gradient: Option<&mut [f64]>,
    ) -> Stand {
        let end = shape.rise(self.to);
        let rise = end.value - from.value;
        let at = self.nodes.map(|node| shape.slope(node.x));
        let mut weights: [f64; 3] = std::array::from_fn(|k| self.nodes[k].weight * at[k].value);
        let all: f64 = weights.iter().sum();
        let exact = if all > 0.0 { rise / all } else { 0.0 };
        weights.iter_mut().for_each(|weight| *weight *= exact);
        let over = self.nodes.map(|node| node.local.value(coefficients).exp());
        let pieces: [f64; 3] = std::array::from_fn(|k| weights[k] * over[k]);
        let whole: f64 = pieces.iter().sum();
        *sum += whole;
        let Some(out) = gradient else { return end };
        for (piece, node) in pieces.iter().zip(&self.nodes) {
            let first = node.local.first;
            for (g, b) in out[first..first + 4].iter_mut().zip(node.local.values) {
                *g += piece * b;
            }
        }
        if rise > 0.0 && !matches!(shape, Shape::Plain) {
            let mean = whole / rise;
            for (i, g) in out[COEFFICIENTS..].iter_mut().enumerate() {
                *g += mean * (end.gradient[i] - from.gradient[i]);
                // The shares of the nodes change as well.
                for k in 0..3 {
                    *g += (over[k] - mean) * exact * self.nodes[k].weight * at[k].gradient[i];
                }
            }
        }
        end
    }

    /// One past the last coefficient that has a part in the piece.
    pub fn reach(&self) -> usize {
        self.nodes[0].local.first + 4
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
