//! A table on a page: its columns, its boxes, its rows.

use super::break_lines::lines;
use super::layout::Maker;
use super::piece::{Column, Piece, Rule};
use crate::answers::{Table, Value};
use crate::figures::draw::text_width;

/// More boxes than this in a row are one box.
const MOST_BOXES: usize = 8;
/// From box to box, in the size of type.
const BOX_STEP: f64 = 1.4;
/// From the last box to the words, besides.
const AFTER_BOXES: f64 = 0.35;
/// Between columns.
const GAP: f64 = 1.1;
/// Above and below the lines of a row.
const PADDING: f64 = 0.24;
/// Most lines of one piece of a row.
const MOST_LINES: usize = 24;

/// A column that has its place.
struct Cells {
    label: String,
    cells: Vec<String>,
    is_number: bool,
    x: f64,
    width: f64,
}

/// Adds a table to what a page is made of.
pub(super) fn add(maker: &mut Maker, table: &Table) {
    if table.rows.is_empty() && table.title.is_none() {
        return;
    }
    if let Some(title) = &table.title {
        maker.heading(title);
    } else {
        maker.gap(0.9);
    }
    let size = maker.look.size;
    if table.rows.is_empty() {
        return maker
            .pieces
            .push(Piece::text(size, vec![Column::starting(0.0, vec!["none".into()])]));
    }
    let boxes = if table.boxes > MOST_BOXES { 1 } else { table.boxes };
    let left = match boxes {
        0 => 0.0,
        n => (n as f64 * BOX_STEP + AFTER_BOXES) * size,
    };
    let middle = |n: usize| maker.look.box_side() / 2.0 + BOX_STEP * size * n as f64;
    let middles: Vec<f64> = (0..boxes).map(middle).collect();
    let columns = columns(table, size, (left, maker.look.width));
    maker.pieces.push(head(&columns, &middles, size));
    let last = table.rows.len() - 1;
    for n in 0..table.rows.len() {
        for (part, piece) in row(&columns, n, size).into_iter().enumerate() {
            // Boxes stand before the first part of a row.
            let (boxes, above) = match part {
                0 => (middles.clone(), Some(if n == 0 { Rule::Thick } else { Rule::Thin })),
                _ => (Vec::new(), None),
            };
            maker.pieces.push(Piece { boxes, above, ..piece });
        }
        if n == last
            && let Some(piece) = maker.pieces.last_mut()
        {
            piece.below = Some(Rule::Thick);
        }
    }
    maker.gap(0.9);
}

/// The numbers over several boxes, and the columns' headings.
fn head(columns: &[Cells], middles: &[f64], size: f64) -> Piece {
    let heads: Vec<Vec<String>> = columns.iter().map(|c| lines(&c.label, size, c.width)).collect();
    let height = heads.iter().map(Vec::len).max().unwrap_or(0);
    let mut all: Vec<Column> = Vec::new();
    if middles.len() > 1 {
        let number = |(n, middle): (usize, &f64)| {
            let text = (n + 1).to_string();
            let x = middle - text_width(&text, size) / 2.0;
            Column { first: height.max(1) - 1, ..Column::starting(x, vec![text]) }
        };
        all.extend(middles.iter().enumerate().map(number));
    }
    for (column, head) in columns.iter().zip(heads) {
        // Headings stand on the line above the first row.
        all.push(Column { first: height - head.len(), ..column.placed(head) });
    }
    Piece { stays_with_next: true, heads: true, ..Piece::text(size, all) }
}

/// A row in one piece, or in several where it is very high.
fn row(columns: &[Cells], n: usize, size: f64) -> Vec<Piece> {
    let cells: Vec<Vec<String>> =
        columns.iter().map(|c| lines(&c.cells[n], size, c.width)).collect();
    let height = cells.iter().map(Vec::len).max().unwrap_or(0).max(1);
    (0..height.div_ceil(MOST_LINES))
        .map(|k| {
            let part = |lines: &Vec<String>| -> Vec<String> {
                lines.iter().skip(k * MOST_LINES).take(MOST_LINES).cloned().collect()
            };
            let columns = columns.iter().zip(&cells).map(|(c, lines)| c.placed(part(lines)));
            Piece { is_row: true, padding: PADDING * size, ..Piece::text(size, columns.collect()) }
        })
        .collect()
}

impl Cells {
    fn placed(&self, lines: Vec<String>) -> Column {
        let x = if self.is_number { self.x + self.width } else { self.x };
        Column { ends: self.is_number, ..Column::starting(x, lines) }
    }
}

/// The columns that people see, each with its place and width.
fn columns(table: &Table, size: f64, (left, right): (f64, f64)) -> Vec<Cells> {
    let shown = (0..table.columns.len())
        .filter(|&k| !table.columns[k].for_programs)
        .filter(|&k| table.rows.iter().any(|row| row.cells[k] != Value::Empty));
    let mut columns: Vec<Cells> = shown
        .map(|k| {
            let values = || table.rows.iter().map(|row| &row.cells[k]);
            let nothing = |v: &Value| *v == Value::Missing || v.is_blank();
            let is_number = values().any(Value::stands_as_number)
                && values().all(|v| v.stands_as_number() || nothing(v));
            Cells {
                label: table.columns[k].label.to_string(),
                cells: values().map(Value::for_people).collect(),
                is_number,
                x: 0.0,
                width: 0.0,
            }
        })
        .collect();
    let gaps = GAP * size * columns.len().saturating_sub(1) as f64;
    let natural: Vec<f64> = columns.iter().map(|c| c.natural(size)).collect();
    let least: Vec<f64> = columns.iter().map(|c| c.least(size)).collect();
    let mut x = left;
    for (column, width) in columns.iter_mut().zip(shared(&natural, &least, right - left - gaps)) {
        (column.x, column.width) = (x, width);
        x += width + GAP * size;
    }
    columns
}

impl Cells {
    /// The width of the widest cell, the heading among them.
    fn natural(&self, size: f64) -> f64 {
        let widest = self.cells.iter().map(|text| text_width(text, size)).fold(0.0, f64::max);
        let head = self.label.split(' ').map(|word| text_width(word, size)).fold(0.0, f64::max);
        let heading = text_width(&self.label, size).min(12.0 * size).max(head);
        widest.max(heading) + 0.01 * size
    }

    /// The width of the longest word.
    fn least(&self, size: f64) -> f64 {
        let all = self.cells.iter().map(String::as_str).chain([self.label.as_str()]);
        let words = all.flat_map(|text| text.split(' '));
        words.map(|word| text_width(word, size)).fold(0.0, f64::max) + 0.01 * size
    }
}

/// Widths that add up to no more than `room`: each column has the width of its longest word where that
/// is possible, and what is left is shared by those that would like more.
fn shared(natural: &[f64], least: &[f64], room: f64) -> Vec<f64> {
    let room = room.max(1.0);
    let (wanted, needed): (f64, f64) = (natural.iter().sum(), least.iter().sum());
    if wanted <= room {
        return natural.to_vec();
    }
    if needed >= room {
        // Even the longest words have no room: they are broken.
        return least.iter().map(|w| w * room / needed).collect();
    }
    let share = (room - needed) / (wanted - needed);
    natural.iter().zip(least).map(|(n, l)| l + share * (n - l)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_fit_the_room() {
        assert_eq!(shared(&[10.0, 20.0], &[5.0, 5.0], 100.0), [10.0, 20.0]);
        assert_eq!(shared(&[10.0, 100.0], &[10.0, 20.0], 60.0), [10.0, 50.0]);
        assert_eq!(shared(&[50.0, 50.0], &[50.0, 50.0], 40.0), [20.0, 20.0]);
        assert_eq!(shared(&[], &[], 10.0), Vec::<f64>::new());
    }
}
