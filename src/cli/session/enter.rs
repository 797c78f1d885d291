//! Entering a session in the journal of its bath, once.

use crate::answers::SessionSheet;
use crate::answers::session::Entered;
use crate::bath::journal::Journal;
use crate::cli::{Failure, Outcome, complain, show};
use std::path::Path;

/// Makes the entries, and shows them.
pub fn enter(
    plan: &Path,
    sheet: &SessionSheet,
    journal: Option<&Journal>,
    as_json: bool,
) -> Result<Outcome, Failure> {
    let (Some(path), Some(journal)) = (sheet.journal(), journal) else {
        let plan = plan.display();
        return Err(Failure(format!(
            "{plan}: a developer that is used once has no journal: leave --enter out"
        )));
    };
    if let Some(entry) = sheet.entered_in(journal) {
        return Err(Failure(format!(
            "{}:{}: this session is entered already; if it is another one of the same day, give its plan another title",
            journal.file, entry.line
        )));
    }
    let (mut made, mut balance) = (Vec::new(), None);
    for entry in sheet.entries() {
        match Journal::append(path, &entry) {
            Ok(appended) => {
                if let Some((text, beside)) = &appended.torn {
                    complain(format!(
                        "{}: the last line was cut short by a crash; it is moved to {}: {text}",
                        path.display(),
                        beside.display()
                    ));
                }
                balance = Some(appended.balance);
                made.push((appended.line, entry));
            }
            Err(error) => {
                let Some((line, _)) = made.last() else { return Err(error.into()) };
                return Err(Failure(format!(
                    "{error}\nthe entries up to line {line} are made; enter the rest with wedgebook bath"
                )));
            }
        }
    }
    show(&Entered { journal: path.clone(), made, balance }, as_json).map_err(|Failure(error)| {
        Failure(format!("the entries are made, but cannot be shown: {error}"))
    })
}
