//! A field on a grid of nodes: where it is above a level, and where it crosses one.

use std::collections::{BTreeMap, HashMap, HashSet};

/// Values at the nodes of a regular grid, row by row from the lower left.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FieldGrid {
    /// Lowest and highest x.
    pub x: (f64, f64),
    /// Lowest and highest y.
    pub y: (f64, f64),
    /// Nodes in a row, at least two.
    pub columns: usize,
    /// The values; a whole number of rows, at least two.
    pub values: Vec<f64>,
}

impl FieldGrid {
    /// A grid with the values of a function.
    #[must_use]
    pub fn of(
        x: (f64, f64),
        y: (f64, f64),
        (columns, rows): (usize, usize),
        value: impl Fn(f64, f64) -> f64,
    ) -> Self {
        let at = |k: usize, n: usize, (low, high): (f64, f64)| {
            low + (high - low) * k as f64 / (n - 1).max(1) as f64
        };
        let node = |j: usize| (0..columns).map(move |i| (i, j));
        let values = (0..rows)
            .flat_map(node)
            .map(|(i, j)| value(at(i, columns, x), at(j, rows, y)))
            .collect();
        Self { x, y, columns, values }
    }

    fn rows(&self) -> usize {
        self.values.len().checked_div(self.columns).unwrap_or(0)
    }

    /// Whether it has cells with values that are numbers.
    fn is_whole(&self) -> bool {
        self.columns > 1 && self.rows() > 1 && self.values.iter().all(|v| v.is_finite())
    }

    /// The four corners of each cell, anticlockwise.
    fn cells(&self) -> impl Iterator<Item = [usize; 4]> + '_ {
        let (columns, rows) = if self.is_whole() { (self.columns, self.rows()) } else { (1, 1) };
        (0..rows - 1).flat_map(move |j| {
            (0..columns - 1).map(move |i| {
                let lower = j * columns + i;
                [lower, lower + 1, lower + 1 + columns, lower + columns]
            })
        })
    }

    /// Where a point is, in data.
    fn place(&self, point: Point, level: f64) -> (f64, f64) {
        let step = |(low, high): (f64, f64), n: usize| (high - low) / (n - 1).max(1) as f64;
        let (dx, dy) = (step(self.x, self.columns), step(self.y, self.rows()));
        let node = |n: usize| {
            let (i, j) = (n % self.columns, n / self.columns);
            (self.x.0 + dx * i as f64, self.y.0 + dy * j as f64)
        };
        match point {
            Point::Node(n) => node(n),
            Point::Side(from, to) => {
                let (a, b) = (node(from), node(to));
                let (low, high) = (self.values[from], self.values[to]);
                let share = (level - low) / (high - low);
                (a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1))
            }
        }
    }

    /// The sides of the shapes, one a cell, in which the field is at a level or above it.
    fn shapes(&self, level: f64) -> Vec<(Point, Point)> {
        let above = |n: usize| self.values[n] >= level;
        let mut sides = Vec::new();
        let mut shape = Vec::with_capacity(8);
        for corners in self.cells() {
            shape.clear();
            for (k, &from) in corners.iter().enumerate() {
                let to = corners[(k + 1) % 4];
                if above(from) {
                    shape.push(Point::Node(from));
                }
                if above(from) != above(to) {
                    // The same name from either of the two cells that share the side.
                    shape.push(Point::Side(from.min(to), from.max(to)));
                }
            }
            if shape.len() > 2 {
                let next = shape.iter().cycle().skip(1);
                sides.extend(shape.iter().copied().zip(next.copied()));
            }
        }
        sides
    }

    /// Closed outlines of the area where the field is at a level or above it; those of holes run the
    /// other way round.
    #[must_use]
    pub fn outlines(&self, level: f64) -> Vec<Vec<(f64, f64)>> {
        // Sides that two cells share, in opposite directions, are inside.
        let mut sides: HashSet<(Point, Point)> = HashSet::new();
        for (from, to) in self.shapes(level) {
            if !sides.remove(&(to, from)) {
                sides.insert((from, to));
            }
        }
        let lines = chained(sides);
        let outline = |line: Vec<Point>| {
            let places: Vec<(f64, f64)> = line.into_iter().map(|p| self.place(p, level)).collect();
            without_straight(&places)
        };
        lines.into_iter().map(outline).collect()
    }

    /// The lines where the field crosses a level.
    #[must_use]
    pub fn contours(&self, level: f64) -> Vec<Vec<(f64, f64)>> {
        let inner =
            |(from, to): &(Point, Point)| matches!((from, to), (Point::Side(..), Point::Side(..)));
        let sides = self.shapes(level).into_iter().filter(inner).collect();
        let line = |line: Vec<Point>| line.into_iter().map(|p| self.place(p, level)).collect();
        chained(sides).into_iter().map(line).collect()
    }
}

/// A point of an outline: a node, or where a side between two nodes crosses the level.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
enum Point {
    Node(usize),
    Side(usize, usize),
}

/// Directed pieces joined to lines as long as can be; a closed one ends where it begins.
fn chained(pieces: HashSet<(Point, Point)>) -> Vec<Vec<Point>> {
    let mut onward: BTreeMap<Point, Vec<Point>> = BTreeMap::new();
    let mut arrivals: HashMap<Point, usize> = HashMap::new();
    let mut sorted: Vec<(Point, Point)> = pieces.into_iter().collect();
    sorted.sort_unstable();
    for (from, to) in sorted {
        onward.entry(from).or_default().push(to);
        *arrivals.entry(to).or_default() += 1;
    }
    let mut lines = Vec::new();
    // Open lines first, from their beginnings; what is left is closed.
    let open: Vec<Point> = onward
        .iter()
        .filter(|(from, next)| next.len() > arrivals.get(from).copied().unwrap_or(0))
        .map(|(from, _)| *from)
        .collect();
    let closed: Vec<Point> = onward.keys().copied().collect();
    for start in open.into_iter().chain(closed) {
        while onward.get(&start).is_some_and(|next| !next.is_empty()) {
            let mut line = vec![start];
            let mut at = start;
            while let Some(next) = onward.get_mut(&at).and_then(Vec::pop) {
                line.push(next);
                at = next;
                if at == start {
                    break;
                }
            }
            lines.push(line);
        }
    }
    lines
}

/// The line without points on a straight piece between their neighbours.
fn without_straight(line: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut kept: Vec<(f64, f64)> = Vec::with_capacity(line.len());
    for (k, &point) in line.iter().enumerate() {
        if let (Some(before), Some(after)) = (kept.last(), line.get(k + 1)) {
            let (ux, uy) = (point.0 - before.0, point.1 - before.1);
            let (vx, vy) = (after.0 - point.0, after.1 - point.1);
            if (ux * vy - uy * vx).abs() < 1e-9 {
                continue;
            }
        }
        kept.push(point);
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::elementary::hypot;

    #[test]
    fn a_slope_is_cut_where_it_reaches_the_level() {
        let grid = FieldGrid::of((0.0, 4.0), (0.0, 2.0), (5, 3), |x, _| x);
        let contours = grid.contours(2.5);
        assert_eq!(contours.len(), 1);
        assert_eq!(contours[0].len(), 3);
        assert!(contours[0].iter().all(|p| (p.0 - 2.5).abs() < 1e-12));
        // Four corners and back to the first.
        let outlines = grid.outlines(2.5);
        assert_eq!(outlines.len(), 1);
        assert!(outlines[0].len() <= 6, "{outlines:?}");
        let area = |line: &[(f64, f64)]| {
            line.windows(2).map(|p| 0.5 * (p[0].0 * p[1].1 - p[1].0 * p[0].1)).sum::<f64>()
        };
        assert!((area(&outlines[0]) - 3.0).abs() < 1e-12);
        assert!((area(&grid.outlines(-1.0)[0]) - 8.0).abs() < 1e-12);
        assert!(grid.outlines(5.0).is_empty());
    }

    #[test]
    fn a_hole_runs_the_other_way_round() {
        let bowl = |x: f64, y: f64| hypot(x - 5.0, y - 5.0);
        let grid = FieldGrid::of((0.0, 10.0), (0.0, 10.0), (41, 41), bowl);
        let outlines = grid.outlines(3.0);
        assert_eq!(outlines.len(), 2);
        let areas: Vec<f64> = outlines
            .iter()
            .map(|l| l.windows(2).map(|p| 0.5 * (p[0].0 * p[1].1 - p[1].0 * p[0].1)).sum())
            .collect();
        assert!(areas.iter().any(|a| (a - 100.0).abs() < 1e-9), "{areas:?}");
        let hole = std::f64::consts::PI * 9.0;
        assert!(areas.iter().any(|a| (a + hole).abs() < 0.2), "{areas:?}");
        let ring = &grid.contours(3.0);
        assert_eq!(ring.len(), 1);
        assert_eq!(ring[0].first(), ring[0].last());
    }

    #[test]
    fn what_is_no_grid_draws_nothing() {
        let empty = FieldGrid::default();
        assert!(empty.outlines(0.0).is_empty() && empty.contours(0.0).is_empty());
        let gap = FieldGrid::of((0.0, 1.0), (0.0, 1.0), (2, 2), |_, _| f64::NAN);
        assert!(gap.outlines(0.0).is_empty());
    }
}
