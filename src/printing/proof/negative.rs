//! What range of paper a negative needs.

use crate::measures::Quantity;
use crate::numerics::chance::NORMAL_95;

/// A negative by its lowest and highest densities that are to print with detail; typed as 0.42:1.21.
#[derive(Clone, Debug, PartialEq)]
pub struct Negative {
    /// What it is called.
    pub name: String,
    /// Lowest printing density.
    pub low: f64,
    /// Highest printing density.
    pub high: f64,
    /// Standard uncertainty of each of both, where it is known.
    pub sigma: Option<f64>,
}

/// The paper that a negative needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Needed {
    /// Log exposure range on the paper.
    pub log_range: Quantity,
    /// Range R: 100 times that.
    pub range_r: Quantity,
}

impl Negative {
    /// The paper that it needs under a light of this Callier factor, `sigma` being the standard
    /// uncertainty of each density where the negative has none of its own:
    ///
    /// ```text
    /// R = 100·Q·(Dhigh − Dlow)
    /// ```
    ///
    /// # Source
    /// ISO 6846:1992 for R; a negative fits a paper whose log exposure range is its density range
    /// (common practice).
    #[must_use]
    pub fn needed(&self, callier: f64, sigma: f64) -> Needed {
        let sigma = self.sigma.unwrap_or(sigma);
        let value = callier * (self.high - self.low);
        let half = NORMAL_95 * callier * sigma * std::f64::consts::SQRT_2;
        let range = |factor: f64| Quantity::around(factor * value, factor * half);
        Needed { log_range: range(1.0), range_r: range(100.0) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn density_range_times_callier_factor() {
        let negative = Negative { name: String::new(), low: 0.25, high: 1.30, sigma: None };
        let needed = negative.needed(1.0, 0.01);
        assert!((needed.range_r.value - 105.0).abs() < 1e-9);
        assert!((needed.range_r.high - needed.range_r.value - 2.772).abs() < 1e-3);
        let surer = Negative { sigma: Some(0.005), ..negative.clone() }.needed(1.0, 0.01).range_r;
        assert!((surer.high - surer.value - 1.386).abs() < 1e-3);
        assert!((negative.needed(1.3, 0.01).log_range.value - 1.365).abs() < 1e-12);
    }
}
