//! `wedgebook bath discard`: a bath that was thrown away.

use super::super::{Failure, Outcome};
use super::args::DiscardArgs;
use super::enter::{Told, enter};
use crate::bath::journal::Act;

const CAUTION: &str = "dispose of it as the maker's safety sheet and the local rules say; it does not go down a drain unless they allow it";

pub fn run(args: &DiscardArgs) -> Result<Outcome, Failure> {
    let told = Told { line: format!("discarded; {CAUTION}"), notes: vec![CAUTION] };
    enter(&args.place, Act::Discard, args.note.clone(), told)
}
