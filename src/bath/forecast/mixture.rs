//! Mixtures of normal distributions: one a node of the quadrature.

use crate::numerics::search::root;
use statrs::function::erf::{erfc, erfc_inv};
use std::f64::consts::FRAC_1_SQRT_2;

/// The distribution function of the standard normal.
pub(super) fn normal(z: f64) -> f64 {
    0.5 * erfc(-z * FRAC_1_SQRT_2)
}

/// A part of a mixture.
#[derive(Clone, Copy, Debug)]
pub(super) struct Part {
    pub weight: f64,
    pub mean: f64,
    pub sd: f64,
}

/// The value below which the mixture lies with `probability`.
pub(super) fn quantile(parts: &[Part], probability: f64) -> f64 {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for p in parts {
        low = low.min(p.mean - 6.0 * p.sd);
        high = high.max(p.mean + 6.0 * p.sd);
    }
    let below = |x: f64| -> f64 {
        let share = |p: &Part| p.weight * normal((x - p.mean) / p.sd.max(f64::MIN_POSITIVE));
        parts.iter().map(share).sum()
    };
    crossing(below, probability, low, high)
}

/// The quantile of the standard normal, kept within ±7.
fn deviate(probability: f64) -> f64 {
    -std::f64::consts::SQRT_2 * erfc_inv(2.0 * probability.clamp(1e-12, 1.0 - 1e-12))
}

/// Where `f`, a probability that does not fall, reaches `target` between `low` and `high`; the end
/// that is nearer to it where it does not.
///
/// The root is looked for in the normal deviates of the probabilities, which are nearly a straight
/// line.
pub(super) fn crossing(f: impl Fn(f64) -> f64, target: f64, low: f64, high: f64) -> f64 {
    let goal = deviate(target);
    let excess = |x: f64| deviate(f(x)) - goal;
    root(excess, low, high).unwrap_or_else(|| if excess(low) < 0.0 { high } else { low })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::elementary::exp_m1;

    #[test]
    fn one_part_has_the_quantiles_of_the_normal() {
        let part = Part { weight: 1.0, mean: -0.1, sd: 0.02 };
        for (p, z) in [(0.025, -1.959_963_985), (0.5, 0.0), (0.95, 1.644_853_627)] {
            let found = quantile(&[part], p);
            assert!((found - (-0.1 + 0.02 * z)).abs() < 1e-7, "{p}: {found}");
        }
    }

    #[test]
    fn a_crossing_is_found_in_few_steps() {
        let calls = std::cell::Cell::new(0);
        for target in [1e-4, 0.05, 0.5, 0.95, 0.9999] {
            calls.set(0);
            // A probability in the logarithm, as for days.
            let f = |x: f64| {
                calls.set(calls.get() + 1);
                normal((exp_m1(x) - 300.0) / 40.0)
            };
            let x = crossing(f, target, 0.0, 8.2);
            assert!((f(x) / target - 1.0).abs() < 1e-3, "{target}: {}", f(x));
            assert!(calls.get() < 20, "{target}: {} calls", calls.get());
        }
        assert_eq!(crossing(|x| 0.5 + x, 0.4, 0.0, 0.5), 0.0);
        assert_eq!(crossing(|x| x, 0.7, 0.0, 0.5), 0.5);
    }
}
