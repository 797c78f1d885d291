//! The journal of one bath: what was mixed, developed, replenished, measured and thrown away.
//!
//! A journal is one CSV file that opens in any spreadsheet. Its first row names the columns; every
//! other row is an entry, and entries are only ever added:
//!
//! | act | columns, besides `date` (2026-03-04, or as [`day`](crate::units::day::day) reads it) and `note` |
//! |---|---|
//! | `mix` | `litres`, `what`, `dilution` |
//! | `film` | `films` (words, as 3 × 135-36), `area_m2`; where they are known `numbers` (12=r1p2: film 12 on reel 1 at place 2), `load` (the batch of its session), `vessel`, `pairing`, `minutes`, `celsius`, `contrast`, `development` (as N+1), `temperatures` (a file of them) |
//! | `replenish` | `added_ml`, `removed_ml` (empty: as much as was added) |
//! | `strip` | `strip`, `batch`, `pairing`, `minutes`, `celsius`, `activity` with `activity_low` and `activity_high`, `contrast`, `base_plus_fog`, `speed_log_h`, `low_density`, `high_density`, each with its deviation from aim, `verdict` |
//! | `leader` | `strip`, `pairing` (the leader family), `minutes`, `celsius`, `high_density` (of the piece), `activity` with `activity_low` and `activity_high` |
//! | `note`, `discard` | |
//!
//! It may be edited by hand: columns in any order, commas, semicolons or tabs, decimal commas where
//! commas do not separate, further columns. New entries follow the file's own style. Close it in the
//! spreadsheet before entries are made: a spreadsheet that saves later overwrites them.
//!
//! **Volume.** A mix begins a bath of so many litres. A replenishment takes out `removed_ml`, then
//! puts in `added_ml`; if only what was added is known, as much was removed, so that the bath keeps
//! its level. Taking out less than is put in raises it.
//!
//! **Taken back.** An entry that is taken back stays in the file as a comment, `# struck out 2026-03-09`
//! before its cells; an entry of an earlier day goes to its place by date if that is allowed.
//!
//! **Numbers.** A film has its number once in a journal. A journal that has no column for what an entry
//! of numbered film fills gets it before its last column; every cell that is there stays.
//!
//! **What may follow what.** Dates never go back, and none is later than today. Film, replenishment,
//! strip, leader and discard need a bath that was mixed and not discarded; nobody takes out more than there
//! is.
//!
//! **Crashes.** An entry is checked, written in one call and on the disk before
//! [`Journal::append`] returns, all under one lock of the file. If a crash cuts an entry short, the
//! next append moves what is left of it to a file beside, `JOURNAL.torn`, and says so; a last line
//! that is whole and only lacks its line end is an entry, and that is said too. If the disk is full
//! the file is cut back to what it was.

mod balance;
mod cell_error;
#[cfg(feature = "files")]
mod change;
mod check;
mod columns;
#[cfg(feature = "files")]
mod commit;
mod entry;
mod errors;
mod layout;
mod load;
mod note;
mod parse;
mod rows;
#[cfg(feature = "files")]
mod store;
mod strays;
mod struck;
mod tail;
mod unlikely;
#[cfg(feature = "files")]
mod widen;
mod write;

pub use balance::Balance;
pub use cell_error::CellError;
#[cfg(feature = "files")]
pub use change::Allow;
pub use columns::Column;
pub use entry::{Act, Cell, Entry, LeaderResult, StripResult};
pub use errors::{Fault, Faults, JournalError, SHOWN_FAULTS};
pub use load::{GREATEST, Load, Numbered};
pub use note::{JournalNote, Noticed};
#[cfg(feature = "files")]
pub use store::Patience;
pub use struck::{Later, Struck, TakenBack};
pub use unlikely::Unlikely;

use jiff::civil::Date;
#[cfg(feature = "files")]
use layout::Layout;
#[cfg(feature = "files")]
use parse::Parsed;
use parse::parse;
#[cfg(feature = "files")]
use std::path::Path;
use std::path::PathBuf;
use std::sync::Arc;

/// The journal of one bath.
#[derive(Clone, Debug, PartialEq)]
pub struct Journal {
    /// The file, as the user wrote it.
    pub file: Arc<str>,
    /// Its entries, in the order of the file and of their dates.
    pub entries: Vec<Entry>,
    /// Entries that were taken back, in the order of the file.
    pub struck: Vec<Struck>,
    /// What was noticed.
    pub notes: Vec<JournalNote>,
    /// Film of the present bath of an area that is most likely a slip of the hand; the notes have it too.
    pub doubts: Vec<JournalNote>,
    /// What stands at its end and is no entry, because a crash cut it short; on one line, and cut
    /// where it is long.
    pub torn: Option<String>,
}

/// What became of an entry that was made.
#[derive(Clone, Debug, PartialEq)]
pub struct Appended {
    /// The line where it stands, from 1.
    pub line: u64,
    /// How the bath stands after it.
    pub balance: Balance,
    /// What was noticed.
    pub notes: Vec<JournalNote>,
    /// What a crash had cut short at the end of the journal, and the file that it was moved to.
    pub torn: Option<(String, PathBuf)>,
    /// Columns that the journal got for it.
    pub columns: Vec<Column>,
    /// What stands after it, where it went before entries that were there.
    pub later: Option<Later>,
}

impl Journal {
    /// Reads the journal at `path`. The file is left as it is, even if its end is torn.
    ///
    /// # Errors
    /// [`JournalError`], with every faulty row.
    #[cfg(feature = "files")]
    pub fn read(path: &Path) -> Result<Self, JournalError> {
        let bytes = store::read(path)?;
        let name = store::name(path);
        let mut journal = Self::parse(&name, &bytes, today())?;
        if let Some(torn) = &journal.torn {
            let beside = commit::beside(path);
            let what = Noticed::Torn { text: torn.clone(), beside };
            journal.notes.push(JournalNote { file: Arc::clone(&name), line: None, what });
        }
        Ok(journal)
    }

    /// Reads a journal's `bytes` as of the day `today`; `name` stands for the file in messages.
    ///
    /// # Errors
    /// [`JournalError`], with every faulty row.
    ///
    /// # Example
    /// ```
    /// use jiff::civil::date;
    /// use wedgebook::bath::journal::Journal;
    ///
    /// let text = b"date;act;litres;films;area_m2\n2026-03-03;mix;1,5;;\n2026-03-05;film;;3 x 135-36;0,168\n";
    /// let journal = Journal::parse("tray.csv", text, date(2026, 3, 31))?;
    /// let bath = journal.balance();
    /// assert_eq!((bath.litres, bath.films, bath.area_m2), (1.5, 3, 0.168));
    /// assert_eq!(bath.age_days(date(2026, 3, 31)), Some(28));
    ///
    /// let text = b"date,act,area_m2\n2026-03-05,flim,0.168\n";
    /// assert_eq!(
    ///     Journal::parse("tray.csv", text, date(2026, 3, 31)).unwrap_err().to_string(),
    ///     "tray.csv:2, column \"act\": unknown entry type \"flim\"; did you mean \"film\"?"
    /// );
    /// # Ok::<(), wedgebook::bath::journal::JournalError>(())
    /// ```
    pub fn parse(name: &str, bytes: &[u8], today: Date) -> Result<Self, JournalError> {
        let file: Arc<str> = name.into();
        let parsed = parse(&file, bytes, today)?;
        match parsed.layout {
            Some(_) => Ok(parsed.journal),
            None => Err(JournalError::Empty { file }),
        }
    }

    /// Adds an entry to the journal at `path`, after all rules are checked against how the bath
    /// stands. A mix begins a journal that is not there. On success the entry is on the disk;
    /// on an error the journal is as it was. It may repeat an entry, or be unlikely.
    ///
    /// # Errors
    /// [`JournalError`]: the entry's faults, or those of the journal as it stands.
    #[cfg(feature = "files")]
    pub fn append(path: &Path, entry: &Entry) -> Result<Appended, JournalError> {
        let allow = Allow { again: true, sure: true, late: false };
        let mut made = Self::append_all(path, std::slice::from_ref(entry), allow)?;
        Ok(made.swap_remove(0))
    }

    /// Adds several entries in their order: all of them, in one write, or none. What is late, repeats an
    /// entry that was there before them, or is unlikely must be allowed.
    ///
    /// # Errors
    /// As [`Journal::append`], for the first entry that cannot be made.
    #[cfg(feature = "files")]
    pub fn append_all(
        path: &Path,
        entries: &[Entry],
        allow: Allow,
    ) -> Result<Vec<Appended>, JournalError> {
        let may_begin = matches!(entries.first(), Some(Entry { act: Act::Mix { .. }, .. }));
        let (file, today) = (store::name(path), today());
        // An entry that can never be is refused before a file is made for it.
        for entry in entries {
            let mut flaws = check::flaws(entry);
            flaws.extend(check::several_lines(entry));
            flaws.extend(check::date(entry.date, None, today));
            refuse(&file, flaws)?;
        }
        let locked = store::lock(path, may_begin)?;
        let mut parsed = parse(&file, &locked.bytes, today)?;
        if parsed.layout.is_none() && !may_begin {
            return Err(JournalError::Empty { file });
        }
        if !allow.again {
            let there = &parsed.journal.entries;
            let flaws = entries.iter().filter_map(|e| change::repeated(e, there)).collect();
            refuse(&file, flaws)?;
        }
        if !allow.sure {
            let mut bath = parsed.balance;
            let mut flaws = Vec::new();
            for entry in entries {
                flaws.extend(unlikely::unlikely(entry, &bath));
                bath.enter(entry);
            }
            // Nothing is written: a file that was begun for it goes again.
            refuse(&file, flaws).inspect_err(|_| locked.forget())?;
        }
        let twice = change::numbered_twice(entries, &parsed.journal.entries);
        refuse(&file, twice.into_iter().collect()).inspect_err(|_| locked.forget())?;
        let last = parsed.balance.last;
        let late = allow.late && entries.iter().any(|e| last.is_some_and(|last| e.date < last));
        let missing = parsed.layout.as_ref().map(|layout| widen::missing(entries, layout));
        let missing = missing.unwrap_or_default();
        if late || !missing.is_empty() {
            if !late {
                let mut bath = parsed.balance;
                for entry in entries {
                    let mut flaws = Vec::new();
                    flaws.extend(check::date(entry.date, bath.last, today));
                    flaws.extend(bath.refusal(entry));
                    refuse(&file, flaws)?;
                    bath.enter(entry);
                }
            }
            return change::insert_all(locked, parsed, entries, &missing, today);
        }
        let (mut bytes, mut made) = (Vec::new(), Vec::new());
        for entry in entries {
            bytes.extend(line_after(&file, &parsed, entry, today)?);
            parsed.balance.enter(entry);
            let line = parsed.next_line + u64::from(parsed.layout.is_none());
            made.push(Appended {
                line,
                balance: parsed.balance,
                notes: if made.is_empty() { parsed.journal.notes.clone() } else { Vec::new() },
                torn: None,
                columns: Vec::new(),
                later: None,
            });
            parsed.layout.get_or_insert_with(Layout::standard);
            (parsed.next_line, parsed.lacks) = (line + 1, "");
        }
        let beside = locked.append(parsed.end, &bytes)?;
        if let Some(first) = made.first_mut() {
            first.torn = parsed.journal.torn.zip(beside);
        }
        Ok(made)
    }

    /// The number after the greatest that a film has; 1 where none has one.
    #[must_use]
    pub fn next_number(&self) -> u32 {
        let numbers = self.entries.iter().flat_map(Entry::numbered).map(|film| film.number);
        numbers.max().map_or(1, |greatest| greatest.saturating_add(1))
    }

    /// How the bath stands after the last entry.
    #[must_use]
    pub fn balance(&self) -> Balance {
        self.balances().last().map_or_else(Balance::default, |(_, balance)| balance)
    }

    /// Each entry with how the bath stands after it.
    pub fn balances(&self) -> impl Iterator<Item = (&Entry, Balance)> {
        self.entries.iter().scan(Balance::default(), |balance, entry| {
            balance.enter(entry);
            Some((entry, *balance))
        })
    }
}

/// Today, by this computer's clock and time zone.
#[must_use]
#[cfg(feature = "files")]
pub fn today() -> Date {
    jiff::ZonedDateTime::now().date()
}

/// The bytes that make `entry` the next of a journal.
#[cfg(feature = "files")]
fn line_after(
    file: &Arc<str>,
    parsed: &Parsed,
    entry: &Entry,
    today: Date,
) -> Result<Vec<u8>, JournalError> {
    let mut flaws = Vec::new();
    flaws.extend(check::date(entry.date, parsed.balance.last, today));
    flaws.extend(parsed.balance.refusal(entry));
    refuse(file, flaws)?;
    line_of(file, parsed, entry)
}

/// The bytes of an entry, in the style of its journal.
#[cfg(feature = "files")]
fn line_of(file: &Arc<str>, parsed: &Parsed, entry: &Entry) -> Result<Vec<u8>, JournalError> {
    let standard = Layout::standard();
    let layout = parsed.layout.as_ref().unwrap_or(&standard);
    refuse(file, parse::no_columns(entry, layout))?;
    let start = match (&parsed.layout, parsed.end) {
        (Some(_), _) => "",
        (None, 0) => write::START,
        (None, _) => write::START.trim_start_matches('\u{FEFF}'),
    };
    let line = write::line(entry, layout, &parsed.style);
    let text = format!("{}{start}{line}", parsed.lacks);
    write::encoded(&text, &parsed.style).map_err(|found| {
        let column = letter_in(entry, found);
        faulty(file, vec![(column, CellError::NoLetter { found })])
    })
}

fn refuse(file: &Arc<str>, flaws: Vec<check::Flaw>) -> Result<(), JournalError> {
    match flaws.is_empty() {
        true => Ok(()),
        false => Err(faulty(file, flaws)),
    }
}

/// The faults of a new entry.
fn faulty(file: &Arc<str>, flaws: Vec<check::Flaw>) -> JournalError {
    let fault = |(column, what): check::Flaw| Fault {
        file: Arc::clone(file),
        line: None,
        column: Some(column.name().into()),
        what,
    };
    Faults(flaws.into_iter().map(fault).collect()).into()
}

/// The column whose text has this letter.
#[cfg(feature = "files")]
fn letter_in(entry: &Entry, letter: char) -> Column {
    let cells = entry.cells().into_iter();
    let mut holding = cells.filter(|(_, cell)| matches!(cell, Cell::Text(t) if t.contains(letter)));
    holding.next().map_or(Column::Note, |(column, _)| column)
}
