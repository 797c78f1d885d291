//! Does a bath still develop to spec, and if not, can a longer time restore it?

mod action;
mod cause;
mod error;
mod note;
mod own;
mod reading;
mod steps;
mod why;

pub use action::{Action, Advice, Because, Times};
pub use cause::Change;
pub use error::VerifyError;
pub use note::VerifyNote;
pub use own::{BadLimit, pairing_limits};
pub use reading::{Detail, WatchedReading};
pub use why::{NoTime, Unread};

use super::activity::{Explained, Freedom, explain};
use super::limits::{Limits, Verdict};
use super::watched::Watched;
use crate::curve::Observations;
use crate::development::{Development, Expectation, Measure, Pairing};
use crate::elementary::exp;
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

/// What a control strip shows of a bath.
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
    /// The time at which the bath gives what it gave, or why there is none.
    pub minutes_to_restore: Measured<NoTime>,
    /// What to do, and why.
    pub advice: Advice,
    /// Densities step by step, for a figure.
    pub steps: Vec<Step>,
    /// (log exposure, aim, density as explained) along the strip.
    pub curves: Vec<(f64, f64, f64)>,
    /// What to know about it.
    pub notes: Vec<VerifyNote>,
}

impl Verification {
    /// Whether a time can be found at which the bath gives what it gave.
    #[must_use]
    pub const fn time_can_restore(&self) -> bool {
        self.minutes_to_restore.is_ok()
    }

    /// One of the things watched.
    #[must_use]
    pub fn of(&self, what: Watched) -> Option<&WatchedReading> {
        self.watched.iter().find(|w| w.what == what)
    }
}

/// How a bath is verified.
#[derive(Clone, Debug)]
pub struct Verifier<'a> {
    /// The pairing that the bath is compared with.
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
    /// [`VerifyError`] where the strip cannot be compared with the pairing.
    pub fn verify(&self, strip: &ControlStrip) -> Result<Verification, VerifyError> {
        self.check_scales(strip)?;
        let development = self.pairing.development(strip.minutes, strip.celsius);
        let expectation =
            Expectation::near(self.pairing, development.theta).ok_or(VerifyError::NoSurface)?;
        let o = observations(strip.analysis, self.pairing);
        if o.used() < 2 {
            return Err(VerifyError::TooFew { found: o.used() });
        }
        let alone = explain(&expectation, &o, development, Freedom::Activity, None)
            .ok_or(VerifyError::Unexplained)?;
        let freely = explain(&expectation, &o, development, Freedom::FogAndSpeed, Some(&alone));
        let diagnosis = Diagnosis::of(&o, alone, freely, &expectation)?;
        let activity = diagnosis.activity();
        let seen = reading::Evidence {
            verifier: self,
            analysis: strip.analysis,
            expectation: &expectation,
            observations: &o,
            development,
            diagnosis: &diagnosis,
        };
        let mut watched = seen.all();
        if diagnosis.exposed_more() {
            // No bath gives more speed at equal contrast: its speed cannot be judged by this strip.
            for w in watched.iter_mut().filter(|w| w.what == Watched::Speed) {
                w.verdict = None;
            }
        }
        if watched.iter().all(|w| w.verdict.is_none()) {
            return Err(VerifyError::NothingToJudge);
        }
        let in_spec = watched.iter().all(|w| w.verdict.is_none_or(|v| v == Verdict::Within));
        let minutes_to_restore = match diagnosis.not_restorable(&self.limits) {
            Some(why) => Err(why),
            None => restoring_minutes(strip.minutes, &activity),
        };
        let advice = action::choose(&action::Case {
            in_spec,
            diagnosis: &diagnosis,
            activity: &activity,
            restore: minutes_to_restore.as_ref().ok(),
            minutes: strip.minutes,
            watched: &watched,
        });
        let mut notes = diagnosis.notes(&self.limits);
        notes.extend(self.notes(strip.celsius, development, &activity));
        Ok(Verification {
            steps: steps(&expectation, &o, development),
            curves: curves(&expectation, &o, development, diagnosis.held()),
            activity,
            watched,
            in_spec,
            change: diagnosis.change,
            minutes_to_restore,
            advice,
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
        celsius: Celsius,
        development: Development,
        activity: &Quantity,
    ) -> Vec<VerifyNote> {
        let mut notes = Vec::new();
        let (low, high) = self.pairing.law().range();
        let had = development.theta * activity.value;
        if !(low..=high).contains(&had) {
            notes.push(VerifyNote::OutsideCalibration { had, low, high });
        }
        if self.pairing.rests_on_assumed_law(celsius) {
            notes.push(VerifyNote::TemperatureAssumed);
        }
        notes
    }
}

/// The readings with the noise that their own curve found, those it contradicts set aside. Where its size was
/// assumed, the strips of the calibration tell more of how it grows with density, and it is not less than theirs.
fn observations(analysis: &StripAnalysis, pairing: &Pairing) -> Observations {
    let mut o = match &analysis.result {
        Ok(analysed) => {
            let mut o = analysed.fit.observations.clone();
            let scale = analysed.fit.variance.sqrt();
            o.sigma.iter_mut().for_each(|s| *s *= scale);
            o
        }
        Err(_) => Observations::of(&analysis.strip),
    };
    if analysis.strip.sigma_is_assumed && !o.is_empty() {
        let own = (o.sigma.iter().map(|s| s * s).sum::<f64>() / o.len() as f64).sqrt();
        let size = own.max(pairing.assumed_noise().unwrap_or(0.0));
        let factors = pairing.noise_growth.factors(&o.density);
        o.sigma = factors.unwrap_or_else(|| vec![1.0; o.len()]).iter().map(|f| f * size).collect();
    }
    o
}

/// The time that gives what the aim's time gives in a bath of full strength: minutes over activity.
fn restoring_minutes(minutes: Minutes, activity: &Quantity) -> Measured<NoTime> {
    let at = |a: f64| minutes.get() / a;
    let restored =
        Quantity { value: at(activity.value), low: at(activity.high), high: at(activity.low) };
    Minutes::new(restored.value).map(|_| restored).map_err(NoTime::OutOfBounds)
}

fn steps(expectation: &Expectation, o: &Observations, development: Development) -> Vec<Step> {
    let aim = expectation.at(&o.x, development);
    (0..o.len())
        .map(|i| Step {
            x: o.x[i],
            density: o.density[i],
            aim: aim.density[i],
            sd: (aim.covariance[(i, i)].max(0.0) + o.variance(i)).sqrt(),
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
    let explained = expectation.density(&shifted, development.in_bath(exp(held.ln_activity)));
    (0..x.len()).map(|i| (x[i], aim[i], explained[i] + held.fog)).collect()
}
