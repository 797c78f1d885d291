//! The ISO speed of several strips that were developed alike.

use super::{IsoSpeed, Measured, Measures, Quantity};
use crate::numerics::chance::{NORMAL_95, chi_squared_upper, student_quantile};
use crate::readings::ExposureScale;

/// Strips whose scatter is so unlikely from their own intervals differ in truth.
const DIFFERENT: f64 = 0.05;

impl IsoSpeed {
    /// The ISO speed of strips of one film that were developed alike: ΔD and the speed point are the
    /// means of the strips' own; what their exposures or densities have in common is not averaged away. `None`
    /// for fewer than two strips, or where one of them lacks either.
    ///
    /// # Source
    /// ISO 6:1993 takes the mean of several samples (from memory).
    #[must_use]
    pub fn of_several(strips: &[&Measures], scale: ExposureScale) -> Option<Self> {
        if strips.len() < 2 {
            return None;
        }
        let of_all = |of: fn(&Measures) -> &Measured| -> Option<Quantity> {
            let alone = strips.iter().map(|m| of(m.alone()).as_ref().ok().copied());
            let common = strips.iter().map(|m| m.common_sd(of)).fold(0.0, f64::max);
            Some(mean(&alone.collect::<Option<Vec<_>>>()?).with_error(common))
        };
        let speed_point = of_all(|m| &m.speed_point)?;
        let delta_d = of_all(|m| &m.iso.delta_d)?;
        Some(Self::new(Ok(speed_point), Ok(delta_d), scale))
    }
}

/// The mean of quantities whose errors are independent. Its interval follows from theirs, or, where
/// they differ by more than their intervals allow, from their scatter.
fn mean(quantities: &[Quantity]) -> Quantity {
    let n = quantities.len() as f64;
    let value = quantities.iter().map(|q| q.value).sum::<f64>() / n;
    let own = quantities.iter().map(|q| q.half().powi(2)).sum::<f64>().sqrt() / n;
    let sum = |of: &dyn Fn(&Quantity) -> f64| quantities.iter().map(of).sum::<f64>();
    let squares = sum(&|q| (q.value - value).powi(2));
    let chi_squared = sum(&|q| ((q.value - value) * NORMAL_95 / q.half()).powi(2));
    let scatter = student_quantile(0.025, n - 1.0) * (squares / (n - 1.0) / n).sqrt();
    let differ = chi_squared_upper(chi_squared, n - 1.0) < DIFFERENT;
    Quantity::around(value, if differ { scatter.max(own) } else { own })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mean_is_as_sure_as_its_strips_allow() {
        let strip = |value| Quantity::around(value, 0.02);
        let same = mean(&[strip(0.79), strip(0.80), strip(0.81), strip(0.80)]);
        assert!((same.value - 0.80).abs() < 1e-12);
        assert!((same.half() - 0.01).abs() < 1e-12, "half of one strip's, from four: {same:?}");
        let apart = mean(&[strip(0.70), strip(0.80), strip(0.90)]);
        // Three values 0.1 apart: t(2) × 0.1/√3.
        assert!((apart.half() - 4.302_652_73 * 0.1 / 3_f64.sqrt()).abs() < 1e-6, "{apart:?}");
    }
}
