//! The scale of exposure indices: logarithmic, with the standard's thirds of a stop.

use crate::elementary::log10;
use crate::figures::chart::Ticks;
use crate::words::trimmed;

/// One third of a stop, in log10.
const THIRD: f64 = 0.1;
/// Smallest range: one stop and a third.
const LEAST: f64 = 4.0 * THIRD;
/// Closest that two labels may stand, in page units.
const LABEL_ROOM: f64 = 22.0;

/// The standard values of one decade, from 10 to 80: every third is a whole stop.
const DECADE: [f64; 10] = [10.0, 12.5, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 64.0, 80.0];

/// The standard value that lies this many thirds of a stop above 1; the table writes 3, 6 and 12
/// where the decade would have 3.2, 6.4 and 12.5.
fn standard(thirds: i32) -> f64 {
    match thirds {
        5 => 3.0,
        8 => 6.0,
        11 => 12.0,
        _ => DECADE[thirds.rem_euclid(10) as usize] * 10f64.powi(thirds.div_euclid(10) - 1),
    }
}

/// An exposure index as it is written: slow films have decimals.
pub(super) fn written(value: f64) -> String {
    let decimals = match value {
        v if v >= 10.0 => 0,
        v if v >= 1.0 => 1,
        _ => 2,
    };
    trimmed(value, decimals)
}

/// A range of log10 that ends on standard values and shows `low` to `high` with some room.
pub(super) fn range((low, high): (f64, f64)) -> (f64, f64) {
    let lacking = (LEAST - (high - low)).max(0.0) / 2.0;
    let from = ((low - lacking - 0.02) / THIRD).floor() as i32;
    let to = ((high + lacking + 0.02) / THIRD).ceil() as i32;
    // The nominal value may lie a little inside of its exact third.
    let (bottom, top) = (log10(standard(from)), log10(standard(to)));
    (bottom.min(low), top.max(high))
}

/// Ticks at the standard values: all of them with a label where there is room on an axis of this
/// length, else those of whole stops from 100, or of every so many stops.
pub(super) fn ticks((from, to): (f64, f64), length: f64) -> Ticks {
    let (first, last) = ((from / THIRD - 0.5) as i32 - 1, (to / THIRD + 0.5) as i32 + 1);
    let values: Vec<(i32, f64)> = (first..=last)
        .map(|n| (n, standard(n)))
        .filter(|(_, v)| (from - 1e-9..=to + 1e-9).contains(&log10(*v)))
        .collect();
    let most = (length / LABEL_ROOM).max(2.0) as usize;
    let steps = [1, 3, 6, 12, 30];
    let labelled = |step: &i32| values.iter().filter(|(n, _)| on(*n, *step)).count() <= most;
    let step = steps.into_iter().find(labelled).unwrap_or(60);
    let (major, minor): (Vec<_>, Vec<_>) = values.into_iter().partition(|(n, _)| on(*n, step));
    let named = |(_, v): (i32, f64)| (log10(v), written(v));
    Ticks::named(
        major.into_iter().map(named).collect(),
        minor.into_iter().map(|(_, v)| log10(v)).collect(),
    )
}

/// Whether a third is one of those `step` apart that 100 is among.
fn on(thirds: i32, step: i32) -> bool {
    (thirds - 20).rem_euclid(step) == 0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_thirds_have_their_standard_values() {
        let values: Vec<String> = (14..34).map(|n| written(standard(n))).collect();
        let wanted = [
            "25", "32", "40", "50", "64", "80", "100", "125", "160", "200", "250", "320", "400",
            "500", "640", "800", "1000", "1250", "1600", "2000",
        ];
        assert_eq!(values, wanted);
        let low = [0, 1, 3, 5, 8, 9, 10, 11, 12].map(|n| written(standard(n)));
        assert_eq!(low, ["1", "1.2", "2", "3", "6", "8", "10", "12", "16"]);
    }

    #[test]
    fn slow_films_have_decimals() {
        assert_eq!([0.62, 1.24, 6.0, 123.4].map(written), ["0.62", "1.2", "6", "123"]);
    }

    #[test]
    fn a_wide_range_has_whole_stops() {
        let ticks = ticks((log10(10f64), log10(6400f64)), 300.0);
        assert!(ticks.names.contains(&"100".to_owned()) && ticks.names.contains(&"200".to_owned()));
        assert!(!ticks.names.contains(&"125".to_owned()), "{:?}", ticks.names);
        assert!(ticks.minor.len() > 12);
    }

    #[test]
    fn the_range_holds_what_it_is_for() {
        for (low, high) in [(2.0, 2.0), (1.806, 2.1), (-2.0, 6.0)] {
            let (from, to) = range((low, high));
            assert!(from <= low && to >= high && to - from > 0.3, "{from} {to}");
        }
    }
}
