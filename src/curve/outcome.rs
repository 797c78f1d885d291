//! What a fit is asked for and what it gives.

use super::{Curve, NoiseGrowth, Observations};
use crate::numerics::least_squares::Stop;

/// Which model to fit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Choice {
    /// `smooth` for seven readings or more of six exposures, else `shoulder` or `toe` by AICc.
    #[default]
    Auto,
    /// The penalised spline.
    Smooth,
    /// Toe, straight line and shoulder.
    Shoulder,
    /// Toe and straight line.
    Toe,
}

/// Why there is no curve.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum FitError {
    /// Too few different exposures.
    #[error("too few steps for a curve: {found} of different exposure, and {needed} are needed")]
    TooFew {
        /// How many there are.
        found: usize,
        /// How many are needed.
        needed: usize,
    },
    /// Densities that do not rise.
    #[error("the densities rise by only {rise:.2}: there is no image to fit")]
    Flat {
        /// Highest minus lowest density.
        rise: f64,
    },
    /// No minimum was found.
    #[error("the fit did not converge: the readings follow no rising curve")]
    NotConverged,
}

/// What the fit noticed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum FitNote {
    /// A model that was asked for cannot be had.
    #[error("the {wanted} model {why}; the {used} model is used instead")]
    Instead {
        /// Model asked for.
        wanted: &'static str,
        /// Why not.
        why: String,
        /// Model used.
        used: &'static str,
    },
    /// Readings scatter more than their uncertainty says.
    #[error(
        "the readings scatter about the curve by {found:.3}, more than their stated uncertainty {stated:.3}: intervals are widened to match"
    )]
    Scatter {
        /// Standard deviation found.
        found: f64,
        /// Standard uncertainty stated.
        stated: f64,
    },

    /// Readings of assumed uncertainty scatter more where density is high.
    #[error(
        "the readings scatter more where density is high, by about {least:.3} at the lowest and {most:.3} at the highest: each counts by what it is worth"
    )]
    NoiseGrows {
        /// Standard deviation at the lowest density.
        least: f64,
        /// At the highest.
        most: f64,
    },

    /// Unexposed film far below the lowest step.
    #[error(
        "the unexposed patch is {below:.2} below the lowest step, and no step shows the toe between them: check that reading, because all other measures are counted from it"
    )]
    ToeUnseen {
        /// Density of the curve at the lowest step minus base plus fog.
        below: f64,
    },
}

/// A reading that the others contradict; it is not used in the fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Suspect {
    /// Its index in the observations.
    pub index: usize,
    /// Density read minus density of the curve.
    pub residual: f64,
}

/// A curve and what is asked of its fit.
#[derive(Debug)]
pub struct FittedCurve {
    /// The curve.
    pub curve: Box<dyn Curve>,
    /// The observations; those set aside have weight 0.
    pub observations: Observations,
    /// Readings set aside because the others contradict them.
    pub suspects: Vec<Suspect>,
    /// N: the readings used, repeats and unexposed film among them.
    pub readings_used: usize,
    /// N less the parameters that the readings spend: the sum of their leverages, which is smaller
    /// than the number of parameters where a penalty or a prior settles some of them. At least 1.
    pub degrees_of_freedom: f64,
    /// Why the solver stopped in the last fit.
    pub stop: Stop,
    /// Standard deviation of the residuals of readings in use, for their effective degrees of freedom.
    pub residual_sd: f64,
    /// Variance of the readings over what their standard uncertainties say; it scales the
    /// covariance of the parameters.
    pub variance: f64,
    /// Half the width of a 95 % interval over the standard error of the unscaled covariance.
    pub quantile: f64,
    /// What the readings say of noise that grows with density.
    pub growth: NoiseGrowth,
    /// What the fit noticed.
    pub notes: Vec<FitNote>,
}

impl FittedCurve {
    /// Correlation of the errors of parameters `j` and `k`, counted as in [`Curve::parameters`]:
    ///
    /// ```text
    /// r = Cjk/√(Cjj·Ckk)
    /// ```
    ///
    /// from −1 to 1, C being their covariance; NaN where one of them is not uncertain at all. Where
    /// a named parameter is the exponential of a working one, the correlation is the same to first
    /// order.
    ///
    /// # Panics
    /// If there are not so many parameters.
    #[must_use]
    pub fn correlation(&self, j: usize, k: usize) -> f64 {
        let n = self.curve.parameters().len();
        let covariance = |j: usize, k: usize| self.curve.covariance()[j * n + k];
        let r = covariance(j, k) / (covariance(j, j) * covariance(k, k)).sqrt();
        r.clamp(-1.0, 1.0)
    }
}
