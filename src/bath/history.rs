//! From a journal to its control charts and to the events that a forecast follows.

use super::control::{Aim, Basis, Chart, ControlError, Plan, SETTLED, Sample};
use super::forecast::{Event, EventKind};
use super::journal::{Act, Entry, Journal, LeaderResult, StripResult};
use super::limits::{Allowed, Limits, LimitsFrom};
use super::watched::Watched;
use crate::elementary::{hypot, ln};
use crate::numerics::chance::NORMAL_95;
use jiff::civil::Date;

/// Standard deviation of ln a from strip to strip, of timing and agitation by hand, beside what a
/// strip's own interval says (assumed; common practice, no source).
pub const HAND: f64 = 0.01;
/// Standard deviation of ln a of a strip that was entered without an interval (assumed).
pub const UNSTATED: f64 = 0.03;
/// Standard deviation of ln a of a piece of leader that was entered without an interval (assumed; common
/// practice, no source).
pub const LEADER_UNSTATED: f64 = 0.08;

/// What a strip has of something watched.
fn of(watched: Watched, strip: &StripResult) -> Option<f64> {
    match watched {
        Watched::Activity => strip.activity,
        Watched::Contrast => strip.contrast_off,
        Watched::BasePlusFog => strip.base_plus_fog_off,
        Watched::Speed => strip.speed_gain_log_h,
        Watched::LowDensity => strip.low_density_off,
        Watched::HighDensity => strip.high_density_off,
        Watched::DensityDifference => Some(strip.high_density_off? - strip.low_density_off?),
        Watched::MidDensity => None,
    }
}

/// The strips of some entries that have a quantity: place among the entries, and sample.
fn samples(entries: &[Entry], watched: Watched) -> Vec<(usize, Sample)> {
    let one = |(at, entry): (usize, &Entry)| {
        let Act::Strip(strip) = &entry.act else {
            return None;
        };
        let sample =
            Sample { date: entry.date, value: of(watched, strip)?, batch: strip.batch.clone() };
        Some((at, sample))
    };
    entries.iter().enumerate().filter_map(one).collect()
}

/// The entries of a journal up to a day.
#[must_use]
pub fn until(journal: &Journal, day: Date) -> &[Entry] {
    let count = journal.entries.partition_point(|e| e.date <= day);
    &journal.entries[..count]
}

/// What a strip of a bath as calibrated reads (activity 1, all else no deviation), with the standard
/// deviation from strip to strip that is assumed as long as a bath has few.
///
/// That of the activity is [`HAND`] beside what the strips' own intervals say ([`UNSTATED`] without
/// them). The others are those of strips with about 20 readings of one densitometer, developed by hand
/// (assumed; common practice, no source), in density, contrast and log exposure.
fn aim(watched: Watched, entries: &[Entry]) -> Aim {
    let (value, sigma, uncertainty) = match watched {
        Watched::Activity => (1.0, activity_sigma(entries), 0.007),
        Watched::Contrast => (0.0, 0.007, 0.004),
        Watched::BasePlusFog => (0.0, 0.007, 0.005),
        Watched::Speed => (0.0, 0.03, 0.025),
        Watched::LowDensity | Watched::MidDensity => (0.0, 0.012, 0.008),
        Watched::HighDensity | Watched::DensityDifference => (0.0, 0.015, 0.008),
    };
    Aim { value, sigma, uncertainty }
}

/// The assumed standard deviation of a's readings, by the intervals of this bath's first strips.
fn activity_sigma(entries: &[Entry]) -> f64 {
    let own: Vec<f64> = this_bath(entries)
        .iter()
        .filter_map(|entry| match &entry.act {
            Act::Strip(strip) if strip.activity.is_some() => Some(own_sd(strip)),
            _ => None,
        })
        .take(SETTLED)
        .collect();
    let own = match own.len() {
        0 => UNSTATED,
        n => own.iter().sum::<f64>() / n as f64,
    };
    hypot(own, HAND)
}

/// The entries since the last mix.
fn this_bath(entries: &[Entry]) -> &[Entry] {
    let mixed = entries.iter().rposition(|e| matches!(e.act, Act::Mix { .. }));
    &entries[mixed.unwrap_or(0)..]
}

/// Standard deviation of ln a by a strip's own interval.
fn own_sd(strip: &StripResult) -> f64 {
    sd_of(strip.activity_low, strip.activity_high).unwrap_or(UNSTATED)
}

/// Standard deviation of ln a by a 95 % interval.
fn sd_of(low: Option<f64>, high: Option<f64>) -> Option<f64> {
    let (low, high) = low.zip(high).filter(|(low, _)| *low > 0.0)?;
    Some(ln(high / low) / (2.0 * NORMAL_95))
}

/// ln a of a piece of leader and its standard deviation. The slips of the hand are in its interval.
fn of_leader(leader: &LeaderResult) -> Option<(f64, f64)> {
    let activity = leader.activity.filter(|a| *a > 0.0)?;
    let sd = sd_of(leader.activity_low, leader.activity_high).unwrap_or(LEADER_UNSTATED);
    Some((ln(activity), sd.max(HAND)))
}

/// The control chart of a quantity: deviations from aim about 0 with the tolerances of `limits`, so
/// that strips of different times and temperatures stand on one chart; activity by itself about 1.
/// Strips of an earlier bath are charted by their own limits and never judge this one.
///
/// # Errors
/// Where no strip has it or no chart can be made of it.
pub fn chart(
    entries: &[Entry],
    watched: Watched,
    limits: &Limits,
    basis: Basis,
) -> Result<Chart, ControlError> {
    let found = samples(entries, watched);
    if found.is_empty() {
        return Err(ControlError::NoStrips);
    }
    let aim = aim(watched, entries);
    let mut plan = Plan::new(&watched.charted_name(), 3).about(aim).based_on(basis);
    if let Some(allowed) = limits.of(watched) {
        plan = plan.with_tolerance(0.0, *allowed);
    }
    plan.fresh = fresh(entries, &found);
    let samples: Vec<Sample> = found.into_iter().map(|s| s.1).collect();
    Chart::new(plan, &samples)
}

/// Limits from a bath's own strips since its mix: three standard deviations from strip to strip
/// (moving ranges without their trend, the first 20 strips), either way of the aim; base plus fog only
/// above it.
///
/// # Errors
/// Where the strips are too few.
pub fn limits(entries: &[Entry]) -> Result<Limits, ControlError> {
    let mut limits = None;
    for watched in Watched::CHARTED.into_iter().filter(|w| *w != Watched::Activity) {
        let own = samples(this_bath(entries), watched);
        let samples: Vec<Sample> = own.into_iter().map(|s| s.1).collect();
        let plan = Plan::new(&watched.charted_name(), 3);
        let chart = match Chart::new(plan, &samples) {
            Ok(chart) => chart,
            Err(_) if watched != Watched::Contrast => continue,
            Err(why) => return Err(why),
        };
        let first = &chart.stretches()[0];
        let control = first.control.as_ref().map_err(|why| *why)?;
        let far = 3.0 * control.sigma;
        let allowed = match watched {
            Watched::BasePlusFog => Allowed::new(None, Some(far)),
            _ => Allowed::symmetric(far),
        };
        let Ok(allowed) = allowed else { continue };
        let from = LimitsFrom::History { strips: control.values, provisional: control.provisional };
        limits.get_or_insert_with(|| Limits::new(from)).set(watched, allowed);
    }
    limits.ok_or(ControlError::NoStrips)
}

/// The samples with which a fresh bath begins, and their number where no strip followed the last mix
/// or the bath was discarded.
fn fresh(entries: &[Entry], samples: &[(usize, Sample)]) -> Vec<usize> {
    let ends = |(at, entry): (usize, &Entry)| match entry.act {
        Act::Mix { .. } | Act::Discard => Some(samples.partition_point(|s| s.0 < at)),
        _ => None,
    };
    entries.iter().enumerate().filter_map(ends).collect()
}

/// The events of a bath's life, with the day that days are counted from.
#[derive(Clone, Debug, PartialEq)]
pub struct BathHistory {
    /// The events, in their order.
    pub events: Vec<Event>,
    origin: Date,
}

impl BathHistory {
    /// The events of some entries. Strips of one batch are corrected by the step from the batch
    /// before, where strips of both were developed together.
    #[must_use]
    pub fn of(entries: &[Entry]) -> Option<Self> {
        let origin = entries.first()?.date;
        let mut strips = strips(entries).into_iter().peekable();
        let mut events = Vec::with_capacity(entries.len());
        for (at, entry) in entries.iter().enumerate() {
            let day = days(origin, entry.date);
            let kind = match &entry.act {
                Act::Mix { litres, .. } => EventKind::Mix { litres: *litres },
                Act::Film { area_m2, .. } => EventKind::Film { area_m2: *area_m2 },
                Act::Replenish { added_ml, removed_ml } => {
                    EventKind::Replenish { added_ml: *added_ml, removed_ml: *removed_ml }
                }
                Act::Strip(_) => match strips.next_if(|(place, ..)| *place == at) {
                    Some((_, ln_activity, sd)) => EventKind::Strip { ln_activity, sd },
                    None => continue,
                },
                // Evidence of the activity, of another kind: no chart has it, the bath's life does.
                Act::Leader(leader) => match of_leader(leader) {
                    Some((ln_activity, sd)) => EventKind::Leader { ln_activity, sd },
                    None => continue,
                },
                Act::Note => continue,
                Act::Discard => EventKind::Discard,
            };
            events.push(Event { day, kind });
        }
        Some(Self { events, origin })
    }

    /// A date as a day of this life.
    #[must_use]
    pub fn day(&self, date: Date) -> f64 {
        days(self.origin, date)
    }

    /// The date of a day of this life.
    #[must_use]
    pub fn date(&self, day: f64) -> Date {
        let span = jiff::Span::new().days(day.clamp(0.0, 1e6).floor() as i64);
        self.origin.saturating_add(span)
    }
}

fn days(from: Date, to: Date) -> f64 {
    f64::from((to - from).get_days())
}

/// Place among the entries, ln a and its standard deviation of each strip. Strips of two batches
/// that were developed for crossing over are one, their average.
fn strips(entries: &[Entry]) -> Vec<(usize, f64, f64)> {
    let samples = samples(entries, Watched::Activity);
    let plain: Vec<Sample> = samples.iter().map(|s| s.1.clone()).collect();
    let plan = Plan { fresh: fresh(entries, &samples), ..Plan::new(Watched::Activity.name(), 3) };
    let Ok(chart) = Chart::new(plan, &plain) else {
        return Vec::new();
    };
    let points = chart.points().iter();
    points
        .filter(|p| p.value > 0.0)
        .map(|p| {
            let at = samples[p.sample].0;
            let Act::Strip(strip) = &entries[at].act else {
                return (at, ln(p.value), UNSTATED);
            };
            let sd = hypot(own_sd(strip), HAND) / (p.strips.max(1) as f64).sqrt();
            (at, ln(p.value), sd)
        })
        .collect()
}
