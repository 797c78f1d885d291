//! The quantities of the trade as small types, each with the bounds outside which it is no such thing.
//!
//! A log exposure cannot go where a density is wanted. `new` refuses what cannot be; `get` unwraps
//! at the edge of a formula.

use std::fmt;

/// One stop on a log10 scale of exposure, log10(2) = 0.30103.
pub const STOP: f64 = std::f64::consts::LOG10_2;

/// A value outside the bounds of its quantity (or not a number).
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("{found} is not {quantity}: it must lie between {low} and {high}")]
pub struct OutOfBounds {
    /// The quantity with its article, as in "a density".
    pub quantity: &'static str,
    /// What was given.
    pub found: f64,
    /// The lowest value allowed.
    pub low: f64,
    /// The highest value allowed.
    pub high: f64,
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $words:literal, $low:expr, $high:expr) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// The lowest value that this quantity can have here.
            pub const LOWEST: f64 = $low;
            /// The highest value that this quantity can have here.
            pub const HIGHEST: f64 = $high;

            /// The quantity, if `value` lies between [`Self::LOWEST`] and [`Self::HIGHEST`].
            ///
            /// # Errors
            /// [`OutOfBounds`] otherwise, and for a value that is not a number.
            pub fn new(value: f64) -> Result<Self, OutOfBounds> {
                if ($low..=$high).contains(&value) {
                    Ok(Self(value))
                } else {
                    Err(OutOfBounds { quantity: $words, found: value, low: $low, high: $high })
                }
            }

            /// The bare number.
            #[must_use]
            pub const fn get(self) -> f64 {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }
    };
}

quantity! {
    /// Optical density, log10 of opacity. Slightly negative readings happen where the densitometer
    /// was zeroed on the film base; no densitometer reads beyond 6.
    Density, "a density", -0.5, 6.0
}
quantity! {
    /// log10 of an exposure, in lux seconds or relative to an unnamed one.
    LogExposure, "a log exposure", -12.0, 12.0
}
quantity! {
    /// A development time in **minutes**.
    Minutes, "a development time in minutes", 0.01, 1440.0
}
quantity! {
    /// A temperature of a bath in **degrees Celsius**: above freezing, below where gelatin melts.
    Celsius, "a temperature of a bath in °C", 0.0, 60.0
}
quantity! {
    /// A place on a frame in **millimetres** from its left side or its lower edge.
    Millimetres, "a place on a frame in mm", -500.0, 500.0
}
quantity! {
    /// Standard uncertainty of one density reading.
    DensitySigma, "a standard uncertainty of a density", 0.0001, 1.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bounds_are_inclusive_and_nan_is_refused() {
        assert_eq!(Density::new(6.0).unwrap().get(), 6.0);
        assert!(Density::new(6.000_001).is_err());
        assert!(Density::new(f64::NAN).is_err());
        assert!(Celsius::new(68.0).is_err(), "68 is a temperature in °F");
        assert!(Minutes::new(0.0).is_err());
    }

    #[test]
    fn message_names_quantity_and_bounds() {
        let message = Density::new(9.0).unwrap_err().to_string();
        assert_eq!(message, "9 is not a density: it must lie between -0.5 and 6");
    }
}
