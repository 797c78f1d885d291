//! A curve whose toe may go on falling below the lowest step.

use crate::curve::Curve;

/// Standard uncertainty of base plus fog that no unexposed film and no model settles: what a toe
/// may still fall below steps that seem to run along base plus fog.
const UNSETTLED: f64 = 0.01;

/// A curve as it is through the readings, with a base plus fog that is known less well than the
/// model thinks: one parameter more, c, of mean 0 and standard deviation 0.01, by which base plus
/// fog differs from the model's while the curve stays where the readings have it.
#[derive(Debug)]
pub(crate) struct UnsettledBase<'a> {
    curve: &'a dyn Curve,
    parameters: Vec<f64>,
    covariance: Vec<f64>,
}

impl<'a> UnsettledBase<'a> {
    /// `variance` scales the curve's own covariance; the unsettled part is not scaled by it.
    pub fn new(curve: &'a dyn Curve, variance: f64) -> Self {
        let n = curve.parameters().len();
        let mut parameters = curve.parameters().to_vec();
        parameters.push(0.0);
        let mut covariance = vec![0.0; (n + 1) * (n + 1)];
        for (j, column) in curve.covariance().chunks_exact(n).enumerate() {
            covariance[j * (n + 1)..j * (n + 1) + n].copy_from_slice(column);
        }
        let extra = UNSETTLED * UNSETTLED / variance;
        covariance[0] += extra;
        for at in [n, n * (n + 1), n * (n + 1) + n] {
            covariance[at] = extra;
        }
        Self { curve, parameters, covariance }
    }

    fn extended(out: &mut [f64], last: f64, f: impl FnOnce(&mut [f64])) {
        let n = out.len() - 1;
        f(&mut out[..n]);
        out[n] = last;
    }
}

impl Curve for UnsettledBase<'_> {
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
    /// D(x) does not move with c: what base plus fog gains the rise loses.
    fn density_gradient(&self, x: f64, out: &mut [f64]) {
        Self::extended(out, -1.0, |own| self.curve.density_gradient(x, own));
    }
    fn base_gradient(&self, out: &mut [f64]) {
        Self::extended(out, 0.0, |own| self.curve.base_gradient(own));
    }
    fn slope_gradient(&self, x: f64, out: &mut [f64]) {
        Self::extended(out, 0.0, |own| self.curve.slope_gradient(x, own));
    }
}
