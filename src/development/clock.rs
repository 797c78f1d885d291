//! Development times as a darkroom clock has them.

use crate::units::Minutes;

/// Below this, times are rounded to 5 s; from here on, to 15 s.
const FINE_BELOW: f64 = 600.0;

/// Minutes as 7:30, to the second.
#[must_use]
pub fn clock(minutes: f64) -> String {
    let seconds = (minutes * 60.0).round();
    format!("{}:{:02}", (seconds / 60.0).floor(), seconds % 60.0)
}

/// A development time rounded to what a person can keep: to 5 s below 10 minutes, to 15 s above.
/// In seconds; `None` for what cannot be a development time.
///
/// A time that rounds to nothing is given as 5 s.
///
/// ```
/// use wedgebook::development::rounded_seconds;
///
/// assert_eq!(rounded_seconds(6.79), Some(405));
/// assert_eq!(rounded_seconds(12.31), Some(735));
/// assert_eq!(rounded_seconds(f64::NAN), None);
/// ```
#[must_use]
pub fn rounded_seconds(minutes: f64) -> Option<u32> {
    let seconds = Minutes::new(minutes).ok()?.get() * 60.0;
    let step = if seconds < FINE_BELOW { 5.0 } else { 15.0 };
    Some((step * (seconds / step).round().max(1.0)) as u32)
}
