//! Making an entry and telling of it, alike for every act.

use super::super::{Failure, Outcome, complain, hint, print};
use super::args::Place;
use super::words::{json, standing};
use crate::bath::journal::{Act, Appended, Cell, Entry, Journal, today};
use crate::files::{Output, Outputs};
use serde_json::{Map, Value, json};

/// What is told of an entry besides how the bath stands.
pub struct Told {
    /// The entry on one line.
    pub line: String,
    /// What a reader of the JSON is told too.
    pub notes: Vec<&'static str>,
}

impl Told {
    pub const fn line(line: String) -> Self {
        let notes = Vec::new();
        Self { line, notes }
    }
}

/// Makes the entry, and tells of it once it is on the disk.
pub fn enter(
    place: &Place,
    act: Act,
    note: Option<String>,
    told: Told,
) -> Result<Outcome, Failure> {
    Outputs::default().writes(Some(&place.journal), Output::Journal).check()?;
    let date = place.date.unwrap_or_else(today);
    let (entry, appended) = make(place, Entry::new(date, act, note))?;
    let text = match place.json {
        true => format!("{:#}\n", document(place, &entry, &appended, &told)),
        false => text(&entry, &appended, &told),
    };
    tell(place, &appended, &text)?;
    Ok(Outcome::Done)
}

/// Makes the entry; it is on the disk when this returns.
pub fn make(place: &Place, entry: Entry) -> Result<(Entry, Appended), Failure> {
    let appended =
        Journal::append(&place.journal, &entry).map_err(|error| hint::no_journal(&error))?;
    if let Some((text, beside)) = &appended.torn {
        complain(format!(
            "{}: the last line was cut short by a crash; it is moved to {}: {text}",
            place.journal.display(),
            beside.display()
        ));
    }
    Ok((entry, appended))
}

/// An entry as text.
pub fn text(entry: &Entry, appended: &Appended, told: &Told) -> String {
    for note in &appended.notes {
        complain(format!("note: {note}"));
    }
    let bath = standing(&appended.balance, entry.date);
    format!("{}  {}\n  bath: {bath}\n", entry.date, told.line)
}

/// Prints what was made.
pub fn tell(place: &Place, appended: &Appended, text: &str) -> Result<(), Failure> {
    print(text).map_err(|Failure(error)| {
        Failure(format!(
            "the entry is made, in line {} of {}, but cannot be told of: {error}",
            appended.line,
            place.journal.display()
        ))
    })
}

/// An entry as JSON.
pub fn document(place: &Place, entry: &Entry, appended: &Appended, told: &Told) -> Value {
    let mut cells = Map::new();
    cells.insert("line".to_owned(), json!(appended.line));
    cells.insert("date".to_owned(), json!(entry.date.to_string()));
    cells.insert("act".to_owned(), json!(entry.act.name()));
    for (column, cell) in entry.cells() {
        let value = match cell {
            Cell::Text(text) => json!(text),
            Cell::Number(number) => json!(number),
        };
        cells.insert(column.name().to_owned(), value);
    }
    let notes: Vec<&str> =
        told.notes.iter().copied().chain(appended.notes.iter().map(String::as_str)).collect();
    json!({
        "journal": place.journal.display().to_string(),
        "entry": cells,
        "bath": json(&appended.balance, entry.date),
        "notes": notes,
    })
}
