//! `wedgebook bath replenish`: replenisher that was added.

use super::super::{Failure, Outcome};
use super::args::ReplenishArgs;
use super::enter::{Told, enter};
use crate::bath::journal::Act;
use crate::units::RemovedMillilitres;
use crate::words::trimmed;

pub fn run(args: &ReplenishArgs) -> Result<Outcome, Failure> {
    let (added_ml, removed_ml) =
        (args.added_ml.get(), args.removed_ml.map_or(args.added_ml.get(), RemovedMillilitres::get));
    let (added, removed) = (trimmed(added_ml, 3), trimmed(removed_ml, 3));
    let line = format!("added {added} ml, removed {removed} ml");
    let act = Act::Replenish { added_ml, removed_ml };
    enter(&args.place, act, args.note.clone(), Told::line(line))
}
