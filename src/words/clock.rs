//! Times as a darkroom clock has them.

use super::NOTHING;
use crate::units::Minutes;

/// Below this, in **seconds**, times are rounded to 5 s; from here on, to 15 s.
const FINE_BELOW: f64 = 600.0;

/// Minutes as `7:30`, to the second. Hours stay minutes: `75:00`; see [`duration`].
#[must_use]
pub fn clock(minutes: f64) -> String {
    let seconds = (minutes.abs() * 60.0).round();
    if !seconds.is_finite() {
        return NOTHING.to_owned();
    }
    let sign = if minutes < 0.0 && seconds > 0.0 { "−" } else { "" };
    format!("{sign}{}:{:02}", (seconds / 60.0).floor(), seconds % 60.0)
}

/// Seconds as `1:50`, or from an hour on as `2:00:00`.
#[must_use]
pub fn duration(seconds: u64) -> String {
    let (minutes, seconds) = (seconds / 60, seconds % 60);
    match minutes / 60 {
        0 => format!("{minutes}:{seconds:02}"),
        hours => format!("{hours}:{:02}:{seconds:02}", minutes % 60),
    }
}

/// A development time rounded to what a person can keep: to 5 s below 10 minutes, to 15 s from there
/// on. In **seconds**; `None` for what cannot be a development time.
///
/// A time that rounds to nothing is given as 5 s.
///
/// ```
/// use wedgebook::words::rounded_seconds;
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

/// A development time as minutes and seconds, rounded by [`rounded_seconds`]; a dash for what cannot
/// be a development time.
///
/// ```
/// use wedgebook::words::rounded_clock;
///
/// assert_eq!(rounded_clock(6.79), "6:45");
/// assert_eq!(rounded_clock(12.31), "12:15");
/// ```
#[must_use]
pub fn rounded_clock(minutes: f64) -> String {
    rounded_seconds(minutes).map_or_else(
        || NOTHING.to_owned(),
        |seconds| format!("{}:{:02}", seconds / 60, seconds % 60),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_what_a_clock_shows() {
        let shown = [0.01, 3.96, 6.79, 9.97, 10.06, 10.2, 75.0].map(rounded_clock);
        assert_eq!(shown, ["0:05", "4:00", "6:45", "10:00", "10:00", "10:15", "75:00"]);
        assert_eq!([7.5, 0.999_9, -0.5].map(clock), ["7:30", "1:00", "−0:30"]);
        assert_eq!([50, 110, 3599, 7200].map(duration), ["0:50", "1:50", "59:59", "2:00:00"]);
    }

    #[test]
    fn what_is_no_time_is_a_dash() {
        for minutes in [0.0, -3.0, f64::NAN, f64::INFINITY, 1e9] {
            assert_eq!(rounded_clock(minutes), NOTHING, "{minutes}");
        }
        assert_eq!(clock(f64::NAN), NOTHING);
    }
}
