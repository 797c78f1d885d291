//! What is watched on a control strip: measures and fixed-step densities, each against its aim.

use super::cause::Diagnosis;
use super::{Change, Verifier};
use crate::bath::limits::{Allowed, Verdict};
use crate::curve::Observations;
use crate::development::{Development, Expectation};
use crate::measures::{Measured, Quantity, StripAnalysis};

/// Half the width of a 95 % interval of the normal distribution.
const NORMAL: f64 = 1.96;
/// Density above base plus fog that the low-density step is nearest to, and the high-density step.
///
/// # Source
/// The control chart of US Navy, Photography (Basic), NAVEDTRA 14209, 1993, figure 10-28: steps of 0.48
/// and of 1.08 above base plus fog.
const PICTORIAL: (f64, f64) = (0.48, 1.08);
/// The same of radiography: the step nearest to 1.20; and for the difference, the one nearest to 2.20
/// without exceeding it and the one nearest to 0.45 without falling below it.
///
/// # Source
/// 1.20 from a film maker's procedure for processor control; 2.20 and 0.45 from memory, of a 1999 manual
/// of mammography quality control.
const RADIOGRAPHY: (f64, f64, f64) = (0.45, 1.20, 2.20);

/// A step this far from the density wanted will do.
const REACH: f64 = 0.35;

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
    pub reading: Measured,
    /// What a bath as calibrated gives.
    pub aim: Option<f64>,
    /// Reading minus aim.
    pub deviation: Measured,
    /// How far it may lie.
    pub allowed: Option<Allowed>,
    /// Where it lies, if it has limits and is judged.
    pub verdict: Option<Verdict>,
}

/// All that is known of a strip.
pub struct Seen<'a> {
    pub verifier: &'a Verifier<'a>,
    pub analysis: &'a StripAnalysis,
    pub expectation: &'a Expectation,
    pub observations: &'a Observations,
    pub development: Development,
    pub diagnosis: &'a Diagnosis,
}

impl Seen<'_> {
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
        reading: Measured,
        aim: Option<f64>,
        deviation: Measured,
    ) -> WatchedReading {
        let allowed = self.verifier.limits.of(what.name()).copied();
        let verdict = allowed.and_then(|a| Some(a.judge(deviation.as_ref().ok()?.value)));
        WatchedReading {
            what,
            name,
            reading,
            aim,
            deviation,
            allowed,
            verdict,
        }
    }

    /// The strip's own measure less its aim; or, where its readings carry none, what the explanation
    /// that holds makes of it.
    fn against(
        &self,
        reading: &Measured,
        aim: Option<Quantity>,
        explained: impl Fn(f64) -> Option<f64>,
    ) -> Measured {
        let aim = aim.ok_or("the pairing's strips do not show it")?;
        if let Ok(own) = reading {
            return Ok(less(own, &aim));
        }
        if matches!(self.diagnosis.change, Change::Shape { .. }) {
            return reading.clone();
        }
        let a = self.diagnosis.activity();
        let at = |activity: f64| {
            explained(activity).ok_or_else(|| "the pairing's strips do not show it".to_owned())
        };
        let (value, ends) = (at(a.value)?, [at(a.low)?, at(a.high)?]);
        Ok(Quantity {
            value,
            low: ends[0].min(ends[1]),
            high: ends[0].max(ends[1]),
        })
    }

    fn measures(&self) -> Option<&crate::measures::Measures> {
        self.analysis.result.as_ref().ok().map(|a| &a.measures)
    }

    fn own(&self, measure: impl Fn(&crate::measures::Measures) -> &Measured) -> Measured {
        self.measures().map_or_else(
            || Err("the strip has too few steps for a curve of its own".to_owned()),
            |m| measure(m).clone(),
        )
    }

    fn contrast(&self) -> WatchedReading {
        let Verifier {
            pairing, measure, ..
        } = *self.verifier;
        let theta = self.development.theta;
        let growth = pairing.growth(measure);
        let aim = growth.map(|g| {
            let (value, half) = (g.value(theta), g.quantile * g.value_sd(theta));
            Quantity {
                value,
                low: value - half,
                high: value + half,
            }
        });
        let own = self.own(|m| measure.of(m));
        let explained = |a: f64| growth.map(|g| g.value(theta * a) - g.value(theta));
        let deviation = self.against(&own, aim, explained);
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
        let fog = self.diagnosis.held().fog;
        let explained = |a: f64| Some(pairing.base_plus_fog(theta * a)?.value - aim?.value + fog);
        let deviation = self.against(&own, aim, explained);
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
        let aim = pairing.speed_point(theta).map(|q| reversed(&q));
        let own = self.own(|m| &m.speed_point).map(|q| reversed(&q));
        let lost = self.diagnosis.held().speed_lost;
        let explained = |a: f64| Some(-pairing.speed_point(theta * a)?.value - aim?.value - lost);
        let deviation = self.against(&own, aim, explained);
        let name = "speed (−log H at 0.10)".to_owned();
        self.reading(Watched::Speed, name, own, aim.map(|q| q.value), deviation)
    }

    /// The fixed steps: those of radiography where the limits ask for them, else the pictorial ones.
    fn steps(&self) -> Vec<WatchedReading> {
        let o = self.observations;
        let mut exposed: Vec<f64> = o.x.iter().copied().filter(|x| x.is_finite()).collect();
        exposed.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        let aims = self.expectation.density(&exposed, self.development);
        let base = self
            .expectation
            .density(&[f64::NEG_INFINITY], self.development)[0];
        let nearest = |wanted: f64, allowed: &dyn Fn(f64) -> bool| {
            let near = |i: &usize| (aims[*i] - wanted).abs();
            (0..exposed.len())
                .filter(|&i| allowed(aims[i]))
                .min_by(|a, b| near(a).total_cmp(&near(b)))
        };
        let reached = |wanted: f64| aims.iter().any(|d| *d >= wanted - REACH);
        let never = |wanted: f64| {
            format!("the aim comes nowhere near a density of {wanted:.2} on this strip's steps")
        };
        let find = |wanted: f64, allowed: &dyn Fn(f64) -> bool| {
            nearest(wanted, allowed)
                .filter(|_| reached(wanted))
                .map(|i| exposed[i])
                .ok_or_else(|| never(wanted))
        };
        let radiography = self.verifier.limits.of("mid density").is_some();
        let (low, high) = if radiography {
            let (low, _, high) = RADIOGRAPHY;
            (
                find(low, &|d| d >= low),
                find(high, &|d| d <= high).or_else(|_| {
                    // The rule asks for the nearest that does not exceed it, however far that is.
                    nearest(high, &|d| d <= high)
                        .map(|i| exposed[i])
                        .ok_or_else(|| never(high))
                }),
            )
        } else {
            (
                find(base + PICTORIAL.0, &|_| true),
                find(base + PICTORIAL.1, &|_| true),
            )
        };
        let mut all = vec![self.at_step(Watched::LowDensity, &low)];
        if radiography {
            all.push(self.at_step(Watched::MidDensity, &find(RADIOGRAPHY.1, &|_| true)));
        }
        all.push(self.at_step(Watched::HighDensity, &high));
        all.push(self.difference(&low, &high));
        all
    }

    /// Mean density read at a log exposure, and its variance.
    fn mean(&self, x: f64) -> Option<(f64, f64)> {
        let o = self.observations;
        let here: Vec<usize> = (0..o.len())
            .filter(|&i| o.weight[i] > 0.0 && (o.x[i] - x).abs() < 1e-6)
            .collect();
        let n = here.len() as f64;
        let variance = here.iter().map(|&i| o.sigma[i].powi(2)).sum::<f64>() / (n * n);
        (n > 0.0).then(|| {
            (
                here.iter().map(|&i| o.density[i]).sum::<f64>() / n,
                variance,
            )
        })
    }

    fn at_step(&self, what: Watched, x: &Result<f64, String>) -> WatchedReading {
        let missing = "the reading of its step contradicts the others and is not used";
        let read = x
            .clone()
            .and_then(|x| Ok((x, self.mean(x).ok_or(missing)?)));
        let (x, (density, variance)) = match read {
            Ok(read) => read,
            Err(why) => {
                return self.reading(
                    what,
                    what.name().to_owned(),
                    Err(why.clone()),
                    None,
                    Err(why),
                );
            }
        };
        let expected = self.expectation.at(&[x], self.development);
        let own = around(density, variance);
        let deviation = around(
            density - expected.density[0],
            variance + expected.covariance[(0, 0)],
        );
        self.reading(
            what,
            format!("{} (step of log H {x:.2})", what.name()),
            Ok(own),
            Some(expected.density[0]),
            Ok(deviation),
        )
    }

    fn difference(&self, low: &Result<f64, String>, high: &Result<f64, String>) -> WatchedReading {
        let what = Watched::DensityDifference;
        let both = low
            .clone()
            .and_then(|l| Ok((l, high.clone()?)))
            .and_then(|(l, h)| {
                let missing = "a reading of its steps contradicts the others and is not used";
                Ok((
                    l,
                    h,
                    self.mean(l).ok_or(missing)?,
                    self.mean(h).ok_or(missing)?,
                ))
            });
        match both {
            Err(why) => self.reading(
                what,
                what.name().to_owned(),
                Err(why.clone()),
                None,
                Err(why),
            ),
            Ok((l, h, (d_low, v_low), (d_high, v_high))) => {
                let expected = self.expectation.at(&[l, h], self.development);
                let aim = expected.density[1] - expected.density[0];
                let c = &expected.covariance;
                let uncertain = c[(0, 0)] + c[(1, 1)] - 2.0 * c[(0, 1)];
                let own = around(d_high - d_low, v_low + v_high);
                let deviation = around(d_high - d_low - aim, v_low + v_high + uncertain);
                self.reading(
                    what,
                    what.name().to_owned(),
                    Ok(own),
                    Some(aim),
                    Ok(deviation),
                )
            }
        }
    }
}

fn around(value: f64, variance: f64) -> Quantity {
    let half = NORMAL * variance.max(0.0).sqrt();
    Quantity {
        value,
        low: value - half,
        high: value + half,
    }
}

fn reversed(q: &Quantity) -> Quantity {
    Quantity {
        value: -q.value,
        low: -q.high,
        high: -q.low,
    }
}

/// `a − b`, their errors being independent.
fn less(a: &Quantity, b: &Quantity) -> Quantity {
    let half = (0.5 * (a.high - a.low)).hypot(0.5 * (b.high - b.low));
    let value = a.value - b.value;
    Quantity {
        value,
        low: value - half,
        high: value + half,
    }
}
