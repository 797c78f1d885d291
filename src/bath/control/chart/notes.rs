//! What has to be known beside the numbers of a chart.

use super::{ChartSignal, Control, Plan, Point, Stretch};
use crate::bath::control::batches::BatchChange;
use crate::bath::control::individuals::SETTLED;
use crate::bath::control::rules::Rule;
use crate::words::number as shown;

pub(super) fn notes(
    plan: &Plan,
    points: &[Point],
    stretches: &[Stretch],
    signals: &[ChartSignal],
    changes: &[BatchChange],
) -> Vec<String> {
    let mut notes = Vec::new();
    let last = &stretches[stretches.len() - 1];
    match &last.control {
        Ok(control) => of_limits(control, &mut notes),
        Err(why) => notes.push(why.clone()),
    }
    if let Some(first) = own_limits_broken(stretches, signals) {
        notes.push(format!(
            "the strip of {} is beyond limits that it helped to make: if something was wrong then, leave it out",
            points[first].date
        ));
    }
    for change in changes {
        notes.push(of_change(plan, change, &last.control));
    }
    notes
}

fn of_limits(control: &Control, notes: &mut Vec<String>) {
    if control.provisional {
        notes.push(format!(
            "limits are provisional: they come from {} strips of the {SETTLED} that settle them",
            control.values
        ));
    }
    if control.rounded {
        notes.push(
            "the first strips vary by less than half a unit of the last decimal, which is assumed as their standard deviation"
                .to_owned(),
        );
    }
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

fn of_change(plan: &Plan, change: &BatchChange, control: &Result<Control, String>) -> String {
    let (from, to, date) = (&change.from, &change.to, change.date);
    match &change.crossover {
        Err(why) => format!(
            "batch {to} from {date}: {why}; a step from batch {from} cannot be told from a change in the bath, so its limits begin anew"
        ),
        Ok(c) => {
            let number = |v| shown(v, plan.decimals + 1);
            let mut note = format!(
                "batch {to} reads {} {} than batch {from}",
                number(c.shift.abs()),
                if c.shift < 0.0 { "lower" } else { "higher" },
            );
            match &c.uncertainty {
                Ok(u) => note.push_str(&format!(
                    " (shift {}, 95 % interval {} to {}",
                    number(c.shift),
                    number(u.low),
                    number(u.high)
                )),
                Err(why) => note.push_str(&format!(" ({why}")),
            }
            note.push_str(&format!(
                "; {} + {} strips of {date}) and is charted without that",
                c.old_strips, c.new_strips
            ));
            let loose = |u: &super::super::Uncertainty| {
                control.as_ref().is_ok_and(|l| u.high - u.low > 2.0 * l.sigma)
            };
            if c.uncertainty.as_ref().is_ok_and(loose) {
                note.push_str(
                    ": it is known no better than one strip, so a small step there may be its own error",
                );
            }
            note
        }
    }
}
