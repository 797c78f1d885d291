//! The softplus and the logistic function, exact at the ends of their range.

use crate::elementary::{exp, ln_1p};

/// ln(1 + eᵘ) without overflow.
#[must_use]
pub fn softplus(u: f64) -> f64 {
    u.max(0.0) + ln_1p(exp(-u.abs()))
}

/// 1/(1 + e⁻ᵘ), the derivative of [`softplus`].
#[must_use]
pub fn logistic(u: f64) -> f64 {
    if u > 0.0 {
        1.0 / (1.0 + exp(-u))
    } else {
        let e = exp(u);
        e / (1.0 + e)
    }
}

/// [`softplus`] and [`logistic`] together, for little more than the price of one.
#[must_use]
pub fn softplus_logistic(u: f64) -> (f64, f64) {
    let e = exp(-u.abs());
    let log = ln_1p(e);
    let share = 1.0 / (1.0 + e);
    if u > 0.0 { (u + log, share) } else { (log, e * share) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ends_are_straight_lines() {
        assert_eq!(softplus(800.0), 800.0);
        assert_eq!(softplus(-800.0), 0.0);
        assert!((softplus(0.0) - std::f64::consts::LN_2).abs() < 1e-16);
        assert_eq!(logistic(-800.0), 0.0);
        assert_eq!(logistic(800.0), 1.0);
        for u in [-800.0, -3.0, 0.0, 0.7, 40.0, 800.0] {
            let (value, slope) = softplus_logistic(u);
            assert!(
                (value - softplus(u)).abs() < 1e-15 * (1.0 + u.abs())
                    && (slope - logistic(u)).abs() < 1e-15
            );
        }
    }
}
