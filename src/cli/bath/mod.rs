//! `wedgebook bath`: the journal of a bath, one file here for each act.

mod args;
mod chart;
mod discard;
mod enter;
mod film;
mod forecast;
mod journal;
mod mix;
mod note;
mod replenish;
mod status;
mod strip;
mod words;

pub use args::{Args, date};
pub use journal::{kept, read};

use super::{Failure, Outcome};
use args::Act;

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    match &args.act {
        Act::Mix(args) => mix::run(args),
        Act::Film(args) => film::run(args),
        Act::Replenish(args) => replenish::run(args),
        Act::Strip(args) => strip::run(args),
        Act::Note(args) => note::run(args),
        Act::Discard(args) => discard::run(args),
        Act::Status(args) => status::run(args),
        Act::Chart(args) => chart::run(args),
        Act::Forecast(args) => forecast::run(args),
    }
}
