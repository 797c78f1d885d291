//! How far the axes reach.

use super::{IsoTriangle, StripCurve, drawable};

/// Smallest range across, in log exposure.
const LEAST_ACROSS: f64 = 1.8;
/// Smallest range up, in density.
const LEAST_UP: f64 = 1.2;
/// Room at the left edge for the marks of the unexposed film, in log exposure.
const UNEXPOSED_ROOM: f64 = 0.2;

/// The ranges of both axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Extent {
    pub x: (f64, f64),
    pub y: (f64, f64),
}

impl Extent {
    /// Ranges that hold every strip with a small margin, ending on tenths.
    pub fn of(strips: &[StripCurve]) -> Self {
        let points: Vec<(f64, f64)> = strips.iter().flat_map(landmarks).collect();
        let densities = points.iter().map(|p| p.1).chain(strips.iter().flat_map(lone_densities));
        let (mut left, right) = bounds(points.iter().map(|p| p.0)).unwrap_or((0.0, 0.0));
        let (lowest, highest) = bounds(densities).unwrap_or((0.1, 0.1));
        if strips.iter().any(|s| s.unexposed_densities().next().is_some()) {
            left -= UNEXPOSED_ROOM;
        }
        let bottom = if lowest < 0.02 { tenth_below(lowest - 0.04) } else { 0.0 };
        let top = tenth_above(highest + 0.06).max(bottom + LEAST_UP);
        let x = (tenth_below(left - 0.06), tenth_above(right + 0.06));
        Self { x: widened(x, LEAST_ACROSS), y: (bottom, top) }
    }

    /// The extent with at least this range across.
    pub fn at_least_across(self, least: f64) -> Self {
        Self { x: widened(self.x, least), ..self }
    }
}

/// Everything of a strip that must be in sight and has both coordinates.
fn landmarks(strip: &StripCurve) -> Vec<(f64, f64)> {
    let mut points = strip.readings(false);
    points.extend(strip.readings(true));
    points.extend(strip.line().filter(|(x, _)| x.is_finite()));
    points.extend(strip.speed());
    if let Some(mark) = strip.chord() {
        points.extend([mark.chord.origin, mark.chord.near, mark.chord.far]);
    }
    if let Some(IsoTriangle { m: (x, d), .. }) = strip.triangle() {
        points.extend([(x, d), (x + 1.30, d + 0.85)].into_iter().filter_map(drawable));
    }
    points
}

fn lone_densities(strip: &StripCurve) -> Vec<f64> {
    strip.unexposed_densities().chain(strip.fog()).collect()
}

fn bounds(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.fold(None, |so_far, v| match so_far {
        None => Some((v, v)),
        Some((low, high)) => Some((low.min(v), high.max(v))),
    })
}

fn widened((from, to): (f64, f64), least: f64) -> (f64, f64) {
    let lacking = (least - (to - from)).max(0.0);
    (from - lacking / 2.0, to + lacking / 2.0)
}

fn tenth_below(v: f64) -> f64 {
    (v * 10.0).floor() / 10.0
}

fn tenth_above(v: f64) -> f64 {
    (v * 10.0).ceil() / 10.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_to_show_still_has_axes() {
        let extent = Extent::of(&[]);
        assert!(extent.x.1 - extent.x.0 >= LEAST_ACROSS - 1e-9);
        assert!(extent.y.1 - extent.y.0 >= LEAST_UP - 1e-9);
    }

    #[test]
    fn a_negative_reading_is_in_sight() {
        let strip = StripCurve { unexposed: vec![-0.03], ..StripCurve::default() };
        assert!(Extent::of(&[strip]).y.0 <= -0.03);
    }
}
