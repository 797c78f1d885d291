//! `wedgebook session`: the sheet of a session, its pages, and its entries.

mod args;
mod enter;
pub(in crate::cli) mod night;

pub use args::{Args, number};

use super::{Failure, Outcome, hint, inputs, print, show};
use crate::answers::{Answer, SessionQuestion, SessionSheet};
use crate::bath::journal::today;
use crate::development::read_temperatures;
use crate::files::{Output, Outputs};
use crate::session::Plan;
use crate::session::plan::example;
use crate::show::page;
use crate::words::counted;
use std::path::PathBuf;

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let Some(path) = &args.plan else {
        print(&example())?;
        return Ok(Outcome::Done);
    };
    args.lock.set();
    let plan = Plan::read(path).map_err(|why| hint::no_plan(&why))?;
    for path in &args.temperatures {
        let log = read_temperatures(path).map_err(|errors| hint::faults(&errors))?;
        hint::notes(&log.notes);
    }
    if plan.is_class_night() {
        return night::run(args, path, &plan);
    }
    Outputs::beside([path, &plan.pairing])
        .reads(&args.temperatures)
        .reads(plan.journal().filter(|_| !args.enter))
        .writes(plan.journal().filter(|_| args.enter), Output::Journal)
        .writes_pages(args.page.as_deref())
        .check()?;
    let (file, pairing) = inputs::pairing(&plan.pairing)?;
    let journal = plan.journal().map(|path| super::bath::read(path)).transpose()?;
    if let Some(doubt) = journal.iter().flat_map(|j| &j.doubts).next().filter(|_| !args.anyway) {
        return Err(hint::doubtful(doubt));
    }
    journal.iter().for_each(hint::journal_notes);
    if let (Some(_), None) = (args.number, &journal) {
        return Err(Failure(format!(
            "{}: a developer that is used once has no journal, which has the numbers of films: leave --number out",
            path.display()
        )));
    }
    let question = SessionQuestion {
        plan: &plan,
        file: &file,
        pairing: &pairing,
        journal: journal.as_ref(),
        date: args.date.unwrap_or_else(today),
        extrapolate: args.extrapolate,
        anyway: args.anyway,
        first_number: args.number,
        temperatures: &args.temperatures,
    };
    let sheet = match SessionSheet::of(question) {
        Ok(sheet) => sheet,
        Err(why) => {
            let answer = |standing| SessionSheet::not_given(&question, standing);
            return hint::without_sheet(why, args.json, answer, |answer| save_page(args, answer));
        }
    };
    enough_for(&args.temperatures, sheet.batch_count(), "batch")?;
    if args.enter {
        return enter::enter(args, path, &sheet, journal.as_ref());
    }
    save_page(args, &sheet)?;
    show(&sheet, args.json)
}

/// Writes the page of an answer, where one is wanted.
fn save_page(args: &Args, answer: &impl Answer) -> Result<(), Failure> {
    if let Some(path) = &args.page {
        page::save(&page::render(&hint::described(answer)), path)?;
    }
    Ok(())
}

/// Whether there are no more files of temperatures than batches, or tanks.
fn enough_for(files: &[PathBuf], count: usize, what: &str) -> Result<(), Failure> {
    if files.len() > count {
        return Err(Failure(format!(
            "--temperatures names {}, and the session has {}; name one for each, in their order",
            counted(files.len(), "file"),
            counted(count, what)
        )));
    }
    Ok(())
}
