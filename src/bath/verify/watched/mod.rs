//! What is watched on a control strip: measures and fixed-step densities, each against its aim.

mod steps;

use super::cause::Diagnosis;
use super::{Change, Verifier};
use crate::bath::limits::{Allowed, Verdict};
use crate::curve::Observations;
use crate::development::{Development, Expectation};
use crate::measures::{Measured, Quantity, StripAnalysis};

/// What is watched.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Watched {
    /// The pairing's measure of contrast.
    Contrast,
    /// Base plus fog.
    BasePlusFog,
    /// Speed: minus the log exposure of the speed point, so that more is faster.
    Speed,
    /// Density of a fixed step in the toe.
    LowDensity,
    /// Density of a fixed step in the middle.
    MidDensity,
    /// Density of a fixed step high up.
    HighDensity,
    /// High density minus low density.
    DensityDifference,
}

impl Watched {
    /// The name that limits know it by.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Contrast => "contrast",
            Self::BasePlusFog => "base plus fog",
            Self::Speed => "speed",
            Self::LowDensity => "low density",
            Self::MidDensity => "mid density",
            Self::HighDensity => "high density",
            Self::DensityDifference => "density difference",
        }
    }
}

/// Something watched, with its aim.
#[derive(Clone, Debug, PartialEq)]
pub struct WatchedReading {
    /// What it is.
    pub what: Watched,
    /// Its name in output, with the measure or the step.
    pub name: String,
    /// What the strip has.
    pub reading: Measured<String>,
    /// What a bath as calibrated gives.
    pub aim: Option<f64>,
    /// Reading minus aim.
    pub deviation: Measured<String>,
    /// How far it may lie.
    pub allowed: Option<Allowed>,
    /// Where it lies, if it has limits and is judged.
    pub verdict: Option<Verdict>,
}

/// All that is known of a strip.
pub struct Evidence<'a> {
    pub verifier: &'a Verifier<'a>,
    pub analysis: &'a StripAnalysis,
    pub expectation: &'a Expectation,
    pub observations: &'a Observations,
    pub development: Development,
    pub diagnosis: &'a Diagnosis,
}

impl Evidence<'_> {
    /// Everything watched.
    pub fn all(&self) -> Vec<WatchedReading> {
        let mut all = vec![self.contrast(), self.base_plus_fog(), self.speed()];
        all.extend(self.steps());
        all
    }

    fn reading(
        &self,
        what: Watched,
        name: String,
        reading: Measured<String>,
        aim: Option<f64>,
        deviation: Measured<String>,
    ) -> WatchedReading {
        let allowed = self.verifier.limits.of(what.name()).copied();
        let verdict = allowed.and_then(|a| Some(a.judge(deviation.as_ref().ok()?.value)));
        WatchedReading { what, name, reading, aim, deviation, allowed, verdict }
    }

    /// The strip's own measure less its aim; or, where its readings carry none, what the activity
    /// makes of it and what it is shifted by besides.
    fn against(
        &self,
        reading: &Measured<String>,
        aim: Option<Quantity>,
        by_activity: impl Fn(f64) -> Option<f64>,
        shift: Measured<String>,
    ) -> Measured<String> {
        const UNSHOWN: &str = "the pairing's strips do not show it";
        let aim = aim.ok_or(UNSHOWN)?;
        if let Ok(own) = reading {
            return Ok(own.less(&aim));
        }
        if matches!(self.diagnosis.change, Change::Shape { .. }) {
            return reading.clone();
        }
        let a = self.diagnosis.activity();
        let at = |activity: f64| by_activity(activity).ok_or(UNSHOWN);
        let (value, ends) = (at(a.value)?, [at(a.low)?, at(a.high)?]);
        let half = 0.5 * (ends[1] - ends[0]).abs();
        Ok(Quantity::around(value, half).plus(&shift?))
    }

    fn measures(&self) -> Option<&crate::measures::Measures> {
        self.analysis.result.as_ref().ok().map(|a| &a.measures)
    }

    fn own(&self, measure: impl Fn(&crate::measures::Measures) -> &Measured) -> Measured<String> {
        self.measures().map_or_else(
            || Err("the strip has too few steps for a curve of its own".to_owned()),
            |m| Ok((*measure(m))?),
        )
    }

    fn contrast(&self) -> WatchedReading {
        let Verifier { pairing, measure, .. } = *self.verifier;
        let theta = self.development.theta;
        let growth = pairing.growth(measure);
        let aim = growth.map(|g| g.quantity(theta));
        let own = self.own(|m| measure.of(m));
        let by_activity = |a: f64| growth.map(|g| g.value(theta * a) - g.value(theta));
        let deviation = self.against(&own, aim, by_activity, Ok(Quantity::around(0.0, 0.0)));
        self.reading(
            Watched::Contrast,
            measure.name().to_owned(),
            own,
            aim.map(|q| q.value),
            deviation,
        )
    }

    fn base_plus_fog(&self) -> WatchedReading {
        let pairing = self.verifier.pairing;
        let theta = self.development.theta;
        let aim = pairing.base_plus_fog(theta);
        let own = self.own(|m| &m.base_plus_fog);
        let by_activity = |a: f64| Some(pairing.base_plus_fog(theta * a)?.value - aim?.value);
        let deviation = self.against(&own, aim, by_activity, self.diagnosis.fog());
        self.reading(
            Watched::BasePlusFog,
            "base plus fog".to_owned(),
            own,
            aim.map(|q| q.value),
            deviation,
        )
    }

    fn speed(&self) -> WatchedReading {
        let pairing = self.verifier.pairing;
        let theta = self.development.theta;
        let aim = pairing.speed_point(theta).map(|q| q.reversed());
        let own = self.own(|m| &m.speed_point).map(|q| q.reversed());
        let by_activity = |a: f64| Some(-pairing.speed_point(theta * a)?.value - aim?.value);
        let gained = self.diagnosis.speed_lost().map(|q| q.reversed());
        let deviation = self.against(&own, aim, by_activity, gained);
        let name = "speed (−log H at 0.10)".to_owned();
        self.reading(Watched::Speed, name, own, aim.map(|q| q.value), deviation)
    }
}
