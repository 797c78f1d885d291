//! The exponentially weighted moving average: slow drifts, sooner than single values show them.

use super::{ControlError, finite};

/// A weighted average after each value, with its limits.
#[derive(Clone, Debug, PartialEq)]
pub struct Ewma {
    /// z after each value.
    pub values: Vec<f64>,
    /// Exact lower limit at each value.
    pub lower: Vec<f64>,
    /// Exact upper limit at each value.
    pub upper: Vec<f64>,
    /// Lower limit after many values.
    pub steady_lower: f64,
    /// Upper limit after many values.
    pub steady_upper: f64,
}

/// zₜ = λ·xₜ + (1 − λ)·zₜ₋₁ from z₀ = `target`, with limits
/// target ± k·sd·√(λ/(2 − λ)·(1 − (1 − λ)²ᵗ)); the steady ones lack the last factor.
///
/// In units of the values; `sd` is the standard deviation of one value. λ is above 0 and at most 1
/// (1 gives the values themselves), k above 0. Source: NIST/SEMATECH e-Handbook of Statistical
/// Methods, section 6.3.2.4; the exact limits: Montgomery, Introduction to Statistical Quality
/// Control, from memory.
///
/// # Errors
/// For λ, k or `sd` outside of that, and numbers that are not finite.
pub fn ewma(
    values: &[f64],
    target: f64,
    sd: f64,
    lambda: f64,
    k: f64,
) -> Result<Ewma, ControlError> {
    finite(values)?;
    if !(lambda > 0.0 && lambda <= 1.0) {
        return Err(ControlError::Weight(lambda));
    }
    if !(target.is_finite() && sd.is_finite() && sd >= 0.0 && k.is_finite() && k > 0.0) {
        return Err(ControlError::Average { target, sd, limit: k });
    }
    let steady = k * sd * (lambda / (2.0 - lambda)).sqrt();
    let mut ewma = Ewma {
        values: Vec::with_capacity(values.len()),
        lower: Vec::with_capacity(values.len()),
        upper: Vec::with_capacity(values.len()),
        steady_lower: target - steady,
        steady_upper: target + steady,
    };
    let (mut z, mut left) = (target, 1.0);
    let kept = (1.0 - lambda) * (1.0 - lambda);
    for x in values {
        z = lambda * x + (1.0 - lambda) * z;
        left *= kept;
        let reach = steady * f64::sqrt(1.0 - left);
        ewma.values.push(z);
        ewma.lower.push(target - reach);
        ewma.upper.push(target + reach);
    }
    Ok(ewma)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_limit_is_that_of_one_weighted_value() {
        let e = ewma(&[1.0, 1.0], 0.0, 2.0, 0.25, 3.0).unwrap();
        assert!((e.values[0] - 0.25).abs() < 1e-15 && (e.values[1] - 0.4375).abs() < 1e-15);
        assert!((e.upper[0] - 0.25 * 6.0).abs() < 1e-12);
        assert!(e.upper[1] < e.steady_upper && e.lower[1] > e.steady_lower);
    }

    #[test]
    fn impossible_parameters_are_refused() {
        for lambda in [0.0, -0.1, 1.1, f64::NAN] {
            assert!(ewma(&[], 0.0, 1.0, lambda, 3.0).is_err(), "{lambda}");
        }
        assert!(ewma(&[], 0.0, -1.0, 0.2, 3.0).is_err());
        assert!(ewma(&[], 0.0, 1.0, 0.2, 0.0).is_err());
        assert!(ewma(&[f64::INFINITY], 0.0, 1.0, 0.2, 3.0).is_err());
    }
}
