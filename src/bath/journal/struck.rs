//! What a change of the journal leaves: entries that were taken back, comments that still say what they
//! were, and what stands after a late entry.

use super::entry::Entry;
use crate::units::day::day;
use jiff::civil::Date;

/// What a row begins with that is taken back; a date and the row as it was follow.
pub(super) const STRUCK: &str = "# struck out ";

/// An entry that was taken back. Its row stays in the file as a comment.
#[derive(Clone, Debug, PartialEq)]
pub struct Struck {
    /// The day on which it was taken back.
    pub on: Date,
    /// The entry as it was.
    pub entry: Entry,
}

/// What stood after a late entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Later {
    /// How many entries.
    pub count: usize,
    /// All entries of the journal before.
    pub before: Vec<Entry>,
    /// All of them now.
    pub after: Vec<Entry>,
}

/// A journal from which an entry was taken back.
#[derive(Clone, Debug, PartialEq)]
pub struct TakenBack {
    /// The entry.
    pub entry: Entry,
    /// The entries before.
    pub before: Vec<Entry>,
    /// The entries now.
    pub after: Vec<Entry>,
}

/// The entries that were taken back, by the comments that they left in `text`; `read` makes an entry of a
/// row and its line.
pub(super) fn struck<'t>(
    text: &'t str,
    delimiter: u8,
    mut read: impl FnMut(&'t str, u64) -> Option<Entry>,
) -> Vec<Struck> {
    if !text.contains(STRUCK) {
        return Vec::new();
    }
    let numbered = text.split('\n').zip(1..);
    let rows = numbered.filter_map(|(row, line)| {
        let (date, row) = row.strip_prefix(STRUCK)?.split_once(char::from(delimiter))?;
        let (on, _) = day(date, None).ok()?;
        Some(Struck { on, entry: read(row.trim_end_matches('\r'), line)? })
    });
    rows.collect()
}
