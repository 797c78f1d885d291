//! The embedded font: widths for the layout of every format, outlines for the raster.

use std::borrow::Cow;
use std::sync::OnceLock;

use ttf_parser::{Face, OutlineBuilder};

use super::path::{Path, Segment};

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

/// A pen that writes glyph outlines, in font units upwards, on a path of the page.
struct Pen {
    path: Path,
    x: f64,
    scale: f64,
    last: (f64, f64),
}

impl Pen {
    fn at(&self, x: f32, y: f32) -> (f64, f64) {
        (self.x + f64::from(x) * self.scale, -f64::from(y) * self.scale)
    }

    fn add(&mut self, segment: impl Fn(f64, f64) -> Segment, (x, y): (f64, f64)) {
        self.last = (x, y);
        self.path.push(segment(x, y));
    }
}

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.add(Segment::Move, self.at(x, y));
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.add(Segment::Line, self.at(x, y));
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let (from, by, to) = (self.last, self.at(x1, y1), self.at(x, y));
        let towards = |a: f64, b: f64| a + 2.0 / 3.0 * (b - a);
        let (x1, y1) = (towards(from.0, by.0), towards(from.1, by.1));
        let (x2, y2) = (towards(to.0, by.0), towards(to.1, by.1));
        self.add(|x, y| Segment::Cubic(x1, y1, x2, y2, x, y), to);
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let ((x1, y1), (x2, y2)) = (self.at(x1, y1), self.at(x2, y2));
        self.add(|x, y| Segment::Cubic(x1, y1, x2, y2, x, y), self.at(x, y));
    }
    fn close(&mut self) {
        self.path.push(Segment::Close);
    }
}

/// Outlines of a line of text whose baseline begins at the origin; empty if it has none (spaces).
#[must_use]
pub(super) fn outline(text: &str, size: f64) -> Path {
    let Some(face) = face() else { return Path::default() };
    let scale = size / f64::from(face.units_per_em());
    let mut pen = Pen { path: Path::default(), x: 0.0, scale, last: (0.0, 0.0) };
    for c in text.chars() {
        // Glyph 0 is the font's own sign for a missing character, an empty box.
        let glyph = face.glyph_index(c).unwrap_or_default();
        face.outline_glyph(glyph, &mut pen);
        pen.x += advance(Some(face), c) * size;
    }
    pen.path
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
        assert!(outline("  ", 10.0).is_empty() && !outline("a", 10.0).is_empty());
    }
}
