//! The chart of one quantity: values, limits, and what fires.

mod check;
mod judge;
mod notes;
mod state;
mod stretch;

use super::ControlError;
use super::batches::{BatchChange, charted};
use super::plan::{Basis, Plan, Sample, Tolerance};
use super::rules::Rule;
use jiff::civil::Date;
use std::ops::Range;

pub use notes::ChartNote;
pub use state::ChartState;
pub use stretch::{ASSUMED_STRIPS, Control, LEAST_STRIPS};

/// A value on the chart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Day of development.
    pub date: Date,
    /// The value, as it would have been on strips of the first batch; where strips of two batches
    /// were developed for crossing over, the average of all of them.
    pub value: f64,
    /// What was taken off the reading for its batch: `value + shift` is what was read.
    pub shift: f64,
    /// Strips that the value comes from.
    pub strips: usize,
    /// Place of the (first) sample, from 0.
    pub sample: usize,
    /// Step from the value before, in the same stretch.
    pub moving_range: Option<f64>,
    /// The weighted average, where there is a centre or an aim to begin from.
    pub average: Option<f64>,
    /// Cumulative sum of what lies above the centre, and below it; they begin again after a signal.
    pub sums: Option<(f64, f64)>,
}

/// Points in a row that are judged by the same limits, without a fresh bath between them.
#[derive(Clone, Debug, PartialEq)]
pub struct Stretch {
    /// Places of its points.
    pub points: Range<usize>,
    /// Centre and control limits, or why there are none.
    pub control: Result<Control, ControlError>,
    /// Aim and tolerances, if any: those of the plan. An aim is never made from strips.
    pub tolerance: Option<Tolerance>,
    /// How many of its points, from its first, the scatter comes from.
    pub baseline: usize,
}

/// A rule that is broken at a point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ChartSignal {
    /// Place of the point, from 0.
    pub index: usize,
    /// Its date.
    pub date: Date,
    /// The rule; [`Rule::words`] tells it.
    pub rule: Rule,
}

/// How the bath stands at the last strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Nothing fires.
    Steady,
    /// Something has changed, but the strip is still good: a rule fires within the tolerance, or,
    /// where none is laid down, within the control limits.
    Watch,
    /// The strip is out of its tolerance or, where none is laid down, beyond the control limits.
    Out,
}

/// The control chart of one quantity of one bath.
///
/// A user asks three things of it: is the strip good, has the bath changed, and since when. So it
/// judges every strip by the tolerance (if one is laid down) and, apart from that, by limits whose
/// width is the scatter from strip to strip: three standard deviations, weighted average, cumulative
/// sums, trend and, where the plan has them, run rules and moving range. The scatter comes from the
/// steps between strips of the same bath, less their mean, so that a loss does not widen the limits.
///
/// About an aim, 1 to 2 of 100 strips of a steady bath break some rule (simulated), and a loss of one
/// standard deviation per strip is found at the third strip: one signal is a reason to develop another
/// strip, not to discard a bath. About a centre from its own first strips, a bath that loses strength
/// from the first strip on is only found by its trend.
///
/// ```
/// use jiff::civil::date;
/// use wedgebook::bath::control::{Chart, Plan, Sample, Standing};
///
/// let strip = |day: i8, value: f64| Sample { date: date(2026, 3, day), value, batch: None };
/// let readings = [0.61, 0.63, 0.62, 0.61, 0.62, 0.63, 0.62];
/// let mut strips: Vec<Sample> = (1..).zip(readings).map(|(day, v)| strip(day, v)).collect();
/// let plan = Plan::new("contrast index", 2);
/// assert_eq!(Chart::new(plan.clone(), &strips)?.standing(), Ok(Standing::Steady));
///
/// strips.push(strip(9, 0.71));
/// let chart = Chart::new(plan, &strips)?;
/// assert_eq!(chart.standing(), Ok(Standing::Out));
/// assert!(chart.notes()[0].to_string().contains("provisional"));
/// # Ok::<(), wedgebook::bath::control::ControlError>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Chart {
    plan: Plan,
    points: Vec<Point>,
    stretches: Vec<Stretch>,
    signals: Vec<ChartSignal>,
    changes: Vec<BatchChange>,
    notes: Vec<ChartNote>,
    current: bool,
}

impl Chart {
    /// Charts control strips that are in the order of time, in time proportional to their number.
    ///
    /// The scatter comes from the first 20 values of a bath, or all there are below that, and a centre
    /// that is not an aim from the same (at least [`LEAST_STRIPS`]). With an aim, an assumed scatter
    /// counts as [`ASSUMED_STRIPS`] strips more; [`Chart::notes`] says so. A fresh bath begins anew:
    /// strips of an earlier one never judge it. After a change of batch the values are shifted by
    /// the crossover difference, and the chart goes on; where strips of both batches share no day
    /// (or just one strip each), the step may as well be a change in the bath: the chart begins
    /// anew. A batch that comes back in the same bath is judged by its old limits.
    ///
    /// # Errors
    /// For no strips, strips out of order, values that are no numbers or beyond ±10⁹, and a plan
    /// with impossible numbers.
    pub fn new(plan: Plan, samples: &[Sample]) -> Result<Self, ControlError> {
        check::check(&plan, samples)?;
        let (charted, changes) = charted(samples, &plan.fresh);
        let stretches = stretch::divided(&plan, &charted);
        let (points, signals) = judge::judged(&plan, &charted, &stretches)?;
        let current = plan.fresh.last().is_none_or(|first| *first < samples.len());
        let notes = notes::notes(&plan, &points, &stretches, &signals, &changes, current);
        Ok(Self { plan, points, stretches, signals, changes, notes, current })
    }

    /// The plan that it was made by.
    #[must_use]
    pub const fn plan(&self) -> &Plan {
        &self.plan
    }

    /// The points in the order of time; there is one at least.
    #[must_use]
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The stretches in the order of time.
    #[must_use]
    pub fn stretches(&self) -> &[Stretch] {
        &self.stretches
    }

    /// All that fires, in the order of time.
    #[must_use]
    pub fn signals(&self) -> &[ChartSignal] {
        &self.signals
    }

    /// The changes of batch.
    #[must_use]
    pub fn changes(&self) -> &[BatchChange] {
        &self.changes
    }

    /// What has to be known beside the numbers: limits that are provisional or assumed, shifts
    /// between batches.
    #[must_use]
    pub fn notes(&self) -> &[ChartNote] {
        &self.notes
    }

    /// The last point.
    #[must_use]
    pub fn last(&self) -> &Point {
        &self.points[self.points.len() - 1]
    }

    /// The stretch of the last point.
    #[must_use]
    pub fn last_stretch(&self) -> &Stretch {
        &self.stretches[self.stretches.len() - 1]
    }

    /// Whether the last strip is of the present bath: no fresh one was mixed after it.
    #[must_use]
    pub const fn is_of_this_bath(&self) -> bool {
        self.current
    }

    /// What fires at the last point; nothing where that is of an earlier bath.
    #[must_use]
    pub fn last_signals(&self) -> &[ChartSignal] {
        if !self.current {
            return &[];
        }
        let before = self.signals.partition_point(|s| s.index + 1 < self.points.len());
        &self.signals[before..]
    }

    /// How the bath stands at the last strip, or why that is not known.
    ///
    /// # Errors
    /// Where there are neither control limits nor a tolerance to judge by, and where no strip of
    /// the present bath was read.
    pub fn standing(&self) -> Result<Standing, ControlError> {
        if !self.current {
            return Err(ControlError::NoStripOfBath);
        }
        let Stretch { control, tolerance, .. } = self.last_stretch();
        if let (Err(why), None) = (control, tolerance) {
            return Err(*why);
        }
        let out = |rule: Rule| match rule {
            Rule::AboveTolerance | Rule::BelowTolerance => true,
            Rule::BeyondThree => tolerance.is_none(),
            _ => false,
        };
        let now = self.last_signals();
        Ok(if now.iter().any(|s| out(s.rule)) {
            Standing::Out
        } else if now.is_empty() {
            Standing::Steady
        } else {
            Standing::Watch
        })
    }

    /// Whether nothing fires at the last strip; `None` where that is not known.
    #[must_use]
    pub fn in_control(&self) -> Option<bool> {
        self.standing().ok().map(|standing| standing == Standing::Steady)
    }

    /// The date since which every strip of this bath up to the last has broken some rule.
    #[must_use]
    pub fn since(&self) -> Option<Date> {
        let mut since = None;
        let mut next = self.points.len();
        let first = self.last_stretch().points.start;
        for signal in self.signals.iter().rev() {
            if !self.current || signal.index + 1 < next || signal.index < first {
                break;
            }
            (since, next) = (Some(signal.date), signal.index);
        }
        since
    }
}
