//! What has to be known beside the numbers of a chart.

use super::{ChartSignal, Control, Plan, Point, Stretch};
use crate::bath::control::batches::BatchChange;
use crate::bath::control::individuals::SETTLED;
use crate::bath::control::rules::Rule;
use crate::bath::control::trend::{LEAST_OF_TREND, MOST_OF_TREND, Trend, trends};
use crate::bath::control::{ASSUMED_STRIPS, ControlError, Uncertainty};
use crate::numerics::chance::NORMAL_95;
use crate::words::number;
use jiff::civil::Date;
use std::fmt;

/// What has to be known beside the numbers of a chart.
#[derive(Clone, Debug, PartialEq)]
pub enum ChartNote {
    /// There are no control limits.
    NoLimits(ControlError),
    /// The limits come from few strips.
    Provisional {
        /// How many.
        strips: usize,
    },
    /// The scatter is assumed, or rests on an assumption in part.
    Assumed {
        /// The standard deviation that the limits are made with.
        sigma: f64,
        /// The one that is assumed.
        assumed: f64,
        /// Strips of this bath that show the scatter too; 0 where they are too few.
        strips: usize,
        /// Decimals to write them with.
        decimals: usize,
    },
    /// The last strips rise or fall.
    Trend {
        /// The line through them.
        trend: Trend,
        /// Decimals to write its slope with.
        decimals: usize,
        /// Limit of the slope, in its standard errors.
        limit: f64,
    },
    /// The strips vary by less than their last decimal.
    Rounded,
    /// A strip is beyond limits that it helped to make.
    OwnLimits(Date),
    /// A batch of strips that cannot be tied to the one before.
    Untied {
        /// The batch before.
        from: String,
        /// The new batch.
        to: String,
        /// Day of its first strips.
        date: Date,
        /// Why it cannot be tied.
        why: ControlError,
    },
    /// A batch of strips that is charted without its shift.
    Shifted {
        /// The change.
        change: BatchChange,
        /// The shift, new less old.
        shift: f64,
        /// Its error.
        uncertainty: Result<Uncertainty, ControlError>,
        /// Strips of either batch.
        strips: (usize, usize),
        /// Decimals that the shift is written with.
        decimals: usize,
        /// Whether it is known no better than one strip.
        loose: bool,
    },
}

impl fmt::Display for ChartNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoLimits(why) => why.fmt(f),
            Self::Provisional { strips } => write!(
                f,
                "limits are provisional: they come from {strips} strips, and {SETTLED} settle them"
            ),
            Self::Assumed { sigma, assumed, strips, decimals } => {
                let [sigma, assumed] = [*sigma, *assumed].map(|v| number(v, *decimals));
                match strips {
                    0 => write!(
                        f,
                        "a standard deviation of {assumed} from strip to strip is assumed (common practice, no source): this bath has too few strips to show it"
                    ),
                    n => write!(
                        f,
                        "the standard deviation from strip to strip, {sigma}, comes from {n} strips of this bath, without their trend, and from an assumed {assumed} (common practice, no source) that counts as {ASSUMED_STRIPS} strips"
                    ),
                }
            }
            Self::Trend { trend, decimals, limit } => {
                let number = |v: f64| number(v, *decimals);
                let verb = if trend.slope < 0.0 { "fall" } else { "rise" };
                let (slope, reach) = (trend.slope.abs(), NORMAL_95 * trend.standard_error);
                write!(
                    f,
                    "the last {} strips {verb} by {} from strip to strip (95 % interval {} to {}); a trend is a straight line through the last {LEAST_OF_TREND} to {MOST_OF_TREND} strips of this bath whose slope is more than {limit} standard errors: of 1000 strips of a steady bath, about two show one",
                    trend.strips,
                    number(slope),
                    number(slope - reach),
                    number(slope + reach),
                )
            }
            Self::Rounded => f.write_str(
                "the first strips vary by less than half a unit of the last decimal: half a unit is assumed as their standard deviation",
            ),
            Self::OwnLimits(date) => write!(
                f,
                "the strip of {date} is beyond limits that it helped to make: if something was wrong then, leave it out"
            ),
            Self::Untied { from, to, date, why } => write!(
                f,
                "batch {to} from {date}: {why}; a step from batch {from} may as well be a change in the bath, so the chart begins anew there"
            ),
            Self::Shifted { change, shift, uncertainty, strips, decimals, loose } => {
                let number = |v: f64| number(v, *decimals);
                let BatchChange { from, to, date, .. } = change;
                let side = if *shift < 0.0 { "lower" } else { "higher" };
                write!(f, "batch {to} reads {} {side} than batch {from}", number(shift.abs()))?;
                match uncertainty {
                    Ok(u) => write!(
                        f,
                        " (shift {}, 95 % interval {} to {}",
                        number(*shift),
                        number(u.low),
                        number(u.high)
                    )?,
                    Err(why) => write!(f, " ({why}")?,
                }
                let (old, new) = strips;
                write!(f, "; {old} + {new} strips of {date}) and is charted without that")?;
                match loose {
                    true => f.write_str(
                        ": the shift is known no better than one strip, so a small step there may be its error",
                    ),
                    false => Ok(()),
                }
            }
        }
    }
}

pub(super) fn notes(
    plan: &Plan,
    points: &[Point],
    stretches: &[Stretch],
    signals: &[ChartSignal],
    changes: &[BatchChange],
    current: bool,
) -> Vec<ChartNote> {
    let mut notes = Vec::new();
    let last = &stretches[stretches.len() - 1];
    if !current {
        notes.push(ChartNote::NoLimits(ControlError::NoStripOfBath));
        return notes;
    }
    match &last.control {
        Ok(control) => {
            let decimals = plan.decimals + 1;
            match control.assumed {
                Some(assumed) => notes.push(ChartNote::Assumed {
                    sigma: control.sigma,
                    assumed,
                    strips: control.values,
                    decimals,
                }),
                None if control.provisional => {
                    notes.push(ChartNote::Provisional { strips: control.values });
                }
                None => {}
            }
            if let Some(trend) = last_trend(points, last, control, signals) {
                notes.push(ChartNote::Trend { trend, decimals, limit: plan.trend_limit });
            }
            if control.rounded {
                notes.push(ChartNote::Rounded);
            }
        }
        Err(why) => notes.push(ChartNote::NoLimits(*why)),
    }
    if let Some(first) = own_limits_broken(stretches, signals) {
        notes.push(ChartNote::OwnLimits(points[first].date));
    }
    notes.extend(changes.iter().map(|change| of_change(plan, change, &last.control)));
    notes
}

/// The trend at the last strip, where there is one.
fn last_trend(
    points: &[Point],
    stretch: &Stretch,
    control: &Control,
    signals: &[ChartSignal],
) -> Option<Trend> {
    let shows = |s: &ChartSignal| {
        s.index + 1 == points.len() && matches!(s.rule, Rule::Rising | Rule::Falling)
    };
    signals.iter().rfind(|s| shows(s))?;
    let values: Vec<f64> = points[stretch.points.clone()].iter().map(|p| p.value).collect();
    trends(&values, control.sigma).ok()?.last().copied().flatten()
}

/// The first point beyond limits that itself is among the values that their centre is made of.
fn own_limits_broken(stretches: &[Stretch], signals: &[ChartSignal]) -> Option<usize> {
    let mut limits = signals.iter().filter(|s| s.rule == Rule::BeyondThree);
    let broken = limits.find(|s| {
        let place = stretches.partition_point(|t| t.points.end <= s.index);
        let stretch = &stretches[place];
        let from_strips = stretch.control.as_ref().is_ok_and(|c| c.centre_values > 0);
        from_strips && s.index - stretch.points.start < stretch.baseline
    });
    broken.map(|s| s.index)
}

fn of_change(
    plan: &Plan,
    change: &BatchChange,
    control: &Result<Control, ControlError>,
) -> ChartNote {
    match &change.crossover {
        Err(why) => ChartNote::Untied {
            from: change.from.clone(),
            to: change.to.clone(),
            date: change.date,
            why: *why,
        },
        Ok(c) => ChartNote::Shifted {
            change: change.clone(),
            shift: c.shift,
            uncertainty: c.uncertainty,
            strips: (c.old_strips, c.new_strips),
            decimals: plan.decimals + 1,
            loose: c
                .uncertainty
                .is_ok_and(|u| control.as_ref().is_ok_and(|l| u.high - u.low > 2.0 * l.sigma)),
        },
    }
}
