//! What cannot be charted.

use super::{Basis, Plan, Sample};

/// Farthest from 0 that a value can be charted.
const FARTHEST: f64 = 1e9;
/// Most decimals of a quantity.
const MOST_DECIMALS: usize = 9;

/// Refuses samples and plans that cannot be charted, in one sentence.
pub(super) fn check(plan: &Plan, samples: &[Sample]) -> Result<(), String> {
    let name = &plan.name;
    if samples.is_empty() {
        return Err(format!("{name}: there are no control strips to chart"));
    }
    for sample in samples {
        if !(sample.value.abs() <= FARTHEST) {
            return Err(format!(
                "{name}: the control strip of {} reads {}, which cannot be charted",
                sample.date, sample.value
            ));
        }
    }
    if plan.decimals > MOST_DECIMALS {
        return Err(format!(
            "{name}: {} decimals are more than anything is read to; at most {MOST_DECIMALS}",
            plan.decimals
        ));
    }
    if let Some(pair) = samples.windows(2).find(|w| w[1].date < w[0].date) {
        return Err(format!(
            "{name}: control strips must be in the order of time; that of {} comes after that of {}",
            pair[1].date, pair[0].date
        ));
    }
    if let Some(t) = plan.tolerance.filter(|t| !(t.aim.abs() <= FARTHEST)) {
        return Err(format!("{name}: an aim of {} cannot be charted", t.aim));
    }
    match plan.basis {
        Basis::Given { centre, sigma }
            if !(centre.abs() <= FARTHEST && sigma > 0.0 && sigma <= FARTHEST) =>
        {
            Err(format!(
                "{name}: a centre and a standard deviation above 0 are needed; found {centre} and {sigma}"
            ))
        }
        Basis::Tolerances if plan.tolerance.is_none() => {
            Err(format!("{name}: a chart that is judged by tolerances needs an aim and tolerances"))
        }
        _ => Ok(()),
    }
}
