//! Outlines in page units (1 unit = 1/96 inch), y downwards.

use crate::elementary::{cos, sin, sin_cos, tan};

/// A rectangle of the page with its sides along the axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    /// Left edge.
    pub x: f64,
    /// Top edge.
    pub y: f64,
    /// Width, positive.
    pub width: f64,
    /// Height, positive.
    pub height: f64,
}

impl Rect {
    /// Right edge.
    #[must_use]
    pub fn right(&self) -> f64 {
        self.x + self.width
    }

    /// Bottom edge.
    #[must_use]
    pub fn bottom(&self) -> f64 {
        self.y + self.height
    }

    /// Whether the point lies inside or on the border.
    #[must_use]
    pub fn contains(&self, (x, y): (f64, f64)) -> bool {
        (self.x..=self.right()).contains(&x) && (self.y..=self.bottom()).contains(&y)
    }

    /// Which share of a piece of line lies inside or on the border, from and to, as shares of its
    /// length: what is left of it after each pair of edges has cut off its ends.
    #[must_use]
    pub fn share_of(&self, [from, to]: [(f64, f64); 2]) -> Option<(f64, f64)> {
        let (mut start, mut end) = (0.0_f64, 1.0_f64);
        let axes = [
            (from.0, to.0 - from.0, self.x, self.right()),
            (from.1, to.1 - from.1, self.y, self.bottom()),
        ];
        for (origin, step, low, high) in axes {
            if step == 0.0 {
                if !(low..=high).contains(&origin) {
                    return None;
                }
                continue;
            }
            let (enters, leaves) = ((low - origin) / step, (high - origin) / step);
            start = start.max(enters.min(leaves));
            end = end.min(enters.max(leaves));
        }
        (start <= end).then_some((start, end))
    }
}

/// One step of a [`Path`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// Lift the pen and set it down here.
    Move(f64, f64),
    /// Straight to here.
    Line(f64, f64),
    /// Cubic Bézier curve: first control point, second control point, end.
    Cubic(f64, f64, f64, f64, f64, f64),
    /// Straight back to the last [`Segment::Move`].
    Close,
}

/// An outline of any number of pieces. Every coordinate in it is finite.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Path {
    segments: Vec<Segment>,
}

impl Path {
    /// The steps in drawing order.
    #[must_use]
    pub fn segments(&self) -> &[Segment] {
        &self.segments
    }

    /// Whether there is nothing to draw.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.segments.is_empty()
    }

    /// Adds a step whose coordinates are finite.
    pub(super) fn push(&mut self, segment: Segment) {
        self.segments.push(segment);
    }

    /// The same outline with every point moved.
    pub(super) fn mapped(mut self, to: impl Fn((f64, f64)) -> (f64, f64)) -> Self {
        for segment in &mut self.segments {
            match segment {
                Segment::Move(x, y) | Segment::Line(x, y) => (*x, *y) = to((*x, *y)),
                Segment::Cubic(x1, y1, x2, y2, x, y) => {
                    (*x1, *y1) = to((*x1, *y1));
                    (*x2, *y2) = to((*x2, *y2));
                    (*x, *y) = to((*x, *y));
                }
                Segment::Close => {}
            }
        }
        self
    }

    /// Its pieces as lines through points, curves in eighths; a closed one ends where it begins.
    #[must_use]
    pub fn pieces(&self) -> Vec<Vec<(f64, f64)>> {
        let mut pieces: Vec<Vec<(f64, f64)>> = Vec::new();
        for segment in &self.segments {
            if let Segment::Move(x, y) = *segment {
                pieces.push(vec![(x, y)]);
            }
            let Some(piece) = pieces.last_mut() else { continue };
            let (first, (x0, y0)) = (piece[0], piece[piece.len() - 1]);
            match *segment {
                Segment::Move(..) => {}
                Segment::Line(x, y) => piece.push((x, y)),
                Segment::Cubic(x1, y1, x2, y2, x, y) => piece.extend((1..=8).map(|k| {
                    let t = f64::from(k) / 8.0;
                    let s = 1.0 - t;
                    let mix = |a, b, c, d| {
                        s * s * s * a + 3.0 * s * s * t * b + 3.0 * s * t * t * c + t * t * t * d
                    };
                    (mix(x0, x1, x2, x), mix(y0, y1, y2, y))
                })),
                Segment::Close => piece.push(first),
            }
        }
        pieces
    }

    /// An open line through the points. A point that is not finite breaks the line in two.
    #[must_use]
    pub fn line(points: impl IntoIterator<Item = (f64, f64)>) -> Self {
        let mut path = Self::default();
        path.add_line(points);
        path
    }

    /// A closed shape through those points that are finite.
    #[must_use]
    pub fn polygon(points: impl IntoIterator<Item = (f64, f64)>) -> Self {
        let mut path = Self::default();
        path.add_polygon(points);
        path
    }

    /// A rectangle.
    #[must_use]
    pub fn rect(r: Rect) -> Self {
        Self::polygon([(r.x, r.y), (r.right(), r.y), (r.right(), r.bottom()), (r.x, r.bottom())])
    }

    /// Adds an open line, as [`Path::line`].
    pub fn add_line(&mut self, points: impl IntoIterator<Item = (f64, f64)>) {
        let mut pen_down = false;
        for (x, y) in points {
            let drawable = x.is_finite() && y.is_finite();
            if drawable && pen_down {
                self.segments.push(Segment::Line(x, y));
            } else if drawable {
                self.segments.push(Segment::Move(x, y));
            }
            pen_down = drawable;
        }
    }

    /// Adds a closed shape, as [`Path::polygon`].
    pub fn add_polygon(&mut self, points: impl IntoIterator<Item = (f64, f64)>) {
        let start = self.segments.len();
        self.add_line(points.into_iter().filter(|(x, y)| x.is_finite() && y.is_finite()));
        if self.segments.len() > start {
            self.segments.push(Segment::Close);
        }
    }

    /// Adds a circle.
    pub fn add_circle(&mut self, centre: (f64, f64), radius: f64) {
        let start = self.segments.len();
        self.add_arc(centre, radius, 0.0, 360.0);
        if self.segments.len() > start {
            self.segments.push(Segment::Close);
        }
    }

    /// Adds an arc of a circle from one angle to another, in degrees anticlockwise from the right.
    pub fn add_arc(&mut self, (cx, cy): (f64, f64), radius: f64, from: f64, to: f64) {
        if ![cx, cy, radius, from, to].iter().all(|v| v.is_finite()) {
            return;
        }
        let pieces = ((to - from).abs() / 90.0).ceil().clamp(1.0, 8.0);
        let step = (to - from).to_radians() / pieces;
        let reach = 4.0 / 3.0 * tan(step / 4.0) * radius;
        let mut angle = from.to_radians();
        self.segments.push(Segment::Move(cx + radius * cos(angle), cy - radius * sin(angle)));
        for _ in 0..pieces as usize {
            let (s0, c0) = sin_cos(angle);
            angle += step;
            let (s1, c1) = sin_cos(angle);
            self.segments.push(Segment::Cubic(
                cx + radius * c0 - reach * s0,
                cy - radius * s0 - reach * c0,
                cx + radius * c1 + reach * s1,
                cy - radius * s1 + reach * c1,
                cx + radius * c1,
                cy - radius * s1,
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::elementary::hypot;

    #[test]
    fn a_gap_lifts_the_pen() {
        let path = Path::line([(0.0, 0.0), (1.0, 1.0), (f64::NAN, 2.0), (3.0, 3.0), (4.0, 4.0)]);
        let moves = path.segments().iter().filter(|s| matches!(s, Segment::Move(..))).count();
        assert_eq!((path.segments().len(), moves), (4, 2));
    }

    #[test]
    fn the_middle_of_a_quarter_arc_lies_on_the_circle() {
        let mut path = Path::default();
        path.add_arc((0.0, 0.0), 100.0, 0.0, 90.0);
        let [Segment::Move(x0, y0), Segment::Cubic(x1, y1, x2, y2, x3, y3)] = *path.segments()
        else {
            panic!("one move and one curve expected: {path:?}");
        };
        let (x, y) = ((x0 + 3.0 * x1 + 3.0 * x2 + x3) / 8.0, (y0 + 3.0 * y1 + 3.0 * y2 + y3) / 8.0);
        assert!((hypot(x, y) - 100.0).abs() < 0.03, "radius {}", hypot(x, y));
        assert!(x > 0.0 && y < 0.0, "a quarter from the right to the top");
    }

    #[test]
    fn nothing_that_is_not_finite_is_kept() {
        let mut path = Path::default();
        path.add_circle((f64::INFINITY, 0.0), 3.0);
        path.add_polygon([(f64::NAN, 0.0)]);
        assert!(path.is_empty());
    }
}
