//! What has changed: the activity alone, fog and speed as well, or the curve's very shape.

use super::VerifyError;
use super::watched::Evidence;
use crate::bath::activity::Explained;
use crate::bath::limits::{Limits, Verdict};
use crate::curve::Observations;
use crate::development::Expectation;
use crate::measures::{Measured, Quantity};
use crate::numerics::chance::{NORMAL_95, chi_squared_upper};

/// Chance below which "the activity alone" is given up.
const SIGNIFICANT: f64 = 0.01;
/// Chance below which the readings scatter more than they should.
const UNLIKELY: f64 = 0.05;
/// Chance below which no curve of the pairing fits.
const HOPELESS: f64 = 1e-4;
/// Scatter, as a multiple of what is expected, from which the strip is of another film.
const ANOTHER: f64 = 2.0;
/// Base plus fog cannot lie farther than this below what the film has.
const BELOW_BASE: f64 = 0.05;
/// A shift this close to a whole number of the tablet's steps is worth a hint.
const NEAR_A_STEP: f64 = 0.025;

/// What differs from the pairing besides the activity.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// Nothing: the strip lies on the pairing's surface at some activity.
    Nothing,
    /// Base plus fog and speed have shifted.
    Shifted {
        /// Base plus fog above what the surface has there.
        fog: Quantity,
        /// Log exposure by which the film needs more: speed lost at equal contrast.
        speed_lost: Quantity,
    },
    /// The curve's own shape has changed.
    Shape {
        /// Standard deviation of the readings about the nearest curve of the pairing.
        residual: f64,
    },
}

/// Which explanation holds, and how surely.
pub struct Diagnosis {
    pub change: Change,
    /// The explanation that holds.
    held: Explained,
    /// Standard errors are multiplied by this where the readings scatter.
    scale: f64,
    quantile: f64,
    /// Distance of the tablet's steps, if it is even.
    step: Option<f64>,
    /// Fog and speed lost as the strip has them beside its activity, where it can tell them.
    shifts: Option<(Quantity, Quantity)>,
}

impl Diagnosis {
    /// Chooses between the two explanations by their likelihood ratio, which allows for the
    /// surface's own misfit: it is part of the covariance that the residuals are whitened by.
    pub fn of(
        o: &Observations,
        alone: Explained,
        freely: Option<Explained>,
        expectation: &Expectation,
    ) -> Result<Self, VerifyError> {
        let n = o.used() as f64;
        let told = freely.is_some() && n > 4.0;
        let full = freely.filter(|_| told).unwrap_or_else(|| alone.clone());
        let freedom = n - if told { 3.0 } else { 1.0 };
        let chance = chi_squared_upper(full.chi_squared, freedom);
        let scatter = (full.chi_squared / freedom.max(1.0)).sqrt();
        let residual = (full.residuals.norm_squared() / freedom.max(1.0)).sqrt();
        if chance < HOPELESS && scatter > ANOTHER {
            let expected = residual / scatter;
            return Err(VerifyError::AnotherFilm { residual, expected });
        }
        let scale = if chance < UNLIKELY { scatter.max(1.0) } else { 1.0 };
        let ratio = (alone.chi_squared - full.chi_squared) / (scale * scale);
        let likely = chi_squared_upper(ratio, 2.0) >= SIGNIFICANT;
        let shift = |k: usize, value: f64| {
            let sd = scale * full.covariance[(k, k)].sqrt();
            Quantity::around(value, NORMAL_95 * sd)
        };
        let shifts = told.then(|| (shift(1, full.fog), shift(2, full.speed_lost)));
        let change = match shifts {
            _ if chance < HOPELESS => Change::Shape { residual },
            Some((fog, speed_lost)) if !likely => Change::Shifted { fog, speed_lost },
            _ => Change::Nothing,
        };
        if let Change::Shifted { fog, .. } = &change
            && fog.value < -BELOW_BASE
        {
            return Err(VerifyError::AnotherBase { below: -fog.value });
        }
        let held = if change == Change::Nothing { alone.clone() } else { full };
        Ok(Self { change, held, scale, quantile: expectation.quantile, step: even_step(o), shifts })
    }

    /// The bath's activity.
    pub fn activity(&self) -> Quantity {
        let half = self.quantile * self.scale * self.held.ln_activity_sd();
        let value = self.held.ln_activity.exp();
        Quantity { value, low: value * (-half).exp(), high: value * half.exp() }
    }

    /// Base plus fog above what the surface has, whether that is much or little.
    pub fn fog(&self) -> Measured<String> {
        self.shifts.map(|s| s.0).ok_or_else(untold)
    }

    /// Log exposure by which the film needs more, whether that is much or little.
    pub fn speed_lost(&self) -> Measured<String> {
        self.shifts.map(|s| s.1).ok_or_else(untold)
    }

    /// The explanation that holds.
    pub fn held(&self) -> &Explained {
        &self.held
    }

    /// Whether the strip had more exposure than the pairing's: a bath loses speed, it gains none
    /// without gaining contrast.
    pub fn exposed_more(&self) -> bool {
        matches!(&self.change, Change::Shifted { speed_lost, .. } if speed_lost.high < 0.0)
    }

    /// Whether all that differs is a shift along log exposure: lost speed, or a strip exposed less.
    pub fn only_along_exposure(&self, limits: &Limits) -> bool {
        matches!(&self.change, Change::Shifted { fog, speed_lost }
            if speed_lost.low > 0.0 && judge(limits, "base plus fog", fog.value) == Verdict::Within)
    }

    /// Whether a longer or shorter time gives back what the bath gave; if not, why.
    pub fn restorable(&self, limits: &Limits) -> (bool, Option<String>) {
        let why = match &self.change {
            Change::Nothing => None,
            Change::Shape { residual } => Some(format!(
                "the curve has another shape than this film has at any development (readings lie {residual:.3} off the nearest), and time does not mend that"
            )),
            Change::Shifted { fog, speed_lost } => {
                let fogged = judge(limits, "base plus fog", fog.value) != Verdict::Within;
                let slower = !self.exposed_more()
                    && judge(limits, "speed", speed_lost.value) != Verdict::Within;
                match (fogged, slower) {
                    (false, false) => None,
                    (true, false) => Some(format!(
                        "base plus fog is {:+.2} off at any development, and time does not mend that",
                        fog.value
                    )),
                    (false, true) => Some(format!(
                        "{:.2} of log exposure is lost in speed at equal contrast, and time does not mend that",
                        speed_lost.value
                    )),
                    (true, true) => Some(format!(
                        "base plus fog is {:+.2} off and {:.2} of log exposure is lost in speed at equal contrast, and time does not mend that",
                        fog.value, speed_lost.value
                    )),
                }
            }
        };
        (why.is_none(), why)
    }

    pub fn notes(&self, seen: &Evidence) -> Vec<String> {
        let mut notes = Vec::new();
        if self.shifts.is_none() {
            notes.push(
                "too few readings to tell whether fog and speed have changed besides the activity"
                    .to_owned(),
            );
        }
        if self.scale > 1.0 {
            notes.push(format!("the readings scatter about the pairing's curve {:.1} times as far as they should: intervals are widened to match", self.scale));
        }
        if let Change::Shifted { fog, speed_lost } = &self.change {
            notes.push(format!(
                "besides its activity: base plus fog {:+.3} ({:+.3} to {:+.3}), speed {:+.3} ({:+.3} to {:+.3}) in log exposure, at equal development",
                fog.value, fog.low, fog.high, -speed_lost.value, -speed_lost.high, -speed_lost.low
            ));
            if self.exposed_more() {
                notes.push("the strip has more speed at equal contrast than the pairing: no bath does that; it was exposed more than the pairing's strips, or paired with wrong exposures, and speed is not judged by it".to_owned());
            } else if self.only_along_exposure(&seen.verifier.limits) {
                notes.push("a strip that was exposed less looks just the same as lost speed: this strip cannot tell them apart; check the light, its time and the tablet, and expose a second one before the bath is blamed".to_owned());
            }
            if let Some(step) = self.step {
                let steps = (speed_lost.value / step).round();
                if steps != 0.0 && (speed_lost.value - steps * step).abs() < NEAR_A_STEP {
                    notes.push(format!("the shift is {:.0} of the tablet's steps: check that the strip was not read from the wrong one", steps.abs()));
                }
            }
        }
        notes
    }
}

fn untold() -> String {
    "the readings are too few to tell it".to_owned()
}

fn judge(limits: &Limits, quantity: &str, deviation: f64) -> Verdict {
    limits.of(quantity).map_or(Verdict::Within, |a| a.judge(deviation))
}

/// The distance of the steps, where it is one.
fn even_step(o: &Observations) -> Option<f64> {
    let mut x: Vec<f64> = o.x.iter().copied().filter(|x| x.is_finite()).collect();
    x.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    let (first, last) = (*x.first()?, *x.last()?);
    let step = (last - first) / (x.len() - 1).max(1) as f64;
    let even = x.windows(2).all(|w| (w[1] - w[0] - step).abs() < 0.1 * step);
    (x.len() > 3 && even).then_some(step)
}
