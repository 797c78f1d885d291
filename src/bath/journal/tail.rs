//! The end of a journal after a crash: what was torn, and what only lacks its line end.

use crate::readings::delimited::{Records, misshapen};
use csv::StringRecord;

/// The form of a table's rows.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shape {
    pub(super) delimiter: u8,
    pub(super) width: usize,
    /// Where the date stands.
    pub(super) date: Option<usize>,
}

impl Shape {
    /// Whether `text` is one whole row.
    fn is_row(self, text: &str) -> bool {
        let mut records = Records::new(text, self.delimiter, 0);
        let Some((_, raw)) = records.next(Some(self.width)) else {
            return false;
        };
        let (record, end) = (&records.record, records.at_end());
        misshapen(record, raw, self.width, self.delimiter, end).is_none() && end
    }
}

/// Whether a byte belongs in no text.
pub(super) const fn is_control(byte: u8) -> bool {
    byte < 0x20 && !matches!(byte, b'\t' | b'\n' | b'\r')
}

/// Where bytes that are no text begin, at the start of a line, if they run on to the end: what a
/// file system may leave of a write that a crash cut short. `None` if a whole row follows them.
pub(super) fn garbage(bytes: &[u8], shape: Shape) -> Option<usize> {
    let first = bytes.iter().position(|byte| is_control(*byte))?;
    let start = bytes[..first].iter().rposition(|byte| *byte == b'\n')? + 1;
    let mut lines = bytes[start..].split(|byte| *byte == b'\n');
    let is_row = |line: &[u8]| shape.is_row(&String::from_utf8_lossy(line));
    (!lines.any(is_row)).then_some(start)
}

/// Whether what follows the last line end of `text`, at `start`, is a row cut short. A whole row is
/// not, nor a comment, nor the end of a quoted text of several lines.
///
/// No part of a line that this program writes passes for a whole row: it lacks a separator; or the
/// quotation mark that closes its last cell; or all of that cell, which a date in quotation marks
/// tells of. (One part does: that of a last cell with quotation marks of its own, cut between the two
/// that stand for one.)
pub(super) fn is_torn(text: &str, start: usize, shape: Shape) -> bool {
    let mut records = Records::new(text, shape.delimiter, 0);
    let (mut any, mut torn) = (false, false);
    while let Some((_, raw)) = records.next(Some(shape.width)) {
        let begins = records.start();
        if begins < start && begins + raw.len() > start {
            return false;
        }
        let (record, end) = (&records.record, records.at_end());
        any |= begins >= start;
        torn |= begins >= start
            && (raw.bytes().any(is_control)
                || misshapen(record, raw, shape.width, shape.delimiter, end).is_some()
                || lacks_last_cell(record, raw, shape));
    }
    torn || !any && is_part_of_nothing(&text[start..], shape)
}

/// Whether a line without content is no whole blank row, nor a comment: some separators, or a
/// quotation mark that would swallow what comes after it.
fn is_part_of_nothing(line: &str, shape: Shape) -> bool {
    let separators = line.matches(char::from(shape.delimiter)).count();
    let is_blank_row = separators + 1 == shape.width && !line.contains('"');
    !(line.trim().is_empty() || line.starts_with('#') || is_blank_row)
}

/// Whether the last cell is empty where the line says that it held something: by a date in quotation
/// marks, or by its being the date.
fn lacks_last_cell(record: &StringRecord, raw: &str, shape: Shape) -> bool {
    let cell = |at: usize| record.get(at).unwrap_or("").trim();
    let last = shape.width.saturating_sub(1);
    let tells = |date| date == last || raw.contains(&format!("\"{}\"", cell(date)));
    cell(last).is_empty() && shape.date.is_some_and(tells)
}

#[cfg(test)]
mod tests {
    use super::*;

    const THREE: Shape = Shape { delimiter: b',', width: 3, date: Some(0) };

    fn torn(text: &str) -> bool {
        is_torn(text, text.rfind('\n').map_or(0, |at| at + 1), THREE)
    }

    #[test]
    fn a_whole_last_row_is_not_torn() {
        for whole in [
            "a,b,c\n",
            "a,b,c\n1,2,3",
            "a,b,c\n1,2,\"3\"\r",
            "a,b,c\n# remark",
            "a,b,c\n1,2,\"x\ny\"",
            "a,b,c\n1,2,",
            "a,b,c\n,,",
            "a,b,c\n  ",
        ] {
            assert!(!torn(whole), "{whole}");
        }
        for cut in [
            "a,b,c\n1",
            "a,b,c\n1,2",
            "a,b,c\n1,2,\"3",
            "a,b,c\n1,2,3\u{1}",
            "a,b,c\n\"1\",2,",
            "a,b,c\n\"",
            "a,b,c\n,",
        ] {
            assert!(torn(cut), "{cut}");
        }
    }

    #[test]
    fn garbage_runs_to_the_end() {
        assert_eq!(garbage(b"a,b,c\n\0\0\0", THREE), Some(6));
        assert_eq!(garbage(b"a,b,c\n1,\0\nxy\n\xFF", THREE), Some(6));
        assert_eq!(garbage(b"a,b,c\n\0\0\n1,2,3\n", THREE), None);
        assert_eq!(garbage(b"a,b,c\n1,2,3\n", THREE), None);
        assert_eq!(garbage(b"\0\0", THREE), None);
    }
}
