//! A trend: strips that rise or fall by more than their scatter explains.

use super::{ControlError, finite};

/// Fewest strips that show a trend.
pub const LEAST_OF_TREND: usize = 4;
/// Most strips that are looked back upon.
pub const MOST_OF_TREND: usize = 20;

/// The straight line through the last values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trend {
    /// How many values.
    pub strips: usize,
    /// Change from one value to the next.
    pub slope: f64,
    /// Standard error of that.
    pub standard_error: f64,
}

impl Trend {
    /// The slope in its standard errors.
    #[must_use]
    pub fn z(&self) -> f64 {
        self.slope / self.standard_error
    }
}

/// For each value the steepest line (in its standard errors) of those through the last 4, 5, … 20
/// values up to it; `None` for the first three. It needs no centre.
///
/// Least squares over m values one apart: slope b = Σ(n − n̄)·x/S with S = m·(m² − 1)/12, standard
/// error `sd`/√S, in units of the values. Source: ordinary regression with a known standard
/// deviation.
///
/// # Errors
/// For an `sd` that is not above 0, and values that are no finite numbers.
///
/// ```
/// use wedgebook::bath::control::trends;
///
/// let falling = trends(&[0.99, 0.98, 0.93, 0.89, 0.82], 0.012)?;
/// let last = falling[4].unwrap();
/// assert!((last.slope + 0.043).abs() < 1e-12 && last.strips == 5 && last.z() < -11.0);
/// # Ok::<(), wedgebook::bath::control::ControlError>(())
/// ```
pub fn trends(values: &[f64], sd: f64) -> Result<Vec<Option<Trend>>, ControlError> {
    finite(values)?;
    if !(sd.is_finite() && sd > 0.0) {
        return Err(ControlError::TrendScatter(sd));
    }
    Ok((0..values.len()).map(|at| steepest(&values[..=at], sd)).collect())
}

fn steepest(values: &[f64], sd: f64) -> Option<Trend> {
    let (mut best, mut sum, mut moment) = (None::<Trend>, 0.0, 0.0);
    // From the last value backwards, measured from it: far from 0 nothing is lost in rounding.
    let last = *values.last()?;
    for (back, value) in values.iter().rev().take(MOST_OF_TREND).enumerate() {
        sum += value - last;
        moment -= back as f64 * (value - last);
        let m = (back + 1) as f64;
        if back + 1 < LEAST_OF_TREND {
            continue;
        }
        let squares = m * (m * m - 1.0) / 12.0;
        let slope = (moment + (m - 1.0) / 2.0 * sum) / squares;
        let trend = Trend { strips: back + 1, slope, standard_error: sd / squares.sqrt() };
        if best.is_none_or(|b| trend.z().abs() > b.z().abs()) {
            best = Some(trend);
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_line_is_found_whole() {
        let values: Vec<f64> = (0..30).map(|n| 1e6 + 0.25 * f64::from(n)).collect();
        let found = trends(&values, 0.5).unwrap();
        assert!(found[..3].iter().all(Option::is_none));
        for (at, trend) in found.iter().enumerate().skip(3) {
            let trend = trend.unwrap();
            assert_eq!(trend.strips, (at + 1).min(MOST_OF_TREND));
            assert!((trend.slope - 0.25).abs() < 1e-9);
        }
        // Four values: S = 5.
        assert!((found[3].unwrap().standard_error - 0.5 / 5.0_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn the_steepest_of_all_lines_counts() {
        let mut values = vec![0.0; 16];
        values.extend([-1.0, -2.0, -3.0, -4.0]);
        let last = trends(&values, 1.0).unwrap()[19].unwrap();
        // Nine values: S = 60, and Σ(n − 4)·x = −30.
        assert!(last.strips == 9 && (last.slope + 0.5).abs() < 1e-12, "{last:?}");
        assert!(trends(&values, 0.0).is_err() && trends(&[f64::NAN], 1.0).is_err());
    }
}
