//! The openings of a black mask in the picture of an empty light box.

use super::Image;
use super::patch::median;
use super::place::{Point, Quad};
use crate::elementary::{atan2, cos, hypot, sin, sin_cos};
use std::fmt;

/// An opening has at least this share of the picture.
const LEAST_SHARE: f64 = 0.003;
/// An opening fills its oriented box by at least this share.
const FULL: f64 = 0.85;
/// An opening for a strip is so many times longer than broad, at least.
const LONG: f64 = 2.0;
/// The mask is darker than this share of the clear light.
const MASK: f64 = 0.2;
/// Lines across each side along which its place is taken.
const LINES: usize = 40;

/// Why no openings are found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoOpenings {
    /// The frame shows no two openings, or more.
    Number(usize),
    /// Nothing in the frame is black: there is no mask.
    NoMask,
    /// The frame is dark.
    Dark,
}

impl fmt::Display for NoOpenings {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let give = "give the corners of tablet and strip in a layout";
        match self {
            Self::Number(found) => write!(
                f,
                "the flat frame shows {found} long bright openings on black, and it takes two: {give}"
            ),
            Self::NoMask => write!(f, "the flat frame shows no black mask: {give}"),
            Self::Dark => f.write_str("the flat frame is all black: check its exposure"),
        }
    }
}

impl std::error::Error for NoOpenings {}

/// The two openings of the mask in a flat frame, the upper or left one first. Their sides lie at half height in
/// linear light. Each runs from left to right or from top to bottom.
///
/// # Errors
/// [`NoOpenings`].
pub fn openings(flat: &Image) -> Result<[Quad; 2], NoOpenings> {
    let mut found: Vec<Quad> = bright(flat)?
        .iter()
        .filter_map(|part| {
            let rough = boxed(&part.points);
            let is_long = rough.length() > LONG * rough.breadth();
            (is_long && part.area > FULL * rough.area().abs()).then(|| sharpened(flat, &rough))
        })
        .collect();
    found.sort_by(|a, b| {
        let (a, b) = (a.middle(), b.middle());
        (a.0 + a.1).total_cmp(&(b.0 + b.1))
    });
    <[Quad; 2]>::try_from(found).map_err(|found| NoOpenings::Number(found.len()))
}

/// All openings of the mask in a flat frame, of any shape with four straight sides: those that are long run as in
/// [`openings`]; the others begin at the left, at the side that is nearest to upright. The largest one goes first.
///
/// # Errors
/// [`NoOpenings`]; none of the number.
pub(super) fn all_openings(flat: &Image) -> Result<Vec<Quad>, NoOpenings> {
    let parts = bright(flat)?;
    let mut found: Vec<Quad> = parts
        .iter()
        .filter_map(|part| {
            let along = boxed(&part.points);
            let is_long = along.length() > LONG * along.breadth();
            let rough = if is_long { along } else { upright(&part.points) };
            (part.area > FULL * rough.area().abs()).then(|| sharpened(flat, &rough))
        })
        .collect();
    found.sort_by(|a, b| b.area().abs().total_cmp(&a.area().abs()));
    Ok(found)
}

/// A connected area that is bright.
struct Bright {
    points: Vec<Point>,
    /// In **pixels²**.
    area: f64,
}

/// The connected areas of a flat frame that are brighter than half of the light, without small ones.
fn bright(flat: &Image) -> Result<Vec<Bright>, NoOpenings> {
    let step = (flat.width.max(flat.height) / 1000).max(1);
    let (columns, rows) = (flat.width / step, flat.height / step);
    let coarse: Vec<f32> = (0..rows * columns)
        .map(|k| flat.at((k % columns) * step + step / 2, (k / columns) * step + step / 2))
        .collect();
    let mut sorted = coarse.clone();
    sorted.sort_unstable_by(f32::total_cmp);
    let of =
        |share: f64| sorted.get((share * sorted.len() as f64) as usize).copied().unwrap_or(0.0);
    let (black, bright) = (f64::from(of(0.05)), f64::from(of(0.98)));
    if !(bright > 0.005) {
        return Err(NoOpenings::Dark);
    }
    if black > MASK * bright {
        return Err(NoOpenings::NoMask);
    }
    let half = (0.5 * (black + bright)) as f32;
    let of_part = |part: Vec<usize>| {
        let to = |place: usize| (place * step + step / 2) as f64;
        let points: Vec<Point> = part.iter().map(|k| (to(k % columns), to(k / columns))).collect();
        Bright { area: (points.len() * step * step) as f64, points }
    };
    Ok(components(&coarse, columns, half)
        .into_iter()
        .filter(|part| part.len() as f64 > LEAST_SHARE * coarse.len() as f64)
        .map(of_part)
        .collect())
}

/// The connected places that are brighter than `half`.
fn components(light: &[f32], columns: usize, half: f32) -> Vec<Vec<usize>> {
    let mut taken: Vec<bool> = light.iter().map(|v| *v < half).collect();
    let mut all = Vec::new();
    for first in 0..light.len() {
        if taken[first] {
            continue;
        }
        taken[first] = true;
        let (mut part, mut next) = (vec![first], 0);
        while let Some(place) = part.get(next).copied() {
            next += 1;
            let column = place % columns;
            let neighbours = [
                (column > 0).then(|| place - 1),
                (column + 1 < columns).then_some(place + 1),
                place.checked_sub(columns),
                Some(place + columns).filter(|p| *p < light.len()),
            ];
            for neighbour in neighbours.into_iter().flatten() {
                if !std::mem::replace(&mut taken[neighbour], true) {
                    part.push(neighbour);
                }
            }
        }
        all.push(part);
    }
    all
}

/// The box around points along their main direction, which runs to the right or down.
fn boxed(points: &[Point]) -> Quad {
    let n = points.len() as f64;
    let mean = points.iter().fold((0.0, 0.0), |m, p| (m.0 + p.0 / n, m.1 + p.1 / n));
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for p in points {
        let (x, y) = (p.0 - mean.0, p.1 - mean.1);
        (xx, xy, yy) = (xx + x * x, xy + x * y, yy + y * y);
    }
    let angle = 0.5 * atan2(2.0 * xy, xx - yy);
    let (mut cos, mut sin) = (cos(angle), sin(angle));
    if cos + sin < 0.0 {
        (cos, sin) = (-cos, -sin);
    }
    let (mut low, mut high) = ((f64::MAX, f64::MAX), (f64::MIN, f64::MIN));
    for p in points {
        let (x, y) = (p.0 - mean.0, p.1 - mean.1);
        let (along, across) = (x * cos + y * sin, y * cos - x * sin);
        low = (low.0.min(along), low.1.min(across));
        high = (high.0.max(along), high.1.max(across));
    }
    let at = |along: f64, across: f64| {
        (mean.0 + along * cos - across * sin, mean.1 + along * sin + across * cos)
    };
    Quad([at(low.0, low.1), at(low.0, high.1), at(high.0, high.1), at(high.0, low.1)])
}

/// The box of least area around points whose sides are at most 45° from upright; it begins at the left.
fn upright(points: &[Point]) -> Quad {
    let at = |halves: i32| {
        let (sin, cos) = sin_cos((0.5 * f64::from(halves)).to_radians());
        let (mut low, mut high) = ((f64::MAX, f64::MAX), (f64::MIN, f64::MIN));
        for (x, y) in points {
            let (along, across) = (x * cos + y * sin, y * cos - x * sin);
            low = (low.0.min(along), low.1.min(across));
            high = (high.0.max(along), high.1.max(across));
        }
        let back =
            |along: f64, across: f64| (along * cos - across * sin, along * sin + across * cos);
        Quad([back(low.0, low.1), back(low.0, high.1), back(high.0, high.1), back(high.0, low.1)])
    };
    // Half a degree is enough: the sides are found exactly afterwards.
    (-90..=90)
        .map(at)
        .min_by(|a, b| a.area().abs().total_cmp(&b.area().abs()))
        .unwrap_or_else(|| boxed(points))
}

/// The same area with its sides where the light is half of that inside: a line for each side, and the corners where
/// they meet.
fn sharpened(flat: &Image, rough: &Quad) -> Quad {
    // Sides in the order of the corners: beginning, far side, end, near side.
    let sides: Option<Vec<Line>> = (0..4).map(|k| side(flat, rough, k)).collect();
    let Some(sides) = sides else { return *rough };
    let corner = |k: usize| sides[(k + 3) % 4].meets(&sides[k]);
    let corners: Option<Vec<Point>> = (0..4).map(corner).collect();
    match corners.as_deref() {
        Some([a, b, c, d]) => Quad([*a, *b, *c, *d]),
        _ => *rough,
    }
}

fn side(flat: &Image, area: &Quad, side: usize) -> Option<Line> {
    let (from, to) = (area.0[side], area.0[(side + 1) % 4]);
    let middle = area.middle();
    let length = super::place::distance(from, to);
    let normal = ((to.1 - from.1) / length, (from.0 - to.0) / length);
    let towards = (middle.0 - from.0) * normal.0 + (middle.1 - from.1) * normal.1;
    let inwards = if towards > 0.0 { normal } else { (-normal.0, -normal.1) };
    let reach = (0.35 * area.breadth()).clamp(4.0, 60.0);
    let points: Vec<Point> = (0..LINES)
        .filter_map(|k| {
            let u = 0.08 + 0.84 * (k as f64 + 0.5) / LINES as f64;
            let (x, y) = (from.0 + u * (to.0 - from.0), from.1 + u * (to.1 - from.1));
            let light = |way: f64| flat.between(x + way * inwards.0, y + way * inwards.1);
            let inside = light(reach)?;
            // From inside to outside, to half of the light inside.
            let mut way = reach;
            let mut before = inside;
            while way > -reach {
                way -= 0.5;
                let now = light(way)?;
                if now < 0.5 * inside {
                    let exact = way + 0.5 * (0.5 * inside - now) / (before - now);
                    return Some((x + exact * inwards.0, y + exact * inwards.1));
                }
                before = now;
            }
            None
        })
        .collect();
    Line::through(&points, (from, to))
}

/// A line: a point and a direction.
struct Line {
    at: Point,
    along: Point,
}

impl Line {
    /// Through points that lie near the line from one point to another: by the medians of their first and their
    /// second half.
    fn through(points: &[Point], (from, to): (Point, Point)) -> Option<Self> {
        if points.len() < LINES / 2 {
            return None;
        }
        let length = super::place::distance(from, to);
        let along = ((to.0 - from.0) / length, (to.1 - from.1) / length);
        let across = |p: &Point| (p.1 - from.1) * along.0 - (p.0 - from.0) * along.1;
        let way = |p: &Point| (p.0 - from.0) * along.0 + (p.1 - from.1) * along.1;
        let (first, second) = points.split_at(points.len() / 2);
        let middle = |half: &[Point]| {
            let mut off: Vec<f64> = half.iter().map(across).collect();
            let mut ways: Vec<f64> = half.iter().map(way).collect();
            (median(&mut ways), median(&mut off))
        };
        let ((w1, o1), (w2, o2)) = (middle(first), middle(second));
        let point = |w: f64, o: f64| {
            (from.0 + w * along.0 - o * along.1, from.1 + w * along.1 + o * along.0)
        };
        let (p, q) = (point(w1, o1), point(w2, o2));
        Some(Self { at: p, along: (q.0 - p.0, q.1 - p.1) })
    }

    fn meets(&self, other: &Self) -> Option<Point> {
        let cross = self.along.0 * other.along.1 - self.along.1 * other.along.0;
        let size = hypot(self.along.0, self.along.1) * hypot(other.along.0, other.along.1);
        if !(cross.abs() > 1e-3 * size) {
            return None;
        }
        let (x, y) = (other.at.0 - self.at.0, other.at.1 - self.at.1);
        let u = (x * other.along.1 - y * other.along.0) / cross;
        Some((self.at.0 + u * self.along.0, self.at.1 + u * self.along.1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frame(areas: &[Quad]) -> Image {
        let (width, height) = (600, 300);
        let light = (0..width * height)
            .map(|k| {
                let (x, y) = ((k % width) as f64, (k / width) as f64);
                let inside = areas.iter().any(|area| area.contains((x, y)));
                (if inside { 0.8 - 0.0003 * x } else { 0.01 }) as f32
            })
            .collect();
        Image { width, height, light, clipped_from: 1.0 }
    }

    const UPPER: Quad = Quad([(60.0, 60.0), (58.0, 110.0), (520.0, 130.0), (524.0, 78.0)]);
    const LOWER: Quad = Quad([(57.0, 170.0), (55.0, 220.0), (516.0, 242.0), (518.0, 192.0)]);

    #[test]
    fn two_openings_are_found_to_a_pixel() {
        let found = openings(&frame(&[LOWER, UPPER])).unwrap();
        for (found, truth) in found.iter().zip([UPPER, LOWER]) {
            for (a, b) in found.0.iter().zip(truth.0) {
                assert!(super::super::place::distance(*a, b) < 1.5, "{found:?} {truth:?}");
            }
        }
    }

    #[test]
    fn other_frames_are_refused() {
        assert_eq!(openings(&frame(&[UPPER])), Err(NoOpenings::Number(1)));
        assert_eq!(openings(&frame(&[])), Err(NoOpenings::NoMask));
        let all = Quad([(0.0, 0.0), (0.0, 300.0), (600.0, 300.0), (600.0, 0.0)]);
        assert_eq!(openings(&frame(&[all])), Err(NoOpenings::NoMask));
    }
}
