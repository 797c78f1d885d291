//! The table: temperatures down, contrasts across.

use super::layout::{Layout, fitted, rule};
use super::{CardColumn, TimeTemperatureCard, cells};
use crate::figures::draw::{
    BLACK, CAP_HEIGHT, Colour, MILLIMETRE, Paint, Path, Rect, Scene, Stroke, WHITE,
};

/// Least type of headings, below which they are shortened.
const LEAST: f64 = 2.5 * MILLIMETRE;
const MOST_ROW: f64 = 28.0 * MILLIMETRE;
/// Height of the headings above the table.
const MEASURE_LINE: f64 = 5.5 * MILLIMETRE;
/// Grey of every other row: plain to see on paper, black type stays black on it.
const BAND: Colour = Colour::hex(0xE4_E4_E4);
/// Columns and rows in page units.
pub(super) struct Grid {
    pub left: f64,
    /// Width of the column of temperatures.
    pub first: f64,
    pub column: f64,
    right: f64,
    /// Top of the first row.
    top: f64,
    pub row: f64,
    heading: f64,
    /// Size of the times.
    pub time: f64,
    /// For each column, from its middle to where the times end.
    pub time_ends: Vec<f64>,
}

impl Grid {
    fn new(card: &TimeTemperatureCard, area: &Rect) -> Self {
        let columns = card.columns.len().max(1) as f64;
        let rows = card.rows.len().max(1) as f64;
        let share = match card.columns.len() {
            0..3 => 0.28,
            3 => 0.2,
            _ => 0.18,
        };
        let first = share * area.width;
        let column = (area.width - first) / columns;
        let lines = match heading_lines(card) {
            1 => 1.15,
            2 => 1.75,
            _ => 2.3,
        };
        let below_measure = area.height - MEASURE_LINE;
        let row = (below_measure / (rows + lines)).clamp(0.0, MOST_ROW);
        let heading = (lines * row).min(lines * 11.0 * MILLIMETRE);
        let row = ((below_measure - heading) / rows).min(MOST_ROW);
        let time = cells::time_size(card, column, row);
        let ends = (0..card.columns.len()).map(|k| cells::time_end(card, k, time));
        Self {
            left: area.x,
            first,
            column,
            right: area.right(),
            top: area.y + MEASURE_LINE + heading,
            row,
            heading,
            time,
            time_ends: ends.collect(),
        }
    }

    /// The middle of a cell.
    pub fn middle_of(&self, column: usize, row: usize) -> (f64, f64) {
        let x = self.left + self.first + self.column * (column as f64 + 0.5);
        (x, self.top + self.row * (row as f64 + 0.5))
    }
}

/// Draws the table with its headings.
pub(super) fn draw(scene: &mut Scene, card: &TimeTemperatureCard, layout: &Layout) {
    let grid = Grid::new(card, &layout.table);
    draw_headings(scene, card, &grid);
    for (n, row) in card.rows.iter().enumerate() {
        let reference = card.is_reference(row.celsius);
        draw_row_ground(scene, &grid, n, reference);
        cells::draw_temperature(scene, card, &grid, n);
        for (k, cell) in row.cells.iter().take(card.columns.len()).enumerate() {
            cells::draw(scene, &grid, (k, n), *cell);
        }
    }
    draw_rules(scene, card, &grid);
}

/// How many lines the headings have.
fn heading_lines(card: &TimeTemperatureCard) -> usize {
    let any = |of: fn(&CardColumn) -> bool| card.columns.iter().any(of);
    if any(|c| c.third.is_some()) {
        3
    } else if any(|c| c.second.is_some()) {
        2
    } else {
        1
    }
}

/// The measure over all columns, the contrasts below it, their further lines below them.
fn draw_headings(scene: &mut Scene, card: &TimeTemperatureCard, grid: &Grid) {
    let columns = (grid.left + grid.first, grid.right);
    let top = grid.top - grid.heading;
    let middle = ((columns.0 + columns.1) / 2.0, top - 0.5 * MEASURE_LINE);
    let size = 3.6 * MILLIMETRE;
    let across = columns.1 - columns.0;
    scene.text(fitted(card.measure.trim(), middle, size, across, LEAST));
    let corner = (grid.left + grid.first / 2.0, top + grid.heading / 2.0);
    scene.text(fitted("min:s", corner, size.min(0.5 * grid.heading), 0.9 * grid.first, LEAST));

    // For each line: its height as a share of the heading, and where its middle stands.
    let (heights, middles): (&[f64], &[f64]) = match heading_lines(card) {
        1 => (&[0.6], &[0.5]),
        2 => (&[0.36, 0.26], &[0.33, 0.75]),
        _ => (&[0.29, 0.2, 0.2], &[0.25, 0.57, 0.83]),
    };
    let width = 0.9 * grid.column;
    for (k, column) in card.columns.iter().enumerate() {
        let x = grid.middle_of(k, 0).0;
        if column.asked {
            let x = grid.left + grid.first + grid.column * k as f64;
            let ground = Rect { x, y: top, width: grid.column, height: grid.heading };
            scene.shape(Path::rect(ground), Paint::filled(BLACK));
        }
        let ink = if column.asked { WHITE } else { BLACK };
        let lines = [Some(&column.heading), column.second.as_ref(), column.third.as_ref()];
        for ((line, height), middle) in lines.into_iter().zip(heights).zip(middles) {
            let Some(line) = line else { continue };
            let size = (height * grid.heading / CAP_HEIGHT).min(6.0 * MILLIMETRE / CAP_HEIGHT);
            let at = (x, top + middle * grid.heading);
            scene.text(fitted(line.trim(), at, size, width, LEAST).coloured(ink));
        }
    }
}

/// Every other row is banded; the temperature of the reference row stands white on black.
fn draw_row_ground(scene: &mut Scene, grid: &Grid, n: usize, reference: bool) {
    let y = grid.top + grid.row * n as f64;
    let block = |x: f64, width: f64| Path::rect(Rect { x, y, width, height: grid.row });
    if n % 2 == 1 {
        let all = block(grid.left, grid.right - grid.left);
        scene.shape(all, Paint::filled(BAND));
    }
    if reference {
        scene.shape(block(grid.left, grid.first), Paint::filled(BLACK));
    }
}

/// A rule's width: as asked for, in millimetres, less where rows are low.
fn weight(grid: &Grid, millimetres: f64) -> f64 {
    millimetres.min(millimetres * grid.row / (7.0 * MILLIMETRE))
}

fn draw_rules(scene: &mut Scene, card: &TimeTemperatureCard, grid: &Grid) {
    let ends = (grid.left, grid.right);
    let bottom = grid.top + grid.row * card.rows.len() as f64;
    rule(scene, ends, grid.top - grid.heading, weight(grid, 0.35));
    for n in 1..card.rows.len() {
        rule(scene, ends, grid.top + grid.row * n as f64, weight(grid, 0.15));
    }
    rule(scene, ends, grid.top, weight(grid, 0.7));
    rule(scene, ends, bottom, weight(grid, 0.7));
    let mut uprights = Path::default();
    for k in 0..card.columns.len() {
        let x = grid.left + grid.first + grid.column * k as f64;
        uprights.add_line([(x, grid.top - grid.heading), (x, bottom)]);
    }
    scene.shape(uprights, Stroke::solid(BLACK, weight(grid, 0.15) * MILLIMETRE));
    for (k, _) in card.columns.iter().enumerate().filter(|(_, column)| column.asked) {
        let top = grid.top - grid.heading;
        let frame = Rect {
            x: grid.left + grid.first + grid.column * k as f64,
            y: top,
            width: grid.column,
            height: bottom - top,
        };
        scene.shape(Path::rect(frame), Stroke::solid(BLACK, weight(grid, 0.9) * MILLIMETRE));
    }
    for (n, row) in card.rows.iter().enumerate() {
        if card.is_reference(row.celsius) {
            let frame = Rect {
                x: grid.left,
                y: grid.top + grid.row * n as f64,
                width: grid.right - grid.left,
                height: grid.row,
            };
            scene.shape(Path::rect(frame), Stroke::solid(BLACK, weight(grid, 0.9) * MILLIMETRE));
        }
    }
}
