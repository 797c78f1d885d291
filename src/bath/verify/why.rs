//! What a strip does not show, and what no time restores: every reason, with its numbers.

use crate::measures::Why;
use crate::units::OutOfBounds;
use crate::words::{number, signed};
use std::fmt;

/// Why a strip does not give something that is watched.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Unread {
    /// Too few steps for a curve of its own.
    NoCurve,
    /// The curve of the strip does not give it.
    Measure(Why),
    /// The strips of the pairing do not give its aim.
    NoAim,
    /// Too few readings to separate fog and speed from the activity.
    TooFewReadings,
    /// No step of the strip has an aim near the density wanted.
    NoStepNear {
        /// That density.
        density: f64,
    },
    /// The reading of its step contradicts the others and is not used.
    SuspectStep,
}

impl From<Why> for Unread {
    fn from(why: Why) -> Self {
        Self::Measure(why)
    }
}

impl fmt::Display for Unread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoCurve => f.write_str("the strip has too few steps for a curve of its own"),
            Self::Measure(why) => why.fmt(f),
            Self::NoAim => f.write_str("it cannot be determined from the strips of the pairing"),
            Self::TooFewReadings => {
                f.write_str("it cannot be determined from so few readings of a strip")
            }
            Self::NoStepNear { density } => write!(
                f,
                "no step of this strip has an aim near a density of {}",
                number(*density, 2)
            ),
            Self::SuspectStep => {
                f.write_str("the reading of its step contradicts the others and is not used")
            }
        }
    }
}

/// Why no time restores the aim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoTime {
    /// The curve has another shape than the film has at any development.
    Shape {
        /// Standard deviation of the readings about the nearest curve of the pairing.
        residual: f64,
    },
    /// Base plus fog or speed, or both, have shifted at equal development.
    Shifted {
        /// How far base plus fog is off, where that is beyond its limit.
        fog: Option<f64>,
        /// How much log exposure is lost in speed, where that is beyond its limit.
        speed_lost: Option<f64>,
    },
    /// The time would be no development time.
    OutOfBounds(OutOfBounds),
}

impl NoTime {
    /// Its code for programs.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Shape { .. } => "shape",
            Self::Shifted { fog: Some(_), speed_lost: Some(_) } => "fog_and_speed",
            Self::Shifted { fog: Some(_), .. } => "fog",
            Self::Shifted { .. } => "speed",
            Self::OutOfBounds(_) => "out_of_bounds",
        }
    }
}

impl fmt::Display for NoTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Shape { residual } => write!(
                f,
                "the film has no curve of this shape at any development (the readings lie {} from the nearest)",
                number(*residual, 3)
            ),
            Self::Shifted { fog, speed_lost } => {
                if let Some(off) = fog {
                    write!(f, "base plus fog is off by {} at equal development", signed(*off, 2))?;
                }
                if let Some(lost) = speed_lost {
                    let and = if fog.is_some() { ", and " } else { "" };
                    let lost = number(*lost, 2);
                    write!(f, "{and}{lost} of log exposure is lost in speed at equal contrast")?;
                }
                Ok(())
            }
            Self::OutOfBounds(why) => why.fmt(f),
        }
    }
}
