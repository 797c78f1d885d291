//! What a number may be, and the errors of one that is not.

use std::fmt;

/// What a number may be: its quantity with its article, and its bounds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// The quantity, as "a volume in ml".
    pub quantity: &'static str,
    /// The lowest value.
    pub low: f64,
    /// Whether `low` itself is refused.
    pub above: bool,
    /// The highest value.
    pub high: f64,
}

impl Bounds {
    /// From `low` to `high`, both allowed.
    #[must_use]
    pub const fn new(quantity: &'static str, low: f64, high: f64) -> Self {
        Self { quantity, low, above: false, high }
    }

    /// Above 0 and at most `high`.
    #[must_use]
    pub const fn above_zero(quantity: &'static str, high: f64) -> Self {
        Self { quantity, low: 0.0, above: true, high }
    }

    /// Whether `value` lies within; never for one that is not a number.
    #[must_use]
    pub fn contains(&self, value: f64) -> bool {
        (self.low..=self.high).contains(&value) && !(self.above && value == self.low)
    }

    /// `value`, if it lies within.
    ///
    /// # Errors
    /// [`OutOfBounds`] otherwise, and for a value that is not a number.
    pub fn checked(self, value: f64) -> Result<f64, OutOfBounds> {
        if self.contains(value) {
            Ok(value)
        } else {
            Err(OutOfBounds { found: value, bounds: self })
        }
    }
}

/// The range in words: "between 0.1 and 3", "above 0 and at most 1000".
impl fmt::Display for Bounds {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.above {
            true => write!(f, "above {} and at most {}", self.low, self.high),
            false => write!(f, "between {} and {}", self.low, self.high),
        }
    }
}

/// A number in a message: one of many digits by its power of ten.
fn short(value: f64) -> String {
    if value.abs() < 1e12 { value.to_string() } else { format!("{value:e}") }
}

/// A value outside the bounds of its quantity (or not a number).
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("{} is not {}: it must be {bounds}", short(*.found), .bounds.quantity)]
pub struct OutOfBounds {
    /// What was given.
    pub found: f64,
    /// What is allowed.
    pub bounds: Bounds,
}

/// Text that is not a quantity: not a number, or not within its bounds.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{found:?} is not {}: write a number {bounds}{}", .bounds.quantity, if *.is_time { ", or minutes and seconds as 9:30" } else { "" })]
pub struct NotAQuantity {
    /// The text.
    pub found: String,
    /// What is allowed.
    pub bounds: Bounds,
    /// Whether minutes and seconds are allowed too.
    pub is_time: bool,
}
