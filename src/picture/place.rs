//! Places in a picture: points, and areas of four corners.

use crate::elementary::hypot;

/// A point of a picture, in **pixels**: column and row, whole numbers at the middles of pixels.
pub type Point = (f64, f64);

/// An area of four straight sides. The first two corners lie at the beginning of a strip, the other two at
/// its end: the corners are named in their order around the area.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quad(pub [Point; 4]);

impl Quad {
    /// The point at a share `s` along the strip, from its beginning, and a share `t` across it, from its first
    /// corner's side. Shares beyond 0 to 1 lie outside the area.
    #[must_use]
    pub fn at(&self, s: f64, t: f64) -> Point {
        let [a, b, c, d] = self.0;
        let mix = |p: Point, q: Point, u: f64| (p.0 + u * (q.0 - p.0), p.1 + u * (q.1 - p.1));
        mix(mix(a, b, t), mix(d, c, t), s)
    }

    /// The part between two shares along and two shares across.
    #[must_use]
    pub fn part(&self, along: (f64, f64), across: (f64, f64)) -> Self {
        let at = |s, t| self.at(s, t);
        Self([
            at(along.0, across.0),
            at(along.0, across.1),
            at(along.1, across.1),
            at(along.1, across.0),
        ])
    }

    /// The area with its beginning at its end.
    #[must_use]
    pub const fn turned(&self) -> Self {
        let [a, b, c, d] = self.0;
        Self([c, d, a, b])
    }

    /// The point in the middle.
    #[must_use]
    pub fn middle(&self) -> Point {
        self.at(0.5, 0.5)
    }

    /// The length along the middle, in **pixels**.
    #[must_use]
    pub fn length(&self) -> f64 {
        distance(self.at(0.0, 0.5), self.at(1.0, 0.5))
    }

    /// The breadth in the middle, in **pixels**.
    #[must_use]
    pub fn breadth(&self) -> f64 {
        distance(self.at(0.5, 0.0), self.at(0.5, 1.0))
    }

    /// The area in **pixels²**; negative where the corners go round the other way.
    #[must_use]
    pub fn area(&self) -> f64 {
        let cross = |p: Point, q: Point| p.0 * q.1 - q.0 * p.1;
        (0..4).map(|k| cross(self.0[k], self.0[(k + 1) % 4])).sum::<f64>() / 2.0
    }

    /// Whether the corners go round an area without a dent and without crossing sides.
    #[must_use]
    pub fn is_convex(&self) -> bool {
        let turn = |k: usize| {
            let [p, q, r] = [0, 1, 2].map(|n| self.0[(k + n) % 4]);
            (q.0 - p.0) * (r.1 - q.1) - (q.1 - p.1) * (r.0 - q.0)
        };
        let turns: Vec<f64> = (0..4).map(turn).collect();
        turns.iter().all(|t| *t > 0.0) || turns.iter().all(|t| *t < 0.0)
    }

    /// Whether a point lies inside.
    #[must_use]
    pub fn contains(&self, (x, y): Point) -> bool {
        let side = |k: usize| {
            let (p, q) = (self.0[k], self.0[(k + 1) % 4]);
            (q.0 - p.0) * (y - p.1) - (q.1 - p.1) * (x - p.0)
        };
        let sides: [f64; 4] = std::array::from_fn(side);
        sides.iter().all(|s| *s >= 0.0) || sides.iter().all(|s| *s <= 0.0)
    }

    /// The least and the greatest column and row.
    #[must_use]
    pub fn bounds(&self) -> (Point, Point) {
        let low = self.0.iter().fold((f64::MAX, f64::MAX), |m, p| (m.0.min(p.0), m.1.min(p.1)));
        let high = self.0.iter().fold((f64::MIN, f64::MIN), |m, p| (m.0.max(p.0), m.1.max(p.1)));
        (low, high)
    }

    /// Whether all corners lie in a picture of this size.
    #[must_use]
    pub fn is_within(&self, width: usize, height: usize) -> bool {
        let (low, high) = self.bounds();
        low.0 >= -0.5
            && low.1 >= -0.5
            && high.0 <= width as f64 - 0.5
            && high.1 <= height as f64 - 0.5
    }
}

/// The distance of two points.
#[must_use]
pub fn distance(p: Point, q: Point) -> f64 {
    hypot(p.0 - q.0, p.1 - q.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    const LYING: Quad = Quad([(10.0, 20.0), (10.0, 40.0), (110.0, 40.0), (110.0, 20.0)]);

    #[test]
    fn shares_run_along_and_across() {
        assert_eq!(LYING.at(0.0, 0.0), (10.0, 20.0));
        assert_eq!(LYING.at(1.0, 1.0), (110.0, 40.0));
        assert_eq!(LYING.at(0.25, 2.0), (35.0, 60.0));
        assert_eq!((LYING.length(), LYING.breadth()), (100.0, 20.0));
        assert_eq!(LYING.area().abs(), 2000.0);
        assert_eq!(LYING.turned().at(0.0, 0.0), (110.0, 40.0));
        let part = LYING.part((0.0, 0.5), (0.25, 0.75));
        assert_eq!(part.0, [(10.0, 25.0), (10.0, 35.0), (60.0, 35.0), (60.0, 25.0)]);
    }

    #[test]
    fn inside_and_outside() {
        for quad in [LYING, LYING.turned(), Quad([LYING.0[3], LYING.0[2], LYING.0[1], LYING.0[0]])]
        {
            assert!(quad.is_convex());
            assert!(quad.contains((60.0, 30.0)) && !quad.contains((60.0, 41.0)));
        }
        let crossed = Quad([LYING.0[0], LYING.0[2], LYING.0[1], LYING.0[3]]);
        assert!(!crossed.is_convex());
        assert!(LYING.is_within(111, 41) && !LYING.is_within(110, 41));
    }
}
