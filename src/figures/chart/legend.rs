//! The legend: a column of samples with words, beside the plot and never on it.

use super::marker::{Marker, interval_bar};
use crate::figures::draw::{GREY, Paint, Path, Rect, Scene, Text, shortened, text_width};

const TEXT: f64 = 12.5;
const DETAIL_TEXT: f64 = 11.5;
const LINE: f64 = 16.0;
const GAP: f64 = 8.0;
/// Width of a sample.
const SAMPLE: f64 = 34.0;
/// From the left edge to the words.
const INDENT: f64 = SAMPLE + 10.0;

/// The shape of a sample.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Swatch {
    /// A piece of line.
    Line,
    /// A filled strip, as of a band.
    Patch,
    /// A right triangle with its upright on the right.
    Wedge,
    /// An upright interval bar with its caps.
    Interval,
    /// A mark of this shape and radius, in the middle.
    Mark(Marker, f64),
}

/// One entry: samples drawn over one another, the words, and lines of detail below them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entry {
    /// The samples, the lowest first.
    pub samples: Vec<(Swatch, Paint)>,
    /// What it is.
    pub words: String,
    /// Values or remarks, one line each.
    pub details: Vec<String>,
}

impl Entry {
    /// An entry without details.
    #[must_use]
    pub fn new(words: impl Into<String>, samples: Vec<(Swatch, Paint)>) -> Self {
        Self { samples, words: words.into(), details: Vec::new() }
    }

    /// The entry with one more line of detail.
    #[must_use]
    pub fn with_detail(mut self, detail: impl Into<String>) -> Self {
        self.details.push(detail.into());
        self
    }

    /// From the left edge of the column to the words.
    fn indent(&self) -> f64 {
        if self.samples.is_empty() { 0.0 } else { INDENT }
    }

    fn width(&self) -> f64 {
        let details = self.details.iter().map(|d| text_width(d, DETAIL_TEXT));
        self.indent() + details.fold(text_width(&self.words, TEXT), f64::max)
    }

    fn height(&self) -> f64 {
        LINE * (1.0 + self.details.len() as f64)
    }
}

/// An entry whose samples are those of its layers.
#[must_use]
pub fn key(words: impl Into<String>) -> Entry {
    Entry::new(words, Vec::new())
}

/// Between two columns.
const COLUMN_GAP: f64 = 24.0;
const MOST_COLUMNS: usize = 4;

/// A column of entries.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Legend {
    /// The entries from the top.
    pub entries: Vec<Entry>,
}

impl Legend {
    /// Height in page units.
    #[must_use]
    pub fn height(&self) -> f64 {
        let gaps = GAP * self.entries.len().saturating_sub(1) as f64;
        self.entries.iter().map(Entry::height).sum::<f64>() + gaps
    }

    /// Width that shows every word, in page units.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.entries.iter().map(Entry::width).fold(0.0, f64::max)
    }

    /// The entries in as many columns of about equal height as a width has room for.
    #[must_use]
    pub fn in_columns(&self, width: f64) -> Vec<Self> {
        let split = |count: usize| {
            let share = (self.height() + GAP) / count as f64;
            let mut columns = vec![Self::default(); count];
            let mut y = 0.0;
            for entry in &self.entries {
                let middle = y + (entry.height() + GAP) / 2.0;
                let column = ((middle / share) as usize).min(count - 1);
                columns[column].entries.push(entry.clone());
                y += entry.height() + GAP;
            }
            columns.retain(|column| !column.entries.is_empty());
            columns
        };
        let fits = |columns: &Vec<Self>| {
            let gaps = COLUMN_GAP * columns.len().saturating_sub(1) as f64;
            columns.iter().map(|c| c.width().ceil()).sum::<f64>() + gaps <= width
        };
        (2..=MOST_COLUMNS).rev().map(split).find(fits).unwrap_or_else(|| split(1))
    }

    /// Draws such columns beside one another, together no wider than `width`.
    pub fn draw_columns(columns: &[Self], scene: &mut Scene, (left, top): (f64, f64), width: f64) {
        let mut x = left;
        for column in columns {
            let own = column.width().ceil().min(left + width - x);
            column.draw(scene, (x, top), own);
            x += own + COLUMN_GAP;
        }
    }

    /// Height of such columns.
    #[must_use]
    pub fn height_of(columns: &[Self]) -> f64 {
        columns.iter().map(Self::height).fold(0.0, f64::max)
    }

    /// Draws the column with its top left corner at a position; words that are wider than the
    /// column are shortened.
    pub fn draw(&self, scene: &mut Scene, (left, top): (f64, f64), width: f64) {
        let mut y = top;
        for entry in &self.entries {
            let middle = y + LINE / 2.0;
            for (swatch, paint) in &entry.samples {
                scene.shape(sample(*swatch, left, middle), *paint);
            }
            let (x, room) = (left + entry.indent(), width - entry.indent());
            let words = shortened(&entry.words, TEXT, room);
            scene.text(Text::new(words, (x, middle), TEXT).centred());
            for (n, detail) in entry.details.iter().enumerate() {
                let at = (x, middle + LINE * (n as f64 + 1.0));
                let detail = shortened(detail, DETAIL_TEXT, room);
                scene.text(Text::new(detail, at, DETAIL_TEXT).centred().coloured(GREY));
            }
            y += entry.height() + GAP;
        }
    }
}

fn sample(swatch: Swatch, left: f64, middle: f64) -> Path {
    match swatch {
        Swatch::Line => Path::line([(left, middle), (left + SAMPLE, middle)]),
        Swatch::Patch => {
            let (y, height) = (middle - 5.0, 10.0);
            Path::rect(Rect { x: left, y, width: SAMPLE, height })
        }
        Swatch::Wedge => {
            let (right, foot) = (left + SAMPLE, middle + 5.5);
            Path::polygon([(left, foot), (right, foot), (right, middle - 6.5)])
        }
        Swatch::Interval => {
            let x = left + SAMPLE / 2.0;
            interval_bar((x, middle - 6.5), (x, middle + 6.5))
        }
        Swatch::Mark(marker, radius) => marker.path([(left + SAMPLE / 2.0, middle)], radius),
    }
}
