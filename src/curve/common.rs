//! What the errors of all densities of a strip have in common: an offset and a slope.

use super::Curve;
use crate::numerics::chance::NORMAL_95;
use crate::readings::Strip;
use nalgebra::DMatrix;

/// Least standard deviation of a parameter, so that the covariance stays one of full rank.
const LEAST: f64 = 1e-9;

/// An error that all densities of a strip have in common:
///
/// ```text
/// error of D = o + s·(D − D̄)        o, s: mean 0, standard deviations `offset` and `slope`
/// ```
///
/// D̄ is the mean of the strip's readings. More readings do not average it away. The offset cancels in what is
/// counted from base plus fog; the slope goes into gamma and contrast index.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CommonError {
    /// Standard uncertainty of o, in density.
    pub offset: f64,
    /// Standard uncertainty of s, a relative one.
    pub slope: f64,
    /// D̄.
    pub middle: f64,
}

impl CommonError {
    /// That of a strip, where one was stated.
    #[must_use]
    pub fn of(strip: &Strip) -> Option<Self> {
        let common = strip.common_sigma?;
        let all = || strip.unexposed.iter().chain(&strip.readings).map(|r| r.density.get());
        let middle = all().sum::<f64>() / all().count().max(1) as f64;
        Some(Self { offset: common.offset.get(), slope: common.slope.get(), middle })
    }

    /// The covariance of two densities by it.
    #[must_use]
    pub fn covariance(&self, a: f64, b: f64) -> f64 {
        self.offset.powi(2) + self.slope.powi(2) * (a - self.middle) * (b - self.middle)
    }

    /// The covariances of all pairs of these densities by it.
    #[must_use]
    pub fn covariances(&self, densities: &[f64]) -> DMatrix<f64> {
        let n = densities.len();
        DMatrix::from_fn(n, n, |i, j| self.covariance(densities[i], densities[j]))
    }
}

/// A curve whose densities have an error in common: two parameters more, o and s, both 0.
#[derive(Debug)]
pub(super) struct WithCommon {
    alone: Box<dyn Curve>,
    middle: f64,
    parameters: Vec<f64>,
    covariance: Vec<f64>,
}

impl WithCommon {
    /// `quantile` is half the width of a 95 % interval over the standard error of the curve's own covariance;
    /// the error in common is known as stated, and a normal one.
    pub fn new(alone: Box<dyn Curve>, common: &CommonError, quantile: f64) -> Self {
        let n = alone.parameters().len();
        let m = n + 2;
        let mut parameters = alone.parameters().to_vec();
        parameters.extend([0.0, 0.0]);
        let mut covariance = vec![0.0; m * m];
        for (j, column) in alone.covariance().chunks_exact(n).enumerate() {
            covariance[j * m..j * m + n].copy_from_slice(column);
        }
        for (k, sd) in [(n, common.offset), (n + 1, common.slope)] {
            covariance[k * m + k] = (sd.max(LEAST) * NORMAL_95 / quantile).powi(2);
        }
        Self { alone, middle: common.middle, parameters, covariance }
    }

    /// The gradient of the curve alone into all but the last two places of `out`.
    fn extended(&self, out: &mut [f64], last: [f64; 2], f: impl FnOnce(&dyn Curve, &mut [f64])) {
        let (own, common) = out.split_at_mut(self.parameters.len() - 2);
        f(self.alone.as_ref(), own);
        common.copy_from_slice(&last);
    }
}

impl Curve for WithCommon {
    fn name(&self) -> &'static str {
        self.alone.name()
    }
    fn parameters(&self) -> &[f64] {
        &self.parameters
    }
    fn named_parameters(&self) -> Vec<(String, f64)> {
        self.alone.named_parameters()
    }
    fn covariance(&self) -> &[f64] {
        &self.covariance
    }
    fn range(&self) -> (f64, f64) {
        self.alone.range()
    }
    fn density(&self, x: f64) -> f64 {
        self.alone.density(x)
    }
    fn slope(&self, x: f64) -> f64 {
        self.alone.slope(x)
    }
    fn density_gradient(&self, x: f64, out: &mut [f64]) {
        let last = [1.0, self.density(x) - self.middle];
        self.extended(out, last, |curve, own| curve.density_gradient(x, own));
    }
    fn slope_gradient(&self, x: f64, out: &mut [f64]) {
        self.extended(out, [0.0, self.slope(x)], |curve, own| curve.slope_gradient(x, own));
    }
    fn base_gradient(&self, out: &mut [f64]) {
        let last = [1.0, self.base_plus_fog() - self.middle];
        self.extended(out, last, |curve, own| curve.base_gradient(own));
    }
    fn alone(&self) -> Option<&dyn Curve> {
        Some(self.alone.as_ref())
    }
}
