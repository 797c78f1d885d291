//! The toe model: a toe that runs into a straight line.

use super::{Curve, Observations};
use crate::elementary::exp;
use crate::numerics::least_squares::{Residuals, Solution};
use crate::numerics::special::{logistic, softplus_logistic};

/// Toe and straight line, four parameters:
///
/// ```text
/// D(x) = b + γ·w·ln(1 + exp((x − a)/w))
/// ```
///
/// b is base plus fog, γ the slope of the straight line, a the log exposure where the straight line
/// meets base plus fog (the log of the inertia), w the width of the toe, γ > 0 and w > 0.
#[derive(Clone, Debug)]
pub struct Toe {
    parameters: [f64; 4],
    covariance: Vec<f64>,
    range: (f64, f64),
}

/// What is taken for granted of a toe's width where the readings cannot see it: ln w is
/// ln 0.2 ± 1.5. A toe that falls between two steps would otherwise have no width at all.
pub(crate) const WIDTH_PRIOR: (f64, f64) = (-1.609, 1.5);

/// The shape of the rise: γ, a and w.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RiseShape {
    gamma: f64,
    a: f64,
    w: f64,
}

impl RiseShape {
    /// From the working parameters ln γ, a, ln w.
    pub fn new(ln_gamma: f64, a: f64, ln_w: f64) -> Self {
        Self { gamma: exp(ln_gamma), a, w: exp(ln_w) }
    }

    /// The rise at `x` and its derivatives by ln γ, a, ln w. No exposure gives no rise.
    pub fn rise(&self, x: f64) -> (f64, [f64; 3]) {
        self.both(x).0
    }

    /// The slope at `x`, and its derivatives.
    pub fn slope(&self, x: f64) -> (f64, [f64; 3]) {
        self.slope_of((x - self.a) / self.w, logistic((x - self.a) / self.w))
    }

    /// [`rise`](Self::rise) and [`slope`](Self::slope) for the time of one.
    pub fn both(&self, x: f64) -> ((f64, [f64; 3]), (f64, [f64; 3])) {
        if x == f64::NEG_INFINITY {
            return Default::default();
        }
        let z = (x - self.a) / self.w;
        let (value, share) = softplus_logistic(z);
        let (value, slope) = (self.gamma * self.w * value, self.gamma * share);
        ((value, [value, -slope, value - slope * (x - self.a)]), self.slope_of(z, share))
    }

    /// The slope at `z` widths of the toe from its middle.
    fn slope_of(&self, z: f64, share: f64) -> (f64, [f64; 3]) {
        if z == f64::NEG_INFINITY {
            return Default::default();
        }
        let slope = self.gamma * share;
        let bend = slope * (1.0 - share);
        (slope, [slope, -bend / self.w, -bend * z])
    }
}

impl Toe {
    pub(super) fn new(solution: &Solution, covariance: Vec<f64>, range: (f64, f64)) -> Self {
        let p = &solution.parameters;
        Self { parameters: [p[0], p[1], p[2], p[3]], covariance, range }
    }

    fn shape(&self) -> RiseShape {
        let [_, ln_gamma, a, ln_w] = self.parameters;
        RiseShape::new(ln_gamma, a, ln_w)
    }
}

impl Curve for Toe {
    fn name(&self) -> &'static str {
        "toe"
    }
    fn parameters(&self) -> &[f64] {
        &self.parameters
    }
    fn named_parameters(&self) -> Vec<(String, f64)> {
        let [b, ln_gamma, a, ln_w] = self.parameters;
        [
            ("base_plus_fog", b),
            ("gamma", exp(ln_gamma)),
            ("log_inertia", a),
            ("toe_width", exp(ln_w)),
        ]
        .map(|(name, value)| (name.to_owned(), value))
        .to_vec()
    }
    fn covariance(&self) -> &[f64] {
        &self.covariance
    }
    fn range(&self) -> (f64, f64) {
        self.range
    }
    fn density(&self, x: f64) -> f64 {
        self.parameters[0] + self.shape().rise(x).0
    }
    fn slope(&self, x: f64) -> f64 {
        self.shape().slope(x).0
    }
    fn density_gradient(&self, x: f64, out: &mut [f64]) {
        out[0] = 1.0;
        out[1..].copy_from_slice(&self.shape().rise(x).1);
    }
    fn slope_gradient(&self, x: f64, out: &mut [f64]) {
        out[0] = 0.0;
        out[1..].copy_from_slice(&self.shape().slope(x).1);
    }
}

/// The fit of [`Toe`] as a sum of squares over b, ln γ, a, ln w.
pub(super) struct ToeProblem<'a>(pub &'a Observations);

impl Residuals for ToeProblem<'_> {
    fn len(&self) -> usize {
        self.0.len() + 1
    }

    fn evaluate(&mut self, p: &[f64], residuals: &mut [f64], jacobian: &mut [f64]) -> bool {
        let m = self.len();
        let shape = RiseShape::new(p[1], p[2], p[3]);
        for i in 0..m - 1 {
            let scale = self.0.weight[i] / self.0.sigma[i];
            let (rise, gradient) = shape.rise(self.0.x[i]);
            residuals[i] = scale * (p[0] + rise - self.0.density[i]);
            jacobian[i] = scale;
            for (j, g) in gradient.iter().enumerate() {
                jacobian[(j + 1) * m + i] = scale * g;
            }
        }
        residuals[m - 1] = (p[3] - WIDTH_PRIOR.0) / WIDTH_PRIOR.1;
        for j in 0..4 {
            jacobian[j * m + m - 1] = if j == 3 { 1.0 / WIDTH_PRIOR.1 } else { 0.0 };
        }
        p[1] < 4.0 && p[3].abs() < 8.0
    }
}
