//! The constants of control charts for samples of n normal values, computed and not copied.

use super::ControlError;
use crate::elementary::exp;
use std::f64::consts::PI;
use std::sync::OnceLock;

/// Smallest and largest sample with constants.
const SIZES: std::ops::RangeInclusive<usize> = 2..=10;
const COUNT: usize = *SIZES.end() - *SIZES.start() + 1;

/// Constants for samples of `n` values from one normal distribution of standard deviation σ.
///
/// R is the range of a sample, s its standard deviation (divisor n − 1); limits stand three
/// standard deviations from the centre. Definitions: Montgomery and Runger, Applied Statistics and
/// Probability for Engineers, chapter 16; the values agree with published tables.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Constants {
    /// Size of the sample.
    pub n: usize,
    /// Mean of R/σ.
    pub d2: f64,
    /// Standard deviation of R/σ.
    pub d3: f64,
    /// Mean of s/σ: √(2/(n − 1))·Γ(n/2)/Γ((n − 1)/2).
    pub c4: f64,
    /// A2 = 3/(d2·√n): limits of an average from the mean range.
    pub a2: f64,
    /// A3 = 3/(c4·√n): limits of an average from the mean standard deviation.
    pub a3: f64,
    /// B3 = 1 − 3·√(1 − c4²)/c4, not below 0: lower limit of s.
    pub b3: f64,
    /// B4 = 1 + 3·√(1 − c4²)/c4: upper limit of s.
    pub b4: f64,
    /// D3 = 1 − 3·d3/d2, not below 0: lower limit of R.
    pub range_lower: f64,
    /// D4 = 1 + 3·d3/d2: upper limit of R.
    pub range_upper: f64,
    /// E2 = 3/d2: limits of single values from the mean range.
    pub e2: f64,
}

/// The constants for samples of `n` values, n = 2 to 10.
///
/// d2 and d3 are moments of the range's distribution, P(R/σ < w) = n·∫φ(x)·(Φ(x + w) − Φ(x))ⁿ⁻¹ dx,
/// integrated by the trapezoidal rule on scales where it converges exponentially; they are good to
/// 1e-12. All sizes are computed once, in less than a millisecond.
///
/// # Errors
/// For any other n.
///
/// ```
/// use wedgebook::bath::control::constants;
///
/// // The mean of the range of two is 2/√π.
/// assert!((constants(2)?.d2 - 2.0 / std::f64::consts::PI.sqrt()).abs() < 1e-12);
/// # Ok::<(), wedgebook::bath::control::ControlError>(())
/// ```
pub fn constants(n: usize) -> Result<Constants, ControlError> {
    if !SIZES.contains(&n) {
        return Err(ControlError::SampleSize(n));
    }
    static ALL: OnceLock<[Constants; COUNT]> = OnceLock::new();
    Ok(ALL.get_or_init(all)[n - SIZES.start()])
}

fn all() -> [Constants; COUNT] {
    let moments = range_moments();
    let mut c4 = [0.0; COUNT];
    // Γ(n/2)/Γ((n − 1)/2) begins at 1/√π for n = 2 and follows from Γ(x + 1) = x·Γ(x).
    let mut ratio = 1.0 / PI.sqrt();
    for (k, c4) in c4.iter_mut().enumerate() {
        let freedom = (k + SIZES.start() - 1) as f64;
        *c4 = (2.0 / freedom).sqrt() * ratio;
        ratio = freedom / 2.0 / ratio;
    }
    std::array::from_fn(|k| {
        let n = k + SIZES.start();
        let ((d2, d3), c4, root) = (moments[k], c4[k], (n as f64).sqrt());
        let (of_s, of_range) = (3.0 * (1.0 - c4 * c4).sqrt() / c4, 3.0 * d3 / d2);
        Constants {
            n,
            d2,
            d3,
            c4,
            a2: 3.0 / (d2 * root),
            a3: 3.0 / (c4 * root),
            b3: (1.0 - of_s).max(0.0),
            b4: 1.0 + of_s,
            range_lower: (1.0 - of_range).max(0.0),
            range_upper: 1.0 + of_range,
            e2: 3.0 / d2,
        }
    })
}

/// φ(x), the normal density.
fn normal(x: f64) -> f64 {
    exp(-0.5 * x * x) / (2.0 * PI).sqrt()
}

/// Φ(x), the share of the normal distribution below x, to 1e-15:
/// 1/2 + φ(x)·(x + x³/3 + x⁵/(3·5) + …). Source: Marsaglia, Evaluating the normal distribution,
/// Journal of Statistical Software 11(4), 2004, from memory.
fn normal_share(x: f64) -> f64 {
    if x.abs() > 8.5 {
        return if x > 0.0 { 1.0 } else { 0.0 };
    }
    let (mut sum, mut term, mut odd) = (x, x, 1.0);
    while term.abs() > 1e-17 * sum.abs() {
        odd += 2.0;
        term *= x * x / odd;
        sum += term;
    }
    0.5 + normal(x) * sum
}

/// Mean and standard deviation of R/σ for every size: E R = ∫(1 − F) dw, E R² = ∫2w(1 − F) dw.
fn range_moments() -> [(f64, f64); COUNT] {
    const INNER: f64 = 0.25;
    const OUTER: f64 = 1.0 / 16.0;
    // φ vanishes to double precision beyond 8.5.
    let nodes: Vec<(f64, f64, f64)> = (-34..=34)
        .map(|k| {
            let x = INNER * f64::from(k);
            (x, INNER * normal(x), normal_share(x))
        })
        .collect();
    let mut sums = [(0.0, 0.0); COUNT];
    // w = exp(t − e⁻ᵗ) runs from 0 to 12.5, beyond which F is 1.
    for k in -58..=42 {
        let t = OUTER * f64::from(k);
        let w = exp(t - exp(-t));
        let step = OUTER * w * (1.0 + exp(-t));
        let mut below = [0.0; COUNT];
        for &(x, weight, share) in &nodes {
            let between = normal_share(x + w) - share;
            let mut power = weight * between;
            for (k, below) in below.iter_mut().enumerate() {
                *below += (k + SIZES.start()) as f64 * power;
                power *= between;
            }
        }
        for (sum, below) in sums.iter_mut().zip(below) {
            sum.0 += step * (1.0 - below);
            sum.1 += step * 2.0 * w * (1.0 - below);
        }
    }
    sums.map(|(mean, square)| (mean, (square - mean * mean).sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed forms: d2(3) = 3/√π, d3(2) = √(2 − 4/π), c4(3) = √π/2.
    #[test]
    fn closed_forms() {
        let (two, three) = (constants(2).unwrap(), constants(3).unwrap());
        assert!((two.d2 - 2.0 / PI.sqrt()).abs() < 1e-13);
        assert!((three.d2 - 3.0 / PI.sqrt()).abs() < 1e-13);
        assert!((two.d3 - (2.0 - 4.0 / PI).sqrt()).abs() < 1e-12);
        assert!((three.c4 - PI.sqrt() / 2.0).abs() < 1e-15);
    }

    /// Another integral for the same number: d2 = ∫(1 − Φⁿ − (1 − Φ)ⁿ) dx.
    #[test]
    fn mean_range_by_another_integral() {
        for n in SIZES {
            let sum: f64 = (-180..=180)
                .map(|k| {
                    let share = normal_share(f64::from(k) / 20.0);
                    1.0 - share.powi(n as i32) - (1.0 - share).powi(n as i32)
                })
                .sum();
            assert!((sum / 20.0 - constants(n).unwrap().d2).abs() < 1e-12, "n = {n}");
        }
    }

    #[test]
    fn other_sizes_are_refused() {
        for n in [0, 1, 11] {
            assert!(constants(n).unwrap_err().to_string().contains(&n.to_string()));
        }
    }
}
