//! `wedgebook bath note`: a remark.

use super::super::{Failure, Outcome};
use super::args::NoteArgs;
use super::enter::{Told, enter};
use crate::bath::journal::Act;

pub fn run(args: &NoteArgs) -> Result<Outcome, Failure> {
    let text = args.text.join(" ");
    enter(&args.place, Act::Note, Some(text), Told::line("noted".to_owned()))
}
