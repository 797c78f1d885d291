//! Changes of a journal that are more than a further entry at its end: an entry that goes to its place by
//! date, and one that is taken back.

use super::cell_error::CellError;
use super::check::{self, Flaw};
use super::columns::Column;
use super::entry::{Act, Entry};
use super::errors::JournalError;
use super::parse::{Parsed, parse};
use super::store::{self, Locked};
use super::struck::{Later, STRUCK, TakenBack};
use super::{Appended, Journal, line_of, today, widen};
use jiff::civil::Date;
use std::collections::HashMap;
use std::path::Path;
use std::sync::Arc;

/// What an entry may be that is refused otherwise.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Allow {
    /// Before an entry that is there: it then goes to its place by date.
    pub late: bool,
    /// The same act, on the same day, with the same amounts as an entry that is there.
    pub again: bool,
    /// Possible and most likely a slip of the hand: see [`Unlikely`](super::Unlikely).
    pub sure: bool,
}

impl Journal {
    /// Takes back the last entry of the journal at `path`, or that which begins at `line`. Its row stays in
    /// the file, struck out: a comment with today's date, and every other byte as before.
    ///
    /// # Errors
    /// [`JournalError`]: no such entry; a journal that contradicts itself without it.
    pub fn take_back(path: &Path, line: Option<u64>) -> Result<TakenBack, JournalError> {
        let (file, today) = (store::name(path), today());
        let locked = store::lock(path, false)?;
        let parsed = parse(&file, &locked.bytes, today)?;
        let entries = &parsed.journal.entries;
        let found = match line {
            Some(line) => entries.iter().find(|entry| entry.line == line),
            None => entries.last(),
        };
        let Some(entry) = found.cloned() else {
            return Err(JournalError::NoEntry { file, line });
        };
        let delimiter = char::from(parsed.style.delimiter);
        let mark = format!("{STRUCK}{today}{delimiter}");
        let mut bytes = locked.bytes[..parsed.end].to_vec();
        let (start, end) = row_of(&bytes, entry.line);
        // A text of several lines is a comment on each of them.
        let breaks = (start + 1..end).filter(|at| bytes[at - 1] == b'\n');
        let starts: Vec<usize> = std::iter::once(start).chain(breaks).collect();
        for at in starts.into_iter().rev() {
            bytes.splice(at..at, mark.bytes());
        }
        let now = stands(&file, &bytes, today)?;
        let before = parsed.journal.entries;
        rewrite(locked, parsed.end, &bytes)?;
        Ok(TakenBack { entry, before, after: now.journal.entries })
    }
}

/// Makes entries of which some go before others that are there, or in a journal that lacks columns.
pub(super) fn insert_all(
    locked: Locked,
    mut parsed: Parsed,
    entries: &[Entry],
    columns: &[Column],
    today: Date,
) -> Result<Vec<Appended>, JournalError> {
    let file = Arc::clone(&parsed.journal.file);
    let (end, notes, torn) =
        (parsed.end, parsed.journal.notes.clone(), parsed.journal.torn.clone());
    let before = parsed.journal.entries.clone();
    let mut bytes = locked.bytes[..end].to_vec();
    if !columns.is_empty() {
        bytes = widen::widened(&bytes, &parsed, columns);
        parsed = stands(&file, &bytes, today)?;
    }
    let mut made: Vec<Appended> = Vec::new();
    for entry in entries {
        let next = parsed.journal.entries.iter().position(|there| there.date > entry.date);
        let (at, line) = match next {
            Some(next) => {
                let line = parsed.journal.entries[next].line;
                (row_of(&bytes, line).0, line)
            }
            None => (bytes.len(), parsed.next_line),
        };
        if next.is_some() {
            parsed.lacks = "";
        }
        // Whether the acts follow from each other is seen when the whole is read again.
        let row = line_of(&file, &parsed, entry)?;
        bytes.splice(at..at, row);
        // Entries made a moment ago move on as well.
        made.iter_mut().filter(|m| m.line >= line).for_each(|m| m.line += 1);
        parsed = stands(&file, &bytes, today)?;
        let later = Later { count: 0, before: before.clone(), after: Vec::new() };
        made.push(Appended {
            line,
            balance: parsed.balance,
            notes: Vec::new(),
            torn: None,
            columns: Vec::new(),
            later: next.map(|_| later),
        });
    }
    let beside = rewrite(locked, end, &bytes)?;
    for appended in &mut made {
        appended.balance = parsed.balance;
        if let Some(later) = &mut appended.later {
            later.after.clone_from(&parsed.journal.entries);
            later.count = parsed.journal.entries.iter().filter(|e| e.line > appended.line).count();
        }
    }
    if let Some(first) = made.first_mut() {
        first.notes = notes;
        first.columns = columns.to_vec();
        first.torn = torn.zip(beside);
    }
    Ok(made)
}

/// The journal of changed bytes, if its entries still follow from each other.
fn stands(file: &Arc<str>, bytes: &[u8], today: Date) -> Result<Parsed, JournalError> {
    parse(file, bytes, today)
        .map_err(|why| JournalError::WouldContradict { file: Arc::clone(file), why: Box::new(why) })
}

/// Puts a new file in the place of the journal, under its lock; what a crash had left after `end` is moved
/// to a file beside first.
fn rewrite(
    mut locked: Locked,
    end: usize,
    bytes: &[u8],
) -> Result<Option<std::path::PathBuf>, JournalError> {
    let kept = locked.set_aside(end).map_err(|e| locked.unchanged(&e.to_string()))?;
    crate::files::replace(&locked.path, bytes)
        .map_err(|why| locked.unchanged(&why.error.to_string()))?;
    Ok(kept)
}

/// What is wrong with an entry that repeats one of `there`: the same act on the same day with the same
/// amounts. Remarks do not count, but of a note they are all there is.
pub(super) fn repeated(entry: &Entry, there: &[Entry]) -> Option<Flaw> {
    let same_day = there.iter().rev().filter(|other| other.date == entry.date);
    let same = |other: &&Entry| {
        other.act.is_as(&entry.act) && (entry.act != Act::Note || other.note == entry.note)
    };
    let line = same_day.clone().find(same)?.line;
    Some((Column::Act, CellError::Repeated { act: entry.act.name(), line }))
}

/// The first number of a film that is there already, or that is given twice at once.
pub(super) fn numbered_twice(entries: &[Entry], there: &[Entry]) -> Option<Flaw> {
    let mut known: HashMap<u32, u64> = HashMap::new();
    for entry in there {
        known.extend(entry.numbered().iter().map(|film| (film.number, entry.line)));
    }
    entries.iter().find_map(|entry| check::numbers(entry, &mut known))
}

/// Where the row that begins on a line begins and ends, in bytes; its line end is not part of it. A text in
/// quotation marks may run over several lines.
fn row_of(bytes: &[u8], line: u64) -> (usize, usize) {
    let ends = bytes.iter().enumerate().filter(|(_, byte)| **byte == b'\n').map(|(at, _)| at + 1);
    let start = std::iter::once(0).chain(ends).zip(1..).find(|(_, number)| *number == line);
    let start = start.map_or(bytes.len(), |(at, _)| at);
    let mut quoted = false;
    let length = bytes[start..].iter().position(|byte| {
        quoted ^= *byte == b'"';
        *byte == b'\n' && !quoted
    });
    (start, length.map_or(bytes.len(), |length| start + length))
}
