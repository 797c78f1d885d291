//! Whether measures of two strips, or of two pairings, differ, and by how much.

use super::Quantity;
use crate::elementary::{exp, hypot, ln};
use crate::numerics::chance::{NORMAL_95, holm, student_two_sided};

/// How two values are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scale {
    /// By their difference.
    Difference,
    /// By their ratio: times and speeds.
    Ratio,
}

/// How a value differs from the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Difference {
    /// The difference or the ratio, with its 95 % interval.
    pub value: Quantity,
    /// Chance of such a difference, or a greater one, between equals.
    pub chance: f64,
}

/// How `other` differs from `first`, whose intervals are independent:
///
/// ```text
/// d = b − a, or ln(b/a),     half² = half_a² + half_b²
/// ```
///
/// What both have in common, such as the zero of one densitometer, makes the interval wider than it need
/// be, not narrower. `None` for ratios of values that are not positive.
#[must_use]
pub fn difference(first: &Quantity, other: &Quantity, scale: Scale) -> Option<Difference> {
    let logs = |q: &Quantity| {
        let all = [q.low, q.value, q.high];
        all.iter().all(|v| *v > 0.0).then(|| Quantity {
            value: ln(q.value),
            low: ln(q.low),
            high: ln(q.high),
        })
    };
    let (a, b) = match scale {
        Scale::Difference => (*first, *other),
        Scale::Ratio => (logs(first)?, logs(other)?),
    };
    let value = b.value - a.value;
    let below = hypot(b.value - b.low, a.high - a.value);
    let above = hypot(b.high - b.value, a.value - a.low);
    // The side towards equality decides.
    let half = if value > 0.0 { below } else { above };
    let z = if half > 0.0 { NORMAL_95 * value.abs() / half } else { f64::INFINITY };
    let chance = if value == 0.0 { 1.0 } else { student_two_sided(z, 1e6) };
    let found = Quantity { value, low: value - below, high: value + above };
    let value = match scale {
        Scale::Difference => found,
        Scale::Ratio => {
            Quantity { value: exp(found.value), low: exp(found.low), high: exp(found.high) }
        }
    };
    Some(Difference { value, chance })
}

/// Which of several differences are beyond doubt: less than 5 times in 100 is one of them so by chance, all
/// being equal in truth.
///
/// # Source
/// S. Holm, A simple sequentially rejective multiple test procedure, 1979.
#[must_use]
pub fn beyond_doubt(chances: &[f64]) -> Vec<bool> {
    holm(chances).into_iter().map(|chance| chance < 0.05).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn intervals_add_in_quadrature() {
        let (a, b) = (Quantity::around(0.50, 0.03), Quantity::around(0.60, 0.04));
        let d = difference(&a, &b, Scale::Difference).unwrap();
        assert!((d.value.value - 0.10).abs() < 1e-12 && (d.value.high - 0.15).abs() < 1e-12);
        // 0.10 is 3.92 standard deviations: 8.9e-5 (normal tables).
        assert!((d.chance - 8.9e-5).abs() < 1e-6, "{}", d.chance);
        let r = difference(&b, &a, Scale::Ratio).unwrap();
        assert!((r.value.value - 0.5 / 0.6).abs() < 1e-12 && r.value.high < 1.0);
        assert!(difference(&Quantity::around(0.0, 1.0), &b, Scale::Ratio).is_none());
    }

    #[test]
    fn equals_do_not_differ() {
        let a = Quantity::around(1.0, 0.0);
        assert_eq!(difference(&a, &a, Scale::Difference).unwrap().chance, 1.0);
        // Holm: 0.01·3, then 0.03·2 > 0.05.
        assert_eq!(beyond_doubt(&[0.03, 0.01, 0.5]), [false, true, false]);
    }
}
