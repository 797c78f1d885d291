//! A line of text on the page.

use crate::elementary::sin_cos;
use std::borrow::Cow;

use super::font;
use super::paint::{Colour, INK};
use super::path::Path;

/// Which end of the text stands at its position.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Anchor {
    /// The text begins there.
    #[default]
    Start,
    /// The text is centred there.
    Middle,
    /// The text ends there.
    End,
}

impl Anchor {
    /// The part of the text's width that lies before its position.
    pub(super) const fn share_before(self) -> f64 {
        match self {
            Self::Start => 0.0,
            Self::Middle => 0.5,
            Self::End => 1.0,
        }
    }
}

/// One line of text.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// What it says; characters that no document may hold are replaced.
    pub content: String,
    /// Where the baseline meets the anchor.
    pub at: (f64, f64),
    /// Font size in page units.
    pub size: f64,
    /// Colour of the letters.
    pub colour: Colour,
    /// Which end stands at the position.
    pub anchor: Anchor,
    /// Degrees anticlockwise about the position.
    pub rotation: f64,
}

impl Text {
    /// Dark horizontal text that begins at a position.
    #[must_use]
    pub fn new(content: impl AsRef<str>, at: (f64, f64), size: f64) -> Self {
        let content = printable(content.as_ref()).into_owned();
        Self { content, at, size, colour: INK, anchor: Anchor::Start, rotation: 0.0 }
    }

    /// The same text in another colour.
    #[must_use]
    pub fn coloured(self, colour: Colour) -> Self {
        Self { colour, ..self }
    }

    /// The same text, anchored otherwise.
    #[must_use]
    pub fn anchored(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    /// The same text, centred on its position.
    #[must_use]
    pub fn middle(self) -> Self {
        self.anchored(Anchor::Middle)
    }

    /// The same text, turned about its position by degrees anticlockwise.
    #[must_use]
    pub fn rotated(self, rotation: f64) -> Self {
        Self { rotation, ..self }
    }

    /// The same text with its capitals and digits centred on the height of its position.
    #[must_use]
    pub fn centred(self) -> Self {
        let at = (self.at.0, self.at.1 + self.size * font::CAP_HEIGHT / 2.0);
        Self { at, ..self }
    }

    /// Width in page units in the embedded font.
    #[must_use]
    pub fn width(&self) -> f64 {
        font::text_width(&self.content, self.size)
    }

    /// The outlines of its letters on the page, in the embedded font.
    pub(super) fn outline(&self) -> Path {
        let before = self.width() * self.anchor.share_before();
        let (sin, cos) = sin_cos(self.rotation.to_radians());
        let placed = |(x, y): (f64, f64)| {
            let x = x - before;
            (self.at.0 + x * cos + y * sin, self.at.1 + y * cos - x * sin)
        };
        font::outline(&self.content, self.size).mapped(placed)
    }

    pub(super) fn is_drawable(&self) -> bool {
        let numbers = [self.at.0, self.at.1, self.size, self.rotation];
        !self.content.is_empty() && numbers.iter().all(|v| v.is_finite())
    }
}

/// The text without line breaks, tabs and control characters, which neither format can show.
pub(super) fn printable(text: &str) -> Cow<'_, str> {
    let unfit = |c: char| c.is_control() || matches!(c, '\u{FFFE}' | '\u{FFFF}');
    if !text.contains(unfit) {
        return Cow::Borrowed(text);
    }
    let fit = |c: char| match c {
        '\n' | '\r' | '\t' => ' ',
        c if unfit(c) => char::REPLACEMENT_CHARACTER,
        c => c,
    };
    Cow::Owned(text.chars().map(fit).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn control_characters_are_replaced() {
        assert_eq!(printable("a\tb\u{1}"), "a b\u{FFFD}");
        assert!(matches!(printable("plain"), Cow::Borrowed(_)));
    }
}
