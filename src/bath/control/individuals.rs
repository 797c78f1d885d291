//! The chart of single values and their moving ranges.

use super::constants::constants;
use super::{ControlError, finite};
use crate::bath::limits::Allowed;

/// Below this many values, limits are provisional (common practice, no source).
pub const SETTLED: usize = 20;

/// Limits of a chart of single values.
#[derive(Clone, Debug, PartialEq)]
pub struct Individuals {
    /// Centre line.
    pub centre: f64,
    /// Standard deviation of a single value.
    pub sigma: f64,
    /// Lower limit; −∞ where tolerances have none.
    pub lower: f64,
    /// Upper limit; +∞ where tolerances have none.
    pub upper: f64,
    /// |xᵢ − xᵢ₋₁|, one fewer than there are values.
    pub moving_ranges: Vec<f64>,
    /// Upper limit of a moving range, D4·d2·σ with the constants for n = 2; the lower one is 0.
    pub range_upper: f64,
    /// Whether the limits come from fewer than [`SETTLED`] values.
    pub provisional: bool,
}

/// Limits from the values themselves: centre x̄, σ = R̄/d2 with R̄ the mean moving range of two,
/// limits x̄ ± 3σ. In units of the values. Source: Montgomery and Runger, Applied Statistics and
/// Probability for Engineers, section 16-5.
///
/// # Errors
/// For fewer than two values, or one that is no finite number.
pub fn individuals(values: &[f64]) -> Result<Individuals, ControlError> {
    let sigma = sigma_of(values)?;
    let centre = values.iter().sum::<f64>() / values.len() as f64;
    Ok(Individuals {
        provisional: values.len() < SETTLED,
        ..individuals_given(values, centre, sigma)?
    })
}

/// Limits centre ± 3σ for a centre and a standard deviation that are known beforehand.
///
/// # Errors
/// For a centre or value that is no finite number, or a σ that is negative.
pub fn individuals_given(
    values: &[f64],
    centre: f64,
    sigma: f64,
) -> Result<Individuals, ControlError> {
    finite(values)?;
    if !(centre.is_finite() && sigma.is_finite() && sigma >= 0.0) {
        return Err(ControlError::Given { centre, sigma });
    }
    let pair = constants(2)?;
    Ok(Individuals {
        centre,
        sigma,
        lower: centre - 3.0 * sigma,
        upper: centre + 3.0 * sigma,
        moving_ranges: moving_ranges(values),
        range_upper: pair.range_upper * pair.d2 * sigma,
        provisional: false,
    })
}

/// Limits at the tolerances about an aim. σ and the limit of the moving range still come from the
/// values.
///
/// # Errors
/// For an aim that is no finite number, and as [`individuals`].
pub fn individuals_about(
    values: &[f64],
    aim: f64,
    allowed: &Allowed,
) -> Result<Individuals, ControlError> {
    let own = individuals_given(values, aim, sigma_of(values)?)?;
    Ok(Individuals {
        lower: allowed.lower().map_or(f64::NEG_INFINITY, |d| aim + d),
        upper: allowed.upper().map_or(f64::INFINITY, |d| aim + d),
        ..own
    })
}

fn moving_ranges(values: &[f64]) -> Vec<f64> {
    values.windows(2).map(|w| (w[1] - w[0]).abs()).collect()
}

/// R̄/d2.
fn sigma_of(values: &[f64]) -> Result<f64, ControlError> {
    finite(values)?;
    if values.len() < 2 {
        return Err(ControlError::NoRange { found: values.len() });
    }
    let ranges = moving_ranges(values);
    Ok(ranges.iter().sum::<f64>() / ranges.len() as f64 / constants(2)?.d2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_from_values_by_hand() {
        let chart = individuals(&[1.0, 3.0, 2.0]).unwrap();
        assert_eq!((chart.centre, chart.moving_ranges.clone()), (2.0, vec![2.0, 1.0]));
        // R̄ = 1.5, d2 = 2/√π.
        let sigma = 1.5 * std::f64::consts::PI.sqrt() / 2.0;
        assert!((chart.sigma - sigma).abs() < 1e-12);
        assert!((chart.upper - 2.0 - 3.0 * sigma).abs() < 1e-12 && chart.provisional);
        assert!((chart.range_upper / 1.5 - 3.266_531_919).abs() < 1e-8);
        assert!(!individuals(&[0.5; SETTLED]).unwrap().provisional);
    }

    #[test]
    fn given_limits_and_tolerances() {
        let given = individuals_given(&[0.6], 0.6, 0.01).unwrap();
        assert!((given.lower - 0.57).abs() < 1e-12 && !given.provisional);
        let upper_only = Allowed::new(None, Some(0.03)).unwrap();
        let about = individuals_about(&[0.2, 0.21], 0.2, &upper_only).unwrap();
        assert!(about.lower == f64::NEG_INFINITY && (about.upper - 0.23).abs() < 1e-12);
    }

    #[test]
    fn what_cannot_be_charted_is_refused() {
        assert!(individuals(&[1.0]).is_err() && individuals(&[]).is_err());
        assert!(individuals(&[1.0, f64::NAN]).unwrap_err().to_string().contains("value 2"));
        assert!(individuals_given(&[], 0.0, -1.0).is_err());
        assert!(individuals_given(&[], f64::INFINITY, 1.0).is_err());
    }
}
