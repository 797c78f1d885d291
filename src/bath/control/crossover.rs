//! Crossing over from one batch of control strips to the next.

use super::{ControlError, finite};
use statrs::distribution::{ContinuousCDF, StudentsT};

/// What is known of a shift's error.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Uncertainty {
    /// Standard error of the shift.
    pub standard_error: f64,
    /// Lower end of the shift's 95 % interval.
    pub low: f64,
    /// Upper end of the shift's 95 % interval.
    pub high: f64,
}

/// The step from one batch of control strips to the next.
#[derive(Clone, Debug, PartialEq)]
pub struct Crossover {
    /// Average of the old batch.
    pub old_average: f64,
    /// Average of the new batch.
    pub new_average: f64,
    /// New less old: what the aim, and the limits with it, move by.
    pub shift: f64,
    /// Its error, or why it is not known.
    pub uncertainty: Result<Uncertainty, ControlError>,
    /// Strips of the old batch.
    pub old_strips: usize,
    /// Strips of the new batch.
    pub new_strips: usize,
}

/// The shift between two batches from strips of both that were developed together: difference of
/// the averages (new − old), in the unit of the readings.
///
/// Standard error s·√(1/n₁ + 1/n₂) with the pooled scatter s of both batches (which one densitometer
/// and one bath make the same), interval by Student's t with n₁ + n₂ − 2 degrees of freedom. Five
/// strips of each are usual. The rule aim + (new − old): a densitometer maker's service note on
/// crossing over; the error is the ordinary two-sample one.
///
/// # Errors
/// For fewer than two strips of a batch, and readings that are no finite numbers.
pub fn crossover(old: &[f64], new: &[f64]) -> Result<Crossover, ControlError> {
    of_days(&[Day { old: old.to_vec(), new: new.to_vec() }])
}

/// Readings of one day on which strips of both batches were developed; neither is empty, unless
/// there are fewer than two strips of a batch in all.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Day {
    pub old: Vec<f64>,
    pub new: Vec<f64>,
}

/// [`crossover`] over several days. The shift is the least-squares one with a level for each day:
/// days count by n₁·n₂/(n₁ + n₂), and the scatter is what the levels and the shift leave.
pub(super) fn of_days(days: &[Day]) -> Result<Crossover, ControlError> {
    for day in days {
        finite(&day.old)?;
        finite(&day.new)?;
    }
    let old_strips: usize = days.iter().map(|d| d.old.len()).sum();
    let new_strips: usize = days.iter().map(|d| d.new.len()).sum();
    if old_strips < 2 || new_strips < 2 {
        return Err(ControlError::FewToCross { old: old_strips, new: new_strips });
    }
    // Averages by day: old, new, weight, sum of squares within.
    let days: Vec<(f64, f64, f64, f64)> = days
        .iter()
        .map(|Day { old, new }| {
            let (a, b) = (mean(old), mean(new));
            let (n, m) = (old.len() as f64, new.len() as f64);
            (a, b, n * m / (n + m), squares(old, a) + squares(new, b))
        })
        .collect();
    let weight: f64 = days.iter().map(|d| d.2).sum();
    let weighted =
        |of: fn(f64, f64) -> f64| days.iter().map(|d| d.2 * of(d.0, d.1)).sum::<f64>() / weight;
    let shift = weighted(|old, new| new - old);
    let within: f64 = days.iter().map(|d| d.3).sum();
    let between: f64 = days.iter().map(|d| d.2 * (d.1 - d.0 - shift).powi(2)).sum();
    // Each day has a level; the shift is one parameter more.
    let freedom = (old_strips + new_strips - days.len() - 1) as f64;
    Ok(Crossover {
        old_average: weighted(|old, _| old),
        new_average: weighted(|_, new| new),
        shift,
        uncertainty: uncertainty(shift, within + between, freedom, weight),
        old_strips,
        new_strips,
    })
}

fn uncertainty(
    shift: f64,
    left: f64,
    freedom: f64,
    weight: f64,
) -> Result<Uncertainty, ControlError> {
    let standard_error = (left / freedom / weight).sqrt();
    // What remains of equal readings in binary is no scatter.
    if !(standard_error > 1e-12) {
        return Err(ControlError::AllAlike);
    }
    let student = StudentsT::new(0.0, 1.0, freedom).map_err(|_| ControlError::AllAlike)?;
    let reach = student.inverse_cdf(0.975) * standard_error;
    Ok(Uncertainty { standard_error, low: shift - reach, high: shift + reach })
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn squares(values: &[f64], about: f64) -> f64 {
    values.iter().map(|v| (v - about) * (v - about)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_samples_by_hand() {
        let c = crossover(&[1.0, 3.0], &[4.0, 6.0]).unwrap();
        assert_eq!((c.old_average, c.new_average, c.shift), (2.0, 5.0, 3.0));
        let u = c.uncertainty.unwrap();
        // s² = (2 + 2)/2, standard error √(2·(1/2 + 1/2)); t for 2 degrees of freedom is 4.3027.
        assert!((u.standard_error - 2_f64.sqrt()).abs() < 1e-12);
        assert!((u.high - 3.0 - 4.302_653 * 2_f64.sqrt()).abs() < 1e-5);
        assert!((u.high + u.low - 6.0).abs() < 1e-12);
    }

    #[test]
    fn days_have_levels_of_their_own() {
        // One strip of each on three days whose levels differ: shifts 0.05, 0.06, 0.07.
        let days = [(0.6, 0.65), (0.7, 0.76), (0.5, 0.57)]
            .map(|(a, b)| Day { old: vec![a], new: vec![b] });
        let c = of_days(&days).unwrap();
        let u = c.uncertainty.unwrap();
        assert!((c.shift - 0.06).abs() < 1e-12);
        // The paired standard error: 0.01/√3.
        assert!((u.standard_error - 0.01 / 3_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn what_cannot_be_determined_has_its_reason() {
        assert!(
            crossover(&[0.6], &[0.7, 0.7]).unwrap_err()
                == ControlError::FewToCross { old: 1, new: 2 }
        );
        let alike = crossover(&[0.6, 0.6], &[0.7, 0.7]).unwrap();
        assert!((alike.shift - 0.1).abs() < 1e-12);
        assert_eq!(alike.uncertainty, Err(ControlError::AllAlike));
        assert!(crossover(&[0.6, f64::NAN], &[0.7, 0.7]).is_err());
    }
}
