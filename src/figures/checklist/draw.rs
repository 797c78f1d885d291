//! Drawing the parts of the page.

use super::blocks::{Bullets, LINE};
use super::layout::{DETAIL, Great, INSET, Layout, TITLE};
use super::table::{Grid, HEADING, Row};
use crate::figures::draw::{Anchor, BLACK, MILLIMETRE, Path, Rect, Scene, Stroke, Text, shortened};

fn stroke(millimetres: f64) -> Stroke {
    Stroke::solid(BLACK, millimetres * MILLIMETRE)
}

fn words(text: &str, (x, middle): (f64, f64), size: f64) -> Text {
    Text::new(text, (x, middle), size).centred().coloured(BLACK)
}

impl Layout<'_> {
    /// Draws the page.
    pub fn draw(&self, scene: &mut Scene) {
        let (left, mut y) = (self.page.x, self.page.y);
        scene.text(words(&self.title, (left, y + TITLE / 2.0), TITLE));
        for (n, detail) in self.details.iter().enumerate() {
            let middle = y + 1.15 * TITLE + LINE * DETAIL * (n as f64 + 0.5);
            scene.text(words(detail, (left, middle), DETAIL));
        }
        y += self.heading_height();
        if !self.cautions.lines.is_empty() {
            let frame = Rect {
                x: left,
                y,
                width: self.page.width,
                height: self.cautions.height() + 2.0 * INSET,
            };
            scene.shape(Path::rect(frame), stroke(0.6));
            self.cautions.draw(scene, (left + INSET, y + INSET), '!');
            y += self.cautions_height();
        }
        if let Some(great) = &self.great {
            great.draw(scene, (left, y));
            y += great.height() + self.gap;
        }
        for grid in &self.grids {
            grid.draw(scene, (left, y), self.page.right());
            y += grid.height() + self.gap;
        }
        self.notes.draw(scene, (left, y), '•');
    }
}

impl Bullets {
    /// Writes the lines with their top left corner at a position, and a letter before each text.
    fn draw(&self, scene: &mut Scene, (left, top): (f64, f64), letter: char) {
        for (n, (begins, line)) in self.lines.iter().enumerate() {
            let middle = top + LINE * self.size * (n as f64 + 0.5);
            if *begins {
                let lead = (left + 0.45 * self.size, middle);
                let bullet = words(&letter.to_string(), lead, self.size);
                scene.text(bullet.anchored(Anchor::Middle));
            }
            scene.text(words(line, (left + Self::indent(self.size), middle), self.size));
        }
    }
}

impl Great {
    fn draw(&self, scene: &mut Scene, (left, top): (f64, f64)) {
        let middle = top + self.height() / 2.0;
        scene.text(words(&self.number, (left, middle), self.size));
        let first = middle - LINE * self.beside * (self.lines.len() as f64 - 1.0) / 2.0;
        for (n, line) in self.lines.iter().enumerate() {
            let at = (left + self.indent, first + LINE * self.beside * n as f64);
            scene.text(words(line, at, self.beside));
        }
    }
}

impl Grid<'_> {
    fn draw(&self, scene: &mut Scene, (left, top): (f64, f64), right: f64) {
        let heading = HEADING * self.size;
        let text = shortened(self.table.heading.trim(), heading, right - left);
        scene.text(words(&text, (left, top + LINE * heading / 2.0), heading));
        if self.has_headings() {
            self.draw_headings(scene, (left, top + LINE * heading + LINE * self.size / 2.0));
        }
        let mut y = top + self.heading_height();
        rule(scene, (left, right), y, 0.4);
        for (n, row) in self.rows.iter().enumerate() {
            if n > 0 {
                rule(scene, (left, right), y, 0.12);
            }
            let height = self.row_height(row);
            self.draw_row(scene, row, (left, y + height / 2.0));
            y += height;
        }
        rule(scene, (left, right), y, 0.4);
        if self.hidden > 0 {
            let more = format!("… and {} more", self.hidden);
            scene.text(words(&more, (left, y + LINE * self.size / 2.0), self.size));
        }
    }

    /// Numbers over several boxes, and the columns' headings.
    fn draw_headings(&self, scene: &mut Scene, (left, middle): (f64, f64)) {
        if self.boxes() > 1 {
            for n in 0..self.boxes() {
                let at = (left + self.box_middle(n), middle);
                let number = words(&(n + 1).to_string(), at, 0.9 * self.size);
                scene.text(number.anchored(Anchor::Middle));
            }
        }
        for (k, (column, (_, width))) in self.table.columns.iter().zip(&self.columns).enumerate() {
            let text = shortened(column.heading.trim(), self.size, *width);
            scene.text(self.placed(&text, k, left, middle));
        }
    }

    /// A text of a column, at its left or right edge.
    fn placed(&self, text: &str, column: usize, left: f64, middle: f64) -> Text {
        let (x, width) = self.columns[column];
        match self.table.columns[column].is_number {
            true => words(text, (left + x + width, middle), self.size).anchored(Anchor::End),
            false => words(text, (left + x, middle), self.size),
        }
    }

    fn draw_row(&self, scene: &mut Scene, row: &Row, (left, middle): (f64, f64)) {
        let side = self.box_side();
        for n in 0..self.boxes() {
            let square = Rect {
                x: left + self.box_middle(n) - side / 2.0,
                y: middle - side / 2.0,
                width: side,
                height: side,
            };
            scene.shape(Path::rect(square), stroke(0.3));
        }
        for (k, lines) in row.iter().enumerate() {
            let first = middle - LINE * self.size * (lines.len() as f64 - 1.0) / 2.0;
            for (n, line) in lines.iter().enumerate() {
                let y = first + LINE * self.size * n as f64;
                scene.text(self.placed(line, k, left, y));
            }
        }
    }
}

fn rule(scene: &mut Scene, (from, to): (f64, f64), y: f64, millimetres: f64) {
    scene.shape(Path::line([(from, y), (to, y)]), stroke(millimetres));
}
