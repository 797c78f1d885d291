//! Text in lines of a width, with nothing left out.

use crate::figures::draw::text_width;

/// The text in lines no wider than `width`, broken at spaces (not at those that forbid it); a word that
/// is wider alone is broken where it ends. An empty text has no lines.
pub(super) fn lines(text: &str, size: f64, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(|c: char| c.is_whitespace() && c != '\u{a0}').filter(|w| !w.is_empty()) {
        match lines.last_mut() {
            Some(line)
                if text_width(line, size) + text_width(" ", size) + text_width(word, size)
                    <= width =>
            {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.extend(pieces(word, size, width)),
        }
    }
    lines
}

/// A word in pieces that fit, of one character at least.
fn pieces(word: &str, size: f64, width: f64) -> Vec<String> {
    let mut pieces = vec![String::new()];
    let mut used = 0.0;
    for c in word.chars() {
        let own = text_width(c.encode_utf8(&mut [0; 4]), size);
        let piece = pieces.last_mut().expect("a piece");
        if used + own > width && !piece.is_empty() {
            pieces.push(c.to_string());
            used = own;
        } else {
            piece.push(c);
            used += own;
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_character_is_lost() {
        let text = "Larkfold  immeasurably long words";
        for width in [20.0, 60.0, 500.0] {
            let lines = lines(text, 12.0, width);
            assert!(lines.iter().all(|l| text_width(l, 12.0) <= width), "{lines:?}");
            let bare = |text: &str| text.replace(' ', "");
            assert_eq!(bare(&lines.concat()), bare(text));
        }
        assert!(lines(" ", 12.0, 40.0).is_empty());
    }
}
