//! Whether a strip has another density in blue light than in green: a stain of the film or the developer.
//!
//! Each channel is calibrated by the tablet's steps in that channel. The errors of the tablet's certificate are
//! the same in both and cancel, as far as the tablet itself is neutral.

use super::photometry::Found;
use super::reading::{Reading, StripStep};
use crate::elementary::hypot;
use crate::numerics::chance::NORMAL_95;

/// A difference of so many standard uncertainties is noted.
const SEEN: f64 = 3.0;
/// A smaller difference is not noted: it does not show in a print.
const LEAST: f64 = 0.02;
/// Standard uncertainty of how neutral a tablet of silver is, in density: assumed.
const NEUTRAL: f64 = 0.005;

/// A difference of density between two colours of light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Difference {
    /// Blue less green.
    pub value: f64,
    /// Its standard uncertainty.
    pub sigma: f64,
}

impl Difference {
    /// Half the width of its 95 % interval.
    #[must_use]
    pub fn half(&self) -> f64 {
        NORMAL_95 * self.sigma
    }

    /// Whether it is beyond its uncertainty by much, and large enough to count in a print.
    #[must_use]
    pub fn is_seen(&self) -> bool {
        self.value.abs() > (SEEN * self.sigma).max(LEAST)
    }
}

/// Density in blue less density in green.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stain {
    /// The mean over the steps that have a density in both.
    pub mean: Difference,
    /// At the densest of them.
    pub densest: Difference,
    /// The tablet's step of that one, from 0.
    pub step: usize,
}

impl Stain {
    /// The stain between two readings of the same strip. `None` where no step has a density in both.
    #[must_use]
    pub fn between(blue: &Reading, green: &Reading) -> Option<Self> {
        let found = |steps: &[StripStep], step: usize| -> Option<Found> {
            steps.iter().find(|s| s.step == step)?.stated.found().copied()
        };
        let both: Vec<(usize, f64, Difference)> = green
            .steps
            .iter()
            .filter_map(|s| {
                let (b, g) = (found(&blue.steps, s.step)?, found(&green.steps, s.step)?);
                let value = b.density - g.density;
                let sigma = hypot(hypot(b.sigma, g.sigma), NEUTRAL);
                Some((s.step, g.density, Difference { value, sigma }))
            })
            .collect();
        let n = both.len() as f64;
        let (step, _, densest) = *both.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
        // What is not quite right in one channel is so in neighbouring steps too: the mean is no surer than a step.
        let mean = Difference {
            value: both.iter().map(|(_, _, d)| d.value).sum::<f64>() / n,
            sigma: (both.iter().map(|(_, _, d)| d.sigma.powi(2)).sum::<f64>() / n).sqrt(),
        };
        Some(Self { mean, densest, step })
    }

    /// Whether a stain is seen.
    #[must_use]
    pub fn is_seen(&self) -> bool {
        self.mean.is_seen() || self.densest.is_seen()
    }
}
