//! `wedgebook list`: what is in this folder.

use super::{Failure, Outcome, here, show};
use crate::answers::Listing;
use crate::bath::journal::today;

/// What have I got?
///
/// Shows the pairings, the baths with their standing today, the papers and the plans of this folder and of
/// those in it.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  wedgebook list\n\nExit status: 0 done, 2 wrong usage.")]
pub struct Args {
    /// Print one JSON document instead of text.
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    show(&Listing::of(here::folder()?, today()), args.json)
}
