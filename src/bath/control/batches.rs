//! Batches of control strips: which are tied to one another, and what of each is charted.

use super::ControlError;
use super::crossover::{Crossover, Day, of_days};
use super::plan::Sample;
use jiff::civil::Date;
use std::collections::{BTreeMap, HashMap};
use std::ops::Range;

/// How a batch of strips follows on another.
#[derive(Clone, Debug, PartialEq)]
pub struct BatchChange {
    /// The first strips of the new batch: place among the points of the chart, from 0.
    pub at: usize,
    /// Their date.
    pub date: Date,
    /// The batch before.
    pub from: String,
    /// The new batch.
    pub to: String,
    /// The shift from the one to the other, or why it is not known.
    pub crossover: Result<Crossover, ControlError>,
}

/// A value to be charted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Charted {
    pub date: Date,
    pub value: f64,
    pub shift: f64,
    pub strips: usize,
    pub sample: usize,
    /// Squares about the average of strips that are one value.
    pub squares: f64,
    /// Which bath it is of, from 0.
    pub bath: usize,
    /// Values are comparable within a group of tied batches.
    pub group: usize,
}

/// One batch: its shift from the first batch of its group.
struct Batch {
    name: String,
    shift: f64,
    group: usize,
    /// The batch that it is tied to, and the shift between the two.
    tie: Option<(usize, Result<Crossover, ControlError>)>,
    /// Where it is first charted.
    first: Option<(usize, Date)>,
}

/// Old and new readings of the days that two neighbouring batches share.
type Days = BTreeMap<(usize, usize), Vec<Day>>;

/// The values to chart, and the changes of batch.
///
/// On a day with strips of two batches in one bath, all strips of one group are one value, their
/// average. `fresh` has the places of the samples with which a fresh bath begins, in order.
pub(super) fn charted(samples: &[Sample], fresh: &[usize]) -> (Vec<Charted>, Vec<BatchChange>) {
    let (names, of) = named(samples);
    let days = days(samples, fresh);
    let mut batches = tied(names, &shared_days(samples, &of, &days));
    let mut points: Vec<Charted> = Vec::with_capacity(samples.len());
    for (bath, day) in days {
        let start = points.len();
        let crossing = of[day.clone()].iter().any(|b| *b != of[day.start]);
        for n in day {
            let (Sample { date, value, .. }, batch) = (&samples[n], &mut batches[of[n]]);
            let value = value - batch.shift;
            let known = points[start..].iter().position(|p| crossing && p.group == batch.group);
            let at = start + known.unwrap_or(points.len() - start);
            if known.is_some() {
                let point = &mut points[at];
                point.strips += 1;
                let off = value - point.value;
                point.value += off / point.strips as f64;
                point.squares += off * (value - point.value);
                point.shift = batch.shift;
            } else {
                points.push(Charted {
                    date: *date,
                    value,
                    shift: batch.shift,
                    strips: 1,
                    sample: n,
                    squares: 0.0,
                    bath,
                    group: batch.group,
                });
            }
            batch.first.get_or_insert((at, *date));
        }
    }
    (points, changes(batches))
}

/// The bath, and the places of the samples, of each day in one bath.
fn days(samples: &[Sample], fresh: &[usize]) -> Vec<(usize, Range<usize>)> {
    let bath = |n: usize| fresh.partition_point(|first| *first <= n);
    let mut days: Vec<(usize, Range<usize>)> = Vec::new();
    for (n, sample) in samples.iter().enumerate() {
        match days.last_mut() {
            Some((of, day)) if *of == bath(n) && samples[day.start].date == sample.date => {
                day.end = n + 1;
            }
            _ => days.push((bath(n), n..n + 1)),
        }
    }
    days
}

/// The batches in the order in which they appear, and for each sample the place of its own.
fn named(samples: &[Sample]) -> (Vec<String>, Vec<usize>) {
    let (mut names, mut places) = (Vec::new(), HashMap::new());
    let mut current = 0;
    let of = samples.iter().map(|sample| {
        if let Some(name) = &sample.batch {
            current = *places.entry(name.as_str()).or_insert_with(|| {
                names.push(name.clone());
                names.len() - 1
            });
        }
        current
    });
    let of = of.collect();
    if names.is_empty() {
        names.push(String::new());
    }
    (names, of)
}

/// The readings of days with strips of more than one batch, by neighbours in age.
fn shared_days(samples: &[Sample], of: &[usize], days: &[(usize, Range<usize>)]) -> Days {
    let mut shared = Days::new();
    for (_, day) in days {
        let mut by_batch: BTreeMap<usize, Vec<f64>> = BTreeMap::new();
        for n in day.clone() {
            by_batch.entry(of[n]).or_default().push(samples[n].value);
        }
        let present: Vec<(usize, Vec<f64>)> = by_batch.into_iter().collect();
        for pair in present.windows(2) {
            let day = Day { old: pair[0].1.clone(), new: pair[1].1.clone() };
            shared.entry((pair[0].0, pair[1].0)).or_default().push(day);
        }
    }
    shared
}

/// Ties each batch to the one before that it shares most strips with, if any.
fn tied(names: Vec<String>, shared: &Days) -> Vec<Batch> {
    let mut candidates: Vec<Vec<usize>> = vec![Vec::new(); names.len()];
    for &(old, new) in shared.keys() {
        candidates[new].push(old);
    }
    let strips =
        |days: &[Day]| -> usize { days.iter().map(|d| d.old.len().min(d.new.len())).sum() };
    let mut batches: Vec<Batch> = Vec::with_capacity(names.len());
    let mut groups = 0;
    for (b, name) in names.into_iter().enumerate() {
        let best = candidates[b].iter().max_by_key(|a| strips(&shared[&(**a, b)]));
        let tie = best.map(|&a| (a, of_days(&shared[&(a, b)])));
        let (shift, group) = match &tie {
            Some((a, Ok(crossover))) => (batches[*a].shift + crossover.shift, batches[*a].group),
            _ => {
                groups += 1;
                (0.0, groups - 1)
            }
        };
        batches.push(Batch { name, shift, group, tie, first: None });
    }
    batches
}

/// How every batch but the first follows on another.
fn changes(batches: Vec<Batch>) -> Vec<BatchChange> {
    let mut changes = Vec::with_capacity(batches.len().saturating_sub(1));
    for (b, batch) in batches.iter().enumerate().skip(1) {
        let Some((at, date)) = batch.first else {
            continue;
        };
        let (from, crossover) = match &batch.tie {
            Some((a, crossover)) => (*a, crossover.clone()),
            None => (b - 1, Err(ControlError::NoSharedDay)),
        };
        changes.push(BatchChange {
            at,
            date,
            from: batches[from].name.clone(),
            to: batch.name.clone(),
            crossover,
        });
    }
    changes
}

#[cfg(test)]
mod tests {
    use super::*;

    fn samples(rows: &[(i8, &str, f64)]) -> Vec<Sample> {
        let sample = |&(day, batch, value): &(i8, &str, f64)| Sample {
            date: Date::constant(2026, 3, day),
            value,
            batch: (!batch.is_empty()).then(|| batch.to_owned()),
        };
        rows.iter().map(sample).collect()
    }

    #[test]
    fn a_tied_batch_goes_on_from_the_one_before() {
        let rows = [
            (1, "A", 0.60),
            (2, "A", 0.61),
            (2, "A", 0.63),
            (2, "B", 0.67),
            (2, "B", 0.69),
            (3, "B", 0.66),
            (4, "", 0.65),
        ];
        let (points, changes) = charted(&samples(&rows), &[]);
        let values: Vec<f64> = points.iter().map(|p| p.value).collect();
        // Shift 0.06; the day of crossing is one value.
        for (value, expected) in values.iter().zip([0.60, 0.62, 0.60, 0.59]) {
            assert!((value - expected).abs() < 1e-12, "{values:?}");
        }
        assert_eq!((points[1].strips, points[2].sample, points[3].group), (4, 5, 0));
        let [change] = &changes[..] else { panic!("{changes:?}") };
        assert_eq!((change.at, change.from.as_str(), change.to.as_str()), (1, "A", "B"));
        assert!((points[3].value + points[3].shift - 0.65).abs() < 1e-12);
    }

    #[test]
    fn without_a_shared_day_a_batch_stands_alone() {
        let rows = [(1, "", 0.60), (2, "A", 0.61), (3, "B", 0.67), (4, "A", 0.6)];
        let (points, changes) = charted(&samples(&rows), &[]);
        let of: Vec<usize> = points.iter().map(|p| p.group).collect();
        assert_eq!(of, [0, 0, 1, 0]);
        assert_eq!(points[2].value, 0.67);
        assert_eq!(changes[0].crossover, Err(ControlError::NoSharedDay));
    }

    #[test]
    fn one_strip_of_each_does_not_give_a_shift() {
        let rows = [(1, "A", 0.60), (2, "A", 0.61), (2, "B", 0.67)];
        let (points, changes) = charted(&samples(&rows), &[]);
        assert_eq!((points.len(), points[2].group), (3, 1));
        assert_eq!(changes[0].crossover, Err(ControlError::FewToCross { old: 1, new: 1 }));
    }

    #[test]
    fn strips_of_two_baths_on_one_day_are_no_crossing() {
        let rows = [(1, "A", 0.60), (1, "A", 0.62), (1, "B", 0.67), (1, "B", 0.69)];
        let (points, changes) = charted(&samples(&rows), &[2]);
        let of: Vec<usize> = points.iter().map(|p| p.bath).collect();
        assert_eq!(of, [0, 0, 1, 1]);
        assert_eq!(changes[0].crossover, Err(ControlError::NoSharedDay));
        let (points, changes) = charted(&samples(&rows), &[]);
        assert!(points.len() == 1 && changes[0].crossover.is_ok());
        assert!((points[0].squares - 0.0004).abs() < 1e-12);
    }

    #[test]
    fn shifts_add_up_over_batches() {
        let mut rows = Vec::new();
        for (day, old, new, level) in [(1, "A", "B", 0.0), (2, "B", "C", 0.05)] {
            for off in [0.0, 0.01] {
                rows.push((day, old, 0.6 + level + off));
                rows.push((day, new, 0.65 + level + off));
            }
        }
        rows.push((3, "C", 0.70));
        let (points, changes) = charted(&samples(&rows), &[]);
        assert_eq!((changes.len(), points[2].group), (2, 0));
        assert!((points[2].shift - 0.1).abs() < 1e-12 && (points[2].value - 0.6).abs() < 1e-12);
    }
}
