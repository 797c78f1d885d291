//! Fonts: the embedded one, and for scripts that it does not have one of the system. They give widths
//! for the layout of every format and outlines for the raster.

use std::borrow::Cow;
use std::sync::OnceLock;

use rustybuzz::ttf_parser::{GlyphId, OutlineBuilder};
use rustybuzz::{Face, UnicodeBuffer};

use super::path::{Path, Segment};

/// Height of capitals and digits as a share of the font size.
pub const CAP_HEIGHT: f64 = 0.729;

/// Width that a character without a font is given, as a share of the font size: a viewer
/// will take it from another font, at most about this wide.
const FOREIGN_WIDTH: f64 = 1.0;

static BYTES: &[u8] = include_bytes!("../../../assets/figure-sans.ttf");

fn embedded() -> Option<&'static Face<'static>> {
    static FACE: OnceLock<Option<Face<'static>>> = OnceLock::new();
    FACE.get_or_init(|| Face::from_slice(BYTES, 0)).as_ref()
}

/// Whether the embedded font has a character, or there is nothing to draw of it.
fn is_embedded(c: char) -> bool {
    c.is_whitespace() || embedded().is_some_and(|face| face.glyph_index(c).is_some())
}

#[cfg(all(feature = "files", not(target_family = "wasm")))]
use super::system_fonts::face_with;

/// Without access to files, or in a page of a browser, there is no font but the embedded one.
#[cfg(not(all(feature = "files", not(target_family = "wasm"))))]
fn face_with(_: char) -> Option<&'static Face<'static>> {
    None
}

/// The characters of a text that no font here has.
pub(super) fn without_font(text: &str) -> impl Iterator<Item = char> + '_ {
    text.chars().filter(|c| !is_embedded(*c) && face_with(*c).is_none())
}

/// A glyph that is written: its font, how far the pen moves and where it stands off the pen, as shares
/// of the font size.
struct Written {
    face: &'static Face<'static>,
    glyph: GlyphId,
    advance: f64,
    off: (f64, f64),
}

/// The glyphs of a line from left to right. A stretch in another script, with the spaces inside of it,
/// is shaped as a whole by its font: its letters are joined and in the order of its script.
fn glyphs(text: &str) -> Vec<Written> {
    let Some(own) = embedded() else { return Vec::new() };
    let mut written = Vec::new();
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let font = if is_embedded(c) { None } else { face_with(c) };
        let length = match font {
            Some(face) => stretch(rest, face),
            None => c.len_utf8(),
        };
        let (now, then) = rest.split_at(length);
        match font {
            Some(face) => written.extend(shaped(now, face)),
            None => {
                let glyph = own.glyph_index(c);
                let known = glyph.and_then(|g| own.glyph_hor_advance(g));
                let units = f64::from(own.units_per_em());
                let advance = known.map_or(FOREIGN_WIDTH, |a| f64::from(a) / units);
                // Glyph 0 is the font's own sign for a missing character, an empty box.
                let glyph = glyph.unwrap_or_default();
                written.push(Written { face: own, glyph, advance, off: (0.0, 0.0) });
            }
        }
        rest = then;
    }
    written
}

/// How many bytes from the start of a text one font has, spaces inside included.
fn stretch(text: &str, face: &Face<'_>) -> usize {
    let mut end = 0;
    for (at, c) in text.char_indices() {
        if face.glyph_index(c).is_some() && !is_embedded(c) {
            end = at + c.len_utf8();
        } else if !c.is_whitespace() {
            break;
        }
    }
    end.max(text.chars().next().map_or(0, char::len_utf8))
}

fn shaped(text: &str, face: &'static Face<'static>) -> Vec<Written> {
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(text);
    buffer.guess_segment_properties();
    let shaped = rustybuzz::shape(face, &[], buffer);
    let size = f64::from(face.units_per_em());
    let share = |units: i32| f64::from(units) / size;
    let both = shaped.glyph_infos().iter().zip(shaped.glyph_positions());
    both.map(|(info, place)| Written {
        face,
        glyph: GlyphId(u16::try_from(info.glyph_id).unwrap_or_default()),
        advance: share(place.x_advance),
        off: (share(place.x_offset), share(place.y_offset)),
    })
    .collect()
}

/// Width of a line of text at a font size, both in page units.
#[must_use]
pub fn text_width(text: &str, size: f64) -> f64 {
    glyphs(text).iter().map(|glyph| glyph.advance).sum::<f64>() * size
}

/// The text, or its beginning with an ellipsis where it is wider than `width`.
#[must_use]
pub fn shortened(text: &str, size: f64, width: f64) -> Cow<'_, str> {
    if text_width(text, size) <= width {
        return Cow::Borrowed(text);
    }
    let share = |c: char| text_width(c.encode_utf8(&mut [0; 4]), 1.0);
    let mut left = width / size - share('…');
    let fits = |c: &char| {
        left -= share(*c);
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
    at: (f64, f64),
    scale: f64,
    last: (f64, f64),
}

impl Pen {
    fn at(&self, x: f32, y: f32) -> (f64, f64) {
        (self.at.0 + f64::from(x) * self.scale, self.at.1 - f64::from(y) * self.scale)
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
    let mut pen = Pen { path: Path::default(), at: (0.0, 0.0), scale: 1.0, last: (0.0, 0.0) };
    let mut x = 0.0;
    for written in glyphs(text) {
        pen.scale = size / f64::from(written.face.units_per_em());
        pen.at = (x + written.off.0 * size, -written.off.1 * size);
        written.face.outline_glyph(written.glyph, &mut pen);
        x += written.advance * size;
    }
    pen.path
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_font_holds_what_figures_write() {
        let face = embedded().expect("the embedded font is readable");
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

    /// A script is drawn, or its characters are named as those without a font.
    #[test]
    fn no_script_is_silently_a_box() {
        for text in ["سلام عليكم", "暗室", "тень", "\u{10FFFD}"] {
            let missing: String = without_font(text).collect();
            let drawn = glyphs(text).iter().filter(|w| w.glyph != GlyphId(0)).count();
            assert!(missing.chars().count() + drawn >= 2 || !missing.is_empty(), "{text}");
            let boxes = glyphs(text).iter().filter(|w| w.glyph == GlyphId(0)).count();
            assert_eq!(boxes, missing.chars().count(), "{text}");
        }
        assert_eq!(without_font("тень Larkfold ¼").next(), None);
    }

    /// Where a font of the system has Arabic, its letters are joined and run from right to left.
    #[cfg(feature = "files")]
    #[test]
    fn letters_of_arabic_are_joined() {
        let Some(face) = face_with('س') else { return };
        let alone: Vec<Option<GlyphId>> = "سلم".chars().map(|c| face.glyph_index(c)).collect();
        let joined = glyphs("سلم");
        assert!(joined.iter().any(|w| !alone.contains(&Some(w.glyph))));
        assert!(text_width("سلم", 10.0) < 30.0);
    }

    #[test]
    fn spaces_have_width_but_no_outline() {
        assert!(text_width("  ", 10.0) > 5.0);
        assert!(outline("  ", 10.0).is_empty() && !outline("a", 10.0).is_empty());
    }
}
