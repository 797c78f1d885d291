//! Where a frame lies in the picture, and which of its sides is which.

use super::refusal::NoFrame;
use crate::picture::place::Quad;
use std::fmt;

/// How far the opening's shape may be from that of the frame.
const SHAPE: f64 = 0.05;

/// A side of a frame, as `evenness` names it: x runs along the film from the left side, y across it from the lower
/// edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Where x is 0.
    Left,
    /// Where y is 0.
    Lower,
    /// Where x is the frame's length.
    Right,
    /// Where y is the frame's width.
    Upper,
}

impl Side {
    /// All four, around the frame.
    pub const ALL: [Self; 4] = [Self::Left, Self::Lower, Self::Right, Self::Upper];
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Left => "left side",
            Self::Lower => "lower edge",
            Self::Right => "right side",
            Self::Upper => "upper edge",
        })
    }
}

/// How the frame lies in the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lying {
    /// The film runs from left to right: the frame's left side is that of the picture.
    Level,
    /// The film runs from top to bottom: the frame's left side is at the picture's top, its lower edge at the left.
    Upright,
    /// As the corners of a layout say: the first at the upper end of the left side, the second at its lower end.
    AsGiven,
}

/// Where a frame lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FramePlace {
    /// Its corners: upper left, lower left, lower right, upper right.
    pub area: Quad,
    /// How they were named.
    pub lying: Lying,
    /// Length along the film and width across it in **mm**.
    pub size: (f64, f64),
}

impl FramePlace {
    /// The frame in an opening that begins at the left.
    ///
    /// # Errors
    /// [`NoFrame::Shape`].
    pub fn in_opening(opening: &Quad, size: (f64, f64)) -> Result<Self, NoFrame> {
        let level = Self { area: level(opening), lying: Lying::Level, size };
        let [a, b, c, d] = level.area.0;
        let upright = Self { area: Quad([d, a, b, c]), lying: Lying::Upright, size };
        level.checked().or_else(|why| upright.checked().map_err(|_| why))
    }

    /// The frame between corners that a person gave.
    ///
    /// # Errors
    /// [`NoFrame::Shape`].
    pub fn between(corners: &Quad, size: (f64, f64)) -> Result<Self, NoFrame> {
        Self { area: *corners, lying: Lying::AsGiven, size }.checked()
    }

    fn checked(self) -> Result<Self, NoFrame> {
        let (length, width) = self.size;
        let (found, asked) = (self.area.length() / self.area.breadth(), length / width);
        match (found / asked).max(asked / found) <= 1.0 + SHAPE {
            true => Ok(self),
            false => Err(NoFrame::Shape { found: found.max(1.0 / found), size: self.size }),
        }
    }

    /// Pixels in a mm.
    #[must_use]
    pub fn pixels_per_mm(&self) -> f64 {
        let (length, width) = self.size;
        0.5 * (self.area.length() / length + self.area.breadth() / width)
    }

    /// The part of the picture between two places along and two across, in **mm** from the left side and the lower
    /// edge.
    #[must_use]
    pub fn part(&self, along: (f64, f64), across: (f64, f64)) -> Quad {
        let (length, width) = self.size;
        let (x, y) = (|mm: f64| mm / length, |mm: f64| 1.0 - mm / width);
        self.area.part((x(along.0), x(along.1)), (y(across.1), y(across.0)))
    }

    /// The point of the picture at a place in **mm** from the left side and the lower edge.
    #[must_use]
    pub fn point(&self, x: f64, y: f64) -> (f64, f64) {
        self.area.at(x / self.size.0, 1.0 - y / self.size.1)
    }
}

/// The corners from the upper left one on, down the left side.
fn level(opening: &Quad) -> Quad {
    let corners = opening.0;
    let middle = opening.middle();
    let is_left = |k: usize| {
        let (p, q) = (corners[k], corners[(k + 1) % 4]);
        middle.0 - 0.5 * (p.0 + q.0)
    };
    let left = (0..4).max_by(|a, b| is_left(*a).total_cmp(&is_left(*b))).unwrap_or(0);
    let [a, b, c, d] = [0, 1, 2, 3].map(|k| corners[(left + k) % 4]);
    // Down the left side, and no mirror.
    if a.1 <= b.1 { Quad([a, b, c, d]) } else { Quad([b, a, d, c]) }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOX: Quad = Quad([(10.0, 20.0), (10.0, 120.0), (160.0, 121.0), (160.0, 21.0)]);

    #[test]
    fn x_runs_to_the_right_and_y_up() {
        let frame = FramePlace::in_opening(&BOX, (36.0, 24.0)).unwrap();
        assert_eq!(frame.lying, Lying::Level);
        let (x, y) = frame.point(0.0, 0.0);
        assert!((x - 10.0).abs() < 1e-9 && (y - 120.0).abs() < 1e-9, "{x} {y}");
        let part = frame.part((0.0, 12.0), (0.0, 6.0));
        assert!((part.middle().0 - 35.0).abs() < 0.1 && (part.middle().1 - 107.6).abs() < 0.2);
        assert!((frame.pixels_per_mm() - 4.17).abs() < 0.01);
    }

    #[test]
    fn corners_may_begin_anywhere_and_film_may_run_down() {
        let [a, b, c, d] = BOX.0;
        for named in [[b, c, d, a], [c, d, a, b], [d, c, b, a]] {
            let frame = FramePlace::in_opening(&Quad(named), (36.0, 24.0)).unwrap();
            assert_eq!(frame.area, BOX);
        }
        let frame = FramePlace::in_opening(&BOX, (24.0, 36.0)).unwrap();
        assert_eq!(frame.lying, Lying::Upright);
        // The picture turned to the left: its top is the left side, its left the lower edge.
        assert_eq!((frame.point(0.0, 36.0), frame.point(0.0, 0.0)), (d, a));
        assert!((frame.point(24.0, 0.0).1 - 120.0).abs() < 1e-9);
    }

    #[test]
    fn another_shape_is_refused() {
        let why = FramePlace::in_opening(&BOX, (56.0, 56.0)).unwrap_err();
        assert!(matches!(why, NoFrame::Shape { found, .. } if (found - 1.5).abs() < 0.01));
        assert!(FramePlace::between(&BOX, (24.0, 36.0)).is_err());
        assert!(FramePlace::in_opening(&BOX, (36.0, 23.1)).is_ok());
    }
}
