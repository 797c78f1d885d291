//! Entering a session in the journal of its bath, once.

use super::Args;
use crate::answers::SessionSheet;
use crate::answers::session::Entered;
use crate::bath::journal::{Allow, Entry, Journal};
use crate::bath::standing::Standing;
use crate::cli::way::Way;
use crate::cli::{Failure, Outcome, complain, hint, remark, show};
use crate::words::counted;
use jiff::civil::Date;
use std::path::Path;

/// Makes the entries, and shows them.
pub fn enter(
    args: &Args,
    plan: &Path,
    sheet: &SessionSheet,
    journal: Option<&Journal>,
) -> Result<Outcome, Failure> {
    let (Some(path), Some(journal)) = (sheet.journal(), journal) else {
        return Err(no_journal(plan));
    };
    if let Some(entry) = sheet.entered_in(journal).filter(|_| !args.again) {
        return Err(entered_already(&journal.file, entry.line));
    }
    make(args, path, journal, sheet.entries(), sheet.date())
}

/// There is nothing that a session could be entered in.
pub fn no_journal(plan: &Path) -> Failure {
    let plan = plan.display();
    Failure(format!("{plan}: a developer that is used once has no journal: leave --enter out"))
}

/// A session that a journal has already.
pub fn entered_already(journal: &str, line: u64) -> Failure {
    Failure(format!(
        "{journal}:{line}: this session is entered already; if it is another one of the same day, give its plan another title, or {}",
        Way::Again.words()
    ))
}

/// Makes entries in one journal, and shows them.
pub fn make(
    args: &Args,
    path: &Path,
    journal: &Journal,
    entries: Vec<Entry>,
    date: Date,
) -> Result<Outcome, Failure> {
    let appended =
        Journal::append_all(path, &entries, Allow { again: args.again, sure: true, late: false })
            .map_err(|error| hint::not_entered(&error))?;
    for (text, beside) in appended.iter().filter_map(|a| a.torn.as_ref()) {
        complain(format_args!(
            "{}: the last line was cut short by a crash; it is moved to {}: {text}",
            path.display(),
            beside.display()
        ));
    }
    let columns = appended.iter().flat_map(|a| &a.columns).map(|column| column.name());
    let columns: Vec<&str> = columns.collect();
    if !columns.is_empty() {
        remark(format_args!(
            "note: {} has {} now: {}",
            path.display(),
            counted(columns.len(), "further column"),
            columns.join(", ")
        ));
    }
    let balance = appended.last().map(|a| a.balance);
    let all = [journal.entries.as_slice(), entries.as_slice()].concat();
    let standing = Standing::of(&all, date);
    let made = appended.iter().map(|a| a.line).zip(entries).collect();
    show(&Entered { journal: path.to_owned(), made, balance, standing }, args.json).map_err(
        |Failure(error)| Failure(format!("the entries are made, but cannot be shown: {error}")),
    )
}
