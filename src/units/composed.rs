//! Quantities that are typed in a form of their own: seconds as minutes and seconds, two sides of a
//! frame.

use super::bounds::{Bounds, NotAQuantity};
use super::typed::{minutes_and_seconds, number};
use std::str::FromStr;

/// Time in which fixer clears film, in **seconds**; typed as 55 or 0:55.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct ClearingSeconds(f64);

impl ClearingSeconds {
    /// What a value may be.
    pub const BOUNDS: Bounds = Bounds::above_zero("a clearing time in seconds", 3600.0);
}

impl ClearingSeconds {
    /// The bare number.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }
}

impl From<ClearingSeconds> for f64 {
    fn from(seconds: ClearingSeconds) -> f64 {
        seconds.0
    }
}

impl FromStr for ClearingSeconds {
    type Err = NotAQuantity;

    fn from_str(text: &str) -> Result<Self, NotAQuantity> {
        let bare = text.trim();
        let time = minutes_and_seconds(bare).map(|minutes| (minutes * 60.0).round());
        let value = time.or_else(|| number(bare, true).ok());
        value.filter(|value| Self::BOUNDS.contains(*value)).map(Self).ok_or_else(|| NotAQuantity {
            found: text.to_owned(),
            bounds: Self::BOUNDS,
            is_time: true,
        })
    }
}

/// Length and width of a frame in **millimetres**; typed as 36x24.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrameSize {
    /// Along the film.
    pub length: f64,
    /// Across the film.
    pub width: f64,
}

impl FrameSize {
    /// What each side may be.
    pub const SIDE: Bounds = Bounds::new("a side of a frame in mm", 1.0, 500.0);
}

/// Text that is no size of a frame.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{found:?} is not a frame's size: write length by width in mm, as 36x24")]
pub struct NotAFrameSize {
    /// The text.
    pub found: String,
}

impl FromStr for FrameSize {
    type Err = NotAFrameSize;

    fn from_str(text: &str) -> Result<Self, NotAFrameSize> {
        let side = |text: &str| {
            let value = number(text.trim(), true).ok()?;
            Self::SIDE.contains(value).then_some(value)
        };
        text.split_once(['x', 'X', '×'])
            .and_then(|(length, width)| Some(Self { length: side(length)?, width: side(width)? }))
            .ok_or_else(|| NotAFrameSize { found: text.to_owned() })
    }
}
