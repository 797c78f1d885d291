//! How readings scatter about a curve, and what that does to its intervals.

use super::Observations;
use super::levels::Levels;
use super::suspects::robust_sd;

/// How many readings' worth of evidence an assumed standard uncertainty is.
pub(super) const WORTH: f64 = 6.0;

/// Variance over the stated one from which the statement is not believed.
const CONTRADICTED: f64 = 2.5;

/// How the readings scatter about a curve.
pub(super) struct ScatterAbout {
    /// Σ (residual/σ)².
    pub chi_squared: f64,
    /// Σ residual².
    pub squares: f64,
    /// Readings in use less the parameters that they spend (the sum of leverages).
    pub degrees_of_freedom: f64,
}

impl ScatterAbout {
    pub fn of(observations: &Observations, levels: &Levels) -> Self {
        let residuals = levels.standardised(observations);
        let (mut chi_squared, mut squares, mut free) = (0.0, 0.0, 0.0);
        for i in (0..observations.len()).filter(|&i| observations.weight[i] > 0.0) {
            let sigma = observations.sigma[i];
            chi_squared += residuals[i].powi(2);
            squares += (residuals[i] * sigma).powi(2);
            free += 1.0 - (levels.sd[i] / sigma).powi(2).min(1.0);
        }
        Self { chi_squared, squares, degrees_of_freedom: free.max(1.0) }
    }

    /// Variance of the readings over what their σ says, and the degrees of freedom behind it.
    ///
    /// An assumed σ is worth [`WORTH`] readings; a stated one is believed unless the readings
    /// contradict it flatly.
    pub fn variance(&self, assumed: bool) -> (f64, f64) {
        let own = self.chi_squared / self.degrees_of_freedom;
        if assumed {
            let freedom = WORTH + self.degrees_of_freedom;
            ((WORTH + self.chi_squared) / freedom, freedom)
        } else if own > CONTRADICTED && self.degrees_of_freedom >= 3.0 {
            (own, self.degrees_of_freedom)
        } else {
            (1.0, f64::INFINITY)
        }
    }
}

/// Standard deviation of residuals over σ, from their median size.
pub(super) fn scatter(observations: &Observations, levels: &Levels) -> f64 {
    let residuals = levels.standardised(observations);
    robust_sd(
        residuals.iter().zip(&observations.weight).filter(|(_, w)| **w > 0.0).map(|(r, _)| *r),
    )
}

/// Student's quantile for a two-sided 95 % interval, by the expansion in 1/ν to its fourth term;
/// within 0.004 from three degrees of freedom on, within 0.0001 from seven.
///
/// # Source
/// M. Abramowitz and I. A. Stegun 1964, 26.7.5.
pub(crate) fn student_quantile(degrees_of_freedom: f64) -> f64 {
    const NORMAL: f64 = 1.959_963_984_540_054;
    const TERMS: [f64; 4] = [2.372_271_230_3, 2.822_498_615_7, 2.555_849_679_5, 1.589_534_053_4];
    TERMS.iter().rev().fold(0.0, |sum, term| (sum + term) / degrees_of_freedom) + NORMAL
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn student_quantiles_of_the_tables() {
        use statrs::distribution::{ContinuousCDF, StudentsT};
        for (freedom, tolerance) in
            [(3.0, 4e-3), (5.0, 4e-4), (7.0, 1e-4), (12.5, 1e-5), (25.0, 1e-6)]
        {
            let exact = StudentsT::new(0.0, 1.0, freedom).unwrap().inverse_cdf(0.975);
            assert!((student_quantile(freedom) - exact).abs() < tolerance, "{freedom}: {exact}");
        }
        assert!((student_quantile(f64::INFINITY) - 1.959_964).abs() < 1e-6);
    }
}
