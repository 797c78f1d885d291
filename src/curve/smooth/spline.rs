//! One penalised spline of the logarithm of a slope, integrated.

use super::basis::{COEFFICIENTS, Foundation, Knots, SEGMENTS, nodes};
use super::penalty::Trial;

/// A rise from the foot of the curve, and its derivatives by the spline's coefficients.
#[derive(Clone, Debug)]
pub(super) struct Spline {
    /// Base plus fog, then the coefficients.
    pub parameters: Vec<f64>,
    /// Their covariance, column-major.
    pub covariance: Vec<f64>,
    pub knots: Knots,
    pub foundation: Foundation,
    pub log_lambda: f64,
    /// The rise from the foot to each knot, and its derivatives by the coefficients.
    risen: [f64; SEGMENTS + 1],
    risen_gradient: Vec<f64>,
}

impl Spline {
    pub fn new(trial: Trial, knots: Knots, foundation: Foundation) -> Self {
        let mut curve = Self {
            parameters: trial.parameters,
            covariance: trial.covariance,
            knots,
            foundation,
            log_lambda: trial.log_lambda,
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

    /// How far `x` lies beyond the last knot, from where the curve goes on as a straight line.
    fn beyond(&self, x: f64) -> f64 {
        x - self.knots.knot(SEGMENTS)
    }

    fn clamped(&self, x: f64) -> f64 {
        x.clamp(self.knots.low, self.knots.knot(SEGMENTS))
    }

    /// The density above base plus fog.
    pub fn rise(&self, x: f64) -> f64 {
        let beyond = self.beyond(x);
        let x = self.clamped(x);
        let k = self.knots.segment(x);
        let within = self.risen[k] + self.integral(self.knots.knot(k), x, None);
        if beyond > 0.0 { within + beyond * self.slope(x) } else { within }
    }

    pub fn slope(&self, x: f64) -> f64 {
        let x = self.clamped(x);
        self.foundation.slope(x) * self.knots.local(x).value(&self.parameters[1..]).exp()
    }

    /// ∂(rise)/∂c, times `scale`, into `out`.
    pub fn rise_gradient(&self, x: f64, scale: f64, out: &mut [f64]) {
        let beyond = self.beyond(x);
        let x = self.clamped(x);
        let k = self.knots.segment(x);
        out.copy_from_slice(&self.risen_gradient[k * COEFFICIENTS..(k + 1) * COEFFICIENTS]);
        self.integral(self.knots.knot(k), x, Some(&mut *out));
        if beyond > 0.0 {
            let local = self.knots.local(x);
            let step = beyond * self.slope(x);
            for (o, b) in out[local.first..local.first + 4].iter_mut().zip(local.values) {
                *o += step * b;
            }
        }
        out.iter_mut().for_each(|o| *o *= scale);
    }

    /// ∂(slope)/∂c, times `scale`, into `out`.
    pub fn slope_gradient(&self, x: f64, scale: f64, out: &mut [f64]) {
        let local = self.knots.local(self.clamped(x));
        let slope = scale * self.slope(x);
        out.fill(0.0);
        for (o, b) in out[local.first..local.first + 4].iter_mut().zip(local.values) {
            *o = slope * b;
        }
    }
}
