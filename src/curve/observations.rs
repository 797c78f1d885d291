//! A strip's readings as the bare numbers that a fit works on.

use super::{CommonError, Curve};
use crate::readings::Strip;

/// Densities against log exposure, in order of rising exposure, the unexposed film first.
///
/// The unexposed film stands at x = −∞, where every model has its base plus fog.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Observations {
    /// log10 exposure; −∞ for the unexposed film.
    pub x: Vec<f64>,
    /// Density.
    pub density: Vec<f64>,
    /// Standard uncertainty of each density.
    pub sigma: Vec<f64>,
    /// 1 for a reading in use, 0 for one that is set aside.
    pub weight: Vec<f64>,
    /// What the errors of all densities have in common, where it was stated.
    pub common: Option<CommonError>,
}

impl Observations {
    /// The readings of a strip, none set aside.
    #[must_use]
    pub fn of(strip: &Strip) -> Self {
        let mut all = Self { common: CommonError::of(strip), ..Self::default() };
        for reading in strip.unexposed.iter().chain(&strip.readings) {
            all.push(
                reading.log_exposure.map_or(f64::NEG_INFINITY, crate::units::LogExposure::get),
                reading.density.get(),
                reading.sigma.get(),
            );
        }
        all
    }

    /// Appends a reading; exposures must not fall.
    pub fn push(&mut self, x: f64, density: f64, sigma: f64) {
        self.x.push(x);
        self.density.push(density);
        self.sigma.push(sigma);
        self.weight.push(1.0);
    }

    /// Variance of a density: its own, and what all have in common.
    #[must_use]
    pub fn variance(&self, i: usize) -> f64 {
        let d = self.density[i];
        self.sigma[i].powi(2) + self.common.map_or(0.0, |common| common.covariance(d, d))
    }

    /// Number of readings, those set aside included.
    #[must_use]
    pub fn len(&self) -> usize {
        self.x.len()
    }

    /// Whether there are no readings.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.x.is_empty()
    }

    /// Number of readings in use.
    #[must_use]
    pub fn used(&self) -> usize {
        self.weight.iter().filter(|w| **w > 0.0).count()
    }

    /// How many of the readings are of the unexposed film.
    #[must_use]
    pub fn unexposed(&self) -> usize {
        self.x.iter().take_while(|x| **x == f64::NEG_INFINITY).count()
    }

    /// Lowest and highest log exposure among exposed readings in use.
    #[must_use]
    pub fn range(&self) -> Option<(f64, f64)> {
        let mut exposed = (self.unexposed()..self.len()).filter(|&i| self.weight[i] > 0.0);
        let first = exposed.next()?;
        Some((self.x[first], self.x[exposed.next_back().unwrap_or(first)]))
    }

    /// How many different exposures the readings in use have, the unexposed film not counted.
    #[must_use]
    pub fn distinct_exposures(&self) -> usize {
        let mut last = f64::NEG_INFINITY;
        let mut count = 0;
        for (x, w) in self.x.iter().zip(&self.weight) {
            if *w > 0.0 && *x > last + 1e-9 {
                count += 1;
                last = *x;
            }
        }
        count
    }

    /// The densities of a curve where the readings are.
    #[must_use]
    pub fn densities_of(&self, curve: &dyn Curve) -> Vec<f64> {
        self.x.iter().map(|&x| curve.density(x)).collect()
    }
}
