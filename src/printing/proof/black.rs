//! Where a few readings of rising exposure level off, and where they reach nine tenths of that.

use crate::elementary::{exp, hypot, ln};
use crate::numerics::monotone::{MonotoneCubic, isotonic};
use crate::numerics::search;
use crate::printing::iso_6846::SHADOW_SHARE;
use crate::printing::why::NoBlack;

/// Apart in log exposure that two readings must be to tell whether the density still rises: a third
/// of a stop.
const APART: f64 = 0.1;
/// A rise of the last readings of fewer standard uncertainties of a difference is none.
const SIGNIFICANT: f64 = 2.0;
/// Share of the net maximum density that may be missing at the last reading.
const MISSING: f64 = 0.03;

/// Readings of rising exposure, and what is made of them.
#[derive(Clone, Debug)]
pub(super) struct Estimator {
    pub x: Vec<f64>,
    pub density: Vec<f64>,
    pub sigma: Vec<f64>,
    pub white: f64,
}

/// Where the shadow point lies.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found {
    /// Log exposure of the shadow point.
    pub x: f64,
    /// Its density.
    pub target: f64,
    pub d_max: f64,
    /// Standard uncertainty of `x` from the shape between the readings.
    pub shape_sd: f64,
    /// The same from what the shoulder may still rise.
    pub rest_sd: f64,
    /// Standard uncertainty of `d_max` from that.
    pub d_max_rest_sd: f64,
}

impl Estimator {
    /// The readings pooled where they fall, so that they rise.
    fn rising(&self) -> Vec<f64> {
        let weights: Vec<f64> = self.sigma.iter().map(|s| s.powi(-2)).collect();
        isotonic(&self.density, &weights)
    }

    pub fn density(&self, x: f64) -> f64 {
        MonotoneCubic::through(self.x.clone(), self.rising()).map_or(f64::NAN, |c| c.at(x).0)
    }

    /// Maximum density, and how much of it is above the last reading.
    fn black(&self, rising: &[f64]) -> Result<(f64, f64), NoBlack> {
        let last = rising.len() - 1;
        let before = |i: usize| (0..i).rev().find(|&j| self.x[i] - self.x[j] >= APART - 1e-9);
        let never = |rise: f64| NoBlack::NeverReached { rise };
        let Some(middle) = before(last) else {
            return Err(NoBlack::TooClose);
        };
        let rise = rising[last] - rising[middle];
        let noise = SIGNIFICANT * hypot(self.sigma[last], self.sigma[middle]);
        if rise <= noise {
            return Ok((rising[last], 0.5 * rise));
        }
        let first = before(middle).ok_or_else(|| never(rise))?;
        let slope = |i: usize, j: usize| (rising[j] - rising[i]) / (self.x[j] - self.x[i]);
        let (early, late) = (slope(first, middle), slope(middle, last));
        // The slope falls by a factor of e over this length, from one middle to the other.
        let apart = 0.5 * (self.x[last] - self.x[first]);
        let length = apart / ln(early / late);
        let end = late * exp(-0.5 * (self.x[last] - self.x[middle]) / length);
        let rest = end * length;
        if early > late && rest <= MISSING * (rising[last] - self.white) {
            Ok((rising[last], rest))
        } else {
            Err(never(rise))
        }
    }

    /// The shadow point.
    pub fn solve(&self) -> Result<Found, NoBlack> {
        let rising = self.rising();
        let (end, rest) = self.black(&rising)?;
        let d_max = end + rest;
        let target = self.white + SHADOW_SHARE * (d_max - self.white);
        if rising[0] >= target {
            return Err(NoBlack::AlreadyBlack { density: self.density[0], black: target });
        }
        let (low, high) = (self.x[0], self.x[self.x.len() - 1]);
        let cubic =
            MonotoneCubic::through(self.x.clone(), rising.clone()).ok_or(NoBlack::SameTimes)?;
        let x = search::root(|x| cubic.at(x).0 - target, low, high).ok_or(NoBlack::NotPassed)?;
        let slope = cubic.at(x).1.max(1e-3);
        let above = rising.partition_point(|d| *d < target).clamp(1, rising.len() - 1);
        let share = (target - rising[above - 1]) / (rising[above] - rising[above - 1]);
        let straight = self.x[above - 1] + share * (self.x[above] - self.x[above - 1]);
        Ok(Found {
            x,
            target,
            d_max,
            shape_sd: 0.5 * (x - straight),
            rest_sd: 0.5 * SHADOW_SHARE * rest / slope,
            d_max_rest_sd: 0.5 * rest,
        })
    }
}
