//! From observations to a curve: the choice of model, and readings set aside.

use super::common::WithCommon;
use super::levels::Levels;
use super::rigid::Rigid;
use super::scatter::{ScatterAbout, scatter, student_quantile};
use super::suspects::{DOUBT, LIMIT, deleted_residual};
use super::{
    Choice, Curve, FitError, FitNote, FittedCurve, NoiseGrowth, Observations, Smooth, Suspect,
    smooth,
};
use crate::numerics::least_squares::{Stop, Workspace};

/// Fewest different exposures for the toe and for the smooth model.
const TOE_NEEDS: usize = 4;
const SMOOTH_NEEDS: usize = 6;
/// From this many readings on, `auto` chooses the smooth model.
const AUTO_SMOOTH: usize = 7;
/// A rise between the unexposed film and the lowest step that calls for a second look.
const FAR_BELOW: f64 = 0.06;
/// A rise there that the user is told of.
const TOLD_BELOW: f64 = 0.12;
/// A strip whose densities rise by less carries no image.
const LEAST_RISE: f64 = 0.05;

/// How often the growth of noise with density is found from the fit that the last one gave.
const ROUNDS: usize = 2;

/// Fits curves; keeps its matrices from strip to strip.
#[derive(Debug, Default)]
pub struct Fitter {
    pub(super) workspace: Workspace,
    /// How the noise of assumed size grows with density, where more than the strip itself tells.
    growth: Option<NoiseGrowth>,
}

impl Fitter {
    /// A fitter with empty matrices.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The same, which knows how noise of assumed size grows with density.
    #[must_use]
    pub fn knowing(growth: NoiseGrowth) -> Self {
        Self { growth: Some(growth), ..Self::default() }
    }

    /// Fits a curve to `observations`.
    ///
    /// `sigma_is_assumed` says that the readings' σ are a default and not the user's word; their
    /// scatter about the curve then has its say in the intervals.
    ///
    /// # Errors
    /// [`FitError`] where no curve can be had.
    pub fn fit(
        &mut self,
        mut observations: Observations,
        choice: Choice,
        sigma_is_assumed: bool,
    ) -> Result<FittedCurve, FitError> {
        let mut notes = Vec::new();
        let assumed = observations.sigma.clone();
        let mut stated = assumed.clone();
        let (mut curve, mut stop) = self.curve(&mut observations, choice, &mut notes)?;
        let mut levels = Levels::of(&observations, curve.as_ref());
        if sigma_is_assumed {
            for _ in 0..ROUNDS {
                let own = NoiseGrowth::of(&observations, &assumed, &levels);
                let believed = self.growth.unwrap_or(own);
                let Some(factors) = believed.factors(&levels.density) else { break };
                observations.sigma = factors.iter().zip(&assumed).map(|(f, s)| f * s).collect();
                stated.clone_from(&observations.sigma);
                notes.clear();
                (curve, stop) = self.curve(&mut observations, choice, &mut notes)?;
                levels = Levels::of(&observations, curve.as_ref());
            }
        }
        let mut scatter = ScatterAbout::of(&observations, &levels);
        let ratio = scatter.variance(sigma_is_assumed).0.sqrt();
        if !(0.8..1.25).contains(&ratio) {
            // The balance of smoothness against σ was struck for a wrong σ: strike it again.
            let own = (scatter.chi_squared / scatter.degrees_of_freedom).sqrt().clamp(0.3, 30.0);
            let mean = if sigma_is_assumed && own < 1.0 { ratio } else { own };
            observations.sigma.iter_mut().for_each(|s| *s *= mean);
            notes.clear();
            (curve, stop) = self.curve(&mut observations, choice, &mut notes)?;
            levels = Levels::of(&observations, curve.as_ref());
            scatter = ScatterAbout::of(&observations, &levels);
        }
        let (variance, freedom) = scatter.variance(sigma_is_assumed);
        let residual_sd = (scatter.squares / scatter.degrees_of_freedom).sqrt();
        let mean_stated = stated.iter().sum::<f64>() / stated.len() as f64;
        if residual_sd > 1.6 * mean_stated {
            notes.push(FitNote::Scatter { found: residual_sd, stated: mean_stated });
        }
        if stated != assumed {
            let (least, most) =
                stated.iter().fold((f64::INFINITY, 0.0_f64), |(l, m), s| (l.min(*s), m.max(*s)));
            let scale = variance.sqrt();
            notes.push(FitNote::NoiseGrows { least: least * scale, most: most * scale });
        }
        let below = levels.below;
        let unexposed = observations.unexposed();
        if below > TOLD_BELOW && observations.weight[..unexposed].iter().any(|w| *w > 0.0) {
            notes.push(FitNote::ToeUnseen { below });
        }
        let suspects = suspects(&observations, &levels);
        let quantile = student_quantile(freedom) * variance.sqrt();
        let growth = NoiseGrowth::of(&observations, &assumed, &levels);
        observations.sigma = stated;
        if let Some(common) = &observations.common {
            curve = Box::new(WithCommon::new(curve, common, quantile));
        }
        Ok(FittedCurve {
            curve,
            readings_used: observations.used(),
            observations,
            suspects,
            degrees_of_freedom: scatter.degrees_of_freedom,
            stop,
            residual_sd,
            variance,
            quantile,
            growth,
            notes,
        })
    }

    /// Screens the readings and fits the chosen model.
    fn curve(
        &mut self,
        observations: &mut Observations,
        choice: Choice,
        notes: &mut Vec<FitNote>,
    ) -> Result<(Box<dyn Curve>, Stop), FitError> {
        usable(observations)?;
        let rigid = self.screened(observations, choice)?;
        let distinct = observations.distinct_exposures();
        let instead = |why: String| FitNote::Instead {
            wanted: "smooth",
            why,
            used: rigid.curve.as_ref().name(),
        };
        let smooth = match choice {
            Choice::Smooth if distinct < SMOOTH_NEEDS => {
                notes.push(instead(format!(
                    "needs at least {SMOOTH_NEEDS} different exposures and has {distinct}"
                )));
                return Ok((rigid.curve, rigid.stop));
            }
            Choice::Smooth => true,
            Choice::Auto => distinct >= SMOOTH_NEEDS && observations.used() >= AUTO_SMOOTH,
            Choice::Shoulder | Choice::Toe => false,
        };
        if !smooth {
            return self.parametric(observations, rigid, choice, notes);
        }
        if let Some(curve) = self.smooth(observations, rigid.curve.as_ref()) {
            let stop = curve.stop();
            return Ok((Box::new(curve), stop));
        }
        notes.push(instead("found no minimum".to_owned()));
        Ok((rigid.curve, rigid.stop))
    }

    /// The smooth fit with suspects found by leaving them out.
    fn smooth(&mut self, observations: &mut Observations, rigid: &dyn Curve) -> Option<Smooth> {
        let mut curve = smooth::fit(observations, rigid, rigid, &mut self.workspace)?;
        let mut cleared = Vec::new();
        for _ in 0..8 {
            let levels = Levels::of(observations, &curve);
            let scale = scatter(observations, &levels).max(1.0);
            let back = (0..observations.len())
                .filter(|&i| observations.weight[i] == 0.0)
                .map(|i| (deleted_residual(observations, &levels, i, scale).abs(), i))
                .filter(|(t, _)| *t <= LIMIT)
                .min_by(|a, b| a.0.total_cmp(&b.0));
            if let Some((_, i)) = back {
                observations.weight[i] = 1.0;
                curve = smooth::fit(observations, &curve, rigid, &mut self.workspace)?;
                continue;
            }
            let doubtful = (0..observations.len())
                .filter(|&i| observations.weight[i] > 0.0)
                .map(|i| (deleted_residual(observations, &levels, i, scale).abs(), i))
                .filter(|(t, i)| *t > DOUBT && !cleared.contains(i))
                .max_by(|a, b| a.0.total_cmp(&b.0))
                .map(|(_, i)| i)
                .or_else(|| {
                    hidden(observations, &curve, levels.below)
                        .into_iter()
                        .flatten()
                        .find(|i| !cleared.contains(i))
                });
            let Some(i) = doubtful else { break };
            observations.weight[i] = 0.0;
            // The foot of the curve must not be that of a rigid fit which the suspect bent.
            let straightened = self.rigid(observations, Choice::Auto);
            let start = straightened.as_ref().map_or(rigid, |r| r.curve.as_ref());
            let without = smooth::fit(observations, start, start, &mut self.workspace)?;
            let levels = Levels::of(observations, &without);
            let scale = scatter(observations, &levels).max(1.0);
            if deleted_residual(observations, &levels, i, scale).abs() > LIMIT {
                curve = without;
            } else {
                observations.weight[i] = 1.0;
                cleared.push(i);
            }
        }
        Some(curve)
    }

    /// Toe or shoulder, with suspects found by leaving them out.
    fn parametric(
        &mut self,
        observations: &mut Observations,
        mut rigid: Rigid,
        choice: Choice,
        notes: &mut Vec<FitNote>,
    ) -> Result<(Box<dyn Curve>, Stop), FitError> {
        for _ in 0..6 {
            let levels = Levels::of(observations, rigid.curve.as_ref());
            let scale = scatter(observations, &levels).max(1.0);
            let doubtful = (0..observations.len())
                .map(|i| (deleted_residual(observations, &levels, i, scale).abs(), i))
                .filter(|&(t, i)| if observations.weight[i] > 0.0 { t > LIMIT } else { t <= LIMIT })
                .max_by(|a, b| a.0.total_cmp(&b.0));
            let Some((_, i)) = doubtful else { break };
            observations.weight[i] = 1.0 - observations.weight[i];
            if usable(observations).is_err() {
                observations.weight[i] = 1.0;
                break;
            }
            rigid = self.rigid(observations, choice).ok_or(FitError::NotConverged)?;
        }
        if let Some(why) = rigid.why_no_shoulder.filter(|_| choice == Choice::Shoulder) {
            notes.push(FitNote::Instead { wanted: "shoulder", why, used: "toe" });
        }
        Ok((rigid.curve, rigid.stop))
    }
}

/// Whether the readings in use can carry a curve at all.
pub(super) fn usable(observations: &Observations) -> Result<(), FitError> {
    let found = observations.distinct_exposures();
    if found < TOE_NEEDS || observations.used() < TOE_NEEDS + 1 {
        return Err(FitError::TooFew {
            found,
            needed: TOE_NEEDS + usize::from(found >= TOE_NEEDS),
        });
    }
    let used = observations.density.iter().zip(&observations.weight).filter(|(_, w)| **w > 0.0);
    let (low, high) =
        used.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), (d, _)| (l.min(*d), h.max(*d)));
    if high - low < LEAST_RISE {
        return Err(FitError::Flat { rise: high - low });
    }
    Ok(())
}

/// Readings at the two ends that a smooth curve may have followed instead of contradicting them:
/// the unexposed film where the curve rises far below the lowest step, as if an image lay hidden
/// there, and the last step where the slope is greatest at the very end and still growing.
fn hidden(observations: &Observations, curve: &dyn Curve, below: f64) -> [Option<usize>; 2] {
    let (_, high) = curve.range();
    let lone = observations.unexposed() == 1 && observations.weight[0] > 0.0;
    let unexposed = (below > FAR_BELOW && lone).then_some(0);
    let in_use = |i: &usize| observations.weight[*i] > 0.0;
    let last = (0..observations.len()).rev().find(in_use);
    let before = last.and_then(|l| (0..l).rev().find(in_use)).map(|i| observations.x[i]);
    let at_before = before.map_or(f64::INFINITY, |x| curve.slope(x));
    [unexposed, last.filter(|_| curve.slope(high) > 1.1 * at_before)]
}

/// The readings set aside, with their distance from the curve.
fn suspects(observations: &Observations, levels: &Levels) -> Vec<Suspect> {
    (0..observations.len())
        .filter(|&i| observations.weight[i] == 0.0)
        .map(|index| Suspect { index, residual: levels.residual(observations, index) })
        .collect()
}
