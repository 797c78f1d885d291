//! The embedded font: widths for the layout of every format, outlines for the raster.

use std::borrow::Cow;
use std::sync::OnceLock;

use ttf_parser::{Face, OutlineBuilder};

/// Height of capitals and digits as a share of the font size.
pub const CAP_HEIGHT: f64 = 0.729;

/// Width that a character outside the font is given, as a share of the font size: a viewer
/// will take it from another font, at most about this wide.
const FOREIGN_WIDTH: f64 = 1.0;

static BYTES: &[u8] = include_bytes!("../../../assets/figure-sans.ttf");

fn face() -> Option<&'static Face<'static>> {
    static FACE: OnceLock<Option<Face<'static>>> = OnceLock::new();
    FACE.get_or_init(|| Face::parse(BYTES, 0).ok()).as_ref()
}

fn advance(face: Option<&Face<'_>>, c: char) -> f64 {
    let known = face.and_then(|face| {
        let units = face.glyph_hor_advance(face.glyph_index(c)?)?;
        Some(f64::from(units) / f64::from(face.units_per_em()))
    });
    known.unwrap_or(FOREIGN_WIDTH)
}

/// Width of a line of text at a font size, both in page units.
#[must_use]
pub fn text_width(text: &str, size: f64) -> f64 {
    let face = face();
    text.chars().map(|c| advance(face, c)).sum::<f64>() * size
}

/// The text, or its beginning with an ellipsis where it is wider than `width`.
#[must_use]
pub fn shortened(text: &str, size: f64, width: f64) -> Cow<'_, str> {
    if text_width(text, size) <= width {
        return Cow::Borrowed(text);
    }
    let face = face();
    let mut left = width / size - advance(face, '…');
    let fits = |c: &char| {
        left -= advance(face, *c);
        left >= 0.0
    };
    let start: String = text.chars().take_while(fits).collect();
    Cow::Owned(format!("{}…", start.trim_end()))
}

/// The text in lines no wider than `width`, broken at spaces (not at those that forbid it); a word
/// that is wider alone is shortened.
#[must_use]
pub fn wrapped(text: &str, size: f64, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let words = text.split(|c: char| c.is_whitespace() && c != '\u{a0}');
    for word in words.filter(|w| !w.is_empty()) {
        let word = shortened(word, size, width);
        match lines.last_mut() {
            Some(line) if text_width(&format!("{line} {word}"), size) <= width => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(word.into_owned()),
        }
    }
    lines
}

/// A pen that places glyph outlines in font units on a line in page units.
struct Pen<'a> {
    path: &'a mut tiny_skia::PathBuilder,
    x: f32,
    scale: f32,
}

impl OutlineBuilder for Pen<'_> {
    fn move_to(&mut self, x: f32, y: f32) {
        self.path.move_to(self.x + x * self.scale, -y * self.scale);
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.path.line_to(self.x + x * self.scale, -y * self.scale);
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let (k, x0) = (self.scale, self.x);
        self.path.quad_to(x0 + x1 * k, -y1 * k, x0 + x * k, -y * k);
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let (k, x0) = (self.scale, self.x);
        self.path.cubic_to(x0 + x1 * k, -y1 * k, x0 + x2 * k, -y2 * k, x0 + x * k, -y * k);
    }
    fn close(&mut self) {
        self.path.close();
    }
}

/// Outlines of a line of text whose baseline begins at the origin; `None` if it has none (spaces).
#[must_use]
pub(super) fn outline(text: &str, size: f64) -> Option<tiny_skia::Path> {
    let face = face()?;
    let mut path = tiny_skia::PathBuilder::new();
    let scale = size as f32 / f32::from(face.units_per_em());
    let mut pen = Pen { path: &mut path, x: 0.0, scale };
    for c in text.chars() {
        // Glyph 0 is the font's own sign for a missing character, an empty box.
        let glyph = face.glyph_index(c).unwrap_or_default();
        face.outline_glyph(glyph, &mut pen);
        pen.x += (advance(Some(face), c) * size) as f32;
    }
    path.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_font_holds_what_figures_write() {
        let face = face().expect("the embedded font is readable");
        for c in "AZaz09éßőŁΔγθЖ−–—…×·°±≤≥√∫₀₉⁰²⁹←→↑↓'’“”†‡".chars()
        {
            assert!(face.glyph_index(c).is_some(), "no glyph for {c}");
        }
    }

    #[test]
    fn shortening_keeps_within_the_width() {
        let long = "a strip with quite a long name";
        let short = shortened(long, 12.0, 90.0);
        assert!(short.ends_with('…') && text_width(&short, 12.0) <= 90.0);
        assert!(short.chars().count() > 8, "{short}");
        assert_eq!(shortened("short", 12.0, 90.0), "short");
    }

    #[test]
    fn wrapped_lines_keep_every_word_within_the_width() {
        let text = "times under four  minutes invite unevenness";
        let lines = wrapped(text, 12.0, 120.0);
        assert!(lines.len() > 1 && lines.iter().all(|l| text_width(l, 12.0) <= 120.0));
        let words: Vec<&str> = text.split_whitespace().collect();
        assert_eq!(lines.join(" "), words.join(" "));
        assert_eq!(wrapped("immeasurably", 12.0, 40.0)[0].chars().last(), Some('…'));
        assert!(wrapped(" ", 12.0, 40.0).is_empty());
    }

    #[test]
    fn spaces_have_width_but_no_outline() {
        assert!(text_width("  ", 10.0) > 5.0);
        assert!(outline("  ", 10.0).is_none() && outline("a", 10.0).is_some());
    }
}
