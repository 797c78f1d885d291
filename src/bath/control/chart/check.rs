//! What cannot be charted.

use super::{Basis, Plan, Sample};
use crate::bath::control::Aim;
use crate::bath::control::ControlError;

/// Farthest from 0 that a value can be charted.
const FARTHEST: f64 = 1e9;
/// Most decimals of a quantity.
const MOST_DECIMALS: usize = 9;

/// Refuses samples and plans that cannot be charted.
pub(super) fn check(plan: &Plan, samples: &[Sample]) -> Result<(), ControlError> {
    if samples.is_empty() {
        return Err(ControlError::NoStrips);
    }
    for sample in samples {
        if !(sample.value.abs() <= FARTHEST) {
            return Err(ControlError::TooFar { date: sample.date, found: sample.value });
        }
    }
    if plan.decimals > MOST_DECIMALS {
        return Err(ControlError::Decimals { found: plan.decimals, most: MOST_DECIMALS });
    }
    if let Some(pair) = samples.windows(2).find(|w| w[1].date < w[0].date) {
        return Err(ControlError::OutOfOrder { date: pair[1].date, before: pair[0].date });
    }
    let mut before = 0;
    for &found in &plan.fresh {
        if found < before || found > samples.len() {
            return Err(ControlError::Fresh { found, strips: samples.len() });
        }
        before = found;
    }
    if !(plan.trend_limit > 0.0) {
        return Err(ControlError::TrendLimit(plan.trend_limit));
    }
    let impossible = |a: &Aim| {
        !(a.value.abs() <= FARTHEST
            && a.sigma > 0.0
            && a.sigma <= FARTHEST
            && (0.0..=FARTHEST).contains(&a.uncertainty))
    };
    if plan.aim.as_ref().is_some_and(impossible) {
        return Err(ControlError::NoAim);
    }
    if let Some(t) = plan.tolerance.filter(|t| !(t.aim.abs() <= FARTHEST)) {
        return Err(ControlError::Aim(t.aim));
    }
    match plan.basis {
        Basis::Given { centre, sigma }
            if !(centre.abs() <= FARTHEST && sigma > 0.0 && sigma <= FARTHEST) =>
        {
            Err(ControlError::Given { centre, sigma })
        }
        Basis::Aim if plan.aim.is_none() => Err(ControlError::NoAim),
        Basis::Tolerances if plan.tolerance.is_none() => Err(ControlError::NoTolerance),
        _ => Ok(()),
    }
}
