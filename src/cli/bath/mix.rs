//! `wedgebook bath mix`: a fresh bath.

use super::super::{Failure, Outcome};
use super::args::MixArgs;
use super::enter::{Told, enter};
use crate::bath::journal::Act;
use crate::words::trimmed;

pub fn run(args: &MixArgs) -> Result<Outcome, Failure> {
    let act = Act::Mix {
        litres: args.litres.get(),
        what: args.what.clone(),
        dilution: args.dilution.clone(),
    };
    let mut line = format!("mixed {} litres", trimmed(args.litres.get(), 3));
    if let Some(what) = &args.what {
        line.push_str(&format!(" of {what}"));
    }
    // A name like Quillback 1+6 says it already.
    if let Some(dilution) = &args.dilution
        && !args.what.as_ref().is_some_and(|w| w.contains(dilution.as_str()))
    {
        line.push_str(&format!(", {dilution}"));
    }
    enter(&args.place, act, args.note.clone(), Told::line(line))
}
