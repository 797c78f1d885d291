//! `wedgebook trace`: how a film was developed, and what faulty films share.

use super::options::LockArgs;
use super::session::number;
use super::{Failure, Outcome, bath, complain, here, hint, show};
use crate::answers::trace::{
    FaultQuestion, Judged, NotCompared, SharedFault, TraceQuestion, TracedFilm,
};
use crate::answers::{Answer, EvennessReport};
use crate::development::drift::Reading;
use crate::development::read_temperatures;
use crate::evenness::Options;
use crate::readings::read_frames;
use std::path::{Path, PathBuf};

/// How was a film developed, and what do faulty films share?
///
/// Names films by the numbers that `session --enter` gave them.
///
/// One number: the bath then, time, temperature, the control strips before and after, the films of the
/// same batch, and a line for the margin of the contact sheet. Several numbers: these films are faulty;
/// what do they share that good ones do not, and how far do so few films show it? With readings as
/// `evenness` takes them, the films in whose prints unevenness is seen are the faulty ones.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  wedgebook trace 12 --bath data/class.csv\n  wedgebook trace 14 16 18 20 22 24 --bath data/class.csv\n  wedgebook trace 2 4 --good 1 3 5 6 --bath data/class.csv\n\nExit status: 0 done, 1 the films show nothing that is more than chance, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// Number of the film; several are faulty films that are compared. Or, for each film, its number and
    /// its readings, as 12=film12.csv.
    #[arg(required = true, value_name = "NUMBER[=READINGS.csv]", value_parser = film)]
    films: Vec<(u32, Option<PathBuf>)>,
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
    hint::journal_notes(&journal);
    let judged = judged(&args.films)?;
    let mut faulty: Vec<u32> = match judged.is_empty() {
        true => args.films.iter().map(|(number, _)| *number).collect(),
        false => judged.iter().filter(|j| j.is_faulty).map(|j| j.number).collect(),
    };
    faulty.sort_unstable();
    faulty.dedup();
    let even = judged.iter().filter(|j| !j.is_faulty).map(|j| j.number);
    let mut good: Vec<u32> = args.good.iter().copied().chain(even).collect();
    good.sort_unstable();
    good.dedup();
    if let ([number], [], []) = (faulty.as_slice(), good.as_slice(), judged.as_slice()) {
        let question = TraceQuestion { journal: &journal, number: *number };
        return show(&TracedFilm::of(&question, |file| temperatures(&path, file))?, args.json);
    }
    let question =
        FaultQuestion { journal: &journal, faulty: &faulty, good: &good, judged: &judged };
    match SharedFault::of(&question) {
        Ok(shared) => show(&shared, args.json),
        Err(why @ NotCompared::NoFaulty) => {
            complain(why);
            Ok(Outcome::No)
        }
        Err(why) => Err(why.into()),
    }
}

/// A film by its number, maybe with the file of its readings.
fn film(text: &str) -> Result<(u32, Option<PathBuf>), String> {
    match text.split_once('=') {
        Some((digits, path)) if !path.is_empty() => Ok((number(digits)?, Some(path.into()))),
        Some(_) => Err("name the file of its readings after the =, as 12=film12.csv".to_owned()),
        None => Ok((number(text)?, None)),
    }
}

/// What the readings of the films show; nothing where none has any.
fn judged(films: &[(u32, Option<PathBuf>)]) -> Result<Vec<Judged>, Failure> {
    let bare = films.iter().find(|(_, path)| path.is_none());
    match bare {
        Some((number, _)) if films.iter().any(|(_, path)| path.is_some()) => {
            return Err(Failure(format!(
                "film {number} has no readings and others have; name them for each film, as {number}=film{number}.csv"
            )));
        }
        Some(_) => return Ok(Vec::new()),
        None => {}
    }
    let mut all: Vec<Judged> = Vec::new();
    for (number, path) in films {
        let Some(path) = path else { continue };
        if all.iter().any(|judged| judged.number == *number) {
            return Err(Failure(format!(
                "film {number} is named twice; put its readings in one file"
            )));
        }
        let frames = read_frames(path, None)?;
        let report = EvennessReport::of(frames, Options::default())
            .map_err(|why| Failure(format!("{}: {why}", path.display())))?;
        let found = report.verdict();
        all.push(Judged { number: *number, is_faulty: report.is_no(), found });
    }
    Ok(all)
}

/// The temperatures of a file that a journal names: seen from the journal's folder, or from here.
fn temperatures(journal: &Path, named: &str) -> Result<Vec<Reading>, String> {
    let beside = journal.parent().unwrap_or(Path::new("")).join(named);
    let found = [beside, PathBuf::from(named)].into_iter().find(|path| path.exists());
    let path = found.ok_or_else(|| format!("there is no file {named}"))?;
    read_temperatures(&path).map(|log| log.readings).map_err(|errors| errors.to_string())
}
