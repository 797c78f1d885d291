//! `wedgebook session`: the sheet of a session, its page, and its entries.

mod args;
mod enter;
mod json;
mod page;
mod text;
mod words;

pub use args::Args;

use super::{Failure, Outcome, complain, inputs, print};
use crate::bath::journal::{Journal, today};
use crate::session::plan::{Source, example};
use crate::session::{Plan, Session, SessionError, Sheet, followed};
use jiff::civil::Date;
use std::path::Path;

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let Some(path) = &args.plan else {
        print(&example())?;
        return Ok(Outcome::Done);
    };
    let plan = Plan::read(path)?;
    let (file, pairing) = inputs::pairing(&plan.pairing)?;
    let journal = match &plan.developer.source {
        Source::Bath { journal, .. } => Some(Journal::read(journal)?),
        Source::OneShot { .. } => None,
    };
    for note in journal.iter().flat_map(|j| &j.notes) {
        complain(format!("note: {note}"));
    }
    let session = Session {
        plan: &plan,
        file: &file,
        pairing: &pairing,
        activity: journal.as_ref().and_then(|j| followed(j, args.date.unwrap_or_else(today))),
        journal: journal.as_ref(),
        extrapolate: args.extrapolate,
    };
    let sheet = match session.sheet() {
        Ok(sheet) => sheet,
        Err(SessionError::No(why)) => {
            complain(why);
            return Ok(Outcome::No);
        }
        Err(error) => return Err(error.into()),
    };
    let told = Told {
        sheet: &sheet,
        plan: path,
        journal: match &plan.developer.source {
            Source::Bath { journal, .. } => Some(journal),
            Source::OneShot { .. } => None,
        },
        date: args.date.unwrap_or_else(today),
    };
    if args.enter {
        return enter::enter(&told, journal.as_ref(), args.json);
    }
    if let Some(path) = &args.page {
        page::checklist(&told).scene().save(path)?;
    }
    print(&if args.json { json::document(&told) } else { text::report(&told) })?;
    Ok(Outcome::Done)
}

/// A sheet, and what it is called by.
struct Told<'a> {
    sheet: &'a Sheet,
    plan: &'a Path,
    journal: Option<&'a Path>,
    date: Date,
}
