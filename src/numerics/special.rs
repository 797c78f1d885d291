//! Elementary functions that stay exact at the ends of their range.

/// ln(1 + eᵘ) without overflow.
#[must_use]
pub fn softplus(u: f64) -> f64 {
    u.max(0.0) + ln_1p((-u.abs()).exp())
}

/// ln(1 + e) for e from 0 to 1, by the logarithm, which C libraries have made quick, and what is lost when 1
/// is added: a third of the time of theirs for ln(1 + e), which goes on to both infinities.
#[inline]
fn ln_1p(e: f64) -> f64 {
    let sum = 1.0 + e;
    sum.ln() + (e - (sum - 1.0)) / sum
}

/// 1/(1 + e⁻ᵘ), the derivative of [`softplus`].
#[must_use]
pub fn logistic(u: f64) -> f64 {
    if u > 0.0 {
        1.0 / (1.0 + (-u).exp())
    } else {
        let e = u.exp();
        e / (1.0 + e)
    }
}

/// [`softplus`] and [`logistic`] together, for little more than the price of one.
#[must_use]
pub fn softplus_logistic(u: f64) -> (f64, f64) {
    let e = (-u.abs()).exp();
    let log = ln_1p(e);
    let share = 1.0 / (1.0 + e);
    if u > 0.0 { (u + log, share) } else { (log, e * share) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_digit_is_lost_where_the_exponential_is_small() {
        for k in 0..=4000 {
            let e = 10_f64.powf(-f64::from(k) / 100.0);
            assert!((ln_1p(e) - e.ln_1p()).abs() <= 4e-16 * e, "{e}");
        }
        assert_eq!(ln_1p(0.0), 0.0);
    }

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
