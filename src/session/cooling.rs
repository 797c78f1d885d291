//! How long a solution takes to another temperature, from two readings of the thermometer.

use crate::elementary::{exp, ln};

/// Readings nearer to each other than this many degrees tell no rate: a thermometer is read to
/// about 0.1 (common practice, no source).
const APART: f64 = 0.3;

/// A solution that takes on the temperature of what is around it, by Newton's law:
///
/// ```text
/// T(t) = S + (T0 − S)·exp(−k·t)
/// ```
///
/// S is the temperature of the surroundings, held to be constant; k is found from two readings, t
/// minutes apart: k = ln((T0 − S)/(T1 − S))/t. Temperatures are all in one unit, °C or °F; times are
/// in minutes.
///
/// # Source
/// The law and worked examples: OpenStax, College Algebra, Exponential and Logarithmic Models.
///
/// ```
/// use wedgebook::session::Cooling;
///
/// let cooling = Cooling::from_readings(26.0, 10.0, 24.5, 18.0)?;
/// let wait = cooling.minutes(24.5, 22.0)?;
/// assert!((wait - 23.4).abs() < 0.1);
/// # Ok::<(), wedgebook::session::CoolingError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cooling {
    rate: f64,
    surroundings: f64,
}

/// Why no time can be told.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum CoolingError {
    /// A number that is none, or a time that is not above 0.
    #[error("a temperature must be a number and the time between readings above 0")]
    NoNumber,
    /// Two readings that hardly differ.
    #[error(
        "the readings {first:.1} and {second:.1} are too near each other to tell a rate: wait until they are {APART} apart"
    )]
    TooNear {
        /// The earlier reading.
        first: f64,
        /// The later reading.
        second: f64,
    },
    /// A solution that leaves the temperature of its surroundings.
    #[error(
        "from {first:.1} to {second:.1} the solution does not approach its surroundings of {surroundings:.1}: check the three readings"
    )]
    Contradiction {
        /// The earlier reading.
        first: f64,
        /// The later reading.
        second: f64,
        /// The surroundings.
        surroundings: f64,
    },
    /// A temperature that is never reached.
    #[error(
        "surroundings of {surroundings:.1} never bring it from {from:.1} to {to:.1}: use a water bath that is {} than {to:.1}",
        if .to < .from { "colder" } else { "warmer" }
    )]
    NeverThere {
        /// Temperature now.
        from: f64,
        /// The temperature wanted.
        to: f64,
        /// The surroundings.
        surroundings: f64,
    },
}

impl Cooling {
    /// From a reading, the minutes to the next one, that one, and the surroundings.
    ///
    /// # Errors
    /// [`CoolingError`] where the readings tell no rate.
    pub fn from_readings(
        first: f64,
        minutes: f64,
        second: f64,
        surroundings: f64,
    ) -> Result<Self, CoolingError> {
        let numbers = [first, minutes, second, surroundings];
        if !numbers.iter().all(|v| v.is_finite()) || minutes <= 0.0 {
            return Err(CoolingError::NoNumber);
        }
        if (first - second).abs() < APART {
            return Err(CoolingError::TooNear { first, second });
        }
        let (before, after) = (first - surroundings, second - surroundings);
        let contradiction = CoolingError::Contradiction { first, second, surroundings };
        if !(after / before > 0.0 && after / before < 1.0) {
            return Err(contradiction);
        }
        Ok(Self { rate: ln(before / after) / minutes, surroundings })
    }

    /// The rate k, per minute.
    #[must_use]
    pub const fn rate(&self) -> f64 {
        self.rate
    }

    /// Temperature `minutes` after it was `now`.
    #[must_use]
    pub fn after(&self, now: f64, minutes: f64) -> f64 {
        self.surroundings + (now - self.surroundings) * exp(-self.rate * minutes)
    }

    /// Minutes from the temperature `now` to the temperature `wanted`; 0 if they are the same.
    ///
    /// # Errors
    /// [`CoolingError::NeverThere`] where the surroundings do not lead there.
    pub fn minutes(&self, now: f64, wanted: f64) -> Result<f64, CoolingError> {
        if now == wanted {
            return Ok(0.0);
        }
        let ratio = (now - self.surroundings) / (wanted - self.surroundings);
        if ratio.is_finite() && ratio >= 1.0 {
            return Ok(ln(ratio) / self.rate);
        }
        Err(CoolingError::NeverThere { from: now, to: wanted, surroundings: self.surroundings })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back() {
        for (first, second, surroundings) in [(26.0, 24.0, 17.0), (14.0, 15.5, 22.0)] {
            let cooling = Cooling::from_readings(first, 8.0, second, surroundings).unwrap();
            assert!((cooling.after(first, 8.0) - second).abs() < 1e-12);
            let wanted = (second + surroundings) / 2.0;
            let wait = cooling.minutes(second, wanted).unwrap();
            assert!(wait > 0.0 && (cooling.after(second, wait) - wanted).abs() < 1e-12);
            assert_eq!(cooling.minutes(second, second), Ok(0.0));
        }
    }

    #[test]
    fn what_tells_nothing_is_refused() {
        let told = |first, minutes, second, around| {
            Cooling::from_readings(first, minutes, second, around).unwrap_err()
        };
        assert_eq!(told(f64::NAN, 5.0, 20.0, 18.0), CoolingError::NoNumber);
        assert_eq!(told(24.0, 0.0, 22.0, 18.0), CoolingError::NoNumber);
        assert!(matches!(told(24.0, 5.0, 23.8, 18.0), CoolingError::TooNear { .. }));
        // Warmer with time in a cold room, beyond the room, and from the room's own temperature.
        for (first, second, around) in [(24.0, 25.0, 18.0), (24.0, 17.0, 18.0), (18.0, 17.0, 18.0)]
        {
            let error = told(first, 5.0, second, around);
            assert!(matches!(error, CoolingError::Contradiction { .. }), "{error}");
        }
    }

    #[test]
    fn surroundings_that_lead_elsewhere() {
        let cooling = Cooling::from_readings(26.0, 10.0, 25.0, 22.0).unwrap();
        for wanted in [22.0, 21.0, 26.0] {
            assert!(cooling.minutes(25.0, wanted).is_err(), "{wanted}");
        }
        let message = cooling.minutes(25.0, 21.0).unwrap_err().to_string();
        assert!(message.contains("a water bath that is colder than 21.0"), "{message}");
    }
}
