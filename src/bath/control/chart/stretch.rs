//! Limits of each group of comparable values, and the stretches that are judged by them.

use super::Stretch;
use crate::bath::control::ControlError;
use crate::bath::control::batches::Charted;
use crate::bath::control::individuals::{SETTLED, individuals, individuals_given};
use crate::bath::control::plan::{Basis, Plan, Tolerance};

/// Fewest strips that limits are made from: what is usual for setting an aim (common practice, no
/// source).
pub const LEAST_STRIPS: usize = 5;

/// Centre and control limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Control {
    /// Centre line.
    pub centre: f64,
    /// Standard deviation of a value.
    pub sigma: f64,
    /// Lower limit, centre − 3σ.
    pub lower: f64,
    /// Upper limit, centre + 3σ.
    pub upper: f64,
    /// Upper limit of the moving range.
    pub range_upper: f64,
    /// Values that they come from; 0 where they were given.
    pub values: usize,
    /// Whether these are fewer than 20.
    pub provisional: bool,
    /// Whether σ is assumed to be half a unit of the last decimal, because the first values vary by
    /// less. Run rules then take values within that of the centre as on it.
    pub rounded: bool,
}

/// What the values of one group are judged by.
pub(super) type Limits = (Result<Control, ControlError>, Option<Tolerance>);

/// The limits of every group, from its first values.
pub(super) fn of_groups(plan: &Plan, points: &[Charted], groups: usize) -> Vec<Limits> {
    let mut first: Vec<Vec<f64>> = vec![Vec::new(); groups];
    for point in points {
        let values = &mut first[point.group];
        if values.len() < SETTLED {
            values.push(point.value);
        }
    }
    let limits = first.iter().enumerate().map(|(group, values)| {
        // A batch that is not tied to the first has an aim and a centre of its own.
        let own = (group > 0).then(|| own_centre(values));
        let tolerance = match &own {
            None => plan.tolerance,
            Some(Ok(aim)) => plan.tolerance.map(|t| Tolerance { aim: *aim, ..t }),
            Some(Err(_)) => None,
        };
        (control(plan, values, own), tolerance)
    });
    limits.collect()
}

/// The average of the first values of a group, if they are enough for an aim.
fn own_centre(values: &[f64]) -> Result<f64, ControlError> {
    if values.len() < LEAST_STRIPS {
        return Err(ControlError::FewStrips { found: values.len() });
    }
    Ok(values.iter().sum::<f64>() / values.len() as f64)
}

fn control(
    plan: &Plan,
    values: &[f64],
    own: Option<Result<f64, ControlError>>,
) -> Result<Control, ControlError> {
    let (chart, values, rounded) = match (plan.basis, own) {
        (Basis::Tolerances, Some(Err(why))) => return Err(why),
        (Basis::Tolerances, _) => {
            return Err(ControlError::TolerancesAlone);
        }
        (Basis::Given { centre, sigma }, None) => {
            (individuals_given(&[], centre, sigma)?, 0, false)
        }
        (Basis::Given { sigma, .. }, Some(centre)) => {
            let chart = individuals_given(&[], centre?, sigma)?;
            (chart, values.len(), false)
        }
        (Basis::FirstStrips, _) => {
            let centre = own_centre(values)?;
            let found = individuals(values)?;
            // A steady bath on the boundary between two readings scatters by half a unit.
            let least = 0.5 * 10f64.powi(-i32::try_from(plan.decimals).unwrap_or(i32::MAX));
            let sigma = found.sigma.max(least);
            (individuals_given(&[], centre, sigma)?, values.len(), sigma > found.sigma)
        }
    };
    Ok(Control {
        centre: chart.centre,
        sigma: chart.sigma,
        lower: chart.lower,
        upper: chart.upper,
        range_upper: chart.range_upper,
        values,
        provisional: values > 0 && values < SETTLED,
        rounded,
    })
}

/// The stretches: they end where the group changes and where a fresh bath was mixed.
pub(super) fn divided(plan: &Plan, points: &[Charted], limits: &[Limits]) -> Vec<Stretch> {
    let mut fresh = plan.fresh.clone();
    fresh.sort_unstable();
    let baths = |p: &Charted| fresh.partition_point(|mixed| *mixed <= p.date);
    let (mut start, mut charted) = (0, vec![0; limits.len()]);
    let together = |a: &Charted, b: &Charted| a.group == b.group && baths(a) == baths(b);
    points
        .chunk_by(together)
        .map(|chunk| {
            let group = chunk[0].group;
            let (control, tolerance) = limits[group];
            let values = control.as_ref().map_or(0, |c| c.values);
            let baseline = chunk.len().min(values.saturating_sub(charted[group]));
            let from = start;
            start += chunk.len();
            charted[group] += chunk.len();
            Stretch { points: from..start, control, tolerance, baseline }
        })
        .collect()
}
