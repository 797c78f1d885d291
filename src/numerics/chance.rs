//! Quantiles and tail chances of Student's, Fisher's and Pearson's distributions; infinitely many
//! degrees of freedom are allowed where a variance is known.

use statrs::distribution::{
    ChiSquared, ContinuousCDF, DiscreteCDF, FisherSnedecor, Hypergeometric, Normal, StudentsT,
};
use statrs::function::factorial::binomial;

/// Half the width of a 95 % interval of the normal distribution, in standard deviations.
pub const NORMAL_95: f64 = 1.959_963_984_540_054;
/// More degrees of freedom than this are taken for infinitely many.
const MANY: f64 = 1e6;

/// The value that Student's t exceeds with chance `upper`; NaN for an impossible distribution.
#[must_use]
pub fn student_quantile(upper: f64, degrees: f64) -> f64 {
    if degrees > MANY {
        return Normal::standard().inverse_cdf(1.0 - upper);
    }
    StudentsT::new(0.0, 1.0, degrees).map_or(f64::NAN, |t| t.inverse_cdf(1.0 - upper))
}

/// The chance that |t| is exceeded; 1 for an impossible distribution.
#[must_use]
pub fn student_two_sided(t: f64, degrees: f64) -> f64 {
    let below = -t.abs();
    if degrees > MANY {
        return 2.0 * Normal::standard().cdf(below);
    }
    StudentsT::new(0.0, 1.0, degrees).map_or(1.0, |d| 2.0 * d.cdf(below))
}

/// The chance that χ² exceeds this; 1 without a degree of freedom.
#[must_use]
pub fn chi_squared_upper(chi_squared: f64, degrees: f64) -> f64 {
    if degrees < 0.5 {
        return 1.0;
    }
    ChiSquared::new(degrees).map_or(1.0, |d| d.sf(chi_squared.max(0.0)))
}

/// The chance that Fisher's F exceeds `f`; 1 for an impossible distribution.
#[must_use]
pub fn fisher_upper(f: f64, first: f64, second: f64) -> f64 {
    if !(f > 0.0) {
        return 1.0;
    }
    if second > MANY {
        return chi_squared_upper(f * first, first);
    }
    FisherSnedecor::new(first, second).map_or(1.0, |d| d.sf(f))
}

/// The value that F exceeds with chance `upper`; NaN for an impossible distribution.
#[must_use]
pub fn fisher_quantile(upper: f64, first: f64, second: f64) -> f64 {
    if second > MANY {
        return ChiSquared::new(first).map_or(f64::NAN, |d| d.inverse_cdf(1.0 - upper) / first);
    }
    FisherSnedecor::new(first, second).map_or(f64::NAN, |d| d.inverse_cdf(1.0 - upper))
}

/// The chances of several tests, each raised so that all of them together keep the level of one
/// (S. Holm 1979, from memory): the k-th smallest of n is multiplied by n − k + 1.
#[must_use]
pub fn holm(chances: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..chances.len()).collect();
    order.sort_by(|a, b| chances[*a].total_cmp(&chances[*b]));
    let mut raised = vec![0.0; chances.len()];
    let mut least = 0.0_f64;
    for (before, &at) in order.iter().enumerate() {
        least = least.max(chances[at] * (chances.len() - before) as f64);
        raised[at] = least.min(1.0);
    }
    raised
}

/// How many choices of `count` of `total` things there are.
#[must_use]
pub fn choices(total: usize, count: usize) -> f64 {
    binomial(total as u64, count as u64)
}

/// The chance that `found` or more of `drawn` things fall among `marked` of `total`: the upper tail of the
/// hypergeometric distribution, which is the one-sided exact test of R. A. Fisher (The Design of
/// Experiments, 1935).
#[must_use]
pub fn hypergeometric_upper(found: usize, marked: usize, drawn: usize, total: usize) -> f64 {
    let Some(fewer) = found.checked_sub(1) else { return 1.0 };
    let whole = Hypergeometric::new(total as u64, marked as u64, drawn as u64);
    whole.map_or(1.0, |d| d.sf(fewer as u64))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_of_the_usual_tables() {
        // Tables of any textbook.
        let near = |a: f64, b: f64| assert!((a - b).abs() < 5e-4 * b.abs().max(0.1), "{a} {b}");
        near(student_quantile(0.025, 9.0), 2.2622);
        near(student_quantile(0.025, f64::INFINITY), 1.95996);
        near(student_two_sided(2.2622, 9.0), 0.05);
        near(chi_squared_upper(11.0705, 5.0), 0.05);
        assert_eq!(chi_squared_upper(9.0, 0.0), 1.0);
        near(fisher_upper(3.4817, 5.0, 9.0), 0.05);
        near(fisher_upper(11.0705 / 5.0, 5.0, f64::INFINITY), 0.05);
        near(fisher_quantile(0.05, 5.0, 9.0), 3.4817);
        near(fisher_quantile(0.05, 5.0, f64::INFINITY), 2.2141);
        assert_eq!(fisher_upper(-1.0, 5.0, 9.0), 1.0);
    }

    /// The lady who tasted tea, of Fisher's chapter 2: all of four cups in 1 of 70, three or more in 17.
    #[test]
    fn the_exact_test_of_eight_cups() {
        let near = |found, expected: f64| {
            assert!((hypergeometric_upper(found, 4, 4, 8) - expected).abs() < 1e-12);
        };
        near(4, 1.0 / 70.0);
        near(3, 17.0 / 70.0);
        near(0, 1.0);
        assert_eq!((choices(8, 4), choices(3, 5), choices(5, 0)), (70.0, 0.0, 1.0));
        assert_eq!(hypergeometric_upper(3, 2, 3, 9), 0.0);
    }

    #[test]
    fn chances_are_raised_in_their_order() {
        let raised = holm(&[0.01, 0.04, 0.03]);
        assert_eq!(raised, [0.03, 0.06, 0.06]);
        assert!(holm(&[]).is_empty());
    }
}
