//! How far the axes reach.

use super::{ContrastTimeFigure, possible};
use crate::figures::chart::{bounds, round_range};
use crate::units::Minutes;

/// Smallest range of times, in minutes, and of contrasts.
const LEAST: (f64, f64) = (4.0, 0.2);
/// How far an interval may widen the axis of contrasts, as a share of what the values take.
const INTERVAL_SHARE: f64 = 0.4;
/// An asymptote farther above the rest than this share of it does not widen the axis.
const ASYMPTOTE_SHARE: f64 = 0.6;

/// The ranges of both axes.
pub(super) struct Extent {
    pub x: (f64, f64),
    pub y: (f64, f64),
}

impl Extent {
    /// Ranges that show every strip, the curve and the aims.
    pub fn of(figure: &ContrastTimeFigure) -> Self {
        let strips = figure.drawn().map(|s| (s.minutes, s.contrast));
        let points: Vec<(f64, f64)> = strips.chain(figure.line()).collect();
        let times = figure.drawn_aims().filter_map(|aim| aim.minutes);
        let times = times.filter(|m| Minutes::new(*m).is_ok());
        let x = bounds(points.iter().map(|p| p.0).chain(times)).unwrap_or((1.0, 15.0));
        let aims = figure.drawn_aims().map(|aim| aim.contrast);
        let values = bounds(points.iter().map(|p| p.1).chain(aims)).unwrap_or((0.4, 0.8));
        let y = with_asymptote(with_intervals(values, figure), figure);
        Self { x: round_range(x, LEAST.0, 0.6), y: round_range(y, LEAST.1, 0.4) }
    }
}

/// The range widened to the ends of the intervals, as far as that leaves the values their room.
fn with_intervals((low, high): (f64, f64), figure: &ContrastTimeFigure) -> (f64, f64) {
    let strips = figure.drawn().flat_map(|s| [s.low, s.high]);
    let curve = figure.curve.iter().flat_map(|p| [p.low, p.high]);
    let ends = bounds(strips.chain(curve)).unwrap_or((low, high));
    let room = INTERVAL_SHARE * (high - low).max(LEAST.1);
    let from = if low >= 0.0 { 0.0 } else { low - room };
    (ends.0.clamp((low - room).max(from).min(low), low), ends.1.clamp(high, high + room))
}

fn with_asymptote((low, high): (f64, f64), figure: &ContrastTimeFigure) -> (f64, f64) {
    let near = |a: &f64| *a <= high + ASYMPTOTE_SHARE * high.abs();
    match figure.asymptote.and_then(possible).filter(near) {
        Some(asymptote) => (low.min(asymptote), high.max(asymptote)),
        None => (low, high),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::ContrastAt;

    fn strip(minutes: f64, contrast: f64, half: f64) -> ContrastAt {
        ContrastAt {
            minutes,
            contrast,
            low: contrast - half,
            high: contrast + half,
            ..ContrastAt::default()
        }
    }

    #[test]
    fn a_hopeless_interval_does_not_flatten_the_rest() {
        let figure = ContrastTimeFigure {
            strips: vec![
                strip(5.0, 0.5, 0.02),
                strip(9.0, 0.7, f64::INFINITY),
                strip(12.0, 0.8, 4.0),
            ],
            asymptote: Some(6.0),
            ..ContrastTimeFigure::default()
        };
        let Extent { x, y } = Extent::of(&figure);
        assert!(x.0 == 0.0 && x.1 >= 12.0 && x.1 < 15.0, "{x:?}");
        assert!(y.0 >= 0.0 && y.0 < 0.5 && y.1 > 0.8 && y.1 < 1.1, "{y:?}");
    }
}
