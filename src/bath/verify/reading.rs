//! What is watched on a control strip: measures and fixed-step densities, each against its aim.

use super::cause::Diagnosis;
use super::{Change, Unread, Verifier};
use crate::bath::limits::{Allowed, Verdict};
use crate::bath::watched::Watched;
use crate::curve::Observations;
use crate::development::{Development, Expectation, Measure};
use crate::measures::{Measured, Measures, Quantity, StripAnalysis};
use crate::words::number;

/// What a watched quantity is of this strip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Detail {
    /// No more than its name.
    Plain,
    /// In this measure of contrast.
    Measure(Measure),
    /// Minus the log exposure of the speed point, 0.10 above base plus fog.
    SpeedPoint,
    /// At the step of this log exposure.
    Step(f64),
}

/// Something watched, with its aim.
#[derive(Clone, Debug, PartialEq)]
pub struct WatchedReading {
    /// What it is.
    pub what: Watched,
    /// In which measure, or at which step.
    pub detail: Detail,
    /// What the strip has.
    pub reading: Measured<Unread>,
    /// What a bath as calibrated gives.
    pub aim: Option<f64>,
    /// Reading minus aim.
    pub deviation: Measured<Unread>,
    /// How far it may lie.
    pub allowed: Option<Allowed>,
    /// Where it lies, if it has limits and is judged.
    pub verdict: Option<Verdict>,
}

impl WatchedReading {
    /// Its name, with the measure or the log exposure of the step.
    #[must_use]
    pub fn name(&self) -> String {
        match self.detail {
            Detail::Plain => self.what.name().to_owned(),
            Detail::Measure(measure) => measure.name().to_owned(),
            Detail::SpeedPoint => format!("{} (−log H)", self.what),
            Detail::Step(x) => format!("{} at log H {}", self.what, number(x, 2)),
        }
    }
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

    pub(super) fn reading(
        &self,
        what: Watched,
        detail: Detail,
        reading: Measured<Unread>,
        aim: Option<f64>,
        deviation: Measured<Unread>,
    ) -> WatchedReading {
        let allowed = self.verifier.limits.of(what).copied();
        let verdict = allowed.and_then(|a| Some(a.judge(deviation.as_ref().ok()?.value)));
        WatchedReading { what, detail, reading, aim, deviation, allowed, verdict }
    }

    /// The strip's own measure less its aim; or, where its readings do not give it, what the
    /// activity makes of it and what it is shifted by besides.
    fn against(
        &self,
        reading: &Measured<Unread>,
        aim: Option<Quantity>,
        by_activity: impl Fn(f64) -> Option<f64>,
        shift: Measured<Unread>,
    ) -> Measured<Unread> {
        let aim = aim.ok_or(Unread::NoAim)?;
        if let Ok(own) = reading {
            return Ok(own.less(&aim));
        }
        if matches!(self.diagnosis.change, Change::Shape { .. }) {
            return *reading;
        }
        let a = self.diagnosis.activity();
        let at = |activity: f64| by_activity(activity).ok_or(Unread::NoAim);
        let (value, ends) = (at(a.value)?, [at(a.low)?, at(a.high)?]);
        let half = 0.5 * (ends[1] - ends[0]).abs();
        Ok(Quantity::around(value, half).plus(&shift?))
    }

    fn own(&self, measure: impl Fn(&Measures) -> &Measured) -> Measured<Unread> {
        let analysed = self.analysis.result.as_ref().map_err(|_| Unread::NoCurve)?;
        Ok((*measure(&analysed.measures))?)
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
            Detail::Measure(measure),
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
        self.reading(Watched::BasePlusFog, Detail::Plain, own, aim.map(|q| q.value), deviation)
    }

    fn speed(&self) -> WatchedReading {
        let pairing = self.verifier.pairing;
        let theta = self.development.theta;
        let aim = pairing.speed_point(theta).map(|q| q.reversed());
        let own = self.own(|m| &m.alone().speed_point).map(|q| q.reversed());
        let by_activity = |a: f64| Some(-pairing.speed_point(theta * a)?.value - aim?.value);
        let deviation = self.against(&own, aim, by_activity, self.diagnosis.speed_gain());
        self.reading(Watched::Speed, Detail::SpeedPoint, own, aim.map(|q| q.value), deviation)
    }
}
