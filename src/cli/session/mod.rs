//! `wedgebook session`: the sheet of a session, its pages, and its entries.

mod args;
mod enter;

pub use args::Args;

use super::{Failure, Outcome, complain, described, inputs, print, show};
use crate::answers::{SessionQuestion, SessionSheet};
use crate::bath::journal::{Journal, today};
use crate::session::plan::{Source, example};
use crate::session::{Plan, PlanError, SessionError};
use crate::show::page;

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let Some(path) = &args.plan else {
        print(&example())?;
        return Ok(Outcome::Done);
    };
    let plan = Plan::read(path).map_err(|why| Failure(plan_failure(&why)))?;
    let (file, pairing) = inputs::pairing(&plan.pairing)?;
    let journal = match &plan.developer.source {
        Source::Bath { journal, .. } => Some(Journal::read(journal)?),
        Source::OneShot { .. } => None,
    };
    for note in journal.iter().flat_map(|j| &j.notes) {
        complain(format!("note: {note}"));
    }
    let sheet = SessionSheet::of(SessionQuestion {
        plan: &plan,
        file: &file,
        pairing: &pairing,
        journal: journal.as_ref(),
        date: args.date.unwrap_or_else(today),
        extrapolate: args.extrapolate,
    });
    let sheet = match sheet {
        Ok(sheet) => sheet,
        Err(SessionError::No(why)) => {
            complain(why);
            return Ok(Outcome::No);
        }
        Err(why @ SessionError::Bath { .. }) => {
            return Err(Failure(format!("{why}: wedgebook bath mix JOURNAL.csv --litres N")));
        }
        Err(error) => return Err(error.into()),
    };
    if args.enter {
        return enter::enter(path, &sheet, journal.as_ref(), args.json);
    }
    if let Some(path) = &args.page {
        page::save(&page::render(&described(&sheet)), path)?;
    }
    show(&sheet, args.json)
}

/// What is wrong with a plan, and where a plan with every key is to be had.
fn plan_failure(why: &PlanError) -> String {
    match why {
        PlanError::Unreadable { .. } => {
            format!("{why}; name a plan, or begin one with: wedgebook session --example")
        }
        PlanError::Missing { .. } => format!("{why}; see wedgebook session --example"),
        PlanError::Faulty { .. } => why.to_string(),
    }
}
