//! What to know about a verification.

use crate::measures::Quantity;
use crate::words::{number, signed};
use std::fmt;

/// What to know about a verification.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum VerifyNote {
    /// Fog and speed cannot be separated from the activity.
    ShiftsUnknown,
    /// The readings scatter more than they should.
    Scatter {
        /// How many times as far.
        times: f64,
    },
    /// Fog and speed have changed besides the activity.
    Besides {
        /// Base plus fog.
        fog: Quantity,
        /// Speed in log exposure; more is faster.
        speed_gain: Quantity,
    },
    /// More speed at equal contrast, which no bath gives.
    ExposedMore,
    /// A strip that was exposed less looks like lost speed.
    MaybeExposedLess,
    /// The shift is a whole number of steps of the tablet.
    WrongStep {
        /// How many.
        steps: f64,
    },
    /// The strip had more or less development than the pairing's strips.
    OutsideCalibration {
        /// Effective minutes of the strip.
        had: f64,
        /// Least of the pairing's strips.
        low: f64,
        /// Most of them.
        high: f64,
    },
    /// The temperature law is assumed, and the bath was not at the temperature of the pairing's strips.
    TemperatureAssumed,
}

impl fmt::Display for VerifyNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let off = |q: &Quantity| {
            let [value, low, high] = [q.value, q.low, q.high].map(|v| signed(v, 3));
            format!("{value} ({low} to {high})")
        };
        match self {
            Self::ShiftsUnknown => f.write_str(
                "whether fog and speed have changed besides the activity cannot be determined from so few readings",
            ),
            Self::Scatter { times } => write!(
                f,
                "the readings scatter about the pairing's curve {} times as far as usual: the intervals are widened to match",
                number(*times, 1)
            ),
            Self::Besides { fog, speed_gain } => write!(
                f,
                "besides the activity, at equal development: base plus fog {}, speed {} in log exposure",
                off(fog),
                off(speed_gain)
            ),
            Self::ExposedMore => f.write_str(
                "the strip has more speed at equal contrast than the pairing, which no bath gives: it had more exposure than the pairing's strips, or its exposures are wrong; speed is not judged by it",
            ),
            Self::MaybeExposedLess => f.write_str(
                "a strip with less exposure looks the same as lost speed: this strip cannot show which it is; check the light, its time and the tablet, and expose a second strip before you blame the bath",
            ),
            Self::WrongStep { steps } => write!(
                f,
                "the shift is {} of the tablet's steps: check that the first step is where the readings say",
                number(*steps, 0)
            ),
            Self::OutsideCalibration { had, low, high } => write!(
                f,
                "outside the calibrated development: the strip had {} effective minutes, and the pairing's strips go from {} to {}",
                number(*had, 1),
                number(*low, 1),
                number(*high, 1)
            ),
            Self::TemperatureAssumed => f.write_str(
                "the temperature law is assumed, because the pairing's strips have nearly one temperature: the farther the bath is from it, the less certain is the activity",
            ),
        }
    }
}
