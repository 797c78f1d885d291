//! A film in a developer of which one strip is known: its own development at other temperatures, and nothing
//! of other times.

use super::convert::TimeLaw;
use super::pairing::{Measure, PairingError};
use super::temperature::assumed_law;
use crate::curve::{Choice, Fitter};
use crate::elementary::{exp, hypot, ln};
use crate::measures::{Measured, Measures, Quantity, StripAnalysis};
use crate::readings::Strip;
use crate::units::{Celsius, Minutes};
use crate::words::{degrees, number, rounded_clock};
use std::cmp::Ordering;
use std::fmt;

/// A second strip is proposed this many times longer or shorter than the first (our choice: contrast
/// changes by about a fifth, several times what a strip's readings leave open).
const SECOND: f64 = 1.5;

/// A film in a developer, known from one strip.
#[derive(Debug)]
pub struct OneStrip {
    /// The strip with its curve.
    pub analysis: StripAnalysis,
    /// Its measures of contrast and its speed.
    measures: Measures,
    /// How long it was developed.
    pub minutes: Minutes,
    /// Temperature of its bath.
    pub celsius: Celsius,
}

impl OneStrip {
    /// Fits the strip's curve.
    ///
    /// # Errors
    /// [`PairingError`] where the strip has no time, no temperature or no curve.
    pub fn of(strip: Strip) -> Result<Self, PairingError> {
        let missing =
            |what, column| PairingError::Undated { strip: strip.name.clone(), what, column };
        let minutes = strip.minutes.ok_or_else(|| missing("time of development", "minutes"))?;
        let celsius = strip.celsius.ok_or_else(|| missing("temperature", "celsius"))?;
        let analysis = StripAnalysis::of(strip, Choice::Auto, &mut Fitter::new());
        let Some(measures) = analysis.measures().cloned() else {
            return Err(PairingError::TooFew { found: 0, needed: 2 });
        };
        Ok(Self { analysis, measures, minutes, celsius })
    }

    /// A measure of its contrast.
    pub fn contrast(&self, measure: Measure) -> &Measured {
        measure.of(&self.measures)
    }

    /// Its exposure index, 0.8/Hm, where exposures are absolute.
    #[must_use]
    pub fn exposure_index(&self) -> Option<Quantity> {
        let absolute = self.analysis.strip.scale == crate::readings::ExposureScale::Absolute;
        Some(self.measures.speed_point.as_ref().ok().filter(|_| absolute)?.speed())
    }

    /// Its base plus fog.
    #[must_use]
    pub fn base_plus_fog(&self) -> Option<Quantity> {
        self.measures.base_plus_fog.as_ref().ok().copied()
    }

    /// The time at `celsius` in a bath of `activity` that develops as much as the strip has, in **minutes**
    /// with its 95 % interval, by the assumed law of temperature:
    ///
    /// ```text
    /// t = t_strip·rate(T_strip)/(rate(T)·a)
    /// ```
    #[must_use]
    pub fn time_at(&self, celsius: Celsius, activity: &Quantity) -> Quantity {
        let at_full = TimeLaw::ASSUMED.time_at(celsius, self.minutes, self.celsius);
        let by_law = ln(at_full.high / at_full.value);
        let half = hypot(by_law, 0.5 * ln(activity.high / activity.low));
        let value = at_full.value / activity.value;
        Quantity { value, low: value * exp(-half), high: value * exp(half) }
    }

    /// Whether a contrast is less or more than the strip has; equal where it lies within the strip's
    /// interval. `None` where the strip shows no such measure.
    #[must_use]
    pub fn compared(&self, measure: Measure, contrast: f64) -> Option<Ordering> {
        let has = self.contrast(measure).as_ref().ok()?;
        Some(if contrast < has.low {
            Ordering::Less
        } else if contrast > has.high {
            Ordering::Greater
        } else {
            Ordering::Equal
        })
    }

    /// What one strip leaves open for a contrast that is wanted.
    #[must_use]
    pub fn notes(&self, measure: Measure, contrast: f64, celsius: Celsius) -> Vec<OneStripNote> {
        let minutes = self.minutes.get();
        let compared = self.compared(measure, contrast);
        let second = match compared {
            Some(Ordering::Less) => minutes / SECOND,
            _ => minutes * SECOND,
        };
        let mut notes = vec![OneStripNote::Only { minutes, celsius: self.celsius, second }];
        notes.extend(compared.map(|side| OneStripNote::Aim { measure, contrast, side }));
        if (celsius.get() - self.celsius.get()).abs() > 0.05 {
            notes.push(OneStripNote::LawAssumed);
        }
        notes
    }
}

/// What one strip leaves open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OneStripNote {
    /// There is one strip only.
    Only {
        /// Its time.
        minutes: f64,
        /// Its temperature.
        celsius: Celsius,
        /// Time of a second strip.
        second: f64,
    },
    /// How the aim lies to the strip's contrast.
    Aim {
        /// The measure.
        measure: Measure,
        /// The aim.
        contrast: f64,
        /// Where it lies.
        side: Ordering,
    },
    /// The law of temperature is assumed.
    LawAssumed,
}

impl fmt::Display for OneStripNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Only { minutes, celsius, second } => write!(
                f,
                "one strip only, developed for {} at {}: how contrast and speed change with time cannot be determined. A second strip, developed for about {} at the same temperature, shows it",
                rounded_clock(*minutes),
                degrees(celsius.get()),
                rounded_clock(*second)
            ),
            Self::Aim { measure, contrast, side } => {
                let (name, aim) = (measure.name(), number(*contrast, 3));
                match side {
                    Ordering::Equal => {
                        write!(f, "the aim, {name} {aim}, lies within what the strip has")
                    }
                    Ordering::Greater => write!(
                        f,
                        "the aim, {name} {aim}, is more than the strip has: film for it needs a longer time, and how much longer cannot be determined"
                    ),
                    Ordering::Less => write!(
                        f,
                        "the aim, {name} {aim}, is less than the strip has: film for it needs a shorter time, and how much shorter cannot be determined"
                    ),
                }
            }
            Self::LawAssumed => {
                write!(f, "{}; a second strip at another temperature makes it surer", assumed_law())
            }
        }
    }
}
