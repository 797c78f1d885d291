//! How the program writes numbers, times, temperatures, lists and counts: one rule for each, used by
//! every text, figure and message.

mod clock;
mod degrees;
mod list;
mod number;
mod suggestion;
mod visible;

pub use clock::{clock, duration, rounded_clock, rounded_seconds};
pub use degrees::{degrees, degrees_both, degrees_fahrenheit};
pub use list::{amount, counted, list_and, list_or, ranges, short, shown};
pub use number::{decimals_for, number, percent, signed, speed_decimals, trimmed, with_unit};
pub use suggestion::did_you_mean;
pub use visible::{acts, no_formula, visible};

/// What is written for a value that is not there or is not a number.
pub const NOTHING: &str = "–";
