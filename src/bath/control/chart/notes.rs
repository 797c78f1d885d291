//! What has to be known beside the numbers of a chart.

use super::{ChartSignal, Control, Plan, Point, Stretch};
use crate::bath::control::batches::BatchChange;
use crate::bath::control::individuals::SETTLED;
use crate::bath::control::rules::Rule;
use crate::bath::control::{ControlError, Uncertainty};
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
            Self::Rounded => f.write_str(
                "the first strips vary by less than half a unit of the last decimal: half a unit is assumed as their standard deviation",
            ),
            Self::OwnLimits(date) => write!(
                f,
                "the strip of {date} is beyond limits that it helped to make: if something was wrong then, leave it out"
            ),
            Self::Untied { from, to, date, why } => write!(
                f,
                "batch {to} from {date}: {why}; a step from batch {from} may as well be a change in the bath, so the limits begin anew"
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
) -> Vec<ChartNote> {
    let mut notes = Vec::new();
    let last = &stretches[stretches.len() - 1];
    match &last.control {
        Ok(control) => {
            if control.provisional {
                notes.push(ChartNote::Provisional { strips: control.values });
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

/// The first point beyond limits that itself is among the values they come from.
fn own_limits_broken(stretches: &[Stretch], signals: &[ChartSignal]) -> Option<usize> {
    let mut limits = signals.iter().filter(|s| s.rule == Rule::BeyondThree);
    let broken = limits.find(|s| {
        let place = stretches.partition_point(|t| t.points.end <= s.index);
        s.index - stretches[place].points.start < stretches[place].baseline
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
