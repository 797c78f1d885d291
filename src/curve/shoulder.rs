//! The shoulder model: a toe, a straight line, and a soft cap.

use super::toe::{RiseShape, WIDTH_PRIOR};
use super::{Curve, Observations};
use crate::elementary::exp;
use crate::numerics::least_squares::{Residuals, Solution};
use crate::numerics::special::{logistic, softplus_logistic};

/// Toe, straight line and shoulder, six parameters:
///
/// ```text
/// L(x) = γ·w·ln(1 + exp((x − a)/w))
/// D(x) = b + s·A·[ln(1 + exp(1/s)) − ln(1 + exp((A − L)/(s·A)))]
/// ```
///
/// b is base plus fog, D(−∞), exactly; γ, a and w are those of [`Toe`](super::Toe); A is the density
/// above base plus fog about which the shoulder bends and s its softness. The greatest density is
/// b + s·A·ln(1 + exp(1/s)).
#[derive(Clone, Debug)]
pub struct Shoulder {
    parameters: [f64; 6],
    covariance: Vec<f64>,
    range: (f64, f64),
}

/// What is taken for granted of a shoulder's softness where the readings cannot see it: ln s is
/// ln 0.15 ± 1.5.
pub(crate) const SOFTNESS_PRIOR: (f64, f64) = (-1.897, 1.5);

/// The shape of the curve above base plus fog.
#[derive(Clone, Copy, Debug)]
pub(crate) struct CapShape {
    rise: RiseShape,
    a: f64,
    s: f64,
    /// softplus(1/s) and logistic(1/s).
    whole: (f64, f64),
}

impl CapShape {
    /// From working parameters b (unused), ln γ, a, ln w, ln A, ln s.
    pub fn new(p: &[f64]) -> Self {
        let (a, s) = (exp(p[4]), exp(p[5]));
        Self { rise: RiseShape::new(p[1], p[2], p[3]), a, s, whole: softplus_logistic(1.0 / s) }
    }

    /// The density above base plus fog at `x`, and its derivatives by ln γ, a, ln w, ln A, ln s.
    pub fn rise(&self, x: f64) -> (f64, [f64; 5]) {
        let (rise, _) = self.rise.both(x);
        let v = (1.0 - rise.0 / self.a) / self.s;
        let (rest, bend) = softplus_logistic(v);
        self.rise_of(rise, v, rest, bend)
    }

    /// The slope at `x`, and its derivatives.
    pub fn slope(&self, x: f64) -> (f64, [f64; 5]) {
        let (rise, slope) = self.rise.both(x);
        let v = (1.0 - rise.0 / self.a) / self.s;
        self.slope_of(rise, slope, v, logistic(v))
    }

    /// [`rise`](Self::rise) and [`slope`](Self::slope) for the time of one.
    pub fn both(&self, x: f64) -> [(f64, [f64; 5]); 2] {
        let (rise, slope) = self.rise.both(x);
        let v = (1.0 - rise.0 / self.a) / self.s;
        let (rest, bend) = softplus_logistic(v);
        [self.rise_of(rise, v, rest, bend), self.slope_of(rise, slope, v, bend)]
    }

    /// The rise, given that of the straight line, softplus and logistic of `v`.
    fn rise_of(
        &self,
        (l, [g0, g1, g2]): (f64, [f64; 3]),
        v: f64,
        rest: f64,
        bend: f64,
    ) -> (f64, [f64; 5]) {
        let (a, s) = (self.a, self.s);
        let value = s * a * (self.whole.0 - rest);
        let by_s = value - a * self.whole.1 + s * a * bend * v;
        (value, [bend * g0, bend * g1, bend * g2, value - bend * l, by_s])
    }

    /// The slope, given rise and slope of the straight line and the logistic of `v`.
    fn slope_of(
        &self,
        (l, [g0, g1, g2]): (f64, [f64; 3]),
        (slope, [s0, s1, s2]): (f64, [f64; 3]),
        v: f64,
        bend: f64,
    ) -> (f64, [f64; 5]) {
        let (a, s) = (self.a, self.s);
        let turn = bend * (1.0 - bend) * slope;
        let by = |g: f64, own: f64| bend * own - turn * g / (a * s);
        let gradient = [by(g0, s0), by(g1, s1), by(g2, s2), turn * l / (a * s), -turn * v];
        (bend * slope, gradient)
    }

    /// Density above base plus fog that the curve tends to.
    fn height(&self) -> f64 {
        self.s * self.a * self.whole.0
    }
}

impl Shoulder {
    pub(super) fn new(solution: &Solution, covariance: Vec<f64>, range: (f64, f64)) -> Self {
        let mut parameters = [0.0; 6];
        parameters.copy_from_slice(&solution.parameters);
        Self { parameters, covariance, range }
    }
}

impl Shoulder {
    /// Density that the model tends to at great exposure.
    pub(super) fn asymptote(&self) -> f64 {
        self.parameters[0] + CapShape::new(&self.parameters).height()
    }
}

impl Curve for Shoulder {
    fn name(&self) -> &'static str {
        "shoulder"
    }
    fn parameters(&self) -> &[f64] {
        &self.parameters
    }
    fn named_parameters(&self) -> Vec<(String, f64)> {
        let [b, ln_gamma, a, ln_w, ln_cap, ln_s] = self.parameters;
        [
            ("base_plus_fog", b),
            ("gamma", exp(ln_gamma)),
            ("log_inertia", a),
            ("toe_width", exp(ln_w)),
            ("shoulder_density", exp(ln_cap)),
            ("shoulder_softness", exp(ln_s)),
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
        self.parameters[0] + CapShape::new(&self.parameters).rise(x).0
    }
    fn slope(&self, x: f64) -> f64 {
        CapShape::new(&self.parameters).slope(x).0
    }
    fn density_gradient(&self, x: f64, out: &mut [f64]) {
        out[0] = 1.0;
        out[1..].copy_from_slice(&CapShape::new(&self.parameters).rise(x).1);
    }
    fn slope_gradient(&self, x: f64, out: &mut [f64]) {
        out[0] = 0.0;
        out[1..].copy_from_slice(&CapShape::new(&self.parameters).slope(x).1);
    }
}

/// The fit of [`Shoulder`] as a sum of squares over b, ln γ, a, ln w, ln A, ln s.
pub(super) struct ShoulderProblem<'a>(pub &'a Observations);

impl Residuals for ShoulderProblem<'_> {
    fn len(&self) -> usize {
        self.0.len() + 2
    }

    fn evaluate(&mut self, p: &[f64], residuals: &mut [f64], jacobian: &mut [f64]) -> bool {
        let m = self.len();
        let shape = CapShape::new(p);
        for i in 0..m - 2 {
            let scale = self.0.weight[i] / self.0.sigma[i];
            let (rise, gradient) = shape.rise(self.0.x[i]);
            residuals[i] = scale * (p[0] + rise - self.0.density[i]);
            jacobian[i] = scale;
            for (j, g) in gradient.iter().enumerate() {
                jacobian[(j + 1) * m + i] = scale * g;
            }
        }
        for (row, at, (centre, sd)) in [(m - 2, 3, WIDTH_PRIOR), (m - 1, 5, SOFTNESS_PRIOR)] {
            residuals[row] = (p[at] - centre) / sd;
            for j in 0..6 {
                jacobian[j * m + row] = if j == at { 1.0 / sd } else { 0.0 };
            }
        }
        p[1] < 4.0 && p[3].abs() < 8.0 && p[4].abs() < 8.0 && (-5.0..3.0).contains(&p[5])
    }
}
