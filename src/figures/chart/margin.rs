//! Labels right of a plot, each at the height of its value or as near as can be.

use super::plot::Plot;
use super::spread::spread;
use crate::figures::draw::{
    Anchor, Colour, GREY, INK, Path, RULE, Scene, Stroke, Text, text_width,
};

const SIZE: f64 = 11.5;
const LINE_HEIGHT: f64 = 14.5;
const CLOSEST: f64 = 12.0;
const COLUMN_GAP: f64 = 9.0;
/// From the frame to the labels, bridged by leaders.
const OFF: f64 = 18.0;
const LEADER: Stroke = Stroke::solid(RULE, 0.8);

/// One label.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Label {
    /// The value at which it stands.
    pub at: f64,
    /// Where its leader begins, if that is inside of the plot.
    pub from: Option<f64>,
    /// Its words, one for each column; the last of several ends where all of them end.
    pub cells: Vec<(String, Colour)>,
}

impl Label {
    /// A label of one column.
    #[must_use]
    pub fn new(at: f64, words: impl Into<String>) -> Self {
        Self { at, from: None, cells: vec![(words.into(), INK)] }
    }

    /// The same label in another colour.
    #[must_use]
    pub fn coloured(mut self, colour: Colour) -> Self {
        self.cells.iter_mut().for_each(|cell| cell.1 = colour);
        self
    }

    /// The same label with one more column.
    #[must_use]
    pub fn with(mut self, words: impl Into<String>, colour: Colour) -> Self {
        self.cells.push((words.into(), colour));
        self
    }
}

/// All labels of a plot.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Margin {
    pub(super) labels: Vec<Label>,
}

impl Margin {
    /// Where each column begins, and where the last one ends.
    fn columns(&self) -> Vec<f64> {
        let count = self.labels.iter().map(|l| l.cells.len()).max().unwrap_or(0);
        let mut ends = vec![0.0];
        for n in 0..count {
            let cells = self.labels.iter().filter_map(|l| l.cells.get(n));
            let widest = cells.map(|c| text_width(&c.0, SIZE)).fold(0.0, f64::max);
            let gap = if widest > 0.0 && n + 1 < count { COLUMN_GAP } else { 0.0 };
            ends.push(ends[n] + widest + gap);
        }
        ends
    }

    /// From the frame to the end of the labels.
    #[must_use]
    pub fn width(&self) -> f64 {
        if self.labels.is_empty() {
            return 0.0;
        }
        OFF + self.columns().last().copied().unwrap_or(0.0)
    }

    /// Writes the labels that fit, the others counted below them.
    pub(super) fn draw(&self, scene: &mut Scene, plot: &Plot) {
        let area = plot.area;
        let right = area.right();
        let within = (area.y + SIZE / 2.0, area.bottom() - SIZE / 2.0);
        // Crowded labels stand closer, as far as they can be read.
        let gaps = self.labels.len().saturating_sub(1).max(1) as f64;
        let gap = ((within.1 - within.0) / gaps).clamp(CLOSEST, LINE_HEIGHT);
        let most = ((within.1 - within.0) / gap + 1.0 + 1e-9) as usize;
        let shown = &self.labels[..self.labels.len().min(most)];
        let wanted: Vec<f64> = shown.iter().map(|l| plot.y.at(l.at)).collect();
        let Some(places) = spread(&wanted, gap - 1e-9, within) else { return };
        let columns = self.columns();
        let mut leaders = Path::default();
        for ((label, y), line) in shown.iter().zip(places).zip(wanted) {
            if let Some(x) = label.from {
                leaders.add_line([(plot.x.at(x) + 4.0, line), (right, line)]);
            }
            leaders.add_line([(right, line), (right + 4.0, line), (right + OFF - 4.0, y)]);
            for (n, (words, colour)) in label.cells.iter().enumerate() {
                let last = n > 0 && n + 2 == columns.len();
                let (x, anchor) =
                    if last { (columns[n + 1], Anchor::End) } else { (columns[n], Anchor::Start) };
                let text = Text::new(words, (right + OFF + x, y), SIZE).centred();
                scene.text(text.anchored(anchor).coloured(*colour));
            }
        }
        scene.shape(leaders, LEADER);
        let left = self.labels.len() - shown.len();
        if left > 0 {
            let at = (right + OFF, area.bottom() + LINE_HEIGHT);
            scene.text(Text::new(format!("and {left} more"), at, SIZE).coloured(GREY));
        }
    }
}
