//! The coefficients of loss: their values, and what the strips said of them.

use super::ROLL_M2;
use crate::elementary::{exp, exp_m1};
use crate::measures::Quantity;
use nalgebra::Vector3;

/// Values of the coefficients.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Values {
    /// Loss of ln a per m² of film in a litre of bath, in L/m².
    pub by_use: f64,
    /// Loss of ln a per day.
    pub by_age: f64,
    /// Variance of a loss over its mean.
    pub dispersion: f64,
}

impl Values {
    pub(super) fn of_logs(logs: &Vector3<f64>) -> Self {
        Self { by_use: exp(logs.x), by_age: exp(logs.y), dispersion: exp(logs.z) }
    }

    /// Expected loss of ln a after `m2_per_litre` of film and `days`.
    #[must_use]
    pub fn loss(&self, m2_per_litre: f64, days: f64) -> f64 {
        self.by_use * m2_per_litre + self.by_age * days
    }
}

/// A coefficient with its 95 % interval.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Coefficient {
    /// Median and 95 % interval.
    pub quantity: Quantity,
    /// The share of the prior's variance (of the logarithm) that the strips have taken away: 0 where
    /// they said nothing, 1 where they said all.
    pub said: f64,
    /// Whether it rests on the prior more than on the strips: `said` is below one half.
    pub assumed: bool,
}

/// The fitted coefficients of the present bath.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Coefficients {
    /// Loss of ln a per m² of film in a litre of bath, in L/m².
    pub by_use: Coefficient,
    /// Loss of ln a per day.
    pub by_age: Coefficient,
    /// Variance of a loss over its mean.
    pub dispersion: Coefficient,
}

impl Coefficients {
    /// Per cent of the activity that a film of 36 exposures takes in a litre.
    #[must_use]
    pub fn percent_per_roll(&self) -> Quantity {
        percent(self.by_use.quantity, ROLL_M2)
    }

    /// Per cent of the activity that 30 days take.
    #[must_use]
    pub fn percent_per_month(&self) -> Quantity {
        percent(self.by_age.quantity, 30.0)
    }
}

/// 100·(1 − exp(−c·times)).
fn percent(c: Quantity, times: f64) -> Quantity {
    let of = |c: f64| -100.0 * exp_m1(-c * times);
    Quantity { value: of(c.value), low: of(c.low), high: of(c.high) }
}
