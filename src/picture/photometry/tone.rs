//! Whether a smooth tone curve fits the tablet better than linear light: an export that is not quite linear.
//!
//! The light of a step less its glare is taken as c·F·10^(−D)·(1 + θ₁·p/p₀ + θ₂·ln(p/p₀)), p being its light in
//! the picture and p₀ that of the brightest step: the first term is a shoulder of the brightest light, the
//! second a power other than 1. How much less the loss of the residuals gets by both terms is, for linear light,
//! about a chi-square of two degrees of freedom. The errors of the tablet's certificate are taken as independent
//! from step to step: a certificate whose errors run smoothly with density looks like a tone curve.

use super::errors::{KAPPA_SD, huber_loss, huber_weight, variance};
use super::{Calibration, Known, Seen};
use crate::elementary::{antilog, ln, log10};
use crate::numerics::chance::NORMAL_95;
use crate::numerics::linear::Linear;
use std::f64::consts::LN_10;

/// A gain above which a tone curve is seen: 1 in 1000 of linear pictures has more, by chi-square.
const REFUSED: f64 = 13.8;
/// A gain above which one is possible: 1 in 100 of linear pictures has more.
const DOUBTFUL: f64 = 9.2;
/// Fewest steps for a test.
const FEWEST: usize = 7;
/// Rounds of weighting.
const ROUNDS: usize = 50;

/// The tone curve that fits the tablet best, and how much better than none.
#[derive(Clone, Debug, PartialEq)]
pub struct Tone {
    /// By how much the loss of the residuals falls: twice Huber's loss, over the square of the reduced χ where that is
    /// above 1.
    pub gain: f64,
    /// c, κ, θ₁ and θ₂.
    coefficients: [f64; 4],
    /// Their covariance, by columns.
    covariance: Vec<f64>,
    /// Light of the brightest step.
    brightest: f64,
}

/// What a tone curve does to the densities of a strip.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ToneEffect {
    /// Relative error of differences of density: above 0, contrasts are stated too high.
    pub contrast: f64,
    /// Its standard uncertainty.
    pub contrast_sd: f64,
    /// Error of all densities at their mean.
    pub offset: f64,
}

impl ToneEffect {
    /// Half the width of the 95 % interval of the contrast's error.
    #[must_use]
    pub fn half(&self) -> f64 {
        NORMAL_95 * self.contrast_sd
    }
}

impl Tone {
    /// Fits the curve to the residuals of a calibration. `None` where there are too few steps, or the light at
    /// different places is not known well enough for it: without a mask or a flat frame.
    #[must_use]
    pub(super) fn of(steps: &[(Known, Seen)], calibration: &Calibration) -> Option<Self> {
        let set_up = calibration.set_up;
        if steps.len() < FEWEST || !set_up.mask || !set_up.flat {
            return None;
        }
        let base = (calibration.clear, calibration.kappa);
        let model = |step: &(Known, Seen)| base.0 * share(step) + base.1 * step.1.black;
        let brightest = steps.iter().map(model).fold(0.0, f64::max);
        let variances: Vec<f64> = steps.iter().map(|step| variance(step, base, set_up)).collect();
        let mut columns = [const { Vec::new() }; 4];
        for step in steps {
            let by = terms(model(step), brightest);
            let row = [share(step), step.1.black, by[0] * share(step), by[1] * share(step)];
            columns.iter_mut().zip(row).for_each(|(column, value)| column.push(value));
        }
        let light: Vec<f64> = steps.iter().map(|(_, seen)| seen.light).collect();
        let with = Fit::of(&columns, &light, &variances)?;
        let without = Fit::of(&columns[..2], &light, &variances)?;
        // The row that says that κ is about 1 makes up for κ.
        let freedom = steps.len() as f64 - 3.0;
        let scatter = (2.0 * with.loss / freedom).max(1.0);
        let [c, kappa, a, b] = <[f64; 4]>::try_from(with.linear.coefficients).ok()?;
        Some(Self {
            gain: 2.0 * (without.loss - with.loss) / scatter,
            coefficients: [c, kappa, a / c, b / c],
            covariance: with.linear.covariance.iter().map(|v| v * scatter).collect(),
            brightest,
        })
    }

    /// Whether a tone curve is seen.
    #[must_use]
    pub fn is_seen(&self) -> bool {
        self.gain > REFUSED
    }

    /// Whether there may be one.
    #[must_use]
    pub fn is_possible(&self) -> bool {
        self.gain > DOUBTFUL
    }

    /// The most gain that is taken.
    #[must_use]
    pub const fn most() -> f64 {
        REFUSED
    }

    /// What the curve does to densities that were found by `calibration` in this light.
    #[must_use]
    pub fn effect(&self, calibration: &Calibration, steps: &[(f64, Seen)]) -> ToneEffect {
        let n = steps.len() as f64;
        let mean = steps.iter().map(|(density, _)| density).sum::<f64>() / n;
        let square: f64 = steps.iter().map(|(density, _)| (density - mean).powi(2)).sum();
        if !(square > 0.0) {
            return ToneEffect::default();
        }
        let [c, kappa, a, b] = self.coefficients;
        // The density as it was found, less the density by this curve; and its derivatives by c, κ, cθ₁, cθ₂.
        let (mut offset, mut contrast, mut by) = (0.0, 0.0, [0.0; 4]);
        for (density, seen) in steps {
            let terms = terms(seen.light, self.brightest);
            let bent = (1.0 + a * terms[0] + b * terms[1]).max(0.1);
            let net = (seen.light - kappa * seen.black).max(1e-3 * seen.light);
            let found = calibration.net(seen).max(1e-3 * seen.light);
            let off = log10(net / found * calibration.clear / (c * bent));
            let away = (density - mean) / square;
            offset += off / n;
            contrast += away * off;
            let each =
                [-1.0 / c, -seen.black / net, -terms[0] / (c * bent), -terms[1] / (c * bent)];
            by.iter_mut().zip(each).for_each(|(sum, d)| *sum += away * d / LN_10);
        }
        let variance: f64 = (0..4)
            .flat_map(|j| (0..4).map(move |k| (j, k)))
            .map(|(j, k)| by[j] * by[k] * self.covariance[4 * j + k])
            .sum();
        ToneEffect { contrast, contrast_sd: variance.max(0.0).sqrt(), offset }
    }
}

/// The two terms of the curve at a light.
fn terms(light: f64, brightest: f64) -> [f64; 2] {
    let share = (light / brightest).max(1e-6);
    [share, ln(share)]
}

/// Light of a step in units of c.
fn share((known, seen): &(Known, Seen)) -> f64 {
    seen.flat * antilog(-known.density)
}

/// A linear fit by Huber's weights, and its loss.
struct Fit {
    linear: Linear,
    loss: f64,
}

impl Fit {
    fn of(columns: &[Vec<f64>], light: &[f64], variances: &[f64]) -> Option<Self> {
        let n = light.len();
        let mut columns = columns.to_vec();
        for (k, column) in columns.iter_mut().enumerate() {
            column.push(if k == 1 { 1.0 } else { 0.0 });
        }
        let mut light = light.to_vec();
        light.push(1.0);
        let kappa = KAPPA_SD.powi(-2);
        let mut weights: Vec<f64> = variances.iter().map(|v| 1.0 / v).collect();
        weights.push(kappa);
        let mut before = f64::INFINITY;
        for _ in 0..ROUNDS {
            let linear = Linear::fit(&columns, &light, &weights)?;
            let at = |k: usize| -> f64 {
                columns.iter().zip(&linear.coefficients).map(|(c, b)| c[k] * b).sum()
            };
            let residuals: Vec<f64> =
                (0..n).map(|k| (light[k] - at(k)) / variances[k].sqrt()).collect();
            let prior = 0.5 * kappa * (1.0 - linear.coefficients[1]).powi(2);
            let loss = prior + residuals.iter().map(|r| huber_loss(*r)).sum::<f64>();
            if (before - loss).abs() < 1e-9 * (1.0 + loss) {
                return Some(Self { linear, loss });
            }
            before = loss;
            for k in 0..n {
                weights[k] = huber_weight(residuals[k]) / variances[k];
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::elementary::pow;
    use crate::picture::photometry::{SetUp, Stated};

    const MASKED: SetUp = SetUp { mask: true, flat: true };

    fn seen(density: f64, curve: impl Fn(f64) -> f64) -> Seen {
        let (light, black) = (0.8 * antilog(-density) + 0.002, curve(0.002));
        Seen {
            light: curve(light),
            light_error: 1e-5,
            flat: 1.0,
            flat_error: 1e-4,
            black,
            black_error: 0.02 * black,
        }
    }

    /// A tablet whose certificate is off by turns.
    fn calibrated(curve: impl Fn(f64) -> f64) -> Calibration {
        let steps: Vec<(Known, Seen)> = (0..21)
            .map(|k| {
                let density = 0.05 + 0.15 * f64::from(k);
                let off = [0.008, -0.006, -0.002][k as usize % 3];
                (Known { density: density + off, sigma: 0.010 }, seen(density, &curve))
            })
            .collect();
        Calibration::of(&steps, MASKED).unwrap()
    }

    /// A strip's densities and lights as a calibration has them.
    fn strip(calibration: &Calibration, curve: impl Fn(f64) -> f64) -> Vec<(f64, Seen)> {
        [0.3, 0.6, 0.9, 1.2, 1.5, 1.8]
            .into_iter()
            .map(|density| {
                let seen = seen(density, &curve);
                let Stated::Density(found) = calibration.density(&seen) else { panic!() };
                (found.density, seen)
            })
            .collect()
    }

    #[test]
    fn linear_light_has_no_curve_and_mild_curves_are_seen() {
        let tone = calibrated(|v| v).tone.unwrap();
        assert!(tone.gain < 2.0 && !tone.is_possible(), "{tone:?}");
        for power in [0.97, 1.03] {
            let tone = calibrated(|v| pow(v, power)).tone.unwrap();
            assert!(tone.is_seen(), "{power}: {tone:?}");
        }
        let tone = calibrated(|v| v * (1.0 - 0.2 * v)).tone.unwrap();
        assert!(tone.is_seen() && tone.is_possible(), "{tone:?}");
    }

    #[test]
    fn the_effect_is_the_error_of_contrast() {
        let curve = |v: f64| pow(v, 1.04);
        let calibration = calibrated(curve);
        let strip = strip(&calibration, curve);
        let effect = calibration.tone.as_ref().unwrap().effect(&calibration, &strip);
        // A power of 1.04 makes all differences of density 4 % greater.
        let off = (effect.contrast - 0.04).abs();
        assert!(off < 2.0 * effect.contrast_sd && effect.contrast_sd < 0.01, "{effect:?}");
        let none = calibrated(|v| v).tone.unwrap().effect(&calibration, &[]);
        assert_eq!(none, ToneEffect::default());
    }

    #[test]
    fn one_wrong_step_of_the_certificate_is_no_curve() {
        let mut steps: Vec<(Known, Seen)> = (0..21)
            .map(|k| {
                let density = 0.05 + 0.15 * f64::from(k);
                (Known { density, sigma: 0.010 }, seen(density, |v| v))
            })
            .collect();
        steps[1].0.density += 0.06;
        let tone = Calibration::of(&steps, MASKED).unwrap().tone.unwrap();
        assert!(!tone.is_seen(), "{tone:?}");
    }

    #[test]
    fn without_mask_or_flat_frame_nothing_is_tested() {
        let steps: Vec<(Known, Seen)> = (0..21)
            .map(|k| {
                let density = 0.05 + 0.07 * f64::from(k);
                (
                    Known { density, sigma: 0.010 },
                    Seen { black: 1.0, black_error: 0.0, ..seen(density, |v| v) },
                )
            })
            .collect();
        let open = Calibration::of(&steps, SetUp { mask: false, flat: true }).unwrap();
        assert_eq!(open.tone, None);
    }
}
