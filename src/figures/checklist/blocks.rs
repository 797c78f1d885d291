//! Lines of text in a width, and how high they are.

use crate::figures::draw::{MILLIMETRE, shortened, wrapped};

/// Sizes of type that are tried, in millimetres.
const SIZES: [f64; 6] = [3.6, 3.3, 3.0, 2.7, 2.4, 2.2];
/// Height of a line as a share of the size of its type.
pub(super) const LINE: f64 = 1.36;
/// Most lines of one caution, note or cell.
const MOST_LINES: usize = 3;

/// The sizes of type that are tried, in page units.
pub(super) fn sizes() -> impl Iterator<Item = f64> {
    SIZES.iter().map(|size| size * MILLIMETRE)
}

/// A text in lines no wider than `width`, at most three of them.
pub(super) fn lines(text: &str, size: f64, width: f64) -> Vec<String> {
    let mut lines = wrapped(text, size, width);
    if lines.len() > MOST_LINES {
        let rest = lines[MOST_LINES - 1..].join(" ");
        lines.truncate(MOST_LINES - 1);
        lines.push(shortened(&rest, size, width).into_owned());
    }
    lines
}

/// Texts with a bullet before each, in one size.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Bullets {
    /// Lines, with whether one begins a text.
    pub lines: Vec<(bool, String)>,
    pub size: f64,
}

impl Bullets {
    /// The texts in a width.
    pub fn new(texts: &[String], size: f64, width: f64) -> Self {
        let mut all = Vec::new();
        for text in texts {
            let parts = lines(text, size, width - Self::indent(size));
            all.extend(parts.into_iter().enumerate().map(|(n, l)| (n == 0, l)));
        }
        Self { lines: all, size }
    }

    /// From the left edge to the words.
    pub fn indent(size: f64) -> f64 {
        1.3 * size
    }

    /// Height in page units.
    pub fn height(&self) -> f64 {
        LINE * self.size * self.lines.len() as f64
    }

    /// The same, no higher than `most` where a line fits at all; the last line says that there is
    /// more.
    pub fn within(mut self, most: f64, more: &str) -> Self {
        let room = (most / (LINE * self.size) + 1e-9) as usize;
        if self.lines.len() > room {
            self.lines.truncate(room);
            if let Some(last) = self.lines.last_mut() {
                *last = (false, more.to_owned());
            }
        }
        self
    }
}
