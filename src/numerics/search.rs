//! Roots and maxima of a function of one variable.
//!
//! Each search starts from a bracket, an interval that is known to contain what is looked for, and
//! never leaves it.
//!
//! # Source
//! R. P. Brent 1973, algorithms for minimization without derivatives, as the crate argmin has them.

use argmin::core::{CostFunction, Error, Executor, IterState, Solver};
use argmin::solver::brent::{BrentOpt, BrentRoot};

/// Absolute tolerance of a root, beside the precision of the machine.
const ROOT: f64 = 1e-13;
/// Absolute and relative tolerance of the place of a maximum. A function is blind to changes below
/// the root of the machine's precision there.
const PLACE: (f64, f64) = (1e-9, 1.5e-8);
/// Greatest number of steps, far more than either method takes on a function that has a value.
const STEPS: u64 = 200;

/// A function of one variable, as the solvers want it.
struct Function<F>(F);

impl<F: Fn(f64) -> f64> CostFunction for Function<F> {
    type Param = f64;
    type Output = f64;

    fn cost(&self, x: &f64) -> Result<f64, Error> {
        Ok((self.0)(*x))
    }
}

/// Runs `solver` on `f` to its end.
fn solved<F: Fn(f64) -> f64, S>(f: F, solver: S) -> Option<f64>
where
    S: Solver<Function<F>, IterState<f64, (), (), (), (), f64>>,
{
    let run = Executor::new(Function(f), solver);
    run.configure(|state| state.max_iters(STEPS)).timer(false).run().ok()?.state.best_param
}

/// The root of `f` between `low` and `high`, where it changes sign; `None` where it does not change
/// sign or has no value.
pub fn root(f: impl Fn(f64) -> f64, low: f64, high: f64) -> Option<f64> {
    let (at_low, at_high) = (f(low), f(high));
    if at_low == 0.0 {
        return Some(low);
    }
    if at_high == 0.0 {
        return Some(high);
    }
    if !(at_low * at_high < 0.0) {
        return None;
    }
    // The solver begins with the values at the ends, which are known.
    let known = |x: f64| match x {
        x if x == low => at_low,
        x if x == high => at_high,
        x => f(x),
    };
    solved(known, BrentRoot::new(low, high, ROOT))
}

/// The first root of `f` on [low, high] that it passes upwards, from below 0 to 0 or more, among
/// `pieces` even pieces; `None` where no piece has one.
pub fn first_rise(f: impl Fn(f64) -> f64, (low, high): (f64, f64), pieces: usize) -> Option<f64> {
    let at = |k: usize| low + (high - low) * k as f64 / pieces as f64;
    let mut before = f(low);
    for k in 1..=pieces {
        let after = f(at(k));
        if before < 0.0 && after >= 0.0 {
            return root(f, at(k - 1), at(k));
        }
        before = after;
    }
    None
}

/// Where `f` is greatest on [low, high] and its value there: the best of `pieces` + 1 even points,
/// then the greatest value between its two neighbours.
pub fn greatest(f: impl Fn(f64) -> f64, (low, high): (f64, f64), pieces: usize) -> (f64, f64) {
    let step = (high - low) / pieces as f64;
    let (mut best, mut value) = (low, f64::NEG_INFINITY);
    for k in 0..=pieces {
        let x = if k == pieces { high } else { low + step * k as f64 };
        let y = f(x);
        if y > value {
            (best, value) = (x, y);
        }
    }
    let (from, to) = ((best - step).max(low), (best + step).min(high));
    let solver = BrentOpt::new(from, to).set_tolerance(PLACE.1, PLACE.0);
    if let Some(x) = solved(|x| -f(x), solver) {
        let y = f(x);
        if y > value {
            (best, value) = (x, y);
        }
    }
    (best, value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::elementary::{exp, sin};

    #[test]
    fn a_parabola_has_its_maximum_found() {
        let (x, y) = greatest(|x| 3.0 - (x - 0.123_4).powi(2), (-1.0, 2.0), 10);
        assert!((x - 0.123_4).abs() < 1e-7 && (y - 3.0).abs() < 1e-15);
    }

    #[test]
    fn a_maximum_that_is_no_parabola_is_found_too() {
        let (x, y) = greatest(|x| x * exp(-x), (0.0, 10.0), 7);
        assert!((x - 1.0).abs() < 1e-7 && (y - exp(-1.0_f64)).abs() < 1e-15);
    }

    #[test]
    fn a_maximum_at_the_edge_stays_there() {
        assert_eq!(greatest(|x| x, (0.0, 1.0), 7).0, 1.0);
        assert_eq!(greatest(|x| -x, (0.0, 1.0), 7), (0.0, -0.0));
    }

    #[test]
    fn a_root_is_found_or_refused() {
        assert!((root(|x| x * x - 2.0, 0.0, 2.0).unwrap() - 2.0_f64.sqrt()).abs() < 1e-12);
        assert_eq!(root(|x| x - 1.0, 0.0, 1.0), Some(1.0));
        assert_eq!(root(|x| x * x + 1.0, -1.0, 1.0), None);
        assert_eq!(root(|_| f64::NAN, -1.0, 1.0), None);
    }

    #[test]
    fn the_first_rising_root_is_taken() {
        // sin(x) falls through 0 at π and rises at 2π and 4π.
        let found = first_rise(sin, (1.0, 14.0), 13).unwrap();
        assert!((found - std::f64::consts::TAU).abs() < 1e-12);
        assert_eq!(first_rise(sin, (1.0, 6.0), 5), None);
        assert_eq!(first_rise(|_| f64::NAN, (1.0, 6.0), 5), None);
    }
}
