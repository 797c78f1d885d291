//! The cumulative sum: small lasting shifts.

use super::rules::{Rule, Signal};
use super::runs::FUZZ;
use super::{ControlError, finite};

/// The two sums after each value.
#[derive(Clone, Debug, PartialEq)]
pub struct Cusum {
    /// What lies above the target, accumulated.
    pub high: Vec<f64>,
    /// What lies below the target, accumulated; never negative either.
    pub low: Vec<f64>,
    /// Where a sum is greater than h.
    pub signals: Vec<Signal>,
}

/// Two-sided tabular sums: high = max(0, high + x − target − k), low = max(0, low + target − k − x),
/// both from 0; a signal wherever a sum is greater than h. The sums run on after a signal.
///
/// All in units of the values; k (the allowance, half the shift to be found) is 0 or more, h above
/// 0. Usual are k = σ/2 and h = 4σ to 5σ. Source: NIST/SEMATECH e-Handbook of Statistical Methods,
/// section 6.3.2.3.
///
/// # Errors
/// For k or h outside of that, and numbers that are not finite.
pub fn cusum(values: &[f64], target: f64, k: f64, h: f64) -> Result<Cusum, ControlError> {
    sums(values, target, (k, h), false)
}

/// [`cusum`] whose sums begin again from 0 after a signal, as after a bath was put right: otherwise
/// a long excursion would be held against it for long after its end.
///
/// # Errors
/// As [`cusum`].
pub fn cusum_restarting(
    values: &[f64],
    target: f64,
    k: f64,
    h: f64,
) -> Result<Cusum, ControlError> {
    sums(values, target, (k, h), true)
}

fn sums(
    values: &[f64],
    target: f64,
    (k, h): (f64, f64),
    restart: bool,
) -> Result<Cusum, ControlError> {
    finite(values)?;
    if !(target.is_finite() && k.is_finite() && k >= 0.0 && h.is_finite() && h > 0.0) {
        return Err(ControlError::Sums { target, allowance: k, limit: h });
    }
    let mut sums = Cusum {
        high: Vec::with_capacity(values.len()),
        low: Vec::with_capacity(values.len()),
        signals: Vec::new(),
    };
    let beyond = |sum: f64| sum > h * (1.0 + FUZZ);
    let (mut high, mut low) = (0.0_f64, 0.0_f64);
    for (at, x) in values.iter().enumerate() {
        high = (high + x - target - k).max(0.0);
        low = (low + target - k - x).max(0.0);
        sums.high.push(high);
        sums.low.push(low);
        for (sum, rule) in [(&mut high, Rule::CusumHigh), (&mut low, Rule::CusumLow)] {
            if beyond(*sum) {
                sums.signals.push(Signal { rule, at });
                if restart {
                    *sum = 0.0;
                }
            }
        }
    }
    Ok(sums)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lasting_shift_adds_up() {
        let sums = cusum(&[1.0; 8], 0.0, 0.5, 2.0).unwrap();
        assert_eq!(sums.high[7], 4.0);
        assert_eq!(sums.low, [0.0; 8]);
        let at: Vec<usize> = sums.signals.iter().map(|s| s.at).collect();
        assert_eq!(at, [4, 5, 6, 7], "exactly h is no signal");
    }

    #[test]
    fn a_restart_forgets_what_was_told() {
        let sums = cusum_restarting(&[1.0; 10], 0.0, 0.5, 2.0).unwrap();
        let at: Vec<usize> = sums.signals.iter().map(|s| s.at).collect();
        assert_eq!((at, sums.high[5]), (vec![4, 9], 0.5));
        assert!(sums.signals.iter().all(|s| s.rule == Rule::CusumHigh));
    }

    #[test]
    fn impossible_parameters_are_refused() {
        assert!(cusum(&[], 0.0, -0.1, 4.0).is_err() && cusum(&[], 0.0, 0.5, 0.0).is_err());
        assert!(cusum(&[f64::NAN], 0.0, 0.5, 4.0).is_err());
    }
}
