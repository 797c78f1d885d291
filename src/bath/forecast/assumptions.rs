//! What is assumed until the strips say otherwise.

use crate::elementary::exp;
use crate::numerics::chance::NORMAL_95;

/// Area of a film of 36 exposures on 35 mm stock, in **m²**: 0.035 m × 1.6 m (from memory).
pub const ROLL_M2: f64 = 0.056;
/// Lowest activity that is still usable where nothing else is asked for: development then takes a
/// quarter longer. Assumed (common practice, no source).
pub const LOWEST_ACTIVITY: f64 = 0.8;

/// A log-normal prior.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Prior {
    /// Its median.
    pub median: f64,
    /// Standard deviation of the logarithm.
    pub log_sd: f64,
}

impl Prior {
    /// The factor either way that holds 95 times in 100.
    #[must_use]
    pub fn factor(self) -> f64 {
        exp(NORMAL_95 * self.log_sd)
    }
}

/// What is assumed of a bath: all of it ours, none of it measured.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Assumptions {
    /// Loss of ln a per m² of film in a litre. A film of 36 exposures in a litre takes 5 % (1.3 to 20 %):
    /// common practice, no source.
    pub loss_by_use: Prior,
    /// Loss of ln a per day. A fifth is gone after four months (two weeks to two and a half years):
    /// common practice, no source.
    pub loss_by_age: Prior,
    /// Variance of a loss over its mean. A film that takes 5 % takes 1.2 % more or less: common
    /// practice, no source.
    pub dispersion: Prior,
    /// Standard deviation of ln a of a new bath: the error of mixing it. Common practice, no source.
    pub mixing_sd: f64,
    /// Strength of the replenisher, relative to a new bath.
    pub replenisher: f64,
    /// Standard deviation of the replenisher's strength, at least 0.005: the error of mixing it. Common
    /// practice, no source.
    pub replenisher_sd: f64,
    /// Standard deviation by which ln c_use differs from bath to bath. Common practice, no source.
    pub wander_use: f64,
    /// Standard deviation by which ln c_age differs from bath to bath: bottles are fuller or emptier,
    /// rooms warmer or cooler. Common practice, no source.
    pub wander_age: f64,
}

impl Default for Assumptions {
    fn default() -> Self {
        Self {
            loss_by_use: Prior { median: 0.05 / ROLL_M2, log_sd: 0.7 },
            loss_by_age: Prior { median: 0.22 / 120.0, log_sd: 1.0 },
            dispersion: Prior { median: 0.003, log_sd: 1.0 },
            mixing_sd: 0.03,
            replenisher: 1.0,
            replenisher_sd: 0.03,
            wander_use: 0.15,
            wander_age: 0.3,
        }
    }
}
