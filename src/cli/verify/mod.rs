mod args;

pub use args::Args;

use super::{Failure, Outcome};

pub fn run(_: &Args) -> Result<Outcome, Failure> {
    Err(Failure("not yet".to_owned()))
}
