//! A field on a grid of nodes: where it is above a level, and where it crosses one.

use crate::figures::draw::Path;

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

/// A corner of a cell on the page, with its value.
type Corner = (f64, f64, f64);

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
        Self {
            x,
            y,
            columns,
            values,
        }
    }

    fn rows(&self) -> usize {
        self.values.len().checked_div(self.columns).unwrap_or(0)
    }

    /// Whether it has cells with values that are numbers.
    fn is_whole(&self) -> bool {
        self.columns > 1 && self.rows() > 1 && self.values.iter().all(|v| v.is_finite())
    }

    /// The four corners of each cell on the page, anticlockwise in the data, row by row.
    fn cells<'a>(
        &'a self,
        page: &'a dyn Fn(f64, f64) -> (f64, f64),
    ) -> impl Iterator<Item = [Corner; 4]> + 'a {
        let (columns, rows) = if self.is_whole() {
            (self.columns, self.rows())
        } else {
            (1, 1)
        };
        let step = |(low, high): (f64, f64), n: usize| (high - low) / (n - 1).max(1) as f64;
        let (dx, dy) = (step(self.x, columns), step(self.y, rows));
        let node = move |i: usize, j: usize| {
            let (x, y) = page(self.x.0 + dx * i as f64, self.y.0 + dy * j as f64);
            (x, y, self.values[j * columns + i])
        };
        (0..rows - 1).flat_map(move |j| {
            (0..columns - 1).map(move |i| {
                [
                    node(i, j),
                    node(i + 1, j),
                    node(i + 1, j + 1),
                    node(i, j + 1),
                ]
            })
        })
    }

    /// The area where the field is at a level or above it. Whole cells side by side are one shape.
    #[must_use]
    pub fn above(&self, level: f64, page: &dyn Fn(f64, f64) -> (f64, f64)) -> Path {
        let mut path = Path::default();
        let mut run: Option<[Corner; 4]> = None;
        let close = |run: &mut Option<[Corner; 4]>, path: &mut Path| {
            if let Some(corners) = run.take() {
                path.add_polygon(corners.map(|c| (c.0, c.1)));
            }
        };
        for corners in self.cells(page) {
            if corners.iter().all(|c| c.2 >= level) {
                match &mut run {
                    // The run's right side moves on, if the cell is the next one of its row.
                    Some(run) if run[1].0 == corners[0].0 && run[1].1 == corners[0].1 => {
                        (run[1], run[2]) = (corners[1], corners[2]);
                    }
                    _ => {
                        close(&mut run, &mut path);
                        run = Some(corners);
                    }
                }
                continue;
            }
            close(&mut run, &mut path);
            let mut shape = Vec::new();
            for (k, &corner) in corners.iter().enumerate() {
                if corner.2 >= level {
                    shape.push((corner.0, corner.1));
                }
                shape.extend(crossing(corner, corners[(k + 1) % 4], level));
            }
            if shape.len() > 2 {
                path.add_polygon(shape);
            }
        }
        close(&mut run, &mut path);
        path
    }

    /// The pieces of the line where the field crosses a level, one or two a cell.
    #[must_use]
    pub fn crossings(
        &self,
        level: f64,
        page: &dyn Fn(f64, f64) -> (f64, f64),
    ) -> Vec<[(f64, f64); 2]> {
        let mut pieces = Vec::new();
        for corners in self.cells(page) {
            let points: Vec<(f64, f64)> = (0..4)
                .filter_map(|k| crossing(corners[k], corners[(k + 1) % 4], level))
                .collect();
            pieces.extend(points.chunks_exact(2).map(|pair| [pair[0], pair[1]]));
        }
        pieces
    }
}

/// Where the side from one corner to the next crosses a level.
fn crossing(from: Corner, to: Corner, level: f64) -> Option<(f64, f64)> {
    if (from.2 >= level) == (to.2 >= level) {
        return None;
    }
    let share = (level - from.2) / (to.2 - from.2);
    Some((
        from.0 + share * (to.0 - from.0),
        from.1 + share * (to.1 - from.1),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::draw::Segment;

    fn same(x: f64, y: f64) -> (f64, f64) {
        (x, y)
    }

    #[test]
    fn a_slope_is_cut_where_it_reaches_the_level() {
        let grid = FieldGrid::of((0.0, 4.0), (0.0, 2.0), (5, 3), |x, _| x);
        let pieces = grid.crossings(2.5, &same);
        assert_eq!(pieces.len(), 2);
        assert!(pieces.iter().flatten().all(|p| (p.0 - 2.5).abs() < 1e-12));
        // In each of two rows a piece of the third cell and the whole fourth.
        let shapes = |path: &Path| {
            let closed = |s: &&Segment| matches!(s, Segment::Close);
            path.segments().iter().filter(closed).count()
        };
        assert_eq!(shapes(&grid.above(2.5, &same)), 4);
        assert_eq!(shapes(&grid.above(-1.0, &same)), 2, "a row is one shape");
        assert!(grid.above(5.0, &same).is_empty());
    }

    #[test]
    fn what_is_no_grid_draws_nothing() {
        let empty = FieldGrid::default();
        assert!(empty.above(0.0, &same).is_empty() && empty.crossings(0.0, &same).is_empty());
        let gap = FieldGrid::of((0.0, 1.0), (0.0, 1.0), (2, 2), |_, _| f64::NAN);
        assert!(gap.above(0.0, &same).is_empty());
    }
}
