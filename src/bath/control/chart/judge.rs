//! Every rule over every stretch.

use super::{Basis, ChartSignal, Control, Plan, Point, Stretch};
use crate::bath::control::ControlError;
use crate::bath::control::batches::Charted;
use crate::bath::control::cusum::cusum_restarting;
use crate::bath::control::ewma::ewma;
use crate::bath::control::rules::Rule;
use crate::bath::control::runs::{FUZZ, watch};
use crate::bath::control::trend::trends;
use crate::bath::limits::Verdict;
use crate::elementary::hypot;

/// The run rules that need neither centre nor standard deviation.
const SHAPES: [Rule; 2] = [Rule::SixTrending, Rule::FourteenAlternating];

/// The points with what is worked out for them, and all signals in order.
pub(super) fn judged(
    plan: &Plan,
    charted: &[Charted],
    stretches: &[Stretch],
) -> Result<(Vec<Point>, Vec<ChartSignal>), ControlError> {
    let mut points: Vec<Point> = charted.iter().map(point).collect();
    let mut signals = Vec::new();
    for stretch in stretches {
        let places = stretch.points.clone();
        let fired = over(plan, stretch, &mut points[places.clone()])?;
        signals.extend(fired.into_iter().map(|(at, rule)| ChartSignal {
            index: places.start + at,
            date: charted[places.start + at].date,
            rule,
        }));
    }
    Ok((points, signals))
}

fn point(c: &Charted) -> Point {
    Point {
        date: c.date,
        value: c.value,
        shift: c.shift,
        strips: c.strips,
        sample: c.sample,
        moving_range: None,
        average: None,
        sums: None,
    }
}

/// Judges one stretch: places within it and rules, in order.
fn over(
    plan: &Plan,
    stretch: &Stretch,
    points: &mut [Point],
) -> Result<Vec<(usize, Rule)>, ControlError> {
    let values: Vec<f64> = points.iter().map(|p| p.value).collect();
    for n in 1..points.len() {
        points[n].moving_range = Some((values[n] - values[n - 1]).abs());
    }
    let mut fired: Vec<(usize, Rule)> = Vec::new();
    if let Some(tolerance) = &stretch.tolerance {
        for (at, value) in values.iter().enumerate() {
            match tolerance.allowed.judge(value - tolerance.aim) {
                Verdict::Within => {}
                Verdict::Above => fired.push((at, Rule::AboveTolerance)),
                Verdict::Below => fired.push((at, Rule::BelowTolerance)),
            }
        }
    }
    let start = match (&stretch.control, &stretch.tolerance) {
        (Ok(control), _) => Some((control.centre, control.sigma)),
        (Err(_), Some(tolerance)) => Some((tolerance.aim, 0.0)),
        (Err(_), None) => None,
    };
    if let Some((target, sd)) = start {
        let averages = ewma(&values, target, sd, plan.weight, plan.average_limit)?;
        let made_of = stretch.control.as_ref().map_or(0, |c| c.centre_values);
        let of_aim = stretch.control.as_ref().map_or(0.0, |c| c.of_centre);
        for (at, (point, z)) in points.iter_mut().zip(&averages.values).enumerate() {
            point.average = Some(*z);
            // A centre from strips has an error of its own, σ/√n, for the values after them.
            let of_centre = match made_of {
                n if n > 0 && at >= stretch.baseline => plan.average_limit * sd / (n as f64).sqrt(),
                _ => plan.average_limit * of_aim,
            };
            let reach = hypot(averages.upper[at] - target, of_centre) + FUZZ * sd;
            if sd > 0.0 && (z - target).abs() > reach {
                fired.push((at, Rule::WeightedAverage));
            }
        }
    }
    if let Ok(control) = &stretch.control {
        fired.extend(run_rules_of(plan, control, &values));
        let limit = control.range_upper * (1.0 + FUZZ);
        let steps = points.iter().enumerate();
        fired.extend(
            steps
                .filter(|(_, p)| p.moving_range.is_some_and(|r| r > limit))
                .map(|(at, _)| (at, Rule::Step)),
        );
        let sums = cusum_restarting(
            &values,
            control.centre,
            plan.allowance * control.sigma + control.of_centre,
            plan.sum_limit * control.sigma,
        )?;
        for (point, sums) in points.iter_mut().zip(sums.high.iter().zip(&sums.low)) {
            point.sums = Some((*sums.0, *sums.1));
        }
        fired.extend(sums.signals.iter().map(|s| (s.at, s.rule)));
        for (at, trend) in trends(&values, control.sigma)?.into_iter().enumerate() {
            match trend.map(|t| t.z()) {
                Some(z) if z > plan.trend_limit => fired.push((at, Rule::Rising)),
                Some(z) if z < -plan.trend_limit => fired.push((at, Rule::Falling)),
                _ => {}
            }
        }
    } else if plan.basis == Basis::Tolerances {
        // Steps smaller than rounding are none: a thousandth of a unit of the last decimal.
        let unit = 10f64.powi(i32::try_from(plan.decimals).unwrap_or(i32::MAX));
        let scaled: Vec<f64> = values.iter().map(|v| v * unit).collect();
        let runs = watch(&scaled, &SHAPES);
        fired.extend(runs.iter().map(|s| (s.at, s.rule)));
    }
    fired.sort_unstable();
    Ok(fired)
}

/// The run rules. Where σ is that of rounding, readings within it are on the centre, and that they
/// keep close to it says nothing.
fn run_rules_of(plan: &Plan, control: &Control, values: &[f64]) -> Vec<(usize, Rule)> {
    let one = hypot(control.sigma, control.of_centre);
    let scaled = values.iter().map(|v| (v - control.centre) / one);
    let mut rules = plan.rules.rules().to_vec();
    let scaled: Vec<f64> = if control.rounded {
        rules.retain(|r| *r != Rule::FifteenWithinOne);
        scaled.map(|z| if z.abs() > 1.0 + FUZZ { z } else { 0.0 }).collect()
    } else {
        scaled.collect()
    };
    let signals = watch(&scaled, &rules);
    signals.into_iter().map(|s| (s.at, s.rule)).collect()
}
