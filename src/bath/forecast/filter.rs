//! The Kalman filter for ln a and the replenisher's strength, for several coefficients at once.

use super::Values;
use super::stretch::{Step, Then};
use crate::elementary::{exp, ln};
use std::f64::consts::TAU;

/// What is known of ln a and of the replenisher's strength: a normal distribution of two.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct State {
    /// Mean of ln a.
    pub x: f64,
    /// Mean of the replenisher's strength.
    pub s: f64,
    /// Variance of ln a.
    pub xx: f64,
    /// Covariance.
    pub xs: f64,
    /// Variance of the strength.
    pub ss: f64,
}

/// As many filters as there are lanes, side by side: arrays that the compiler can vectorise.
struct Lanes<const N: usize> {
    x: [f64; N],
    s: [f64; N],
    xx: [f64; N],
    xs: [f64; N],
    ss: [f64; N],
}

/// Where each lane ends and the log-likelihood of its strips.
pub(super) struct Run<const N: usize> {
    pub states: [State; N],
    pub log_likelihood: [f64; N],
}

impl<const N: usize> Lanes<N> {
    const fn new(start: &State) -> Self {
        Self {
            x: [start.x; N],
            s: [start.s; N],
            xx: [start.xx; N],
            xs: [start.xs; N],
            ss: [start.ss; N],
        }
    }

    fn lose(&mut self, of: &[Values; N], step: &Step) {
        for (i, of) in of.iter().enumerate() {
            let loss = of.loss(step.m2_per_litre, step.days);
            self.x[i] -= loss;
            self.xx[i] += of.dispersion * loss;
        }
    }

    /// a becomes keep·a + fresh·s.
    fn mix(&mut self, keep: f64, fresh: f64) {
        for i in 0..N {
            let kept = keep * exp(self.x[i]);
            let mixed = kept + fresh * self.s[i];
            let (by_x, by_s) = (kept / mixed, fresh / mixed);
            let cross = by_x * self.xs[i] + by_s * self.ss[i];
            self.x[i] = ln(mixed);
            self.xx[i] = by_x * (by_x * self.xx[i] + by_s * self.xs[i]) + by_s * cross;
            self.xs[i] = cross;
        }
    }

    /// Sees ln a = y; returns what was unexpected of it and the variance that was expected.
    fn see(&mut self, y: f64, variance: f64) -> ([f64; N], [f64; N]) {
        let (mut unexpected, mut expected) = ([0.0; N], [0.0; N]);
        for i in 0..N {
            let f = self.xx[i] + variance;
            let v = y - self.x[i];
            let (gain_x, gain_s) = (self.xx[i] / f, self.xs[i] / f);
            self.x[i] += gain_x * v;
            self.s[i] += gain_s * v;
            self.ss[i] -= gain_s * self.xs[i];
            // variance/f and not 1 − gain, which loses digits where the strip is exact.
            self.xx[i] = gain_x * variance;
            self.xs[i] *= variance / f;
            (unexpected[i], expected[i]) = (v, f);
        }
        (unexpected, expected)
    }

    fn state(&self, i: usize) -> State {
        State { x: self.x[i], s: self.s[i], xx: self.xx[i], xs: self.xs[i], ss: self.ss[i] }
    }
}

/// Runs the filters from `start`; `seen` is told at each strip what was unexpected and the variance.
pub(super) fn run<const N: usize>(
    steps: &[Step],
    of: &[Values; N],
    start: &State,
    mut seen: impl FnMut(&[f64; N], &[f64; N]),
) -> Run<N> {
    /// Strips after which the logarithm of the product of variances is taken: it cannot leave the
    /// range of numbers before.
    const TOGETHER: u32 = 16;
    let mut lanes = Lanes::new(start);
    let (mut squares, mut logs, mut product) = ([0.0; N], [0.0; N], [1.0; N]);
    let (mut strips, mut pending) = (0_u32, 0_u32);
    for step in steps {
        lanes.lose(of, step);
        match step.then {
            Then::Strip { ln_activity, sd } => {
                let (v, f) = lanes.see(ln_activity, sd * sd);
                for i in 0..N {
                    squares[i] += v[i] * v[i] / f[i];
                    product[i] *= f[i];
                }
                strips += 1;
                pending += 1;
                if pending == TOGETHER {
                    for i in 0..N {
                        logs[i] += ln(product[i]);
                        product[i] = 1.0;
                    }
                    pending = 0;
                }
                seen(&v, &f);
            }
            Then::Mix { keep, fresh } => lanes.mix(keep, fresh),
            Then::Nothing => {}
        }
    }
    Run {
        states: std::array::from_fn(|i| lanes.state(i)),
        log_likelihood: std::array::from_fn(|i| {
            -0.5 * (squares[i] + logs[i] + ln(product[i]) + f64::from(strips) * ln(TAU))
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bath::forecast::mixed;
    use crate::bath::forecast::passed::pass;

    const VALUES: Values = Values { by_use: 0.9, by_age: 0.002, dispersion: 0.003 };

    fn step(then: Then) -> Step {
        Step { m2_per_litre: 0.02, days: 2.0, day: 0.0, then }
    }

    const START: State = State { x: -0.1, s: 1.05, xx: 0.05 * 0.05, xs: -0.0003, ss: 0.04 * 0.04 };

    #[test]
    fn lanes_agree_with_one_filter_strip_by_strip() {
        let steps: Vec<Step> = (0..70)
            .map(|k| {
                step(if k % 4 == 3 {
                    Then::Mix { keep: 0.95, fresh: 0.05 }
                } else {
                    Then::Strip { ln_activity: -0.02 * f64::from(k % 7), sd: 0.01 }
                })
            })
            .collect();
        let other = Values { by_use: 0.5, ..VALUES };
        let both = run(&steps, &[VALUES, other], &START, |_, _| ());
        for (i, values) in [VALUES, other].iter().enumerate() {
            let mut list = Vec::new();
            let state = pass(&steps, values, START, &mut list);
            let sum: f64 = list.iter().map(|p| p.log_likelihood).sum();
            assert!((sum - both.log_likelihood[i]).abs() < 1e-10 * sum.abs());
            assert_eq!(state, both.states[i]);
        }
    }

    /// The law of mixing is not linear in ln a; how far linearising it is off, against the exact
    /// moments by summing over both normal variables.
    #[test]
    fn mixing_is_linear_enough() {
        let (keep, fresh) = (0.8, 0.2);
        let mut lanes = Lanes::<1>::new(&START);
        lanes.mix(keep, fresh);
        let found = lanes.state(0);
        let (mut weights, mut sum_x, mut sum_xx, mut sum_xs) = (0.0, 0.0, 0.0, 0.0);
        let slope = START.xs / START.ss;
        let rest = (START.xx - slope * START.xs).sqrt();
        for i in -60..=60 {
            for j in -60..=60 {
                let (u, v) = (0.1 * f64::from(i), 0.1 * f64::from(j));
                let weight = exp(-0.5 * (u * u + v * v));
                let off = u * START.ss.sqrt();
                let a = exp(START.x + slope * off + rest * v);
                let x = ln(mixed(a, 1.0, fresh, fresh, START.s + off));
                weights += weight;
                sum_x += weight * x;
                sum_xx += weight * x * x;
                sum_xs += weight * x * off;
            }
        }
        let mean = sum_x / weights;
        let variance = sum_xx / weights - mean * mean;
        assert!((found.x - mean).abs() < 2.5e-4, "{} {mean}", found.x);
        assert!((found.xx / variance - 1.0).abs() < 0.01);
        assert!((found.xs * weights / sum_xs - 1.0).abs() < 0.02);
    }
}
