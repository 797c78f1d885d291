//! Characteristic curves: models behind one trait, their fit to a strip, suspect readings.

/// A fitted characteristic curve D(x), rising everywhere, with the covariance of its parameters.
///
/// x is log10 exposure, D density. Gradients are with respect to the parameters, in their order.
pub trait Curve: std::fmt::Debug + Send + Sync {
    /// Name of the model: `toe`, `shoulder` or `smooth`.
    fn name(&self) -> &'static str;
    /// D(x).
    fn density(&self, x: f64) -> f64;
    /// dD/dx.
    fn slope(&self, x: f64) -> f64;
    /// Density of the unexposed film, D(−∞).
    fn base_plus_fog(&self) -> f64;
    /// Lowest and highest log exposure that the readings carry.
    fn range(&self) -> (f64, f64);
    /// Standard error of D(x).
    fn density_sd(&self, x: f64) -> f64;
}
