//! The smooth model: a rising curve whose log slope is a penalised spline, or two such weighed.

mod basis;
mod foundation;
mod penalty;
mod problem;
mod spline;

pub(super) use penalty::fit;

use super::Curve;
use crate::numerics::least_squares::Stop;
use basis::COEFFICIENTS;
use foundation::Foundation;
use spline::{Rise, Spline};

/// A smooth rising curve:
///
/// ```text
/// D(x) = b + ∫ exp(s(u)) du            from the foot of the curve to x        (plain)
/// D(x) = b + ∫ r(u)·exp(s(u)) du       r: the slope of a toe or shoulder fitted to the readings (founded)
/// ```
///
/// b is base plus fog; s is a cubic B-spline of 16 even segments whose third differences are penalised.
/// What the penalty leaves free, s quadratic in x, is in the plain form already a toe, a straight line
/// and a shoulder; the founded form is the better one for a film with a sharp toe or a long straight
/// line. The penalty's weight is the one that makes the readings most likely, given their standard
/// uncertainty. Of the two forms that which makes the readings more likely is used; where both are
/// likely, their mean, weighted by how likely they are:
///
/// ```text
/// D = w·D₁ + (1 − w)·D₂        var D = w·var D₁ + (1 − w)·var D₂ + w·(1 − w)·(D₁ − D₂)²
/// ```
///
/// The last term is the uncertainty of the choice: one parameter, a change of w with the variance
/// w·(1 − w), stands for it.
///
/// # Source
/// Penalised B-splines: P. H. C. Eilers and B. D. Marx 1996. Monotone by integrating an exponential:
/// J. O. Ramsay 1998. Weight of the penalty by marginal likelihood: S. N. Wood 2011. Mean of models
/// weighted by how likely they are: A. E. Raftery 1995.
#[derive(Clone, Debug)]
pub struct Smooth {
    /// One part, or two with their weights.
    parts: Vec<(f64, Spline)>,
    /// Base plus fog, the coefficients of each part, and with two parts the change of the first weight.
    parameters: Vec<f64>,
    covariance: Vec<f64>,
    range: (f64, f64),
    stop: Stop,
}

impl Smooth {
    /// The curve of one part.
    fn of_one(spline: Spline, range: (f64, f64), stop: Stop) -> Self {
        let parameters = spline.parameters.clone();
        let covariance = spline.covariance.clone();
        let spline = spline.without_covariance();
        Self { parts: vec![(1.0, spline)], parameters, covariance, range, stop }
    }

    /// The mean of two parts; `weight` is that of the first, between 0 and 1.
    fn of_two(weight: f64, parts: [Spline; 2], range: (f64, f64), stop: Stop) -> Self {
        let weights = [weight, 1.0 - weight];
        let n = 2 + parts[0].own() + parts[1].own();
        let last = n - 1;
        let mut parameters = Vec::with_capacity(n);
        parameters.push(weights.iter().zip(&parts).map(|(w, part)| w * part.parameters[0]).sum());
        let mut covariance = vec![0.0; n * n];
        let mut first = 1;
        for (w, spline) in weights.iter().zip(&parts) {
            parameters.extend(&spline.parameters[1..]);
            let many = spline.own();
            let own = |j: usize, k: usize| spline.covariance[j * (many + 1) + k];
            covariance[0] += w * own(0, 0);
            for k in 0..many {
                covariance[first + k] = own(0, k + 1);
                covariance[(first + k) * n] = own(0, k + 1);
                for j in 0..many {
                    covariance[(first + j) * n + first + k] = own(j + 1, k + 1) / w;
                }
            }
            first += many;
        }
        parameters.push(0.0);
        let apart = parts[0].parameters[0] - parts[1].parameters[0];
        let doubt = weights[0] * weights[1];
        covariance[0] += doubt * apart * apart;
        covariance[last] = doubt * apart;
        covariance[last * n] = doubt * apart;
        covariance[last * n + last] = doubt;
        // What the parts' own covariances say is in that of all.
        let [one, two] = parts.map(Spline::without_covariance);
        let parts = vec![(weights[0], one), (weights[1], two)];
        Self { parts, parameters, covariance, range, stop }
    }

    /// Why the solver stopped in the last fit of the coefficients.
    #[must_use]
    pub const fn stop(&self) -> Stop {
        self.stop
    }

    /// Σ weight·f(part).
    fn mean(&self, f: impl Fn(&Spline) -> f64) -> f64 {
        self.parts.iter().map(|(w, spline)| w * f(spline)).sum()
    }

    /// Σ weight·f(part), and its gradient: `zeroth` by base plus fog, the weighted derivatives of each part,
    /// and for the change of weight the difference between the parts.
    fn gradient(&self, zeroth: f64, f: impl Fn(&Spline) -> Rise, out: &mut [f64]) -> f64 {
        out[0] = zeroth;
        let mut first = 1;
        let mut mean = 0.0;
        let mut apart = 0.0;
        for (w, spline) in &self.parts {
            let (value, gradient) = f(spline);
            mean += w * value;
            apart = value - apart;
            let own = &mut out[first..first + spline.own()];
            own.iter_mut().zip(gradient).for_each(|(o, g)| *o = w * g);
            first += spline.own();
        }
        if self.parts.len() == 2 {
            out[first] = -apart;
        }
        mean
    }
}

impl Curve for Smooth {
    fn name(&self) -> &'static str {
        "smooth"
    }
    fn parameters(&self) -> &[f64] {
        &self.parameters
    }
    fn named_parameters(&self) -> Vec<(String, f64)> {
        let knots = self.parts[0].1.knots;
        let mut list = vec![
            ("base_plus_fog".to_owned(), self.parameters[0]),
            ("log_exposure_of_first_knot".to_owned(), knots.low),
            ("knot_spacing".to_owned(), knots.width),
        ];
        for (weight, spline) in &self.parts {
            let name = spline.foundation.name();
            let (prefix, over) = match spline.foundation {
                Foundation::Plain => (String::new(), String::new()),
                _ => (format!("{name}_"), format!("_over_{name}")),
            };
            if self.parts.len() > 1 {
                list.push((format!("weight_of_ln_slope{over}"), *weight));
            }
            let (coefficients, own) = spline.parameters[1..].split_at(COEFFICIENTS);
            let names = [
                "ln_gamma",
                "log_inertia",
                "ln_toe_width",
                "ln_shoulder_density",
                "ln_shoulder_softness",
            ];
            list.extend(names.iter().zip(own).map(|(own, v)| (format!("{prefix}{own}"), *v)));
            list.push((format!("{prefix}ln_penalty_weight"), spline.log_lambda));
            let numbered = coefficients.iter().zip(1..);
            list.extend(numbered.map(|(c, k)| (format!("ln_slope{over}_{k:02}"), *c)));
        }
        list
    }
    fn covariance(&self) -> &[f64] {
        &self.covariance
    }
    fn range(&self) -> (f64, f64) {
        self.range
    }
    fn density(&self, x: f64) -> f64 {
        self.parameters[0] + self.mean(|spline| spline.rise(x))
    }
    fn slope(&self, x: f64) -> f64 {
        self.mean(|spline| spline.slope(x))
    }
    fn density_gradient(&self, x: f64, out: &mut [f64]) {
        self.density_and_gradient(x, out);
    }
    fn density_and_gradient(&self, x: f64, out: &mut [f64]) -> f64 {
        self.parameters[0] + self.gradient(1.0, |spline| spline.rise_and_gradient(x), out)
    }
    fn slope_gradient(&self, x: f64, out: &mut [f64]) {
        self.gradient(0.0, |spline| (spline.slope(x), spline.slope_gradient(x)), out);
    }
}
