//! How far the axes reach.

use super::PaperCurve;
use crate::figures::chart::{Ticks, bounds};

/// Smallest ranges across and up.
const LEAST: (f64, f64) = (1.8, 1.6);
/// Largest plot in page units.
const MOST: (f64, f64) = (540.0, 480.0);
/// Room at the left edge for the marks of the unexposed paper, in log exposure.
const UNEXPOSED_ROOM: f64 = 0.15;
/// Room above the curves, in density; more where the bar of the range stands there.
const ABOVE: (f64, f64) = (0.12, 0.32);

/// The ranges of both axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Extent {
    pub x: (f64, f64),
    pub y: (f64, f64),
}

impl Extent {
    /// Ranges that hold every strip with a small margin, ending on tenths.
    pub fn of(papers: &[PaperCurve]) -> Self {
        let points: Vec<(f64, f64)> = papers.iter().flat_map(landmarks).collect();
        let lone = papers.iter().flat_map(|p| p.unexposed().chain(p.ends().into_iter().flatten()));
        let (mut left, right) = bounds(points.iter().map(|p| p.0)).unwrap_or((0.0, 0.0));
        let (lowest, highest) =
            bounds(points.iter().map(|p| p.1).chain(lone)).unwrap_or((0.0, 0.0));
        if papers.iter().any(|p| p.unexposed().next().is_some()) {
            left -= UNEXPOSED_ROOM;
        }
        let room = if papers.len() == 1 { ABOVE.1 } else { ABOVE.0 };
        let below = |v: f64| (v * 10.0).floor() / 10.0;
        let above = |v: f64| (v * 10.0).ceil() / 10.0;
        let bottom = if lowest < 0.0 { below(lowest - 0.05) } else { 0.0 };
        let x = (below(left - 0.05), above(right + 0.05));
        let lacking = (LEAST.0 - (x.1 - x.0)).max(0.0) / 2.0;
        Self {
            x: (x.0 - lacking, x.1 + lacking),
            y: (bottom, above(highest + room).max(bottom + LEAST.1)),
        }
    }

    /// Size of the plot: equal scales.
    pub fn size(&self) -> (f64, f64) {
        let (dx, dy) = (self.x.1 - self.x.0, self.y.1 - self.y.0);
        let unit = (MOST.0 / dx).min(MOST.1 / dy);
        (unit * dx, unit * dy)
    }

    pub fn ticks(&self) -> (Ticks, Ticks) {
        let whole = |range: (f64, f64)| {
            let (size, span) = (self.size(), self.x.1 - self.x.0);
            // Labels half a unit apart need some forty page units.
            if 0.5 * size.0 / span < 40.0 { Ticks::nice(range, 6) } else { super::ticks(range) }
        };
        (whole(self.x), whole(self.y))
    }
}

/// Everything that must be in sight and has both coordinates.
fn landmarks(paper: &PaperCurve) -> Vec<(f64, f64)> {
    let mut points = paper.readings(false);
    points.extend(paper.readings(true));
    points.extend(paper.line().filter(|(x, _)| x.is_finite()));
    points.extend(paper.marks().into_iter().flatten());
    points
}
