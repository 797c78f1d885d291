//! Marks for readings, told apart by shape, and styles for curves, told apart three ways.

use crate::elementary::{cos, hypot, sin};
use crate::figures::draw::{Colour, DASHES, OKABE_ITO, Paint, Path, Stroke};

/// The shape of a mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Marker {
    /// A circle.
    Circle,
    /// A circle with a cross in it: something is wrong here.
    CrossedCircle,
    /// A square.
    Square,
    /// A square on its corner.
    Diamond,
    /// A triangle that points up.
    TriangleUp,
    /// A triangle that points down.
    TriangleDown,
    /// A triangle that points left, to what is outside the edge.
    TriangleLeft,
    /// A triangle that points right.
    TriangleRight,
    /// A pentagon.
    Pentagon,
    /// A hexagon.
    Hexagon,
}

/// Corners of a regular polygon: how many, where the first stands (degrees anticlockwise from the
/// right), and the radius that gives it about the area of a circle of radius 1.
const fn corners(marker: Marker) -> Option<(u32, f64, f64)> {
    match marker {
        Marker::Circle | Marker::CrossedCircle => None,
        Marker::Square => Some((4, 45.0, 1.25)),
        Marker::Diamond => Some((4, 90.0, 1.25)),
        Marker::TriangleUp => Some((3, 90.0, 1.5)),
        Marker::TriangleDown => Some((3, 270.0, 1.5)),
        Marker::TriangleLeft => Some((3, 180.0, 1.5)),
        Marker::TriangleRight => Some((3, 0.0, 1.5)),
        Marker::Pentagon => Some((5, 90.0, 1.15)),
        Marker::Hexagon => Some((6, 0.0, 1.1)),
    }
}

impl Marker {
    /// Adds the mark to a path. `radius` is that of a circle of the same area, in page units.
    pub fn add_to(self, path: &mut Path, (x, y): (f64, f64), radius: f64) {
        if let Some((count, first, stretch)) = corners(self) {
            let reach = radius * stretch;
            path.add_polygon((0..count).map(|n| {
                let angle = (first + 360.0 * f64::from(n) / f64::from(count)).to_radians();
                (x + reach * cos(angle), y - reach * sin(angle))
            }));
            return;
        }
        path.add_circle((x, y), radius);
        if self == Self::CrossedCircle {
            let d = radius * std::f64::consts::FRAC_1_SQRT_2;
            path.add_line([(x - d, y - d), (x + d, y + d)]);
            path.add_line([(x - d, y + d), (x + d, y - d)]);
        }
    }

    /// One path with the mark at every position.
    #[must_use]
    pub fn path(self, positions: impl IntoIterator<Item = (f64, f64)>, radius: f64) -> Path {
        let mut path = Path::default();
        for at in positions {
            self.add_to(&mut path, at, radius);
        }
        path
    }
}

/// Half the length of the cap at the end of an interval bar.
const CAP: f64 = 3.0;

/// A bar between two points of the page, with a cap across each end.
#[must_use]
pub fn interval_bar(from: (f64, f64), to: (f64, f64)) -> Path {
    let mut bar = Path::default();
    add_interval_bar(&mut bar, from, to);
    bar
}

/// Adds such a bar to a path.
pub fn add_interval_bar(bar: &mut Path, from: (f64, f64), to: (f64, f64)) {
    bar.add_line([from, to]);
    let length = hypot(to.0 - from.0, to.1 - from.1);
    if length > 0.0 {
        let across = (CAP * (to.1 - from.1) / length, CAP * (to.0 - from.0) / length);
        for (x, y) in [from, to] {
            bar.add_line([(x - across.0, y + across.1), (x + across.0, y - across.1)]);
        }
    }
}

/// How one of several series is drawn: by colour, by dashes, by the shape of its marks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeriesStyle {
    /// Colour of line and marks.
    pub colour: Colour,
    /// Dashes of the line.
    pub dash: &'static [f64],
    /// Shape of the marks.
    pub marker: Marker,
}

const SHAPES: [Marker; 8] = [
    Marker::Circle,
    Marker::Square,
    Marker::TriangleUp,
    Marker::Diamond,
    Marker::TriangleDown,
    Marker::Pentagon,
    Marker::TriangleRight,
    Marker::Hexagon,
];

impl SeriesStyle {
    /// How many series are distinct.
    pub const COUNT: usize = OKABE_ITO.len();

    /// The style of the series with this place in the order, from 0. Past [`Self::COUNT`] the
    /// colours begin again with other dashes and shapes.
    #[must_use]
    pub fn nth(place: usize) -> Self {
        let (within, round) = (place % Self::COUNT, place / Self::COUNT);
        let shifted = (within + round) % Self::COUNT;
        Self { colour: OKABE_ITO[within], dash: DASHES[shifted], marker: SHAPES[shifted] }
    }

    /// The line, at a width in page units.
    #[must_use]
    pub const fn line(&self, width: f64) -> Stroke {
        Stroke::solid(self.colour, width).dashed(self.dash)
    }

    /// The paint of open marks.
    #[must_use]
    pub const fn open_mark(&self, width: f64) -> Paint {
        Paint::open(Stroke::solid(self.colour, width))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_styles_differ_in_every_respect() {
        for a in 0..SeriesStyle::COUNT {
            for b in 0..a {
                let (a, b) = (SeriesStyle::nth(a), SeriesStyle::nth(b));
                assert!(a.colour != b.colour && a.dash != b.dash && a.marker != b.marker);
            }
        }
        assert_ne!(SeriesStyle::nth(0), SeriesStyle::nth(SeriesStyle::COUNT));
    }
}
