//! Densities of fixed steps, as the trade's control charts have them.

use super::Unread;
use super::reading::{Detail, Evidence, WatchedReading};
use crate::bath::watched::Watched;
use crate::measures::Quantity;
use crate::numerics::chance::NORMAL_95;

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

impl Evidence<'_> {
    /// The fixed steps: those of radiography where the limits ask for them, else the pictorial ones.
    pub(super) fn steps(&self) -> Vec<WatchedReading> {
        let o = self.observations;
        let mut exposed: Vec<f64> = o.x.iter().copied().filter(|x| x.is_finite()).collect();
        exposed.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        let aims = self.expectation.density(&exposed, self.development);
        let base = self.expectation.density(&[f64::NEG_INFINITY], self.development)[0];
        let nearest = |wanted: f64, allowed: &dyn Fn(f64) -> bool| {
            let near = |i: &usize| (aims[*i] - wanted).abs();
            (0..exposed.len())
                .filter(|&i| allowed(aims[i]))
                .min_by(|a, b| near(a).total_cmp(&near(b)))
        };
        let reached = |wanted: f64| aims.iter().any(|d| *d >= wanted - REACH);
        let never = |density: f64| Unread::NoStepNear { density };
        let find = |wanted: f64, allowed: &dyn Fn(f64) -> bool| {
            nearest(wanted, allowed)
                .filter(|_| reached(wanted))
                .map(|i| exposed[i])
                .ok_or_else(|| never(wanted))
        };
        let radiography = self.verifier.limits.of(Watched::MidDensity).is_some();
        let (low, high) = if radiography {
            let (low, _, high) = RADIOGRAPHY;
            (
                find(low, &|d| d >= low),
                find(high, &|d| d <= high).or_else(|_| {
                    // The rule asks for the nearest that does not exceed it, however far that is.
                    nearest(high, &|d| d <= high).map(|i| exposed[i]).ok_or_else(|| never(high))
                }),
            )
        } else {
            (find(base + PICTORIAL.0, &|_| true), find(base + PICTORIAL.1, &|_| true))
        };
        let mut all = vec![self.at_step(Watched::LowDensity, low)];
        if radiography {
            all.push(self.at_step(Watched::MidDensity, find(RADIOGRAPHY.1, &|_| true)));
        }
        all.push(self.at_step(Watched::HighDensity, high));
        all.push(self.difference(low, high));
        all
    }

    /// The covariance of two densities by what all have in common.
    fn common(&self, a: f64, b: f64) -> f64 {
        self.observations.common.map_or(0.0, |common| common.covariance(a, b))
    }

    /// Mean density read at a log exposure, and its variance without what all densities have in common.
    fn mean(&self, x: f64) -> Option<(f64, f64)> {
        let o = self.observations;
        let here: Vec<usize> =
            (0..o.len()).filter(|&i| o.weight[i] > 0.0 && (o.x[i] - x).abs() < 1e-6).collect();
        let n = here.len() as f64;
        let variance = here.iter().map(|&i| o.sigma[i].powi(2)).sum::<f64>() / (n * n);
        (n > 0.0).then(|| (here.iter().map(|&i| o.density[i]).sum::<f64>() / n, variance))
    }

    fn at_step(&self, what: Watched, x: Result<f64, Unread>) -> WatchedReading {
        let read = x.and_then(|x| Ok((x, self.mean(x).ok_or(Unread::SuspectStep)?)));
        let (x, (density, variance)) = match read {
            Ok(read) => read,
            Err(why) => return self.reading(what, Detail::Plain, Err(why), None, Err(why)),
        };
        let expected = self.expectation.at(&[x], self.development);
        let variance = variance + self.common(density, density);
        let own = around(density, variance);
        let deviation =
            around(density - expected.density[0], variance + expected.covariance[(0, 0)]);
        let aim = Some(expected.density[0]);
        self.reading(what, Detail::Step(x), Ok(own), aim, Ok(deviation))
    }

    fn difference(&self, low: Result<f64, Unread>, high: Result<f64, Unread>) -> WatchedReading {
        let what = Watched::DensityDifference;
        let mean = |x| self.mean(x).ok_or(Unread::SuspectStep);
        let both =
            low.and_then(|l| Ok((l, high?))).and_then(|(l, h)| Ok((l, h, mean(l)?, mean(h)?)));
        match both {
            Err(why) => self.reading(what, Detail::Plain, Err(why), None, Err(why)),
            Ok((l, h, (d_low, v_low), (d_high, v_high))) => {
                let expected = self.expectation.at(&[l, h], self.development);
                let aim = expected.density[1] - expected.density[0];
                let c = &expected.covariance;
                let uncertain = c[(0, 0)] + c[(1, 1)] - 2.0 * c[(0, 1)];
                let common = self.common(d_low, d_low) + self.common(d_high, d_high)
                    - 2.0 * self.common(d_low, d_high);
                let variance = v_low + v_high + common;
                let own = around(d_high - d_low, variance);
                let deviation = around(d_high - d_low - aim, variance + uncertain);
                self.reading(what, Detail::Plain, Ok(own), Some(aim), Ok(deviation))
            }
        }
    }
}

fn around(value: f64, variance: f64) -> Quantity {
    Quantity::around(value, NORMAL_95 * variance.max(0.0).sqrt())
}
