//! What a page is made of: pieces that are not divided, each with its height and its drawing.

use super::layout::Look;
use crate::figures::draw::{
    Anchor, BLACK, CAP_HEIGHT, MILLIMETRE, Paint, Path, Rect, Scene, Stroke, Text, WHITE,
};

/// Height of a line as a share of the size of its type.
pub(super) const LINE: f64 = 1.36;

/// Lines of text at one place across the page, below one another.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Column {
    /// From the left margin, where they begin or end.
    pub x: f64,
    /// Whether they end there, as numbers do.
    pub ends: bool,
    /// Which line of the piece is the first.
    pub first: usize,
    pub lines: Vec<String>,
}

impl Column {
    pub fn starting(x: f64, lines: Vec<String>) -> Self {
        Self { x, ends: false, first: 0, lines }
    }
}

/// A rule above or below a piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Rule {
    Thick,
    Thin,
}

/// A part of a page.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Piece {
    pub columns: Vec<Column>,
    /// Size of its type; 0 for a gap.
    pub size: f64,
    /// A value at its left edge that is seen from afar, with its size.
    pub great: Option<(String, f64)>,
    /// Space above and below its lines.
    pub padding: f64,
    /// Middles of its boxes to tick, from the left margin.
    pub boxes: Vec<f64>,
    pub above: Option<Rule>,
    pub below: Option<Rule>,
    /// Whether it stands in a frame.
    pub framed: bool,
    /// Whether it warns: white on black, at the top of every page.
    pub warns: bool,
    /// Whether it may not be the last on a page.
    pub stays_with_next: bool,
    /// Whether it is only space, which the top of a page does not need.
    pub is_gap: bool,
    /// Whether it is a table's heading, to be repeated where the table goes on.
    pub heads: bool,
    /// Whether it is a row of a table.
    pub is_row: bool,
}

impl Piece {
    pub fn text(size: f64, columns: Vec<Column>) -> Self {
        Self { columns, size, ..Self::default() }
    }

    pub fn gap(height: f64) -> Self {
        Self { padding: height / 2.0, is_gap: true, ..Self::default() }
    }

    pub fn height(&self) -> f64 {
        let lines = self.columns.iter().map(|c| c.first + c.lines.len()).max().unwrap_or(0);
        let great = self.great.as_ref().map_or(0.0, |(_, size)| 1.1 * CAP_HEIGHT * size);
        (LINE * self.size * lines as f64).max(great) + 2.0 * self.padding
    }

    /// The text, column after column.
    pub fn words(&self) -> String {
        let great = self.great.iter().map(|(text, _)| text.clone());
        let columns = self.columns.iter().map(|c| c.lines.join(" "));
        great.chain(columns).filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" ")
    }
}

/// A piece at its place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Placed {
    pub piece: Piece,
    /// Its upper edge, in page units.
    pub top: f64,
}

impl Placed {
    pub fn draw(&self, scene: &mut Scene, look: &Look) {
        let (piece, left) = (&self.piece, look.margin);
        let height = piece.height();
        let rule = |scene: &mut Scene, rule: Option<Rule>, y: f64| {
            if let Some(rule) = rule {
                let width = if rule == Rule::Thick { 0.4 } else { 0.12 };
                scene.shape(Path::line([(left, y), (left + look.width, y)]), stroke(width));
            }
        };
        rule(scene, piece.above, self.top);
        rule(scene, piece.below, self.top + height);
        if piece.framed {
            let frame = Rect { x: left, y: self.top, width: look.width, height };
            scene.shape(Path::rect(frame), stroke(0.6));
        }
        if piece.warns {
            let ground = Rect { x: left, y: self.top, width: look.width, height };
            scene.shape(Path::rect(ground), Paint::filled(BLACK));
        }
        let ink = if piece.warns { WHITE } else { BLACK };
        let side = look.box_side();
        for middle in &piece.boxes {
            let square = Rect {
                x: left + middle - side / 2.0,
                y: self.top + piece.padding + (LINE * piece.size - side) / 2.0,
                width: side,
                height: side,
            };
            scene.shape(Path::rect(square), stroke(0.3));
        }
        if let Some((text, size)) = &piece.great {
            let at = (left, self.top + height / 2.0);
            scene.text(Text::new(text, at, *size).centred().coloured(BLACK));
        }
        // Lines stand in the middle of what is higher than they are.
        let lines = piece.columns.iter().map(|c| c.first + c.lines.len()).max().unwrap_or(0);
        let first = self.top + (height - LINE * piece.size * lines as f64) / 2.0;
        for column in &piece.columns {
            for (n, line) in column.lines.iter().enumerate() {
                let row = (column.first + n) as f64 + 0.5;
                let at = (left + column.x, first + LINE * piece.size * row);
                let anchor = if column.ends { Anchor::End } else { Anchor::Start };
                scene
                    .text(Text::new(line, at, piece.size).centred().coloured(ink).anchored(anchor));
            }
        }
    }
}

fn stroke(millimetres: f64) -> Stroke {
    Stroke::solid(BLACK, millimetres * MILLIMETRE)
}
