//! `wedgebook bath`: the journal of a bath, and what it says of the bath.

mod args;
mod enter;
mod journal;
mod look;

pub use args::{Args, date};
pub use journal::{is_of_another, kept, read, record_of};

use super::{Failure, Outcome};
use args::Act;

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    args.lock.set();
    match &args.act {
        Act::Mix(args) => enter::mix(args),
        Act::Film(args) => enter::film(args),
        Act::Replenish(args) => enter::replenish(args),
        Act::Strip(args) => enter::strip(args),
        Act::Leader(args) => enter::leader(args),
        Act::Note(args) => enter::note(args),
        Act::Discard(args) => enter::discard(args),
        Act::Status(args) => look::status(args),
        Act::Chart(args) => look::chart(args),
        Act::Forecast(args) => look::forecast(args),
        Act::Log(args) => look::log(args),
        Act::Undo(args) => enter::undo(args),
    }
}
