//! The fit of the smooth model as a sum of squares: readings, roughness, and a weak prior.

use super::basis::{COEFFICIENTS, Foundation, Knots, Local, nodes};
use crate::curve::Observations;
use crate::numerics::least_squares::Residuals;

/// Parameters: base plus fog, then the spline's coefficients.
pub(super) const PARAMETERS: usize = COEFFICIENTS + 1;
/// Number of third differences.
pub(super) const ROUGHNESS: usize = COEFFICIENTS - 3;
/// Coefficients held by the weak prior, one for each degree of freedom that roughness leaves free.
const HELD: [usize; 3] = [0, COEFFICIENTS / 2, COEFFICIENTS - 1];
/// Standard deviation of the weak prior, in units of ln slope.
const WEAK: f64 = 20.0;

/// The third difference's coefficients.
pub(super) const THIRD: [f64; 4] = [-1.0, 3.0, -3.0, 1.0];

/// One step of the running integral.
#[derive(Clone, Copy)]
enum Stride {
    /// Add a quadrature node.
    Node(f64, Local),
    /// A reading stands here.
    Reading(usize),
}

/// Residuals of readings, of third differences times √λ, and of the weak prior.
pub(super) struct SmoothProblem<'a> {
    observations: &'a Observations,
    strides: Vec<Stride>,
    centre: Vec<f64>,
    pub root_lambda: f64,
    weak: f64,
}

impl<'a> SmoothProblem<'a> {
    /// `start` is where the weak prior has its centre.
    pub fn new(
        observations: &'a Observations,
        knots: Knots,
        foundation: &Foundation,
        start: Vec<f64>,
        root_lambda: f64,
    ) -> Self {
        let strides = strides(observations, knots, foundation);
        let weak = if foundation.0.is_some() { std::env::var("WEAKF").ok().and_then(|v| v.parse().ok()).unwrap_or(WEAK) } else { WEAK };
        let centre = if foundation.0.is_some() { vec![0.0; COEFFICIENTS] } else { start[1..].to_vec() };
        Self { observations, strides, centre, root_lambda, weak }
    }

    /// Σ (Δ³c)².
    pub fn roughness(p: &[f64]) -> f64 {
        (0..ROUGHNESS).map(|i| third_difference(p, i).powi(2)).sum()
    }
}

/// Third difference `i` of the coefficients in the parameters `p`.
pub(super) fn third_difference(p: &[f64], i: usize) -> f64 {
    THIRD.iter().zip(&p[i + 1..i + 5]).map(|(t, c)| t * c).sum()
}

/// The order in which one walk up the exposure axis meets quadrature nodes and readings.
fn strides(observations: &Observations, knots: Knots, foundation: &Foundation) -> Vec<Stride> {
    let mut list = Vec::with_capacity(4 * (observations.len() + COEFFICIENTS));
    let mut at = knots.low;
    let end = knots.knot(super::basis::SEGMENTS);
    for (i, &x) in observations.x.iter().enumerate() {
        // A reading set aside may stand beyond the curve's end.
        let x = x.min(end);
        while at < x {
            let mut next = knots.knot(knots.segment(at) + 1);
            if next <= at {
                next = knots.knot(knots.segment(at) + 2);
            }
            let to = next.min(x);
            let nodes = nodes(knots, foundation, at, to);
            list.extend(nodes.map(|(weight, local)| Stride::Node(weight, local)));
            at = to;
        }
        list.push(Stride::Reading(i));
    }
    list
}

impl Residuals for SmoothProblem<'_> {
    fn len(&self) -> usize {
        self.observations.len() + ROUGHNESS + HELD.len()
    }

    fn evaluate(&mut self, p: &[f64], residuals: &mut [f64], jacobian: &mut [f64]) -> bool {
        let m = self.len();
        let c = &p[1..];
        let mut sum = 0.0;
        let mut gradient = [0.0; COEFFICIENTS];
        let mut highest = 0;
        for stride in &self.strides {
            match *stride {
                Stride::Node(weight, local) => {
                    let piece = weight * local.value(c).exp();
                    sum += piece;
                    for (g, b) in
                        gradient[local.first..local.first + 4].iter_mut().zip(local.values)
                    {
                        *g += piece * b;
                    }
                    highest = local.first + 4;
                }
                Stride::Reading(i) => {
                    let scale = self.observations.weight[i] / self.observations.sigma[i];
                    residuals[i] = scale * (p[0] + sum - self.observations.density[i]);
                    jacobian[i] = scale;
                    for k in 0..highest {
                        jacobian[(k + 1) * m + i] = scale * gradient[k];
                    }
                    for k in highest..COEFFICIENTS {
                        jacobian[(k + 1) * m + i] = 0.0;
                    }
                }
            }
        }
        let readings = self.observations.len();
        for i in 0..ROUGHNESS {
            residuals[readings + i] = self.root_lambda * third_difference(p, i);
            for (k, t) in THIRD.iter().enumerate() {
                jacobian[(i + 1 + k) * m + readings + i] = self.root_lambda * t;
            }
        }
        for (row, &k) in (readings + ROUGHNESS..).zip(&HELD) {
            residuals[row] = (c[k] - self.centre[k]) / self.weak;
            jacobian[(k + 1) * m + row] = 1.0 / self.weak;
        }
        sum.is_finite()
    }
}
