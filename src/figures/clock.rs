//! Development times as a darkroom clock has them.

use crate::units::Minutes;

/// Below this, times are rounded to 5 s; from here on, to 15 s.
const FINE_BELOW: f64 = 600.0;

/// A development time rounded to what a person can keep: to 5 s below 10 minutes, to 15 s above.
/// In seconds; `None` for what cannot be a development time.
///
/// A time that rounds to nothing is given as 5 s.
///
/// ```
/// use wedgebook::figures::rounded_seconds;
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

/// A development time as minutes and seconds, rounded by [`rounded_seconds`].
#[must_use]
pub(super) fn clock(minutes: f64) -> Option<String> {
    let seconds = rounded_seconds(minutes)?;
    Some(format!("{}:{:02}", seconds / 60, seconds % 60))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_what_a_clock_shows() {
        let shown = [0.01, 3.96, 6.79, 9.97, 10.06, 10.2, 75.0].map(clock);
        let wanted = ["0:05", "4:00", "6:45", "10:00", "10:00", "10:15", "75:00"];
        assert_eq!(shown, wanted.map(|w| Some(w.to_owned())));
    }

    #[test]
    fn what_is_no_time_is_none() {
        for minutes in [0.0, -3.0, f64::NAN, f64::INFINITY, 1e9] {
            assert_eq!(clock(minutes), None, "{minutes}");
        }
    }
}
