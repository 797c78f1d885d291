//! Does a bath still develop to spec, and if not, can a longer time restore it?

mod action;
mod cause;
mod error;
mod own;
mod watched;

pub use action::Action;
pub use cause::Change;
pub use error::VerifyError;
pub use own::pairing_limits;
pub use watched::{Watched, WatchedReading};

use super::activity::{Explained, Freedom, explain};
use super::limits::{Limits, Verdict};
use crate::curve::Observations;
use crate::development::{Development, Expectation, Measure, Pairing};
use crate::measures::{Measured, Quantity, StripAnalysis};
use crate::readings::ExposureScale;
use crate::units::{Celsius, Minutes};
use cause::Diagnosis;

/// A control strip: exposed through the tablet, developed, read.
#[derive(Clone, Copy, Debug)]
pub struct ControlStrip<'a> {
    /// Its readings and curve; a strip with too few steps for a curve of its own will do.
    pub analysis: &'a StripAnalysis,
    /// How long it was developed.
    pub minutes: Minutes,
    /// At what temperature.
    pub celsius: Celsius,
}

/// One step of a control strip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// log10 of exposure; −∞ for the unexposed film.
    pub x: f64,
    /// Density read.
    pub density: f64,
    /// Density expected of a bath as calibrated.
    pub aim: f64,
    /// Standard error of the difference of the two.
    pub sd: f64,
}

/// What a control strip says of a bath.
#[derive(Clone, Debug)]
pub struct Verification {
    /// The bath's activity: 1 as calibrated.
    pub activity: Quantity,
    /// What is watched, against its aim and its limits.
    pub watched: Vec<WatchedReading>,
    /// Whether all that has limits lies within them.
    pub in_spec: bool,
    /// What differs from the pairing besides the activity.
    pub change: Change,
    /// Whether a time can be found at which the bath gives what it gave.
    pub time_can_restore: bool,
    /// That time, or why there is none.
    pub minutes_to_restore: Measured<String>,
    /// What to do.
    pub action: Action,
    /// Why, in a sentence.
    pub why: String,
    /// Densities step by step, for a figure.
    pub steps: Vec<Step>,
    /// (log exposure, aim, density as explained) along the strip.
    pub curves: Vec<(f64, f64, f64)>,
    /// What to know about it.
    pub notes: Vec<String>,
}

/// How a bath is verified.
#[derive(Clone, Debug)]
pub struct Verifier<'a> {
    /// The pairing that the bath is held against.
    pub pairing: &'a Pairing,
    /// The measure of contrast that is watched.
    pub measure: Measure,
    /// How far what is watched may lie from its aim.
    pub limits: Limits,
}

impl Verifier<'_> {
    /// Verifies a bath from one control strip.
    ///
    /// # Errors
    /// [`VerifyError`] where the strip cannot be held against the pairing.
    pub fn verify(&self, strip: &ControlStrip) -> Result<Verification, VerifyError> {
        self.check_scales(strip)?;
        let development = self.pairing.development(strip.minutes, strip.celsius);
        let expectation =
            Expectation::near(self.pairing, development.theta).ok_or(VerifyError::NoSurface)?;
        let o = observations(strip.analysis);
        if o.used() < 2 {
            return Err(VerifyError::TooFew { found: o.used() });
        }
        let alone = explain(&expectation, &o, development, Freedom::Activity, None)
            .ok_or(VerifyError::Unexplained)?;
        let freely = explain(&expectation, &o, development, Freedom::FogAndSpeed, Some(&alone));
        let diagnosis = Diagnosis::of(&o, alone, freely, &expectation)?;
        let activity = diagnosis.activity();
        let seen = watched::Evidence {
            verifier: self,
            analysis: strip.analysis,
            expectation: &expectation,
            observations: &o,
            development,
            diagnosis: &diagnosis,
        };
        let mut watched = seen.all();
        let mut notes = diagnosis.notes(&seen);
        if diagnosis.exposed_more() {
            // More speed at equal contrast is no bath's doing: the strip does not tell its speed.
            for w in watched.iter_mut().filter(|w| w.what == Watched::Speed) {
                w.verdict = None;
            }
        }
        if watched.iter().all(|w| w.verdict.is_none()) {
            return Err(VerifyError::NothingToJudge);
        }
        let in_spec = watched.iter().all(|w| w.verdict.is_none_or(|v| v == Verdict::Within));
        let (time_can_restore, reason) = diagnosis.restorable(&self.limits);
        let minutes_to_restore = restoring_minutes(strip.minutes, &activity, reason);
        let time_can_restore = time_can_restore && minutes_to_restore.is_ok();
        let (action, why) = action::choose(&action::Case {
            in_spec,
            diagnosis: &diagnosis,
            activity: &activity,
            restore: minutes_to_restore.as_ref().ok(),
            minutes: strip.minutes,
            watched: &watched,
        });
        notes.extend(self.notes(development, &activity, &watched));
        Ok(Verification {
            steps: steps(&expectation, &o, development),
            curves: curves(&expectation, &o, development, diagnosis.held()),
            activity,
            watched,
            in_spec,
            change: diagnosis.change,
            time_can_restore,
            minutes_to_restore,
            action,
            why,
            notes,
        })
    }

    fn check_scales(&self, strip: &ControlStrip) -> Result<(), VerifyError> {
        let absolute = strip.analysis.strip.scale == ExposureScale::Absolute;
        match (absolute, self.pairing.absolute) {
            (false, true) => Err(VerifyError::RelativeStrip),
            (true, false) => Err(VerifyError::RelativePairing),
            _ => Ok(()),
        }
    }

    fn notes(
        &self,
        development: Development,
        activity: &Quantity,
        watched: &[WatchedReading],
    ) -> Vec<String> {
        let mut notes = Vec::new();
        let (low, high) = self.pairing.law().range();
        let had = development.theta * activity.value;
        if !(low..=high).contains(&had) {
            notes.push(format!(
                "outside the calibrated development: the strip had {had:.1} effective minutes, and the pairing's strips go from {low:.1} to {high:.1}"
            ));
        }
        if development.by_energy.abs() > 1e-4 && self.pairing.energy_is_assumed {
            notes.push("the temperature law is assumed, for the pairing's strips are all of one temperature: the activity is the less sure the farther the bath is from it".to_owned());
        }
        for w in watched {
            if let Err(why) = &w.deviation {
                notes.push(format!("{}: {why}", w.name));
            }
        }
        notes
    }
}

/// The readings with the noise that their own curve found, those it contradicts set aside.
fn observations(analysis: &StripAnalysis) -> Observations {
    match &analysis.result {
        Ok(analysed) => {
            let mut o = analysed.fit.observations.clone();
            let scale = analysed.fit.variance.sqrt();
            o.sigma.iter_mut().for_each(|s| *s *= scale);
            o
        }
        Err(_) => Observations::of(&analysis.strip),
    }
}

/// The time that gives what the aim's time gives in a bath of full strength: minutes over activity.
fn restoring_minutes(
    minutes: Minutes,
    activity: &Quantity,
    reason: Option<String>,
) -> Measured<String> {
    if let Some(reason) = reason {
        return Err(reason);
    }
    let at = |a: f64| minutes.get() / a;
    let restored =
        Quantity { value: at(activity.value), low: at(activity.high), high: at(activity.low) };
    Minutes::new(restored.value).map(|_| restored).map_err(|bounds| bounds.to_string())
}

fn steps(expectation: &Expectation, o: &Observations, development: Development) -> Vec<Step> {
    let aim = expectation.at(&o.x, development);
    (0..o.len())
        .map(|i| Step {
            x: o.x[i],
            density: o.density[i],
            aim: aim.density[i],
            sd: (aim.covariance[(i, i)].max(0.0) + o.sigma[i].powi(2)).sqrt(),
        })
        .collect()
}

/// Points of the two curves.
const SAMPLES: u32 = 80;

fn curves(
    expectation: &Expectation,
    o: &Observations,
    development: Development,
    held: &Explained,
) -> Vec<(f64, f64, f64)> {
    let Some((low, high)) = o.range() else {
        return Vec::new();
    };
    let at = |k: u32| low + (high - low) * f64::from(k) / f64::from(SAMPLES);
    let x: Vec<f64> = (0..=SAMPLES).map(at).collect();
    let aim = expectation.density(&x, development);
    let shifted: Vec<f64> = x.iter().map(|x| x - held.speed_lost).collect();
    let explained = expectation.density(&shifted, development.in_bath(held.ln_activity.exp()));
    (0..x.len()).map(|i| (x[i], aim[i], explained[i] + held.fog)).collect()
}
