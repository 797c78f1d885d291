//! Maxima and roots of a function of one variable.

/// Where `f` is greatest on [low, high] and its value there: a scan of `pieces` even steps, then a
/// parabola through the three points about the best one, twice.
pub fn greatest(f: impl Fn(f64) -> f64, (low, high): (f64, f64), pieces: usize) -> (f64, f64) {
    let step = (high - low) / pieces as f64;
    let (mut best, mut value) = (low, f64::NEG_INFINITY);
    for k in 0..=pieces {
        let x = low + step * k as f64;
        let y = f(x);
        if y > value {
            (best, value) = (x, y);
        }
    }
    let mut half = step;
    for _ in 0..4 {
        let (left, right) = (f((best - half).max(low)), f((best + half).min(high)));
        let bend = left - 2.0 * value + right;
        if best - half >= low && best + half <= high && bend < 0.0 {
            let x = best + 0.5 * half * (left - right) / bend;
            let y = f(x);
            if y > value {
                (best, value) = (x, y);
            }
        }
        half *= 0.25;
    }
    (best, value)
}

/// The root of `f` between `low` and `high`, where it changes sign, by Brent's method; `None` where
/// it does not change sign or has no value.
pub fn root(f: impl Fn(f64) -> f64, low: f64, high: f64) -> Option<f64> {
    use argmin::core::{CostFunction, Error, Executor};
    struct Function<F>(F);
    impl<F: Fn(f64) -> f64> CostFunction for Function<F> {
        type Param = f64;
        type Output = f64;
        fn cost(&self, x: &f64) -> Result<f64, Error> {
            Ok((self.0)(*x))
        }
    }
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
    let solver = argmin::solver::brent::BrentRoot::new(low, high, 1e-13);
    let run =
        Executor::new(Function(f), solver).configure(|state| state.max_iters(100)).timer(false);
    run.run().ok()?.state.best_param
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_parabola_has_its_maximum_found() {
        let (x, y) = greatest(|x| 3.0 - (x - 0.123_4).powi(2), (-1.0, 2.0), 10);
        assert!((x - 0.123_4).abs() < 1e-9 && (y - 3.0).abs() < 1e-15);
    }

    #[test]
    fn a_maximum_at_the_edge_stays_there() {
        assert_eq!(greatest(|x| x, (0.0, 1.0), 7).0, 1.0);
    }

    #[test]
    fn a_root_is_found_or_refused() {
        assert!((root(|x| x * x - 2.0, 0.0, 2.0).unwrap() - 2.0_f64.sqrt()).abs() < 1e-12);
        assert_eq!(root(|x| x * x + 1.0, -1.0, 1.0), None);
        assert_eq!(root(|_| f64::NAN, -1.0, 1.0), None);
    }
}
