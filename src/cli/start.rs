//! `wedgebook start`: a folder that remembers.

use super::{Failure, Outcome, show};
use crate::answers::{Laid, Started};
use crate::files::create;
use crate::folder::templates;
use std::path::PathBuf;

/// How do I begin?
///
/// Lays down a folder: what is usual there (wedgebook.toml), tables to fill in, a plan of a session, and a
/// guide from the first strip to the first roll. What is there already stays as it is. Commands that are
/// called in this folder or below take what is usual from it, and say what they took.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  wedgebook start darkroom\n\nExit status: 0 done, 2 wrong usage, or the folder cannot be written."
)]
pub struct Args {
    /// The folder; it is made if it is not there.
    folder: PathBuf,
    /// Print one JSON document instead of text.
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let mut files = Vec::new();
    for template in templates() {
        let path = args.folder.join(&template.path);
        let laid = if create(&path, &template.bytes)? { Laid::New } else { Laid::Kept };
        files.push((template.path, template.purpose, laid));
    }
    show(&Started { folder: args.folder.display().to_string(), files }, args.json)
}
