//! `wedgebook trace`: how a film was developed, and what faulty films share.

use super::options::LockArgs;
use super::session::number;
use super::{Failure, Outcome, bath, complain, here, show};
use crate::answers::trace::{FaultQuestion, SharedFault, TraceQuestion, TracedFilm};
use crate::development::drift::Reading;
use crate::development::read_temperatures;
use std::path::{Path, PathBuf};

/// How was a film developed, and what do faulty films share?
///
/// One number: the bath then, time, temperature, the control strips before and after, the films of the
/// same batch, and a line for the margin of the contact sheet. Several numbers: these films are faulty;
/// what do they share that good ones do not, and how far do so few films show it?
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  wedgebook trace 12 --bath data/class.csv\n  wedgebook trace 14 16 18 20 22 24 --bath data/class.csv\n  wedgebook trace 2 4 --good 1 3 5 6 --bath data/class.csv\n\nExit status: 0 done, 1 the films show nothing that is more than chance, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// Number of the film; several are faulty films that are compared.
    #[arg(required = true, value_name = "NUMBER", value_parser = number)]
    numbers: Vec<u32>,
    /// Numbers of good films [default: all other films of the same days].
    #[arg(long, value_name = "NUMBER", num_args = 1.., value_parser = number)]
    good: Vec<u32>,
    /// The journal of the bath, or how its name begins [default: what is usual in this folder].
    #[arg(long, value_name = "JOURNAL", value_parser = here::journal_named)]
    bath: Option<PathBuf>,
    #[command(flatten)]
    lock: LockArgs,
    /// Print one JSON document instead of text.
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    args.lock.set();
    let path = here::bath_or_only(args.bath.as_deref())?;
    let journal = bath::read(&path)?;
    for note in &journal.notes {
        complain(format_args!("note: {note}"));
    }
    let mut faulty = args.numbers.clone();
    faulty.sort_unstable();
    faulty.dedup();
    match (faulty.as_slice(), args.good.as_slice()) {
        ([number], []) => {
            let question = TraceQuestion { journal: &journal, number: *number };
            show(&TracedFilm::of(&question, |file| temperatures(&path, file))?, args.json)
        }
        (faulty, good) => {
            let question = FaultQuestion { journal: &journal, faulty, good };
            show(&SharedFault::of(&question)?, args.json)
        }
    }
}

/// The temperatures of a file that a journal names: seen from the journal's folder, or from here.
fn temperatures(journal: &Path, named: &str) -> Result<Vec<Reading>, String> {
    let beside = journal.parent().unwrap_or(Path::new("")).join(named);
    let found = [beside, PathBuf::from(named)].into_iter().find(|path| path.exists());
    let path = found.ok_or_else(|| format!("there is no file {named}"))?;
    read_temperatures(&path).map(|log| log.readings).map_err(|errors| errors.to_string())
}
