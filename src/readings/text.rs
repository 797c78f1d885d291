//! Bytes to text: UTF-8 with or without a byte order mark, UTF-16 with one, or Latin-1.

use std::borrow::Cow;

/// Bytes at the start of a file that are examined for control characters.
const EXAMINED: usize = 64 * 1024;

/// The text of a file, and whether it had to be read as Latin-1.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Decoded<'a> {
    pub(super) text: Cow<'a, str>,
    pub(super) latin1: bool,
}

/// The text of `bytes`; `None` if they are not text.
pub(super) fn decoded(bytes: &[u8]) -> Option<Decoded<'_>> {
    let utf16 = |bytes: &[u8], word: fn([u8; 2]) -> u16| {
        let words: Vec<u16> = bytes.chunks_exact(2).map(|pair| word([pair[0], pair[1]])).collect();
        let text = String::from_utf16(&words).ok().filter(|text| !text.contains('\0'))?;
        Some(Decoded { text: Cow::Owned(text), latin1: false })
    };
    match bytes {
        [0xFF, 0xFE, rest @ ..] => return utf16(rest, u16::from_le_bytes),
        [0xFE, 0xFF, rest @ ..] => return utf16(rest, u16::from_be_bytes),
        _ => {}
    }
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    if is_binary(bytes) {
        return None;
    }
    Some(match std::str::from_utf8(bytes) {
        Ok(text) => Decoded { text: Cow::Borrowed(text), latin1: false },
        Err(_) => {
            Decoded { text: bytes.iter().map(|byte| char::from(*byte)).collect(), latin1: true }
        }
    })
}

/// Text has no null byte, and hardly any other control characters than tabs and line ends.
fn is_binary(bytes: &[u8]) -> bool {
    let start = &bytes[..bytes.len().min(EXAMINED)];
    let control = |byte: &&u8| **byte < 0x20 && !matches!(**byte, b'\t' | b'\n' | b'\r' | 0x0C);
    start.iter().filter(control).count() > start.len() / 100 || bytes.contains(&0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(bytes: &[u8]) -> Option<(String, bool)> {
        decoded(bytes).map(|d| (d.text.into_owned(), d.latin1))
    }

    #[test]
    fn encodings_are_told_apart() {
        let plain = Some(("20 °C".to_owned(), false));
        assert_eq!(text("20 °C".as_bytes()), plain);
        assert_eq!(text("\u{FEFF}20 °C".as_bytes()), plain);
        assert_eq!(text(b"\xFF\xFE2\x000\x00 \x00\xB0\x00C\x00"), plain);
        assert_eq!(text(b"\xFE\xFF\x002\x000\x00 \x00\xB0\x00C"), plain);
        assert_eq!(text(b"20 \xB0C"), Some(("20 °C".to_owned(), true)));
    }

    #[test]
    fn what_is_not_text_is_refused() {
        assert_eq!(text(b"density\0"), None);
        assert_eq!(text(b"\x01\x02\x03"), None);
        assert_eq!(text(b"\xFF\xFE\x00\xD8"), None);
    }
}
