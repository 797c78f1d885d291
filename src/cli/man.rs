//! `wedgebook man`: pages for `man`, one for each command.

use super::inputs::Made;
use super::{Failure, Outcome, args, print};
use crate::files::{Output, Outputs, reason};
use crate::words::counted;
use clap::{Command, CommandFactory};
use clap_mangen::Man;
use std::path::PathBuf;

/// Where are the manual pages?
///
/// Writes one for each command into a folder. `man -l FOLDER/wedgebook.1` shows the first. To read them as
/// `man wedgebook-curve`, choose a folder named man1 in one of those that `manpath` lists.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  wedgebook man manual/man1\n\nExit status: 0 done, 2 wrong usage, or the folder cannot be written."
)]
pub struct Args {
    /// The folder; it is made if it is not there. A file in it that is not such a page is not replaced.
    folder: PathBuf,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let mut pages = Vec::new();
    let mut all = args::Args::command().disable_help_subcommand(true);
    all.build();
    gather(all, &mut pages)?;
    let folder = &args.folder;
    std::fs::create_dir_all(folder)
        .map_err(|error| Failure(format!("{}: {}", folder.display(), reason(&error))))?;
    let paths = || pages.iter().map(|(name, _)| folder.join(name));
    let none: [PathBuf; 0] = [];
    paths()
        .fold(Outputs::beside(none), |all, path| all.writes(Some(path), Output::ManPage))
        .check()?;
    let mut made = Made::default();
    for (path, (_, page)) in paths().zip(&pages) {
        made.add(&path, page.clone());
    }
    made.write()?;
    print(&format!("{} in {}\n", counted(pages.len(), "manual page"), folder.display()))?;
    Ok(Outcome::Done)
}

/// The page of a command and those of the commands below it: names and what is in them.
fn gather(command: Command, pages: &mut Vec<(String, Vec<u8>)>) -> Result<(), Failure> {
    let below: Vec<Command> = command.get_subcommands().cloned().collect();
    let page = Man::new(command).manual("Wedgebook").source(SOURCE);
    let mut text = Vec::new();
    page.render_title(&mut text)?;
    page.render_name_section(&mut text)?;
    page.render_synopsis_section(&mut text)?;
    page.render_description_section(&mut text)?;
    page.render_options_section(&mut text)?;
    if !below.is_empty() {
        page.render_subcommands_section(&mut text)?;
    }
    let mut rest = Vec::new();
    page.render_extra_section(&mut rest)?;
    let rest =
        String::from_utf8_lossy(&rest).replace("\n.SH EXTRA\n", "\n.SH EXAMPLES AND EXIT STATUS\n");
    text.extend(rest.into_bytes());
    pages.push((page.get_filename(), text));
    below.into_iter().try_for_each(|command| gather(command, pages))
}

/// What the foot of a page names.
const SOURCE: &str = concat!("Wedgebook ", env!("CARGO_PKG_VERSION"));
