//! Replenishment: the law of mixing, and how much it takes to hold an activity.

use super::mixture::{crossing, normal};
use super::{Bath, NoForecast};
use crate::elementary::{exp, ln};
use crate::measures::{Measured, Quantity};

/// Activity of a bath of `litres` and activity `a` after `removed` litres are taken out and `added`
/// litres of the given strength are put in:
///
/// ```text
/// a' = ((V − r)·a + f·s)/(V − r + f)
/// ```
///
/// Repeated with r = f, it closes on s: aₙ = s − (s − a₀)·(1 − f/V)ⁿ.
///
/// # Source
/// Derived: rates of development are taken to mix as amounts do.
#[must_use]
pub fn mixed(a: f64, litres: f64, removed: f64, added: f64, strength: f64) -> f64 {
    let left = litres - removed;
    (left * a + added * strength) / (left + added)
}

impl Bath {
    /// Replenisher in **ml** after each film of `area_m2` (as much being taken out first) that holds
    /// the activity at `hold`, or where it stands now, if films follow each other at `per_day` a day
    /// (`None`: at once).
    ///
    /// With ℓ the loss from film to film, w = f/V solves (1 − w)·a·exp(−ℓ) + w·s = a.
    ///
    /// # Errors
    /// The reason where no strip gives it, or where the replenisher is too weak to hold the level.
    pub fn replenishment(
        &self,
        area_m2: f64,
        per_day: Option<f64>,
        hold: Option<f64>,
    ) -> Measured<NoForecast> {
        self.carried()?;
        super::outlook::check_use(area_m2, per_day)?;
        if hold.is_some_and(|a| !(a > 0.0 && a <= 20.0)) {
            return Err(NoForecast::Hold);
        }
        let days = per_day.map_or(0.0, |p| 1.0 / p);
        // w is below W where ln a − ln s is below ln(W/(1 − (1 − W)·exp(−ℓ))).
        let parts: Vec<(f64, f64, f64, f64)> = self
            .nodes
            .iter()
            .map(|n| {
                let keep = exp(-n.values.loss(area_m2 / self.litres, days));
                let state = n.state;
                let s = state.s.max(1e-3);
                let of_s = state.ss / (s * s);
                let (x, variance) = match hold {
                    Some(a) => (ln(a), of_s),
                    None => (state.x, state.xx - 2.0 * state.xs / s + of_s),
                };
                (n.weight, keep, x - ln(s), variance.max(1e-12).sqrt())
            })
            .collect();
        let below = |share: f64| -> f64 {
            let part = |&(weight, keep, d, sd): &(f64, f64, f64, f64)| {
                weight * normal((ln(share / (1.0 - (1.0 - share) * keep)) - d) / sd)
            };
            parts.iter().map(part).sum()
        };
        if below(1.0) < 0.975 {
            return Err(NoForecast::CannotHold {
                activity: hold,
                strength: self.assumptions.replenisher,
                sd: self.assumptions.replenisher_sd,
            });
        }
        let at = |probability: f64| {
            let log = crossing(|log| below(exp(log)), probability, -20.0, 0.0);
            1e3 * self.litres * exp(log)
        };
        Ok(Quantity { value: at(0.5), low: at(0.025), high: at(0.975) })
    }
}
