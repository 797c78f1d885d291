//! The smooth model: a rising curve whose log slope is a penalised spline.

mod basis;
mod penalty;
mod problem;

pub(super) use penalty::fit;

use super::Curve;
use crate::numerics::least_squares::Stop;
use basis::{COEFFICIENTS, Foundation, Knots, SEGMENTS, nodes};
use problem::PARAMETERS;

/// A smooth rising curve:
///
/// ```text
/// D(x) = b + ∫ exp(s(u)) du   from the foot of the curve to x
/// ```
///
/// b is base plus fog; s, the natural logarithm of the slope, is a cubic B-spline of 16 even
/// segments whose third differences are penalised. What the penalty leaves free, s quadratic in x,
/// is already a toe, a straight line and a shoulder. Its weight is the one that makes the readings
/// most likely, given their standard uncertainty.
///
/// # Source
/// Penalised B-splines: P. H. C. Eilers and B. D. Marx 1996. Monotone by integrating an exponential:
/// J. O. Ramsay 1998. Weight of the penalty by marginal likelihood: S. N. Wood 2011.
#[derive(Clone, Debug)]
pub struct Smooth {
    parameters: Vec<f64>,
    covariance: Vec<f64>,
    knots: Knots,
    foundation: Foundation,
    range: (f64, f64),
    log_lambda: f64,
    stop: Stop,
    /// ∫ exp(s) from the foot to each knot, and its derivatives by the coefficients.
    risen: [f64; SEGMENTS + 1],
    risen_gradient: Vec<f64>,
}

impl Smooth {
    fn new(
        (parameters, covariance): (Vec<f64>, Vec<f64>),
        knots: Knots,
        foundation: Foundation,
        range: (f64, f64),
        (log_lambda, stop): (f64, Stop),
    ) -> Self {
        let mut curve = Self {
            parameters,
            covariance,
            knots,
            foundation,
            range,
            log_lambda,
            stop,
            risen: [0.0; SEGMENTS + 1],
            risen_gradient: vec![0.0; (SEGMENTS + 1) * COEFFICIENTS],
        };
        for k in 0..SEGMENTS {
            let mut gradient = [0.0; COEFFICIENTS];
            gradient
                .copy_from_slice(&curve.risen_gradient[k * COEFFICIENTS..(k + 1) * COEFFICIENTS]);
            // Six nodes a segment, so that tabulated values agree with those of the fit to 1e-9.
            let (from, to) = (knots.knot(k), knots.knot(k + 1));
            let piece = curve.integral(from, to, Some(&mut gradient));
            curve.risen[k + 1] = curve.risen[k] + piece;
            curve.risen_gradient[(k + 1) * COEFFICIENTS..(k + 2) * COEFFICIENTS]
                .copy_from_slice(&gradient);
        }
        curve
    }

    /// ∫ exp(s) over a piece of one segment; its derivatives are added to `gradient`.
    fn integral(&self, from: f64, to: f64, mut gradient: Option<&mut [f64]>) -> f64 {
        let c = &self.parameters[1..];
        // The steeper the log slope, the finer the rule: it must not err enough to make D fall.
        let first = self.knots.segment(0.5 * (from + to));
        let about = &c[first..first + 4];
        let spread = about.iter().fold(f64::NEG_INFINITY, |m, v| m.max(*v))
            - about.iter().fold(f64::INFINITY, |m, v| m.min(*v));
        let pieces = 2 + (spread.min(60.0) * 0.7) as u32;
        let at = |i: u32| from + (to - from) * f64::from(i) / f64::from(pieces);
        let mut sum = 0.0;
        let nodes = |i: u32| nodes(self.knots, &self.foundation, at(i), at(i + 1));
        for (weight, local) in (0..pieces).flat_map(nodes) {
            let piece = weight * local.value(c).exp();
            sum += piece;
            if let Some(out) = gradient.as_deref_mut() {
                for (g, b) in out[local.first..local.first + 4].iter_mut().zip(local.values) {
                    *g += piece * b;
                }
            }
        }
        sum
    }

    /// ln λ, the weight of the penalty on Σ (Δ³c)².
    #[must_use]
    pub const fn log_lambda(&self) -> f64 {
        self.log_lambda
    }

    /// Why the solver stopped in the last fit of the coefficients.
    #[must_use]
    pub const fn stop(&self) -> Stop {
        self.stop
    }


    /// How far `x` lies beyond the last knot, from where the curve goes on as a straight line.
    fn beyond(&self, x: f64) -> f64 {
        x - self.knots.knot(SEGMENTS)
    }

    fn clamped(&self, x: f64) -> f64 {
        x.clamp(self.knots.low, self.knots.knot(SEGMENTS))
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
        let mut list = vec![
            ("base_plus_fog".to_owned(), self.parameters[0]),
            ("log_exposure_of_first_knot".to_owned(), self.knots.low),
            ("knot_spacing".to_owned(), self.knots.width),
            ("ln_penalty_weight".to_owned(), self.log_lambda),
        ];
        list.extend((1..PARAMETERS).map(|k| (format!("ln_slope_{k:02}"), self.parameters[k])));
        list
    }
    fn covariance(&self) -> &[f64] {
        &self.covariance
    }
    fn range(&self) -> (f64, f64) {
        self.range
    }
    fn density(&self, x: f64) -> f64 {
        let beyond = self.beyond(x);
        let x = self.clamped(x);
        let k = self.knots.segment(x);
        let within =
            self.parameters[0] + self.risen[k] + self.integral(self.knots.knot(k), x, None);
        if beyond > 0.0 { within + beyond * self.slope(x) } else { within }
    }
    fn slope(&self, x: f64) -> f64 {
        let x = self.clamped(x);
        self.foundation.slope(x) * self.knots.local(x).value(&self.parameters[1..]).exp()
    }
    fn density_gradient(&self, x: f64, out: &mut [f64]) {
        let beyond = self.beyond(x);
        let x = self.clamped(x);
        let k = self.knots.segment(x);
        out[0] = 1.0;
        out[1..].copy_from_slice(&self.risen_gradient[k * COEFFICIENTS..(k + 1) * COEFFICIENTS]);
        self.integral(self.knots.knot(k), x, Some(&mut out[1..]));
        if beyond > 0.0 {
            let local = self.knots.local(x);
            let step = beyond * self.slope(x);
            for (o, b) in out[1 + local.first..5 + local.first].iter_mut().zip(local.values) {
                *o += step * b;
            }
        }
    }
    fn slope_gradient(&self, x: f64, out: &mut [f64]) {
        let local = self.knots.local(self.clamped(x));
        let slope = self.slope(x);
        out.fill(0.0);
        for (o, b) in out[1 + local.first..5 + local.first].iter_mut().zip(local.values) {
            *o = slope * b;
        }
    }
}
