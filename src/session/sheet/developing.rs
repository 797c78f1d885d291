//! How long to develop, at what temperature, and whether to wait for it.

use super::waiting::Ready;
use super::{Session, SessionError, Wait};
use crate::development::{Measure, Wanted};
use crate::measures::Quantity;
use crate::session::activity::{ActivitySource, BathActivity};
use crate::units::Celsius;
use crate::words::rounded_seconds;

/// Degrees of drift during development that are worth a word.
const DRIFT: f64 = 0.3;
/// Range of a scene in stops, where nobody says: N.
const USUAL_SCENE: f64 = 7.0;

/// Development.
#[derive(Clone, Debug, PartialEq)]
pub struct Developing {
    /// The contrast wanted.
    pub contrast: f64,
    /// What it is for, in words.
    pub aim: Option<String>,
    /// Measure of contrast.
    pub measure: Measure,
    /// Temperature of the developer when film goes in.
    pub celsius: Celsius,
    /// Activity of the developer.
    pub activity: BathActivity,
    /// Minutes in the developer; the interval counts what is uncertain of the activity too, where
    /// that is known.
    pub minutes: Quantity,
    /// The same as a clock has it, in seconds.
    pub seconds: u32,
    /// Exposure index that goes with it, where exposures are absolute.
    pub exposure_index: Option<Quantity>,
    /// Whether the time lies outside what was calibrated.
    pub extrapolated: bool,
    /// What to wait for.
    pub wait: Option<Wait>,
}

impl Session<'_> {
    /// Development, with notes on what is assumed in it.
    pub(super) fn developing(&self, notes: &mut Vec<String>) -> Result<Developing, SessionError> {
        let Ready { celsius, wait, cooling } = self.celsius(notes)?;
        let (contrast, aim) = self.contrast(notes)?;
        let measure = self.plan.aim.measure.unwrap_or(self.file.aims.measure);
        let activity = self.activity(notes);
        let wanted = Wanted {
            measure,
            contrast,
            celsius,
            activity: activity.value,
            extrapolate: self.extrapolate,
        };
        let adjusted =
            self.pairing.adjust(&wanted).map_err(|why| SessionError::No(why.to_string()))?;
        let minutes = widened(&adjusted.minutes, activity.ln_half_width());
        let Some(seconds) = rounded_seconds(minutes.value) else {
            return Err(SessionError::No(format!(
                "{:.1} minutes are no time of development: choose another temperature or dilution",
                minutes.value
            )));
        };
        notes.extend(adjusted.notes.iter().map(ToString::to_string));
        if let Some(cooling) = cooling {
            let end = cooling.after(celsius.get(), minutes.value);
            if (end - celsius.get()).abs() >= DRIFT {
                notes.push(format!(
                    "while film is in it the developer goes on to {end:.1} °C: put it in a water bath, or follow it with wedgebook drift"
                ));
            }
        }
        Ok(Developing {
            contrast,
            aim,
            measure,
            celsius,
            activity,
            minutes,
            seconds,
            exposure_index: adjusted.exposure_index,
            extrapolated: adjusted.extrapolated,
            wait,
        })
    }

    /// The contrast wanted, and what it is for.
    fn contrast(&self, notes: &mut Vec<String>) -> Result<(f64, Option<String>), SessionError> {
        let aim = &self.plan.aim;
        if let Some(contrast) = aim.contrast {
            return Ok((contrast, None));
        }
        let printing = &self.file.aims.printing;
        let stops = aim.scene_stops.unwrap_or(USUAL_SCENE);
        let contrast = printing.contrast(stops).ok_or_else(|| {
            SessionError::No(format!(
                "flare of {} leaves nothing of a scene of {stops} stops: state a contrast, or correct the flare in the pairing's aims",
                printing.flare()
            ))
        })?;
        notes.extend(printing.assumptions().iter().map(ToString::to_string));
        if aim.scene_stops.is_none() {
            notes.push(format!(
                "a scene of {USUAL_SCENE} stops is assumed, for the plan states no aim"
            ));
        }
        let label = crate::development::aim::development_label(stops);
        let label = label.map_or(String::new(), |l| format!(" ({l})"));
        let range = printing.range_r();
        let words = format!("a scene of {stops} stops{label} on paper of range R\u{a0}{range}");
        Ok((contrast, Some(words)))
    }

    /// The activity: as the plan states it, or as it is known, or that of a bath as calibrated.
    fn activity(&self, notes: &mut Vec<String>) -> BathActivity {
        if let Some(value) = self.plan.developer.activity {
            return BathActivity { value, interval: None, source: ActivitySource::Plan };
        }
        let known = self.activity.clone().unwrap_or(BathActivity::ASSUMED);
        match &known.source {
            ActivitySource::Assumed => notes.push(if self.journal.is_some() {
                "no control strip of this bath is in the journal: it is assumed to be as calibrated, activity 1".to_owned()
            } else {
                "a fresh developer is assumed to be as calibrated, activity 1".to_owned()
            }),
            ActivitySource::Strip {
                pairing: Some(other),
                verdict,
                ..
            } => {
                if !same_file(other, &self.plan.pairing) {
                    notes.push(format!(
                        "the activity is that of a strip held against another pairing, {other}"
                    ));
                }
                note_verdict(verdict, notes);
            }
            ActivitySource::Strip { verdict, .. } => note_verdict(verdict, notes),
            ActivitySource::Plan | ActivitySource::Estimate(_) => {}
        }
        known
    }
}

/// A verdict that time cannot mend is passed on.
fn note_verdict(verdict: &str, notes: &mut Vec<String>) {
    if ["replenish", "replace"].iter().any(|word| verdict.contains(word)) {
        notes.push(format!("the latest control strip was {verdict}; do that before film goes in"));
    }
}

/// Whether two paths name files of one name, as far as can be told from different folders.
fn same_file(one: &str, other: &std::path::Path) -> bool {
    std::path::Path::new(one).file_name() == other.file_name()
}

/// A quantity whose logarithm is uncertain by more than its own interval says: half-widths of
/// independent errors add up in squares.
fn widened(q: &Quantity, half: f64) -> Quantity {
    let own = (q.high / q.low).ln() / 2.0;
    let half = own.hypot(half);
    Quantity { value: q.value, low: q.value * (-half).exp(), high: q.value * half.exp() }
}
