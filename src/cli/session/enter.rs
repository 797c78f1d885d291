//! Entering a session in the journal of its bath, once.

use super::Told;
use super::json::entry as document;
use super::words::{entries, remark};
use crate::answers::bath::in_words as standing;
use crate::bath::journal::{Appended, Entry, Journal};
use crate::cli::{Failure, Outcome, complain, print};
use crate::session::entry_words;
use serde_json::{Value, json};
use std::fmt::Write;

/// Makes the entries, and tells of them.
pub fn enter(
    told: &Told<'_>,
    journal: Option<&Journal>,
    as_json: bool,
) -> Result<Outcome, Failure> {
    let (Some(path), Some(journal)) = (told.journal, journal) else {
        return Err(Failure(format!(
            "{}: a developer that is used once has no journal: leave --enter out",
            told.plan.display()
        )));
    };
    refuse_twice(told, journal)?;
    let mut made: Vec<(Appended, String, Value)> = Vec::new();
    for (batch, act) in entries(told) {
        let entry = Entry::new(told.date, act.clone(), Some(remark(told, batch)));
        match Journal::append(path, &entry) {
            Ok(appended) => {
                if let Some((text, beside)) = &appended.torn {
                    complain(format!(
                        "{}: the last line was cut short by a crash; it is moved to {}: {text}",
                        path.display(),
                        beside.display()
                    ));
                }
                made.push((appended, entry_words(act), document(told, batch, act)));
            }
            Err(error) if made.is_empty() => return Err(error.into()),
            Err(error) => {
                let last = made.last().map_or(0, |(appended, ..)| appended.line);
                return Err(Failure(format!(
                    "{error}\nwhat was entered before stands, up to line {last}; enter the rest with wedgebook bath"
                )));
            }
        }
    }
    let text = if as_json {
        let made = made.iter().map(|(appended, _, entry)| {
            let mut entry = entry.clone();
            entry["line"] = json!(appended.line);
            entry
        });
        let made: Vec<Value> = made.collect();
        format!("{:#}\n", json!({ "journal": path.display().to_string(), "entries": made }))
    } else {
        report(told, path, &made)
    };
    print(&text).map_err(|Failure(error)| {
        Failure(format!("the entries are made, but cannot be told of: {error}"))
    })?;
    Ok(Outcome::Done)
}

fn report(told: &Told<'_>, path: &std::path::Path, made: &[(Appended, String, Value)]) -> String {
    let mut out = format!("entered in {}\n", path.display());
    for (appended, words, _) in made {
        let _ = writeln!(out, "  line {}: {}  {words}", appended.line, told.date);
    }
    if let Some((appended, ..)) = made.last() {
        let _ = writeln!(out, "  bath: {}", standing(&appended.balance, told.date));
    }
    out
}

/// A session that is entered twice would count its film twice.
fn refuse_twice(told: &Told<'_>, journal: &Journal) -> Result<(), Failure> {
    let first = entries(told).next();
    let Some((batch, act)) = first else {
        return Ok(());
    };
    let note = Some(remark(told, batch));
    let same = |e: &&Entry| e.date == told.date && e.act == *act && e.note == note;
    match journal.entries.iter().find(same) {
        None => Ok(()),
        Some(entry) => Err(Failure(format!(
            "{}:{}: this session is entered already; if it is another one of the same day, give its plan another title",
            journal.file, entry.line
        ))),
    }
}
