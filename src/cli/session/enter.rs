//! Entering a session in the journal of its bath, once.

use super::Args;
use crate::answers::SessionSheet;
use crate::answers::session::Entered;
use crate::bath::journal::{Allow, Journal};
use crate::bath::standing::Standing;
use crate::cli::{Failure, Outcome, complain, hint, show};
use crate::words::counted;
use std::path::Path;

/// Makes the entries, and shows them.
pub fn enter(
    args: &Args,
    plan: &Path,
    sheet: &SessionSheet,
    journal: Option<&Journal>,
) -> Result<Outcome, Failure> {
    let (Some(path), Some(journal)) = (sheet.journal(), journal) else {
        let plan = plan.display();
        return Err(Failure(format!(
            "{plan}: a developer that is used once has no journal: leave --enter out"
        )));
    };
    if let Some(entry) = sheet.entered_in(journal).filter(|_| !args.again) {
        return Err(Failure(format!(
            "{}:{}: this session is entered already; if it is another one of the same day, give its plan another title, or use --again",
            journal.file, entry.line
        )));
    }
    let entries = sheet.entries();
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
        complain(format_args!(
            "note: {} has {} now: {}",
            path.display(),
            counted(columns.len(), "further column"),
            columns.join(", ")
        ));
    }
    let balance = appended.last().map(|a| a.balance);
    let all = [journal.entries.as_slice(), entries.as_slice()].concat();
    let standing = Standing::of(&all, sheet.date());
    let made = appended.iter().map(|a| a.line).zip(entries).collect();
    show(&Entered { journal: path.clone(), made, balance, standing }, args.json).map_err(
        |Failure(error)| Failure(format!("the entries are made, but cannot be shown: {error}")),
    )
}
