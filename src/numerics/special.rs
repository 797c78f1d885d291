//! Elementary functions that stay exact at the ends of their range.

/// ln(1 + eᵘ) without overflow.
#[must_use]
pub fn softplus(u: f64) -> f64 {
    if u > 0.0 { u + (-u).exp().ln_1p() } else { u.exp().ln_1p() }
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
    let log = e.ln_1p();
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
