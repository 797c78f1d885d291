//! The scatter from strip to strip, whatever the bath does meanwhile.

use super::constants::constants;
use super::{ControlError, finite};
use std::f64::consts::PI;

/// Fewest values whose scatter can be told from a trend.
const LEAST: usize = 3;
/// Most searches for steps that are no scatter.
const SEARCHES: usize = 4;

/// Standard deviation of a value about a bath that changes evenly, in the unit of the values: the
/// mean distance of the steps dᵢ = xᵢ₊₁ − xᵢ from their own mean d̄, over its expectation for σ = 1.
///
/// A trend is a mean step, so that it does not count as scatter: with it, or without, the estimate
/// has no bias for normal values. Neighbouring steps share a value; the variance of dᵢ − d̄ is
/// 2 + v − 2cᵢ in units of σ², where of m steps with nᵢ neighbours cᵢ = (2 − nᵢ)/m and v = Σcᵢ/m.
/// A step farther from the mean than the limit of a moving range, D4 times their mean, is an
/// accident and no scatter: it is left out (usual for limits from moving ranges, from memory).
///
/// # Errors
/// For fewer than three values, and values that are no finite numbers.
///
/// ```
/// use wedgebook::bath::control::reproducibility;
///
/// let level = [0.02, -0.01, 0.0, 0.01, -0.02, 0.01];
/// let falling: Vec<f64> = (0..6).map(|n| level[n] - 0.05 * n as f64).collect();
/// assert!((reproducibility(&level)? - reproducibility(&falling)?).abs() < 1e-12);
/// # Ok::<(), wedgebook::bath::control::ControlError>(())
/// ```
pub fn reproducibility(values: &[f64]) -> Result<f64, ControlError> {
    finite(values)?;
    if values.len() < LEAST {
        return Err(ControlError::NoScatter { found: values.len() });
    }
    let steps: Vec<f64> = values.windows(2).map(|w| w[1] - w[0]).collect();
    let mut used = vec![true; steps.len()];
    let pair = constants(2)?;
    let mut sigma = about_mean(&steps, &used);
    for _ in 0..SEARCHES {
        let (mean, limit) = (mean(&steps, &used), pair.range_upper * pair.d2 * sigma);
        let accident = |n: usize| used[n] && (steps[n] - mean).abs() > limit;
        let accidents: Vec<usize> = (0..steps.len()).filter(|n| accident(*n)).collect();
        if accidents.is_empty() {
            break;
        }
        accidents.iter().for_each(|n| used[*n] = false);
        if used.iter().filter(|u| **u).count() + 1 < LEAST {
            break;
        }
        sigma = about_mean(&steps, &used);
    }
    Ok(sigma)
}

fn mean(steps: &[f64], used: &[bool]) -> f64 {
    let (sum, count) = steps
        .iter()
        .zip(used)
        .filter(|(_, used)| **used)
        .fold((0.0, 0.0), |(sum, count), (step, _)| (sum + step, count + 1.0));
    sum / count
}

/// σ from the distances of the used steps, two at least, from their mean.
fn about_mean(steps: &[f64], used: &[bool]) -> f64 {
    let mean = mean(steps, used);
    let places: Vec<usize> = (0..steps.len()).filter(|n| used[*n]).collect();
    let count = places.len() as f64;
    let neighbour = |n: usize| f64::from(used.get(n).is_some_and(|u| *u));
    let shared = |n: usize| (2.0 - neighbour(n.wrapping_sub(1)) - neighbour(n + 1)) / count;
    let of_mean = places.iter().map(|n| shared(*n)).sum::<f64>() / count;
    // The mean of |y| is √(2/π) for a normal y of variance 1.
    let expected = |n: &usize| (2.0 / PI * (2.0 + of_mean - 2.0 * shared(*n)).max(0.0)).sqrt();
    let distances: f64 = places.iter().map(|n| (steps[*n] - mean).abs()).sum();
    let expected: f64 = places.iter().map(expected).sum();
    // No two used steps share no variance at all, but in binary.
    if expected > 0.0 { distances / expected } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::rngs::StdRng;
    use rand::{Rng, SeedableRng};
    use rand_distr::StandardNormal;

    #[test]
    fn three_values_by_hand() {
        // Steps 2 and −1 lie 1.5 from their mean; half of the second difference, x₀ − 2x₁ + x₂, has variance 6/4.
        let expected = 1.5 / (2.0 / PI * 1.5).sqrt();
        assert!((reproducibility(&[1.0, 3.0, 2.0]).unwrap() - expected).abs() < 1e-12);
    }

    #[test]
    fn it_has_no_bias_and_a_trend_or_a_jump_leaves_it_alone() {
        let mut rng = StdRng::seed_from_u64(5);
        for (count, trend, jump, most) in [
            (4, 0.0, 0.0, 0.02),
            (8, 3.0, 0.0, 0.02),
            (20, -2.0, 0.0, 0.02),
            (20, -1.0, 12.0, 0.06),
        ] {
            let runs = 4000;
            let sum: f64 = (0..runs)
                .map(|_| {
                    let value = |n: usize| {
                        let jump = if n >= 9 { jump } else { 0.0 };
                        rng.sample::<f64, _>(StandardNormal) + trend * n as f64 + jump
                    };
                    let values: Vec<f64> = (0..count).map(value).collect();
                    reproducibility(&values).unwrap()
                })
                .sum();
            let mean = sum / f64::from(runs);
            assert!((mean - 1.0).abs() < most + 0.02, "{count} values, trend {trend}: {mean}");
        }
    }

    #[test]
    fn two_values_cannot_show_it() {
        let why = reproducibility(&[0.6, 0.7]).unwrap_err();
        assert_eq!(why, ControlError::NoScatter { found: 2 });
    }
}
