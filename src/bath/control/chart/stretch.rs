//! The stretches of a chart: the strips of one bath that are comparable, and what judges them.

use super::Stretch;
use crate::bath::control::ControlError;
use crate::bath::control::batches::Charted;
use crate::bath::control::individuals::{SETTLED, individuals_given};
use crate::bath::control::plan::{Aim, Basis, Plan};
use crate::bath::control::rules::RuleSet;
use crate::bath::control::scatter::reproducibility;
use crate::elementary::hypot;
use std::collections::BTreeMap;

/// Fewest strips that a centre is made from: what is usual for setting an aim (common practice, no
/// source).
pub const LEAST_STRIPS: usize = 5;
/// How many strips the assumed scatter counts as, beside those of the bath itself. Chosen by
/// simulation: with fewer, few strips of a steady bath that happen to lie close make false alarms.
pub const ASSUMED_STRIPS: usize = 10;
/// Strips that were developed with another one, below which their scatter is not used.
const LEAST_TOGETHER: usize = 4;

/// Centre and control limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Control {
    /// Centre line.
    pub centre: f64,
    /// Standard deviation of a value.
    pub sigma: f64,
    /// Standard deviation of the centre itself, u: that of the aim; 0 where the centre was given or is
    /// an average.
    pub of_centre: f64,
    /// Lower limit, centre − 3·√(σ² + u²).
    pub lower: f64,
    /// Upper limit, centre + 3·√(σ² + u²).
    pub upper: f64,
    /// Upper limit of the moving range.
    pub range_upper: f64,
    /// Strips of this bath that σ comes from; 0 where it was given or is assumed.
    pub values: usize,
    /// The assumed standard deviation that σ rests on too, as if on ten strips more.
    pub assumed: Option<f64>,
    /// Strips that the centre is the average of; 0 where it is an aim or was given.
    pub centre_values: usize,
    /// Whether the strips that the limits come from are fewer than 20.
    pub provisional: bool,
    /// Whether σ is assumed to be half a unit of the last decimal, because the first values vary by
    /// less. Run rules then take values within that of the centre as on it.
    pub rounded: bool,
}

/// The stretches: they end where a fresh bath begins and where the batch of strips changes without a
/// tie. A batch that comes back in the same bath is judged by its old limits.
pub(super) fn divided(plan: &Plan, points: &[Charted]) -> Vec<Stretch> {
    let mut first: BTreeMap<(usize, usize), Vec<&Charted>> = BTreeMap::new();
    for point in points {
        let values = first.entry((point.bath, point.group)).or_default();
        if values.len() < SETTLED {
            values.push(point);
        }
    }
    let limits: BTreeMap<(usize, usize), Result<Control, ControlError>> =
        first.iter().map(|(of, points)| (*of, control(plan, points))).collect();
    let mut charted: BTreeMap<(usize, usize), usize> = BTreeMap::new();
    let mut start = 0;
    points
        .chunk_by(|a, b| (a.bath, a.group) == (b.bath, b.group))
        .map(|chunk| {
            let of = (chunk[0].bath, chunk[0].group);
            let before = charted.entry(of).or_default();
            let control = limits[&of];
            let values = control.as_ref().map_or(0, |c| c.values);
            let baseline = chunk.len().min(values.saturating_sub(*before));
            let from = start;
            start += chunk.len();
            *before += chunk.len();
            Stretch { points: from..start, control, tolerance: plan.tolerance, baseline }
        })
        .collect()
}

/// The limits from the first comparable strips of one bath.
fn control(plan: &Plan, points: &[&Charted]) -> Result<Control, ControlError> {
    let values: Vec<f64> = points.iter().map(|p| p.value).collect();
    let (centre, centre_values) = match (plan.basis, plan.aim) {
        (Basis::Tolerances, _) => return Err(ControlError::TolerancesAlone),
        (Basis::Aim, None) => return Err(ControlError::NoAim),
        (Basis::Aim, Some(aim)) => (aim.value, 0),
        (Basis::Given { centre, sigma }, _) => {
            let given = Scatter { sigma, values: 0, assumed: None };
            return limits(plan, (centre, 0), given);
        }
        (Basis::FirstStrips, _) if values.len() < LEAST_STRIPS => {
            return Err(ControlError::FewStrips { found: values.len() });
        }
        (Basis::FirstStrips, _) => (values.iter().sum::<f64>() / values.len() as f64, values.len()),
    };
    limits(plan, (centre, centre_values), scatter(plan.aim, points, &values)?)
}

/// The scatter from strip to strip, and what it comes from.
struct Scatter {
    sigma: f64,
    values: usize,
    assumed: Option<f64>,
}

/// The scatter of strips of one bath, drawn towards what is assumed: n strips count as the n − 2
/// steps that are left when the trend is taken off, the assumption as ten. Strips that were developed
/// together share time and temperature, so theirs is the least that it can be.
fn scatter(aim: Option<Aim>, points: &[&Charted], values: &[f64]) -> Result<Scatter, ControlError> {
    let own = reproducibility(values);
    let mut scatter = match (own, aim) {
        (Ok(sigma), None) => Scatter { sigma, values: values.len(), assumed: None },
        (Err(why), None) => return Err(why),
        (Err(_), Some(aim)) => Scatter { sigma: aim.sigma, values: 0, assumed: Some(aim.sigma) },
        (Ok(own), Some(aim)) => {
            let (assumed, steps) = (ASSUMED_STRIPS as f64, values.len() as f64 - 2.0);
            let squares = assumed * aim.sigma.powi(2) + steps * own.powi(2);
            let sigma = (squares / (assumed + steps)).sqrt();
            Scatter { sigma, values: values.len(), assumed: Some(aim.sigma) }
        }
    };
    let together: usize = points.iter().map(|p| p.strips - 1).sum();
    if together >= LEAST_TOGETHER {
        let squares: f64 = points.iter().map(|p| p.squares).sum();
        scatter.sigma = scatter.sigma.max((squares / together as f64).sqrt());
    }
    Ok(scatter)
}

fn limits(
    plan: &Plan,
    (centre, centre_values): (f64, usize),
    scatter: Scatter,
) -> Result<Control, ControlError> {
    // A steady bath on the boundary between two readings scatters by half a unit.
    let least = match plan.basis {
        Basis::Given { .. } => 0.0,
        _ => 0.5 * 10f64.powi(-i32::try_from(plan.decimals).unwrap_or(i32::MAX)),
    };
    let sigma = scatter.sigma.max(least);
    let of_centre = match (plan.basis, plan.aim) {
        (Basis::Aim, Some(aim)) => aim.uncertainty,
        _ => 0.0,
    };
    let chart = individuals_given(&[], centre, sigma)?;
    let reach = 3.0 * hypot(sigma, of_centre);
    let found = scatter.values + if scatter.assumed.is_some() { 1 } else { 0 };
    Ok(Control {
        centre: chart.centre,
        sigma: chart.sigma,
        of_centre,
        lower: chart.centre - reach,
        upper: chart.centre + reach,
        range_upper: match plan.rules {
            RuleSet::LimitAlone => f64::INFINITY,
            _ => chart.range_upper,
        },
        values: scatter.values,
        assumed: scatter.assumed,
        centre_values,
        provisional: found > 0 && scatter.values < SETTLED,
        rounded: sigma > scatter.sigma,
    })
}
