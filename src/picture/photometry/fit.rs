//! The calibration by the tablet, and the density of a step by it.

use super::errors::{KAPPA_SD, huber_weight, noise, relative, variance};
use super::tone::Tone;
use super::{Found, MOST_WITHOUT_MASK, Seen, SetUp, Stated};
use crate::elementary::{antilog, hypot, log10};
use crate::numerics::linear::Linear;
use crate::picture::patch::median;
use std::f64::consts::LN_10;
use std::fmt;

/// A reduced χ above which the picture does not follow the tablet.
const REFUSED: f64 = 2.0;
/// A reduced χ above which that is doubtful.
const DOUBTFUL: f64 = 1.3;
/// Light below so many times its uncertainty is none.
const SEEN: f64 = 3.0;
/// Fewest steps of a tablet.
const FEWEST: usize = 4;
/// Rounds of weighting; the weights settle to 1e-9 in far fewer.
const ROUNDS: usize = 50;

/// A step of the tablet: its density with its standard uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Known {
    /// Density.
    pub density: f64,
    /// Standard uncertainty.
    pub sigma: f64,
}

/// What the tablet gave.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibration {
    /// How the picture was taken.
    pub set_up: SetUp,
    /// Light of the box where the flat is 1, without any density.
    pub clear: f64,
    /// How much of the glare beside a step lies on it; without a mask, the glare.
    pub kappa: f64,
    /// Variances of both and their covariance: c·c, c·κ, κ·κ.
    pub covariance: [f64; 3],
    /// Root of the reduced χ².
    pub chi: f64,
    /// The scatter of the tablet's steps beyond what is known, as a density; 0 where there is none.
    pub excess: f64,
    /// Standardised residuals of the tablet's steps.
    pub residuals: Vec<f64>,
    /// The tone curve that fits better than linear light, and by how much; absent where that cannot be tested.
    pub tone: Option<Tone>,
}

/// Why the tablet gives no calibration.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoCalibration {
    /// Too few steps are seen.
    Few {
        /// Steps that are seen.
        seen: usize,
    },
    /// The light does not fall as the tablet's densities say.
    NotLinear {
        /// Root of the reduced χ².
        chi: f64,
    },
    /// All is dark.
    Dark,
}

impl fmt::Display for NoCalibration {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Few { seen } => write!(
                f,
                "{seen} steps of the tablet are seen, and a calibration needs {FEWEST}: check the layout and the exposure"
            ),
            Self::NotLinear { chi } => write!(
                f,
                "the picture does not follow the tablet (reduced chi {chi:.1}, and at most {REFUSED} is taken): it is not linear, or this is not its tablet. Export the picture as a linear 16-bit TIFF without any tone curve, take a flat frame, and check the tablet's file"
            ),
            Self::Dark => f.write_str(
                "the tablet is all black in the picture: check the exposure, the layout and the dark frame",
            ),
        }
    }
}

impl std::error::Error for NoCalibration {}

impl Calibration {
    /// Fits c and κ of p = c·F·10^(−D) + κ·B over the tablet: least squares, weighted by the variances of
    /// certificate, noise, flat and black, in which a step that is far off weighs less (Huber's weights).
    ///
    /// # Errors
    /// [`NoCalibration`].
    pub fn of(steps: &[(Known, Seen)], set_up: SetUp) -> Result<Self, NoCalibration> {
        if steps.len() < FEWEST {
            return Err(NoCalibration::Few { seen: steps.len() });
        }
        let share = |(known, seen): &(Known, Seen)| seen.flat * antilog(-known.density);
        let brightest = steps.iter().max_by(|a, b| share(a).total_cmp(&share(b)));
        let brightest = brightest.ok_or(NoCalibration::Few { seen: 0 })?;
        let (mut clear, mut kappa) = (brightest.1.light / share(brightest), 1.0);
        if !(clear > 0.0) || brightest.1.light < 10.0 * brightest.1.light_error {
            return Err(NoCalibration::Dark);
        }
        // The last row says that κ is about 1.
        let mut columns = [Vec::new(), Vec::new()];
        for step in steps {
            columns[0].push(share(step));
            columns[1].push(step.1.black);
        }
        let mut light: Vec<f64> = steps.iter().map(|(_, seen)| seen.light).collect();
        if set_up.mask {
            columns[0].push(0.0);
            columns[1].push(1.0);
            light.push(1.0);
        } else {
            kappa = 0.0;
        }
        let mut found = None;
        for _ in 0..ROUNDS {
            let variances: Vec<f64> =
                steps.iter().map(|step| variance(step, (clear, kappa), set_up)).collect();
            let residual = |k: usize| {
                let model = clear * columns[0][k] + kappa * columns[1][k];
                (light[k] - model) / variances[k].sqrt()
            };
            let mut weights: Vec<f64> =
                (0..steps.len()).map(|k| huber_weight(residual(k)) / variances[k]).collect();
            if set_up.mask {
                weights.push(KAPPA_SD.powi(-2));
            }
            let fit = Linear::fit(&columns, &light, &weights)
                .ok_or(NoCalibration::Few { seen: steps.len() })?;
            let (c, k) = (fit.coefficients[0], fit.coefficients[1].max(0.0));
            if !(c > 0.0) {
                return Err(NoCalibration::NotLinear { chi: 99.0 });
            }
            let settled = (c - clear).abs() < 1e-10 * c && (k - kappa).abs() < 1e-10;
            (clear, kappa) = (c, k);
            found = Some(fit);
            if settled {
                break;
            }
        }
        let fit = found.ok_or(NoCalibration::Dark)?;
        let residuals: Vec<f64> = steps
            .iter()
            .zip(&light)
            .map(|(step, light)| {
                let model = clear * share(step) + kappa * step.1.black;
                (light - model) / variance(step, (clear, kappa), set_up).sqrt()
            })
            .collect();
        let weighed = residuals.iter().map(|r| r * r * huber_weight(*r));
        let freedom = residuals.len() as f64 - if set_up.mask { 1.0 } else { 2.0 };
        let chi = (weighed.sum::<f64>() / freedom).sqrt();
        if !(chi <= REFUSED) {
            return Err(NoCalibration::NotLinear { chi });
        }
        let grown = chi.max(1.0).powi(2);
        let covariance =
            [fit.covariance[0] * grown, fit.covariance[1] * grown, fit.covariance[3] * grown];
        let mut sigmas: Vec<f64> = steps
            .iter()
            .map(|step| {
                variance(step, (clear, kappa), set_up).sqrt() / (clear * share(step) * LN_10)
            })
            .collect();
        let excess = (chi * chi - 1.0).max(0.0).sqrt() * median(&mut sigmas);
        let linear = Self { set_up, clear, kappa, covariance, chi, excess, residuals, tone: None };
        let tone = Tone::of(steps, &linear);
        Ok(Self { tone, ..linear })
    }

    /// Light of a step less its glare.
    #[must_use]
    pub fn net(&self, seen: &Seen) -> f64 {
        seen.light - self.kappa * seen.black
    }

    /// Whether the fit is doubtful, and to be told of.
    #[must_use]
    pub fn is_doubtful(&self) -> bool {
        self.chi > DOUBTFUL
    }

    /// The density of a step, D = −log10((p − κ·B)/(c·F)).
    #[must_use]
    pub fn density(&self, seen: &Seen) -> Stated {
        let (clear, kappa) = (self.clear, self.kappa);
        let own = clear * seen.flat;
        let net = self.net(seen);
        let noise = noise(seen, kappa, self.set_up);
        // What all steps have in common counts for what can be told from glare.
        let blurred = (noise + self.covariance[2] * seen.black.powi(2)).sqrt();
        if net <= SEEN * blurred {
            let limit = -log10(SEEN * blurred / own);
            let limit = if self.set_up.mask { limit } else { limit.min(MOST_WITHOUT_MASK) };
            return Stated::DenserThan(limit.max(0.0));
        }
        let density = -log10(net / own);
        if !self.set_up.mask && density > MOST_WITHOUT_MASK {
            return Stated::Withheld;
        }
        let relative = relative(seen, self.set_up);
        let sigma = (noise / (net * net) + relative).sqrt() / LN_10;
        // A tablet that scatters more than it should: whether by its certificate or by the picture, in which case the
        // strip scatters too, is not known.
        let sigma = if self.is_doubtful() { hypot(sigma, self.excess) } else { sigma };
        let by = [1.0 / (clear * LN_10), seen.black / (net * LN_10)];
        Stated::Density(Found { density, sigma, by })
    }

    /// The covariance of two densities by what they have in common.
    #[must_use]
    pub fn covariance(&self, a: &Found, b: &Found) -> f64 {
        let [cc, ck, kk] = self.covariance;
        a.by[0] * b.by[0] * cc
            + (a.by[0] * b.by[1] + a.by[1] * b.by[0]) * ck
            + a.by[1] * b.by[1] * kk
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::elementary::pow;

    const MASKED: SetUp = SetUp { mask: true, flat: true };

    fn seen(density: f64, glare: f64, gamma: f64) -> Seen {
        let light = pow(0.8 * antilog(-density) + glare, gamma);
        let black = pow(glare, gamma);
        let black_error = 0.02 * black;
        Seen { light, light_error: 1e-5, flat: 1.0, flat_error: 1e-4, black, black_error }
    }

    fn tablet(glare: f64, gamma: f64) -> Vec<(Known, Seen)> {
        (0..21)
            .map(|k| {
                let density = 0.05 + 0.15 * f64::from(k);
                // A certificate that is off by turns.
                let off = if k % 2 == 0 { 0.008 } else { -0.008 };
                (Known { density: density + off, sigma: 0.010 }, seen(density, glare, gamma))
            })
            .collect()
    }

    #[test]
    fn what_was_put_in_comes_out() {
        let fit = Calibration::of(&tablet(0.01, 1.0), MASKED).unwrap();
        assert!((fit.clear - 0.8).abs() < 0.004, "{fit:?}");
        assert!((fit.kappa - 1.0).abs() < 0.02 && fit.chi < 1.1, "{fit:?}");
        for density in [0.3, 1.0, 2.0, 2.8] {
            let Stated::Density(found) = fit.density(&seen(density, 0.01, 1.0)) else { panic!() };
            let all = (found.sigma.powi(2) + fit.covariance(&found, &found)).sqrt();
            assert!((found.density - density).abs() < 2.0 * all, "{density} {found:?}");
        }
        // Glare of 0.01 known to 0.0002 leaves nothing of density 3.6.
        let Stated::DenserThan(limit) = fit.density(&seen(3.6, 0.01, 1.0)) else { panic!() };
        assert!((2.8..3.3).contains(&limit), "{limit}");
    }

    #[test]
    fn encodings_that_are_not_linear_are_refused() {
        for gamma in [1.0 / 2.2, 0.8, 1.3] {
            let refused = Calibration::of(&tablet(0.01, gamma), MASKED);
            assert!(matches!(refused, Err(NoCalibration::NotLinear { .. })), "{gamma} {refused:?}");
        }
    }

    #[test]
    fn one_step_under_dust_does_little() {
        let mut steps = tablet(0.01, 1.0);
        steps[4].1.light *= 0.8;
        let fit = Calibration::of(&steps, MASKED).unwrap();
        assert!(log10(fit.clear / 0.8).abs() < 0.005, "{fit:?}");
        assert!(fit.residuals[4] < -4.0);
    }

    #[test]
    fn without_a_mask_dense_steps_are_withheld() {
        let open = |density: f64| Seen { black: 1.0, ..seen(density, 0.004, 1.0) };
        let steps: Vec<_> =
            tablet(0.0, 1.0).into_iter().map(|(known, _)| (known, open(known.density))).collect();
        let fit = Calibration::of(&steps, SetUp { mask: false, flat: true }).unwrap();
        assert!((fit.kappa - 0.004).abs() < 1e-3, "{fit:?}");
        assert!(fit.density(&open(1.0)).found().is_some());
        assert!(fit.density(&open(2.0)).found().is_none());
        assert!(fit.density(&open(1.4)).found().unwrap().sigma > 0.02);
    }

    #[test]
    fn too_little_is_refused() {
        assert_eq!(
            Calibration::of(&tablet(0.0, 1.0)[..3], MASKED),
            Err(NoCalibration::Few { seen: 3 })
        );
        let black: Vec<_> = tablet(0.0, 1.0)
            .into_iter()
            .map(|(known, seen)| (known, Seen { light: 1e-6, ..seen }))
            .collect();
        assert_eq!(Calibration::of(&black, MASKED), Err(NoCalibration::Dark));
    }
}
