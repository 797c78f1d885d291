//! The range of an axis from the values that it must show.

use super::scale::Ticks;

/// Ticks that a range is rounded to, about.
const STEPS: usize = 9;

/// The lowest and the highest of the values that are numbers.
#[must_use]
pub fn bounds(values: impl IntoIterator<Item = f64>) -> Option<(f64, f64)> {
    let finite = values.into_iter().filter(|v| v.is_finite());
    finite.fold(None, |so_far, v| match so_far {
        None => Some((v, v)),
        Some((low, high)) => Some((low.min(v), high.max(v))),
    })
}

/// A range with round ends that shows `low` to `high` with some room, and `least` at least.
///
/// It begins at 0 where `low` is nearer to 0 than this share of `high`.
#[must_use]
pub fn round_range((low, high): (f64, f64), least: f64, zero_share: f64) -> (f64, f64) {
    let lacking = (least - (high - low)).max(0.0);
    let from_zero = low >= 0.0 && low <= zero_share * high;
    let room = 0.05 * (high - low).max(least);
    let (from, to) = if from_zero {
        (0.0, high + room.max(lacking - low))
    } else {
        (low - lacking / 2.0 - room, high + lacking / 2.0 + room)
    };
    let [first, second, ..] = Ticks::nice((from, to), STEPS).major[..] else {
        return (from, to);
    };
    let step = (second - first) / 2.0;
    let rounded = ((from / step + 1e-6).floor() * step, (to / step - 1e-6).ceil() * step);
    // Nothing that is never negative gets an axis below 0.
    if low >= 0.0 { (rounded.0.max(0.0), rounded.1) } else { rounded }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zero_is_shown_where_it_is_near() {
        assert_eq!(round_range((4.0, 15.0), 1.0, 0.5), (0.0, 16.0));
        let (from, to) = round_range((20.0, 24.0), 1.0, 0.5);
        assert!((19.0..20.0).contains(&from) && (24.0..25.0).contains(&to), "{from} {to}");
    }

    #[test]
    fn one_value_has_a_range_about_it() {
        let (from, to) = round_range((0.6, 0.6), 0.2, 0.3);
        assert!(from < 0.55 && to > 0.65 && to - from < 0.4, "{from} {to}");
    }

    #[test]
    fn bounds_skip_what_is_no_number() {
        assert_eq!(bounds([f64::NAN, 3.0, f64::INFINITY, -1.0]), Some((-1.0, 3.0)));
        assert_eq!(bounds([f64::NAN]), None);
    }
}
