//! Events gathered into steps, and steps into stretches over which the coefficients are the same.

use super::event::check;
use super::filter::State;
use super::{Assumptions, Event, EventKind, ForecastError};

/// Strips after which a bath that goes on is cut into a further stretch.
const LONGEST_STRETCH: usize = 100;

/// Use and age, and what came then.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Step {
    /// Film, in m² per litre of bath.
    pub m2_per_litre: f64,
    /// Days.
    pub days: f64,
    /// Day at its end.
    pub day: f64,
    /// What came then.
    pub then: Then,
}

/// What ends a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Then {
    /// A strip.
    Strip { ln_activity: f64, sd: f64 },
    /// a becomes keep·a + fresh·s.
    Mix { keep: f64, fresh: f64 },
    /// Nothing: the stretch is over.
    Nothing,
}

/// Steps over which the coefficients are the same.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Stretch {
    /// Whether it begins with a new bath; otherwise the bath of the stretch before goes on.
    pub new_bath: bool,
    /// The steps.
    pub steps: Vec<Step>,
    /// How many of them are strips.
    pub strips: usize,
    /// Use and days until the last strip.
    pub until_last_strip: (f64, f64),
}

/// All stretches until now, and what else the events tell.
pub(super) struct History {
    pub stretches: Vec<Stretch>,
    /// What is known of a new bath.
    pub fresh: State,
    /// Litres now; `None` where the bath was thrown away.
    pub litres: Option<f64>,
    /// Day on which the present bath was mixed.
    pub mixed: f64,
    /// Stretch with which the present bath begins.
    pub present: usize,
    /// Day of the last strip of the present bath.
    pub last_strip: Option<f64>,
    /// Whether the present bath was replenished.
    pub replenished: bool,
}

/// The stretch in the making.
#[derive(Default)]
struct Gatherer {
    stretches: Vec<Stretch>,
    open: Stretch,
    m2_per_litre: f64,
    /// Day until which days have been counted.
    counted: f64,
    totals: (f64, f64),
}

impl Gatherer {
    fn end_step(&mut self, day: f64, then: Then) {
        let days = day - self.counted;
        self.totals.0 += self.m2_per_litre;
        self.totals.1 += days;
        let step = Step { m2_per_litre: self.m2_per_litre, days, day, then };
        self.open.steps.push(step);
        if matches!(then, Then::Strip { .. }) {
            self.open.strips += 1;
            self.open.until_last_strip = self.totals;
        }
        (self.m2_per_litre, self.counted) = (0.0, day);
    }

    fn begin(&mut self, day: f64, new_bath: bool) {
        let open = std::mem::replace(&mut self.open, Stretch { new_bath, ..Stretch::default() });
        if !open.steps.is_empty() {
            self.stretches.push(open);
        }
        (self.m2_per_litre, self.counted, self.totals) = (0.0, day, (0.0, 0.0));
    }
}

/// Gathers the events until `now`. Use and days between two strips or replenishments add up to one
/// step, which loses nothing: means and variances of losses add.
pub(super) fn stretches(
    events: &[Event],
    assumptions: &Assumptions,
    now: f64,
) -> Result<History, ForecastError> {
    check_assumptions(assumptions)?;
    check(events, now)?;
    let mut gather = Gatherer::default();
    let mut litres = None;
    let (mut mixed, mut present, mut last_strip, mut replenished) = (now, 0, None, false);
    for (index, event) in events.iter().enumerate() {
        let day = event.day;
        if let EventKind::Mix { litres: volume } = event.kind {
            gather.begin(day, true);
            (litres, mixed, present) = (Some(volume), day, gather.stretches.len());
            (last_strip, replenished) = (None, false);
            continue;
        }
        let Some(volume) = litres.as_mut() else {
            return Err(ForecastError::NoBath { index, day, what: event.kind.name() });
        };
        match event.kind {
            EventKind::Film { area_m2 } => gather.m2_per_litre += area_m2 / *volume,
            EventKind::Replenish { added_ml, removed_ml } => {
                let left = *volume - 1e-3 * removed_ml;
                let after = left + 1e-3 * added_ml;
                if !(left >= 0.0 && after > 0.0) {
                    return Err(ForecastError::Emptied { index, day, removed_ml, litres: *volume });
                }
                *volume = after;
                if added_ml > 0.0 {
                    replenished = true;
                    let keep = left / after;
                    gather.end_step(day, Then::Mix { keep, fresh: 1.0 - keep });
                }
            }
            EventKind::Strip { ln_activity, sd } | EventKind::Leader { ln_activity, sd } => {
                gather.end_step(day, Then::Strip { ln_activity, sd });
                last_strip = Some(day);
                if gather.open.strips == LONGEST_STRETCH {
                    gather.begin(day, false);
                }
            }
            EventKind::Discard => litres = None,
            EventKind::Mix { .. } => {}
        }
    }
    if litres.is_some() {
        gather.end_step(now, Then::Nothing);
    }
    gather.begin(now, false);
    Ok(History {
        stretches: gather.stretches,
        fresh: State {
            x: 0.0,
            s: assumptions.replenisher,
            xx: assumptions.mixing_sd.powi(2),
            xs: 0.0,
            ss: assumptions.replenisher_sd.powi(2),
        },
        litres,
        mixed,
        present,
        last_strip,
        replenished,
    })
}

fn check_assumptions(a: &Assumptions) -> Result<(), ForecastError> {
    let priors = [a.loss_by_use, a.loss_by_age, a.dispersion];
    let fault = if priors
        .iter()
        .any(|p| !(p.median > 0.0 && p.median < 1e6 && p.log_sd > 0.0 && p.log_sd <= 3.0))
    {
        "a prior needs a positive median and a log standard deviation between 0 and 3"
    } else if !(1e-4..=1.0).contains(&a.mixing_sd) {
        "the error of mixing must lie between 0.0001 and 1"
    } else if !(0.05..=20.0).contains(&a.replenisher) {
        "the strength of the replenisher must lie between 0.05 and 20"
    } else if !(0.005..=5.0).contains(&a.replenisher_sd) {
        "the standard deviation of the replenisher's strength must lie between 0.005 and 5"
    } else if [a.wander_use, a.wander_age].iter().any(|w| !(0.0..=2.0).contains(w)) {
        "the wandering of a coefficient from bath to bath must lie between 0 and 2"
    } else {
        return Ok(());
    };
    Err(ForecastError::Assumption(fault))
}
