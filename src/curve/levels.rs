//! A curve at the exposures of the readings.

use super::{Curve, Observations};

/// What a curve gives at the exposure of each reading, calculated once for all who ask.
pub(super) struct Levels {
    /// The curve's density.
    pub density: Vec<f64>,
    /// Its standard error.
    pub sd: Vec<f64>,
    /// How far the curve rises below the lowest exposure, above base plus fog.
    pub below: f64,
}

impl Levels {
    pub fn of(observations: &Observations, curve: &dyn Curve) -> Self {
        let each = observations.x.iter().map(|&x| curve.density_and_sd(x));
        let (density, sd) = each.unzip();
        let below = curve.density(curve.range().0) - curve.base_plus_fog();
        Self { density, sd, below }
    }

    /// Reading `i` less the curve.
    pub fn residual(&self, observations: &Observations, i: usize) -> f64 {
        observations.density[i] - self.density[i]
    }

    /// Residuals over σ of all readings, those set aside included.
    pub fn standardised(&self, observations: &Observations) -> Vec<f64> {
        let all = 0..observations.len();
        all.map(|i| self.residual(observations, i) / observations.sigma[i]).collect()
    }
}
