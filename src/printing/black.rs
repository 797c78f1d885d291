//! Where a paper ends: its maximum density, and whether a strip reaches it.

use crate::curve::{Curve, FittedCurve};
use crate::measures::{Estimate, Why};

use crate::numerics::search;

/// Share of the greatest slope below which the end of the strip may stand for black.
const LEVEL: f64 = 0.1;
/// Share of the net maximum density that may be missing at the last step.
const MISSING: f64 = 0.03;
/// The end of the shoulder in which its rise is measured, twice over, as a share of the way from the
/// steepest point.
const END: f64 = 0.3;
/// What each of the two rises is of the one before, at most: flatter than that no end can be told.
const MOST: f64 = 0.3;
/// Standard uncertainty of what is missing, as a share of it: how a shoulder ends is the model's
/// word and no reading's.
const DOUBT: f64 = 0.5;

/// What a curve's shoulder still rises beyond its last step, if it goes on falling off as it does
/// over its end: there each stretch of log exposure rises by a share r of the one before, and
///
/// ```text
/// rest = Δ·(r + r² + …) = Δ·r/(1 − r)
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Shoulder {
    /// Density still to come.
    pub rest: f64,
    /// Length of the last stretch, in log exposure.
    stretch: f64,
    /// r/(1 − r).
    share: f64,
}

impl Shoulder {
    /// The shoulder's end.
    ///
    /// # Errors
    /// The reason why it is not in sight.
    pub fn of(curve: &dyn Curve) -> Result<Self, Why> {
        let (low, high) = curve.range();
        let (steepest, greatest) = search::greatest(|x| curve.slope(x), (low, high), 48);
        let stretch = END * (high - steepest);
        let density = |k: f64| curve.density(high - k * stretch);
        let (before, last) = (density(1.0) - density(2.0), density(0.0) - density(1.0));
        let slope = last / stretch;
        if !(slope <= LEVEL * greatest) {
            return Err(Why::NotBlack { slope: curve.slope(high) });
        }
        let r = if before > 0.0 { (last / before).min(MOST) } else { MOST };
        let share = r / (1.0 - r);
        let rest = last * share;
        let net = curve.density(high) - curve.base_plus_fog();
        if !(rest <= MISSING * net) {
            return Err(Why::NotQuiteBlack { rest });
        }
        Ok(Self { rest, stretch, share })
    }
}

/// A curve with one parameter more, c of mean 0: what its black differs from where the shoulder
/// seems to end.
#[derive(Debug)]
pub(super) struct WithBlack<'a> {
    curve: &'a dyn Curve,
    shoulder: Shoulder,
    parameters: Vec<f64>,
    covariance: Vec<f64>,
}

impl<'a> WithBlack<'a> {
    /// `curve` is that of `fit`, or stands for it.
    pub fn new(curve: &'a dyn Curve, fit: &FittedCurve, shoulder: Shoulder) -> Self {
        let n = curve.parameters().len();
        let mut covariance = vec![0.0; (n + 1) * (n + 1)];
        for (j, column) in curve.covariance().chunks_exact(n).enumerate() {
            covariance[j * (n + 1)..j * (n + 1) + n].copy_from_slice(column);
        }
        covariance[n * (n + 1) + n] = (DOUBT * shoulder.rest).powi(2) / fit.variance;
        let mut parameters = curve.parameters().to_vec();
        parameters.push(0.0);
        Self { curve, shoulder, parameters, covariance }
    }

    /// The maximum density: at the last step, and what is still to come.
    pub fn maximum_density(&self) -> Estimate {
        let (_, high) = self.range();
        let n = self.parameters.len();
        let (mut gradient, mut before) = (vec![0.0; n], vec![0.0; n]);
        self.density_gradient(high, &mut gradient);
        self.density_gradient(high - self.shoulder.stretch, &mut before);
        for (g, b) in gradient.iter_mut().zip(&before) {
            *g += self.shoulder.share * (*g - b);
        }
        gradient[n - 1] = 1.0;
        Estimate { value: self.density(high) + self.shoulder.rest, gradient }
    }

    fn own(out: &mut [f64], f: impl FnOnce(&mut [f64])) {
        let n = out.len() - 1;
        f(&mut out[..n]);
        out[n] = 0.0;
    }
}

impl Curve for WithBlack<'_> {
    fn name(&self) -> &'static str {
        self.curve.name()
    }
    fn parameters(&self) -> &[f64] {
        &self.parameters
    }
    fn named_parameters(&self) -> Vec<(String, f64)> {
        self.curve.named_parameters()
    }
    fn covariance(&self) -> &[f64] {
        &self.covariance
    }
    fn range(&self) -> (f64, f64) {
        self.curve.range()
    }
    fn density(&self, x: f64) -> f64 {
        self.curve.density(x)
    }
    fn slope(&self, x: f64) -> f64 {
        self.curve.slope(x)
    }
    fn density_gradient(&self, x: f64, out: &mut [f64]) {
        Self::own(out, |own| self.curve.density_gradient(x, own));
    }
    fn base_gradient(&self, out: &mut [f64]) {
        Self::own(out, |own| self.curve.base_gradient(own));
    }
    fn slope_gradient(&self, x: f64, out: &mut [f64]) {
        Self::own(out, |own| self.curve.slope_gradient(x, own));
    }
}
