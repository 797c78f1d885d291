//! Bytes to text: UTF-8, UTF-16 or Windows-1252.

use std::borrow::Cow;

use encoding_rs::{Encoding, UTF_16BE, UTF_16LE, WINDOWS_1252};

/// Bytes at the start of a file that are examined for control characters.
const EXAMINED: usize = 64 * 1024;

/// The text of a file, and whether it had to be read as Windows-1252.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Decoded<'a> {
    pub(super) text: Cow<'a, str>,
    pub(super) windows_1252: bool,
}

/// The text of `bytes`; `None` if they are not text.
///
/// A byte order mark shows which Unicode it is. Without one it is UTF-16 where every second byte of
/// the start is zero or nearly so, else UTF-8, and else Windows-1252.
pub(super) fn decoded(bytes: &[u8]) -> Option<Decoded<'_>> {
    let unicode = |text| Some(Decoded { text, windows_1252: false });
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    if let Some((encoding, mark)) = Encoding::for_bom(bytes).or_else(|| unmarked_utf_16(bytes)) {
        let text = encoding.decode_without_bom_handling_and_without_replacement(&bytes[mark..])?;
        return unicode(text).filter(|decoded| !is_binary(decoded.text.as_bytes()));
    }
    if is_binary(bytes) {
        return None;
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => unicode(Cow::Borrowed(text)),
        Err(_) => {
            let (text, _) = WINDOWS_1252.decode_without_bom_handling(bytes);
            Some(Decoded { text, windows_1252: true })
        }
    }
}

/// The UTF-16 that bytes without a mark are, if they are some: text of a table has mostly characters
/// below 256, so that every second byte is zero and hardly any other.
fn unmarked_utf_16(bytes: &[u8]) -> Option<(&'static Encoding, usize)> {
    let start = &bytes[..bytes.len().min(EXAMINED)];
    let zeros =
        |parity: usize| start.iter().skip(parity).step_by(2).filter(|byte| **byte == 0).count();
    let (even, odd, half) = (zeros(0), zeros(1), start.len() / 2);
    let most = |count: usize, other: usize| half >= 2 && 10 * count >= 9 * half && other == 0;
    match (most(odd, even), most(even, odd)) {
        (true, _) => Some((UTF_16LE, 0)),
        (_, true) => Some((UTF_16BE, 0)),
        _ => None,
    }
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
        decoded(bytes).map(|d| (d.text.into_owned(), d.windows_1252))
    }

    #[test]
    fn encodings_are_told_apart() {
        let plain = Some(("20 °C".to_owned(), false));
        assert_eq!(text("20 °C".as_bytes()), plain);
        assert_eq!(text("\u{FEFF}20 °C".as_bytes()), plain);
        assert_eq!(text(b"\xFF\xFE2\x000\x00 \x00\xB0\x00C\x00"), plain);
        assert_eq!(text(b"\xFE\xFF\x002\x000\x00 \x00\xB0\x00C"), plain);
        assert_eq!(text(b"2\x000\x00 \x00\xB0\x00C\x00"), plain);
        assert_eq!(text(b"\x002\x000\x00 \x00\xB0\x00C"), plain);
        assert_eq!(text(b"20 \xB0C"), Some(("20 °C".to_owned(), true)));
        assert_eq!(text(b"5\x80 \x96 \x93a\x94"), Some(("5€ – “a”".to_owned(), true)));
    }

    #[test]
    fn what_is_not_text_is_refused() {
        assert_eq!(text(b"density\0"), None);
        assert_eq!(text(b"\x01\x02\x03"), None);
        assert_eq!(text(b"\xFF\xFE\x00\xD8"), None);
    }
}
