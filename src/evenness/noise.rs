//! How much readings scatter without the film being uneven.

use super::notes::EvennessNote;
use super::places::Repeats;
use crate::measures::Quantity;
use crate::numerics::chance::student_quantile;

/// Readings that an assumed σ is worth as evidence.
const ASSUMED_WORTH: f64 = 6.0;
/// From this many degrees of freedom on, what is observed stands alone.
const ENOUGH: usize = 6;
/// Frames from which on their median scatter is used.
const FRAMES: usize = 3;
/// What a median is worth beside a mean, 2/π.
const MEDIAN_EFFICIENCY: f64 = std::f64::consts::FRAC_2_PI;
/// Chance below which repeats contradict a given σ.
const CONTRADICTION: f64 = 0.005;

/// Where a variance comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// The standard uncertainties that were given.
    Given,
    /// The repeats, with their degrees of freedom.
    Repeats(usize),
    /// The scatter of the places about smooth fields, with its degrees of freedom.
    Scatter(usize),
    /// The assumed standard uncertainty, with so many degrees of freedom of evidence beside it.
    Assumed(usize),
}

/// A variance over the square of the readings' standard uncertainties.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Noise {
    /// Variance of a reading over its σ².
    pub variance: f64,
    /// Degrees of freedom; infinite where the variance is known.
    pub degrees_of_freedom: f64,
    /// Where it comes from.
    pub source: Source,
    /// The least that a variance can be over σ²: readings are rounded.
    pub least: f64,
}

impl Noise {
    /// The noise of reading, from what was given and from repeats, and a note where they disagree.
    #[must_use]
    pub fn of_reading(
        repeats: Repeats,
        is_assumed: bool,
        least: f64,
    ) -> (Self, Option<EvennessNote>) {
        let (sum, freedom) = (repeats.sum_of_squares, repeats.degrees_of_freedom);
        let observed = sum / freedom as f64;
        let from_repeats = Self {
            variance: observed.max(least),
            degrees_of_freedom: freedom as f64,
            source: Source::Repeats(freedom),
            least,
        };
        if is_assumed {
            let mixed = Self::assumed(sum, freedom, least);
            return (if freedom >= ENOUGH { from_repeats } else { mixed }, None);
        }
        let chance = crate::numerics::chance::fisher_upper(observed, freedom as f64, f64::INFINITY);
        if freedom >= ENOUGH && chance < CONTRADICTION {
            let note = EvennessNote::RepeatsContradict { ratio: observed.sqrt() };
            return (from_repeats, Some(note));
        }
        let given =
            Self { variance: 1.0, degrees_of_freedom: f64::INFINITY, source: Source::Given, least };
        (given, None)
    }

    /// The noise that intervals are made with: that of reading where it is known; where it is only
    /// assumed, the scatter about smooth fields has its say, or stands alone if there is enough of it.
    #[must_use]
    pub fn of_intervals(reading: Self, repeats: Repeats, scatter: Repeats) -> Self {
        if !reading.is_assumed() {
            return reading;
        }
        let (sum, freedom) = (scatter.sum_of_squares, scatter.degrees_of_freedom);
        if freedom >= ENOUGH {
            return Self {
                variance: (sum / freedom as f64).max(reading.least),
                degrees_of_freedom: freedom as f64,
                source: Source::Scatter(freedom),
                ..reading
            };
        }
        Self::assumed(
            repeats.sum_of_squares + sum,
            repeats.degrees_of_freedom + freedom,
            reading.least,
        )
    }

    /// The noise that spots are held against: that of reading where it is known; where it is only
    /// assumed, the median scatter of several frames, which a few spots cannot change.
    #[must_use]
    pub fn of_spots(reading: Self, scatters: impl Iterator<Item = Repeats>) -> Self {
        if !reading.is_assumed() {
            return reading;
        }
        let mut variances: Vec<f64> = Vec::new();
        let mut freedom = 0;
        for scatter in scatters.filter(|s| s.degrees_of_freedom >= ENOUGH) {
            let degrees = scatter.degrees_of_freedom as f64;
            // The median of a variance is less than its mean (Wilson and Hilferty's cube).
            let median = (1.0 - 2.0 / (9.0 * degrees)).powi(3);
            variances.push(scatter.sum_of_squares / degrees / median);
            freedom += scatter.degrees_of_freedom;
        }
        if variances.len() < FRAMES {
            return reading;
        }
        variances.sort_by(f64::total_cmp);
        let (below, above) = ((variances.len() - 1) / 2, variances.len() / 2);
        Self {
            variance: (0.5 * (variances[below] + variances[above])).max(reading.least),
            degrees_of_freedom: MEDIAN_EFFICIENCY * freedom as f64,
            source: Source::Scatter(freedom),
            ..reading
        }
    }

    /// Whether nobody gave the noise and too little was seen of it.
    #[must_use]
    pub fn is_assumed(&self) -> bool {
        matches!(self.source, Source::Assumed(_))
    }

    fn assumed(sum: f64, freedom: usize, least: f64) -> Self {
        let worth = ASSUMED_WORTH + freedom as f64;
        Self {
            variance: (ASSUMED_WORTH + sum) / worth,
            degrees_of_freedom: worth,
            source: Source::Assumed(freedom),
            least,
        }
    }

    /// A value with its 95 % interval, from its standard error for readings whose variance is σ².
    #[must_use]
    pub fn quantity(&self, value: f64, standard_error: f64) -> Quantity {
        let half = student_quantile(0.025, self.degrees_of_freedom)
            * self.variance.sqrt()
            * standard_error;
        Quantity::around(value, half)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn repeats(sum_of_squares: f64, degrees_of_freedom: usize) -> Repeats {
        Repeats { sum_of_squares, degrees_of_freedom }
    }

    #[test]
    fn what_is_known_best_is_believed() {
        let none = repeats(0.0, 0);
        let given = Noise::of_reading(none, false, 0.01).0;
        assert_eq!((given.source, given.variance), (Source::Given, 1.0));
        let (doubted, note) = Noise::of_reading(repeats(80.0, 10), false, 0.01);
        assert_eq!(doubted.source, Source::Repeats(10));
        assert!(note.unwrap().to_string().contains("2.8 times"));
        let assumed = Noise::of_reading(none, true, 0.01).0;
        assert_eq!((assumed.source, assumed.degrees_of_freedom), (Source::Assumed(0), 6.0));
        let few = Noise::of_intervals(assumed, none, repeats(8.0, 4));
        assert_eq!((few.source, few.variance), (Source::Assumed(4), 1.4));
        let many = Noise::of_intervals(assumed, none, repeats(18.0, 9));
        assert_eq!((many.source, many.variance), (Source::Scatter(9), 2.0));
        let rounded = Noise::of_intervals(assumed, none, repeats(0.0, 9));
        assert_eq!(rounded.variance, 0.01);
    }
}
