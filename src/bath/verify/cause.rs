//! What has changed: the activity alone, fog and speed as well, or the curve's very shape.

use super::{NoTime, Unread, VerifyError, VerifyNote};
use crate::bath::activity::Explained;
use crate::bath::limits::{Limits, Verdict};
use crate::bath::watched::Watched;
use crate::curve::Observations;
use crate::development::Expectation;
use crate::elementary::exp;
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
        /// Speed gained at equal contrast, in log exposure; more is faster.
        speed_gain: Quantity,
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
    /// Fog and speed gained besides the activity, where the readings determine them.
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
        let separate = freely.is_some() && n > 4.0;
        let full = freely.filter(|_| separate).unwrap_or_else(|| alone.clone());
        let freedom = n - if separate { 3.0 } else { 1.0 };
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
        let shifts = separate.then(|| (shift(1, full.fog), shift(2, full.speed_lost).reversed()));
        let change = match shifts {
            _ if chance < HOPELESS => Change::Shape { residual },
            Some((fog, speed_gain)) if !likely => Change::Shifted { fog, speed_gain },
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
        let value = exp(self.held.ln_activity);
        Quantity { value, low: value * exp(-half), high: value * exp(half) }
    }

    /// Base plus fog above what the surface has, whether that is much or little.
    pub fn fog(&self) -> Measured<Unread> {
        self.shifts.map(|s| s.0).ok_or(Unread::TooFewReadings)
    }

    /// Speed gained at equal contrast, whether that is much or little.
    pub fn speed_gain(&self) -> Measured<Unread> {
        self.shifts.map(|s| s.1).ok_or(Unread::TooFewReadings)
    }

    /// The explanation that holds.
    pub fn held(&self) -> &Explained {
        &self.held
    }

    /// Whether the strip had more exposure than the pairing's: a bath loses speed, it gains none
    /// without gaining contrast.
    pub fn exposed_more(&self) -> bool {
        matches!(&self.change, Change::Shifted { speed_gain, .. } if speed_gain.low > 0.0)
    }

    /// Whether all that differs is a shift along log exposure: lost speed, or a strip exposed less.
    fn only_along_exposure(&self, limits: &Limits) -> bool {
        matches!(&self.change, Change::Shifted { fog, speed_gain }
            if speed_gain.high < 0.0 && within(limits, Watched::BasePlusFog, fog.value))
    }

    /// Why no longer or shorter time gives back what the bath gave.
    pub fn not_restorable(&self, limits: &Limits) -> Option<NoTime> {
        match &self.change {
            Change::Nothing => None,
            Change::Shape { residual } => Some(NoTime::Shape { residual: *residual }),
            Change::Shifted { fog, speed_gain } => {
                let fogged = !within(limits, Watched::BasePlusFog, fog.value);
                let slower =
                    !self.exposed_more() && !within(limits, Watched::Speed, speed_gain.value);
                (fogged || slower).then_some(NoTime::Shifted {
                    fog: fogged.then_some(fog.value),
                    speed_lost: slower.then_some(0.0 - speed_gain.value),
                })
            }
        }
    }

    /// What to know about the explanation.
    pub fn notes(&self, limits: &Limits) -> Vec<VerifyNote> {
        let mut notes = Vec::new();
        if self.shifts.is_none() {
            notes.push(VerifyNote::ShiftsUnknown);
        }
        if self.scale > 1.0 {
            notes.push(VerifyNote::Scatter { times: self.scale });
        }
        if let Change::Shifted { fog, speed_gain } = self.change {
            notes.push(VerifyNote::Besides { fog, speed_gain });
            if self.exposed_more() {
                notes.push(VerifyNote::ExposedMore);
            } else if self.only_along_exposure(limits) {
                notes.push(VerifyNote::MaybeExposedLess);
            }
            if let Some(step) = self.step {
                let steps = (speed_gain.value / step).round();
                if steps != 0.0 && (speed_gain.value - steps * step).abs() < NEAR_A_STEP {
                    notes.push(VerifyNote::WrongStep { steps: steps.abs() });
                }
            }
        }
        notes
    }
}

fn within(limits: &Limits, quantity: Watched, deviation: f64) -> bool {
    limits.judge(quantity, deviation).is_none_or(|v| v == Verdict::Within)
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
