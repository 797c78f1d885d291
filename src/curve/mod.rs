//! Characteristic curves: models behind one trait, their fit to a strip, suspect readings.
//!
//! x is log10 of exposure and D is density throughout. Three models, each rising for every value of
//! its parameters:
//!
//! | model | parameters | for |
//! |---|---|---|
//! | [`Toe`] | 4 | few readings, or no shoulder in sight |
//! | [`Shoulder`] | 6 | a toe, a straight line and a shoulder |
//! | [`Smooth`] | a penalised spline of the logarithm of the slope, by itself or over a toe or shoulder | seven readings or more |

mod common;
mod fit;
mod growing;
mod levels;
mod observations;
mod outcome;
mod rigid;
mod scatter;
mod shoulder;
mod smooth;
mod suspects;
mod toe;

pub use crate::numerics::least_squares::Stop;
pub use common::CommonError;
pub use fit::Fitter;
pub use growing::NoiseGrowth;
pub use observations::Observations;
pub use outcome::{Choice, FitError, FitNote, FittedCurve, Suspect};
pub(crate) use scatter::student_quantile;
pub use shoulder::Shoulder;
pub(crate) use shoulder::{CapShape, SOFTNESS_PRIOR};
pub use smooth::Smooth;
pub use toe::Toe;
pub(crate) use toe::WIDTH_PRIOR;

/// A fitted characteristic curve D(x), rising everywhere, with the covariance of its parameters.
///
/// Parameter 0 of every model is base plus fog, D(−∞).
pub trait Curve: std::fmt::Debug + Send + Sync {
    /// Name of the model: `toe`, `shoulder` or `smooth`.
    fn name(&self) -> &'static str;
    /// The working parameters, base plus fog first.
    fn parameters(&self) -> &[f64];
    /// The parameters as a reader wants them: name and value.
    fn named_parameters(&self) -> Vec<(String, f64)>;
    /// Covariance of [`parameters`](Self::parameters), column-major.
    fn covariance(&self) -> &[f64];
    /// Lowest and highest log exposure of the readings. Beyond them the curve is the model's, not
    /// the readings'.
    fn range(&self) -> (f64, f64);
    /// D(x).
    fn density(&self, x: f64) -> f64;
    /// dD/dx, never negative.
    fn slope(&self, x: f64) -> f64;
    /// ∂D(x)/∂p into `out`, one number a parameter.
    fn density_gradient(&self, x: f64, out: &mut [f64]);
    /// ∂(dD/dx)/∂p into `out`, one number a parameter.
    fn slope_gradient(&self, x: f64, out: &mut [f64]) {
        const H: f64 = 1e-4;
        let mut below = vec![0.0; out.len()];
        self.density_gradient(x + H, out);
        self.density_gradient(x - H, &mut below);
        for (o, b) in out.iter_mut().zip(&below) {
            *o = (*o - b) / (2.0 * H);
        }
    }
    /// Density of the processed, unexposed film.
    fn base_plus_fog(&self) -> f64 {
        self.parameters()[0]
    }
    /// Derivatives of base plus fog by the parameters into `out`, all 0 before.
    fn base_gradient(&self, out: &mut [f64]) {
        out[0] = 1.0;
    }
    /// The curve with the errors of the single readings alone, where all densities have an error in common.
    fn alone(&self) -> Option<&dyn Curve> {
        None
    }

    /// Standard error of a quantity whose derivatives by the parameters are `gradient`:
    /// √(gᵀ·C·g), to first order.
    fn standard_error(&self, gradient: &[f64]) -> f64 {
        let n = gradient.len();
        let columns = self.covariance().chunks_exact(n);
        let variance: f64 =
            columns.zip(gradient).map(|(c, g)| g * crate::numerics::qr::dot(c, gradient)).sum();
        variance.max(0.0).sqrt()
    }

    /// D(x), and ∂D(x)/∂p into `out`.
    fn density_and_gradient(&self, x: f64, out: &mut [f64]) -> f64 {
        self.density_gradient(x, out);
        self.density(x)
    }

    /// D(x) and its standard error.
    fn density_and_sd(&self, x: f64) -> (f64, f64) {
        let mut gradient = vec![0.0; self.parameters().len()];
        let density = self.density_and_gradient(x, &mut gradient);
        (density, self.standard_error(&gradient))
    }

    /// The x within [`range`](Self::range) where D(x) = `density`, or `None` if the curve does not
    /// pass it there.
    fn log_exposure_at(&self, density: f64) -> Option<f64> {
        let (low, high) = self.range();
        crate::numerics::search::root(|x| self.density(x) - density, low, high)
    }
}
