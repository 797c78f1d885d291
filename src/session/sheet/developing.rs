//! How long to develop, at what temperature, and whether to wait for it.

use super::waiting::Ready;
use super::{NoSession, Session, SessionError, Wait};
use crate::development::{Measure, Wanted};
use crate::elementary::{exp, hypot, ln};
use crate::measures::Quantity;
use crate::session::activity::{ActivitySource, BathActivity};
use crate::session::notes::SessionNote;
use crate::units::Celsius;
use crate::words::rounded_seconds;
use std::fmt;

/// Degrees of drift during development from which a note is made.
const DRIFT: f64 = 0.3;
/// Range of a scene in stops, where nobody says: N.
const USUAL_SCENE: f64 = 7.0;

/// What a contrast is for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SceneAim {
    /// Range of the scene in stops.
    pub stops: f64,
    /// ISO range R of the paper.
    pub paper_range: f64,
}

impl SceneAim {
    /// The development that the scene asks for, as N or N+1.
    #[must_use]
    pub fn label(&self) -> Option<String> {
        crate::development::aim::development_label(self.stops)
    }
}

impl fmt::Display for SceneAim {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let label = self.label().map_or(String::new(), |l| format!(" ({l})"));
        write!(
            f,
            "a scene of {} stops{label} on paper of range R\u{a0}{}",
            self.stops, self.paper_range
        )
    }
}

/// Development.
#[derive(Clone, Debug, PartialEq)]
pub struct Developing {
    /// The contrast wanted.
    pub contrast: f64,
    /// The scene that it is for, where it follows from one.
    pub aim: Option<SceneAim>,
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
    pub(super) fn developing(
        &self,
        notes: &mut Vec<SessionNote>,
    ) -> Result<Developing, SessionError> {
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
        let adjusted = self.pairing.adjust(&wanted).map_err(NoSession::from)?;
        let minutes = widened(&adjusted.minutes, activity.ln_half_width());
        let Some(seconds) = rounded_seconds(minutes.value) else {
            return Err(NoSession::NoTime { minutes: minutes.value }.into());
        };
        notes.extend(adjusted.notes.iter().copied().map(SessionNote::Development));
        if let Some(cooling) = cooling {
            let end = cooling.after(celsius.get(), minutes.value);
            if (end - celsius.get()).abs() >= DRIFT {
                notes.push(SessionNote::Drifts { end });
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
    fn contrast(
        &self,
        notes: &mut Vec<SessionNote>,
    ) -> Result<(f64, Option<SceneAim>), SessionError> {
        let aim = &self.plan.aim;
        if let Some(contrast) = aim.contrast {
            return Ok((contrast, None));
        }
        let printing = &self.file.aims.printing;
        let stops = aim.scene_stops.unwrap_or(USUAL_SCENE);
        let flare = printing.flare_at(stops);
        let contrast = printing.contrast(stops).ok_or(NoSession::Flare { flare, stops })?;
        notes.extend(printing.assumptions_for(&[stops]).into_iter().map(SessionNote::Print));
        if aim.scene_stops.is_none() {
            notes.push(SessionNote::SceneAssumed { stops: USUAL_SCENE });
        }
        Ok((contrast, Some(SceneAim { stops, paper_range: printing.range_r() })))
    }

    /// The activity: as the plan states it, or as it is known, or that of a bath as calibrated.
    fn activity(&self, notes: &mut Vec<SessionNote>) -> BathActivity {
        if let Some(value) = self.plan.developer.activity {
            return BathActivity { value, interval: None, source: ActivitySource::Plan };
        }
        let known = self.activity.clone().unwrap_or(BathActivity::ASSUMED);
        match &known.source {
            ActivitySource::Assumed => notes.push(match self.journal {
                Some(_) => SessionNote::NoStrip,
                None => SessionNote::FreshAssumed,
            }),
            ActivitySource::Strip { pairing: Some(other), verdict, .. } => {
                if !same_file(other, &self.plan.pairing) {
                    notes.push(SessionNote::OtherPairing { pairing: other.clone() });
                }
                note_verdict(verdict, notes);
            }
            ActivitySource::Strip { verdict, .. } => note_verdict(verdict, notes),
            ActivitySource::Leader { .. } => notes.push(SessionNote::LeaderOnly),
            ActivitySource::Plan | ActivitySource::EarlierBaths => {}
        }
        known
    }
}

/// A verdict that another time does not correct is passed on.
fn note_verdict(verdict: &str, notes: &mut Vec<SessionNote>) {
    if ["replenish", "replace"].iter().any(|word| verdict.contains(word)) {
        notes.push(SessionNote::Verdict { verdict: verdict.to_owned() });
    }
}

/// Whether two paths name files of one name, as far as can be told from different folders.
fn same_file(one: &str, other: &std::path::Path) -> bool {
    std::path::Path::new(one).file_name() == other.file_name()
}

/// A quantity whose logarithm is uncertain by more than its own interval says: half-widths of
/// independent errors add up in squares.
fn widened(q: &Quantity, half: f64) -> Quantity {
    let own = ln(q.high / q.low) / 2.0;
    let half = hypot(own, half);
    Quantity { value: q.value, low: q.value * exp(-half), high: q.value * exp(half) }
}
