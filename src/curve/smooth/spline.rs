//! One penalised spline of the logarithm of a slope, integrated.

use super::basis::{COEFFICIENTS, Knots, Piece, SEGMENTS};
use super::foundation::{Foundation, MOST, Shape, Stand};
use super::penalty::Trial;

/// A rise from the foot of the curve, and its derivatives.
#[derive(Clone, Debug)]
pub(super) struct Spline {
    /// Base plus fog, the coefficients, the foundation's parameters.
    pub parameters: Vec<f64>,
    /// Their covariance, column-major.
    pub covariance: Vec<f64>,
    pub knots: Knots,
    pub foundation: Foundation,
    pub log_lambda: f64,
    shape: Shape,
    /// The rise from the foot to each knot, and its derivatives.
    risen: [f64; SEGMENTS + 1],
    risen_gradient: [[f64; COEFFICIENTS + MOST]; SEGMENTS + 1],
}

impl Spline {
    pub fn new(trial: Trial, knots: Knots, foundation: Foundation) -> Self {
        let mut curve = Self {
            shape: foundation.shape(&trial.parameters[1 + COEFFICIENTS..]),
            parameters: trial.parameters,
            covariance: trial.covariance,
            knots,
            foundation,
            log_lambda: trial.log_lambda,
            risen: [0.0; SEGMENTS + 1],
            risen_gradient: [[0.0; COEFFICIENTS + MOST]; SEGMENTS + 1],
        };
        for k in 0..SEGMENTS {
            let mut gradient = curve.risen_gradient[k];
            // Six nodes a segment, so that tabulated values agree with those of the fit to 1e-9.
            let (from, to) = (knots.knot(k), knots.knot(k + 1));
            let piece = curve.integral(from, to, Some(&mut gradient));
            curve.risen[k + 1] = curve.risen[k] + piece;
            curve.risen_gradient[k + 1] = gradient;
        }
        curve
    }

    /// The same for a curve that has the covariance of all its parts: thousands of strips are kept at once.
    pub fn without_covariance(mut self) -> Self {
        self.covariance = Vec::new();
        self
    }

    /// Number of parameters without base plus fog.
    pub fn own(&self) -> usize {
        self.parameters.len() - 1
    }

    /// The rise over a piece of one segment; its derivatives are added to `gradient`.
    fn integral(&self, from: f64, to: f64, mut gradient: Option<&mut [f64]>) -> f64 {
        let c = &self.parameters[1..=COEFFICIENTS];
        // The steeper the log slope, the finer the rule: it must not err enough to make D fall.
        let first = self.knots.segment(0.5 * (from + to));
        let about = &c[first..first + 4];
        let spread = about.iter().fold(f64::NEG_INFINITY, |m, v| m.max(*v))
            - about.iter().fold(f64::INFINITY, |m, v| m.min(*v));
        let pieces = 2 + (spread.min(60.0) * 0.7) as u32;
        let at = |i: u32| from + (to - from) * f64::from(i) / f64::from(pieces);
        let mut sum = 0.0;
        let mut here: Stand = self.shape.rise(from);
        for i in 0..pieces {
            let piece = Piece::new(self.knots, at(i), at(i + 1));
            here = piece.add(&self.shape, c, &here, &mut sum, gradient.as_deref_mut());
        }
        sum
    }

    /// How far `x` is above the last knot, from where the curve goes on as a straight line.
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
        self.shape.slope(x).value * self.knots.local(x).value(&self.parameters[1..]).exp()
    }

    /// The derivatives of the rise by all parameters but base plus fog.
    pub fn rise_gradient(&self, x: f64) -> [f64; COEFFICIENTS + MOST] {
        let beyond = self.beyond(x);
        let x = self.clamped(x);
        let k = self.knots.segment(x);
        let mut out = self.risen_gradient[k];
        self.integral(self.knots.knot(k), x, Some(&mut out));
        if beyond > 0.0 {
            let slope = self.slope_gradient(x);
            out.iter_mut().zip(&slope).for_each(|(o, s)| *o += beyond * s);
        }
        out
    }

    /// The derivatives of the slope by all parameters but base plus fog.
    pub fn slope_gradient(&self, x: f64) -> [f64; COEFFICIENTS + MOST] {
        let x = self.clamped(x);
        let here = self.shape.slope(x);
        let mut out = [0.0; COEFFICIENTS + MOST];
        let local = self.knots.local(x);
        let over = local.value(&self.parameters[1..]).exp();
        let slope = over * here.value;
        for (o, b) in out[local.first..local.first + 4].iter_mut().zip(local.values) {
            *o = slope * b;
        }
        let own = out[COEFFICIENTS..].iter_mut().zip(here.gradient);
        own.for_each(|(o, g)| *o = over * g);
        out
    }
}
