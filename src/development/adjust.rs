//! How long today: from a wanted contrast to minutes at today's temperature in today's bath.

use super::pairing::{Measure, Pairing, log_interval};
use super::temperature::{OWN_LAW, assumed_law, factor_per_ten_degrees, log_rate_per_energy};
use crate::elementary::{exp, hypot, ln};
use crate::measures::Quantity;
use crate::units::{Celsius, Minutes};
use crate::words::{degrees, trimmed};
use std::fmt;

/// Times farther outside the calibrated ones than this factor are refused.
const TIME_LIMIT: f64 = 1.5;
/// The same for who wants to calculate further.
const FAR_LIMIT: f64 = 4.0;
/// Temperatures farther outside the calibrated ones than this many degrees are refused.
const TEMPERATURE_LIMIT: f64 = 4.0;
/// Shorter times than this many minutes are apt to be uneven (common practice, no source).
pub const SHORTEST: f64 = 4.0;

/// How far away from the others a strip is proposed that determines the temperature law, in °C.
const ANOTHER: f64 = 4.0;

/// How many times the calibrated times an answer may lie outside.
#[must_use]
pub const fn reach(extrapolate: bool) -> f64 {
    if extrapolate { FAR_LIMIT } else { TIME_LIMIT }
}

/// What is wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// The measure of contrast.
    pub measure: Measure,
    /// How much of it.
    pub contrast: f64,
    /// Temperature of the bath.
    pub celsius: Celsius,
    /// Activity of the bath: 1 as calibrated.
    pub activity: f64,
    /// Whether to answer far outside what was calibrated.
    pub extrapolate: bool,
}

/// How long to develop.
#[derive(Clone, Debug, PartialEq)]
pub struct Adjusted {
    /// Minutes in the bath.
    pub minutes: Quantity,
    /// Minutes at the reference temperature in a bath of full strength.
    pub effective_minutes: Quantity,
    /// Exposure index, where exposures are absolute.
    pub exposure_index: Option<Quantity>,
    /// Base plus fog to expect.
    pub base_plus_fog: Option<Quantity>,
    /// The other measures to expect.
    pub expected: Vec<(Measure, Quantity)>,
    /// Whether the answer lies outside the calibrated times or temperatures.
    pub extrapolated: bool,
    /// What to know about it.
    pub notes: Vec<AdjustNote>,
}

/// What to know about a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AdjustNote {
    /// Longer or shorter than the strips' developments.
    OutsideTimes {
        /// Effective minutes.
        minutes: f64,
        /// Shortest of the strips'.
        low: f64,
        /// Longest of the strips'.
        high: f64,
    },
    /// Colder or warmer than the strips' baths.
    OutsideTemperatures {
        /// Coldest.
        low: f64,
        /// Warmest.
        high: f64,
    },
    /// The temperature law is assumed.
    LawAssumed {
        /// The mean temperature of the strips, in °C.
        celsius: f64,
        /// What each degree away from it adds to the 95 % interval of ln t.
        each_degree: f64,
        /// The same with one more strip, 4 °C away.
        with_strip: f64,
    },
    /// So short that development may be uneven.
    Short,
}

impl fmt::Display for AdjustNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutsideTimes { minutes, low, high } => write!(
                f,
                "outside the calibrated development: {minutes:.1} effective minutes, and the strips go from {low:.1} to {high:.1}"
            ),
            Self::OutsideTemperatures { low, high } if trimmed(*low, 1) == trimmed(*high, 1) => {
                write!(f, "outside the calibrated temperature ({})", degrees(*low))
            }
            Self::OutsideTemperatures { low, high } => write!(
                f,
                "outside the calibrated temperatures ({} to {})",
                trimmed(*low, 1),
                degrees(*high)
            ),
            Self::LawAssumed { celsius, each_degree, with_strip } => {
                write!(
                    f,
                    "{}, because the temperatures of the strips are less than {OWN_LAW:.0} °C apart: each degree away from {} makes the time less certain by {:.1} %; one more strip, developed {ANOTHER:.0} °C away, makes that {:.1} %",
                    assumed_law(),
                    degrees(*celsius),
                    100.0 * each_degree,
                    100.0 * with_strip
                )
            }
            Self::Short => write!(
                f,
                "shorter than {SHORTEST:.0} minutes: development may be uneven (common practice, no source)"
            ),
        }
    }
}

impl Adjusted {
    /// The same with minutes that allow for an activity that is known only so well: its 95 % interval
    /// is about the one that was wanted.
    #[must_use]
    pub fn allowing_for(mut self, activity: &Quantity) -> Self {
        let half = |q: &Quantity| 0.5 * ln(q.high / q.low);
        let both = hypot(half(&self.minutes), half(activity));
        self.minutes = log_interval(self.minutes.value, both);
        self
    }
}

/// Why there is no time.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum Unreachable {
    /// The pairing cannot give this contrast.
    #[error(
        "{} {wanted:.2} cannot be reached: the nearest within {limit} times the calibrated times is {nearest:.2}",
        .measure.name()
    )]
    Contrast {
        /// The measure.
        measure: Measure,
        /// What was wanted.
        wanted: f64,
        /// The nearest that can be had.
        nearest: f64,
        /// How far beyond the calibrated times that is.
        limit: f64,
    },
    /// The strips do not show the measure.
    #[error("{} cannot be determined from the strips of this pairing; choose another measure", .measure.name())]
    NoMeasure {
        /// The measure.
        measure: Measure,
    },
    /// Too far from the calibrated times.
    #[error(
        "{minutes:.1} effective minutes are more than {limit} times outside the calibrated times ({low:.1} to {high:.1})"
    )]
    Time {
        /// The time, in minutes at the reference temperature in a bath of full strength.
        minutes: f64,
        /// The limit.
        limit: f64,
        /// Shortest of the strips'.
        low: f64,
        /// Longest of the strips'.
        high: f64,
    },
    /// Too far from the calibrated temperatures.
    #[error(
        "{} is more than {limit} °C outside the calibrated temperatures ({} to {})",
        degrees(*.celsius),
        degrees(*.low),
        degrees(*.high)
    )]
    Temperature {
        /// The temperature.
        celsius: f64,
        /// The limit.
        limit: f64,
        /// Lowest calibrated temperature.
        low: f64,
        /// Highest calibrated temperature.
        high: f64,
    },
}

/// What film has after a time in a bath.
#[derive(Clone, Debug, PartialEq)]
pub struct Developed {
    /// Minutes at the reference temperature in a bath of full strength.
    pub effective_minutes: f64,
    /// Exposure index, where exposures are absolute.
    pub exposure_index: Option<Quantity>,
    /// Base plus fog.
    pub base_plus_fog: Option<Quantity>,
    /// The other measures.
    pub measures: Vec<(Measure, Quantity)>,
    /// What to know about it.
    pub notes: Vec<AdjustNote>,
}

impl Pairing {
    /// What film has after `minutes` in a bath of this temperature and activity. The intervals have the
    /// uncertainty of the temperature law and of the activity in them:
    ///
    /// ```text
    /// sd G = dG/dln θ · √(sd(ln t)² + sd(ln a)²)
    /// ```
    ///
    /// # Errors
    /// [`Unreachable`] where that is too far from what was calibrated.
    pub fn developed(
        &self,
        minutes: Minutes,
        celsius: Celsius,
        activity: &Quantity,
        extrapolate: bool,
    ) -> Result<Developed, Unreachable> {
        let law = self.law();
        let theta = minutes.get() * activity.value * law.rate(celsius);
        let (low, high) = law.range();
        let reach = reach(extrapolate);
        if !(low / reach..=high * reach).contains(&theta) {
            return Err(Unreachable::Time { minutes: theta, limit: reach, low, high });
        }
        let outside = self.outside(celsius, extrapolate)?;
        let by_activity = 0.5 * ln(activity.high / activity.low);
        let by_law = law.quantile * law.energy_sd() * self.away(celsius);
        let half = hypot(by_law, by_activity);
        // A time of uncertain effect widens what follows from it by as much as that changes over it.
        let over = |of: &dyn Fn(f64) -> Option<Quantity>| {
            let (q, less, more) = (of(theta)?, of(theta * exp(-half))?, of(theta * exp(half))?);
            let change = 0.5 * (more.value - less.value);
            let (below, above) = (q.value - q.low, q.high - q.value);
            Some(Quantity {
                low: q.value - hypot(below, change),
                high: q.value + hypot(above, change),
                ..q
            })
        };
        let of = |measure: Measure| {
            let growth = self.growth(measure)?;
            let value = growth.value(theta);
            let (_, sd) = growth.minutes(value, celsius, activity.value)?;
            let half = growth.slope(theta) * theta * hypot(growth.quantile * sd, by_activity);
            Some((measure, Quantity::around(value, half)))
        };
        let wanted = Wanted {
            measure: Measure::default(),
            contrast: 0.0,
            celsius,
            activity: activity.value,
            extrapolate,
        };
        Ok(Developed {
            effective_minutes: theta,
            exposure_index: over(&|theta| self.exposure_index(theta)),
            base_plus_fog: over(&|theta| self.base_plus_fog(theta)),
            measures: Measure::ALL.into_iter().filter_map(of).collect(),
            notes: self.notes_on(&wanted, theta, minutes.get(), (low, high), outside),
        })
    }

    /// How far outside the calibrated temperatures one is, in °C; not positive inside.
    fn outside(&self, celsius: Celsius, extrapolate: bool) -> Result<f64, Unreachable> {
        let (low, high) = self.temperatures();
        let celsius = celsius.get();
        let outside = (low - celsius).max(celsius - high);
        match outside > TEMPERATURE_LIMIT && !extrapolate {
            true => Err(Unreachable::Temperature { celsius, limit: TEMPERATURE_LIMIT, low, high }),
            false => Ok(outside),
        }
    }

    /// Lowest and highest temperature of the strips that have a curve, in °C.
    #[must_use]
    pub fn temperatures(&self) -> (f64, f64) {
        let usable = self.strips.iter().filter(|s| s.result.is_ok());
        let all = usable.filter_map(|s| Some(s.strip.celsius?.get()));
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), c| (l.min(c), h.max(c)))
    }

    /// How long to develop for what is wanted.
    ///
    /// # Errors
    /// [`Unreachable`] where this pairing does not show it or cannot give it.
    pub fn adjust(&self, wanted: &Wanted) -> Result<Adjusted, Unreachable> {
        let measure = wanted.measure;
        let growth = self.growth(measure).ok_or(Unreachable::NoMeasure { measure })?;
        let (low, high) = growth.range();
        let reach = reach(wanted.extrapolate);
        let theta = growth
            .effective_minutes(wanted.contrast)
            .filter(|t| (low / reach..=high * reach).contains(t));
        let Some((theta, (minutes, sd))) = theta.and_then(|t| {
            Some((t, growth.minutes(wanted.contrast, wanted.celsius, wanted.activity)?))
        }) else {
            let ends = [growth.value(low / reach), growth.value(high * reach)];
            let nearest = if (ends[0] - wanted.contrast).abs() < (ends[1] - wanted.contrast).abs() {
                ends[0]
            } else {
                ends[1]
            };
            return Err(Unreachable::Contrast {
                measure,
                wanted: wanted.contrast,
                nearest,
                limit: reach,
            });
        };
        let outside = self.outside(wanted.celsius, wanted.extrapolate)?;
        let extrapolated = !(low..=high).contains(&theta) || outside > 0.5;
        let (_, sd_reference) =
            growth.minutes(wanted.contrast, self.reference, 1.0).unwrap_or((theta, sd));
        let minutes = log_interval(minutes, growth.quantile * sd);
        Ok(Adjusted {
            notes: self.notes_on(wanted, theta, minutes.value, (low, high), outside),
            minutes,
            effective_minutes: log_interval(theta, growth.quantile * sd_reference),
            exposure_index: self.exposure_index(theta),
            base_plus_fog: self.base_plus_fog(theta),
            expected: self.expected(theta),
            extrapolated,
        })
    }

    /// Every measure that the strips show, after `theta` effective minutes.
    fn expected(&self, theta: f64) -> Vec<(Measure, Quantity)> {
        let of = |measure| Some((measure, self.growth(measure)?.quantity(theta)));
        Measure::ALL.into_iter().filter_map(of).collect()
    }

    /// What an assumed temperature law makes uncertain, and what one more strip would change; `None` where
    /// the strips determine the law.
    #[must_use]
    pub fn law_assumed(&self) -> Option<AdjustNote> {
        let law = self.law();
        let celsius = law.mean_celsius();
        let away = |degrees: f64| Celsius::new(celsius + degrees).map_or(0.0, |c| self.away(c));
        let each = law.quantile * away(1.0);
        law.energy_is_assumed().then(|| AdjustNote::LawAssumed {
            celsius,
            each_degree: each * law.energy_sd(),
            with_strip: each * law.energy_sd_with_strip(away(ANOTHER)),
        })
    }

    /// How many times faster a bath is 10 °C warmer.
    #[must_use]
    pub fn factor_per_ten_degrees(&self) -> Quantity {
        let law = self.law();
        let at = |away: f64| {
            factor_per_ten_degrees((law.energy() + away * law.quantile * law.energy_sd()).max(0.0))
        };
        Quantity { value: at(0.0), low: at(-1.0), high: at(1.0) }
    }

    /// Change of the log rate from the strips' mean temperature to `celsius`, for each kJ/mol.
    fn away(&self, celsius: Celsius) -> f64 {
        Celsius::new(self.law().mean_celsius()).map_or(0.0, |m| log_rate_per_energy(celsius, m))
    }

    /// Whether an answer at `celsius` rests on an assumed temperature law: the strips do not determine it,
    /// and were developed at another temperature.
    #[must_use]
    pub fn rests_on_assumed_law(&self, celsius: Celsius) -> bool {
        let law = self.law();
        law.energy_is_assumed() && (celsius.get() - law.mean_celsius()).abs() > 0.05
    }

    fn notes_on(
        &self,
        wanted: &Wanted,
        theta: f64,
        minutes: f64,
        (low, high): (f64, f64),
        outside: f64,
    ) -> Vec<AdjustNote> {
        let mut notes = Vec::new();
        if !(low..=high).contains(&theta) {
            notes.push(AdjustNote::OutsideTimes { minutes: theta, low, high });
        }
        if outside > 0.5 {
            let (low, high) = self.temperatures();
            notes.push(AdjustNote::OutsideTemperatures { low, high });
        }
        if self.rests_on_assumed_law(wanted.celsius) {
            notes.extend(self.law_assumed());
        }
        if minutes < SHORTEST {
            notes.push(AdjustNote::Short);
        }
        notes
    }
}
