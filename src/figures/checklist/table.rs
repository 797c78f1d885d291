//! A table in a width: its columns, its rows, and how high they are.

use super::blocks::{LINE, lines};
use super::{CheckTable, MOST_BOXES};
use crate::figures::draw::text_width;

/// Side of a box as a share of the size of type.
const BOX: f64 = 1.05;
/// From box to box.
const BOX_STEP: f64 = 1.4;
/// From the last one to the words, besides.
const AFTER_BOXES: f64 = 0.35;
/// Between columns.
const GAP: f64 = 1.1;
/// Above and below the lines of a row.
const PADDING: f64 = 0.28;
/// The heading of the table over its columns, in the size of type.
pub(super) const HEADING: f64 = 1.12;

/// One row: the lines of each cell.
pub(super) type Row = Vec<Vec<String>>;

/// A table that has its measures, in page units.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Grid<'a> {
    pub table: &'a CheckTable,
    pub size: f64,
    /// Left edge and width of each column, from the table's own left edge.
    pub columns: Vec<(f64, f64)>,
    /// Rows that are shown.
    pub rows: Vec<Row>,
    /// Rows that are not.
    pub hidden: usize,
}

impl<'a> Grid<'a> {
    /// The table in a size of type and a width.
    pub fn new(table: &'a CheckTable, size: f64, width: f64) -> Self {
        let left = match boxes(table) {
            0 => 0.0,
            n => (n as f64 * BOX_STEP + AFTER_BOXES) * size,
        };
        let gaps = GAP * size * table.columns.len().saturating_sub(1) as f64;
        let natural: Vec<f64> = (0..table.columns.len()).map(|k| natural(table, k, size)).collect();
        let widths = shared(&natural, width - left - gaps);
        let mut x = left;
        let columns: Vec<(f64, f64)> = widths
            .into_iter()
            .map(|w| {
                let place = (x, w);
                x += w + GAP * size;
                place
            })
            .collect();
        let cells = |row: &Vec<String>| -> Row {
            let cell = |(k, (_, w)): (usize, &(f64, f64))| {
                row.get(k).map_or_else(Vec::new, |text| lines(text, size, *w))
            };
            columns.iter().enumerate().map(cell).collect()
        };
        Self { rows: table.rows.iter().map(cells).collect(), table, size, columns, hidden: 0 }
    }

    /// Boxes before each row.
    pub fn boxes(&self) -> usize {
        boxes(self.table)
    }

    /// The middle of a box, from the table's left edge.
    pub fn box_middle(&self, n: usize) -> f64 {
        self.size * (BOX / 2.0 + BOX_STEP * n as f64)
    }

    /// Side of a box.
    pub fn box_side(&self) -> f64 {
        BOX * self.size
    }

    /// Height of the table's heading with that of its columns.
    pub fn heading_height(&self) -> f64 {
        let columns = if self.has_headings() { LINE } else { 0.3 };
        self.size * (LINE * HEADING + columns)
    }

    /// Whether anything stands over the columns.
    pub fn has_headings(&self) -> bool {
        self.boxes() > 1 || self.table.columns.iter().any(|c| !c.heading.trim().is_empty())
    }

    /// Height of a row.
    pub fn row_height(&self, row: &Row) -> f64 {
        let lines = row.iter().map(Vec::len).max().unwrap_or(0).max(1);
        self.size * (LINE * lines as f64 + 2.0 * PADDING)
    }

    /// Height of all.
    pub fn height(&self) -> f64 {
        let rows: f64 = self.rows.iter().map(|row| self.row_height(row)).sum();
        let more = if self.hidden > 0 { LINE * self.size } else { 0.0 };
        self.heading_height() + rows + more
    }

    /// Leaves out the last row that is shown; false if there is none.
    pub fn hide_one(&mut self) -> bool {
        let hid = self.rows.pop().is_some();
        self.hidden += usize::from(hid);
        hid
    }
}

/// Boxes before each row: as asked for, or one where there would be too many.
fn boxes(table: &CheckTable) -> usize {
    match table.boxes {
        n if n > MOST_BOXES => 1,
        n => n,
    }
}

/// The widest cell of a column, its heading among them.
fn natural(table: &CheckTable, column: usize, size: f64) -> f64 {
    let cells = table.rows.iter().filter_map(|row| row.get(column));
    let widest = cells.map(|text| text_width(text, size)).fold(0.0, f64::max);
    text_width(table.columns[column].heading.trim(), size).max(widest) + 1e-6
}

/// Widths that add up to no more than `room`: columns that ask for less than their share have what
/// they ask for, and the others share the rest.
fn shared(natural: &[f64], room: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..natural.len()).collect();
    order.sort_by(|a, b| natural[*a].total_cmp(&natural[*b]));
    let (mut widths, mut left) = (natural.to_vec(), room.max(0.0));
    for (n, k) in order.iter().enumerate() {
        let share = left / (natural.len() - n) as f64;
        widths[*k] = natural[*k].min(share);
        left -= widths[*k];
    }
    widths
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn narrow_columns_keep_their_width() {
        assert_eq!(shared(&[10.0, 20.0], 100.0), [10.0, 20.0]);
        assert_eq!(shared(&[10.0, 200.0, 300.0], 110.0), [10.0, 50.0, 50.0]);
        assert_eq!(shared(&[], 10.0), Vec::<f64>::new());
    }
}
