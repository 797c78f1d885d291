//! `wedgebook session`: the sheet of a session, its pages, and its entries.

mod args;
mod enter;
mod night;

pub use args::{Args, number};

use super::{Failure, Outcome, complain, hint, inputs, print, show};
use crate::answers::{SessionQuestion, SessionSheet};
use crate::bath::journal::today;
use crate::development::read_temperatures;
use crate::files::{Output, Outputs};
use crate::session::plan::example;
use crate::session::{NoSession, Plan, SessionError};
use crate::show::page;
use crate::words::counted;

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
    for note in journal.iter().flat_map(|j| &j.notes) {
        complain(format!("note: {note}"));
    }
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
        Err(SessionError::No(NoSession::Withheld(standing))) => {
            let answer = SessionSheet::not_given(&question, standing);
            if let Some(path) = &args.page {
                page::save(&page::render(&hint::described(&answer)), path)?;
            }
            return hint::withheld(&answer, args.json);
        }
        Err(SessionError::No(why)) => {
            hint::no_session(&why);
            return Ok(Outcome::No);
        }
        Err(why) => return Err(hint::no_sheet(&why)),
    };
    if args.temperatures.len() > sheet.batch_count() {
        return Err(Failure(format!(
            "--temperatures names {}, and the session has {}; name one for each, in their order",
            counted(args.temperatures.len(), "file"),
            counted(sheet.batch_count(), "batch")
        )));
    }
    if args.enter {
        return enter::enter(args, path, &sheet, journal.as_ref());
    }
    if let Some(path) = &args.page {
        page::save(&page::render(&hint::described(&sheet)), path)?;
    }
    show(&sheet, args.json)
}
