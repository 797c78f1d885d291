//! The Kalman filter for ln a and the replenisher's strength, for several coefficients at once.

use super::Values;
use super::stretch::Step;
use super::stretch::{Then, stretches};
use super::{Assumptions, Event, ForecastError};
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
            self.xx[i] += of.grain * loss;
        }
    }

    /// a becomes keep·a + fresh·s.
    fn mix(&mut self, keep: f64, fresh: f64) {
        for i in 0..N {
            let kept = keep * self.x[i].exp();
            let mixed = kept + fresh * self.s[i];
            let (by_x, by_s) = (kept / mixed, fresh / mixed);
            let cross = by_x * self.xs[i] + by_s * self.ss[i];
            self.x[i] = mixed.ln();
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
        State {
            x: self.x[i],
            s: self.s[i],
            xx: self.xx[i],
            xs: self.xs[i],
            ss: self.ss[i],
        }
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
                        logs[i] += product[i].ln();
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
            -0.5 * (squares[i] + logs[i] + product[i].ln() + f64::from(strips) * TAU.ln())
        }),
    }
}

/// A strip as the filter passed it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passed {
    /// Its day.
    pub day: f64,
    /// ln a expected before it was read, and the standard deviation expected of the reading.
    pub expected: (f64, f64),
    /// ln a once it was read, and its standard deviation.
    pub filtered: (f64, f64),
    /// Its log-likelihood.
    pub log_likelihood: f64,
}

/// Follows the events with given coefficients and tells of every strip what was expected of it.
///
/// # Errors
/// [`ForecastError`] where the events cannot be followed.
pub fn passed(
    events: &[Event],
    assumptions: &Assumptions,
    values: &Values,
) -> Result<Vec<Passed>, ForecastError> {
    let now = events.last().map_or(0.0, |e| e.day);
    let history = stretches(events, assumptions, now)?;
    let mut list = Vec::new();
    let mut state = history.fresh;
    for stretch in &history.stretches {
        if stretch.new_bath {
            state = history.fresh;
        }
        state = pass(&stretch.steps, values, state, &mut list);
    }
    Ok(list)
}

/// The same for one stretch.
pub(super) fn pass(steps: &[Step], values: &Values, start: State, list: &mut Vec<Passed>) -> State {
    let mut state = start;
    for step in steps {
        let Then::Strip { ln_activity, .. } = step.then else {
            state = run(std::slice::from_ref(step), &[*values], &state, |_, _| ()).states[0];
            continue;
        };
        let mut expected = (0.0, 0.0);
        let one = run(std::slice::from_ref(step), &[*values], &state, |v, f| {
            expected = (ln_activity - v[0], f[0].sqrt());
        });
        state = one.states[0];
        list.push(Passed {
            day: step.day,
            expected,
            filtered: (state.x, state.xx.sqrt()),
            log_likelihood: one.log_likelihood[0],
        });
    }
    state
}
