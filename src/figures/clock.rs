//! Development times as a darkroom clock has them.

pub use crate::development::rounded_seconds;

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
