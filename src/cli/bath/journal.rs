//! A journal that is looked at, and the pairing that goes with it.

use super::super::{Failure, complain, hint};
use super::args::View;
use crate::answers::KeptBath;
use crate::bath::forecast::{Assumptions, Bath};
use crate::bath::history::{BathHistory, until};
use crate::bath::journal::{Act, Balance, Entry, Journal, today};
use crate::bath::limits::Limits;
use crate::bath::standing::Standing;
use crate::bath::verify::pairing_limits;
use crate::cli::inputs;
use crate::development::Pairing;
use crate::development::file::PairingFile;
use jiff::civil::Date;
use std::path::{Path, PathBuf};

/// A journal as it was on a day.
pub struct Opened {
    pub path: PathBuf,
    pub on: Date,
    pub entries: Vec<Entry>,
    pub balance: Balance,
    /// The pairing, or why it is not at hand.
    pub pairing: Result<(PairingFile, Pairing), String>,
}

impl Opened {
    /// Reads the journal that a person named, and its pairing if that is found.
    pub fn view(view: &View) -> Result<Self, Failure> {
        Self::open(&view.journal, day(view.date)?, view.pairing.as_deref())
    }

    fn open(path: &Path, on: Date, pairing: Option<&Path>) -> Result<Self, Failure> {
        let journal = read(path)?;
        for note in &journal.notes {
            complain(format_args!("note: {note}"));
        }
        let entries = until(&journal, on).to_vec();
        let mut balance = Balance::default();
        entries.iter().for_each(|e| balance.enter(e));
        let pairing = match pairing {
            Some(typed) => Ok(inputs::pairing(typed)?),
            None => recorded(path, &entries),
        };
        Ok(Self { path: path.to_owned(), on, entries, balance, pairing })
    }

    /// The limits of the pairing, or those that are assumed.
    pub fn limits(&self) -> Result<Limits, Failure> {
        let own = self.pairing.as_ref().ok().and_then(|(file, _)| file.limits);
        Ok(pairing_limits(own)?)
    }

    /// The bath followed until the day.
    pub fn follow(&self, assumptions: &Assumptions) -> Result<(BathHistory, Bath), Failure> {
        let life =
            BathHistory::of(&self.entries).ok_or_else(|| self.failure("it has no entry yet"))?;
        let bath = Bath::follow(&life.events, assumptions, life.day(self.on))
            .map_err(|why| self.failure(&why.to_string()))?;
        Ok((life, bath))
    }

    fn failure(&self, why: &str) -> Failure {
        Failure(format!("{}: {why}", self.path.display()))
    }
}

/// The day that was typed, or today.
fn day(typed: Option<Date>) -> Result<Date, Failure> {
    match typed.unwrap_or_else(today) {
        day if day > today() => Err(Failure(format!(
            "--date {day} is still to come; `wedgebook bath forecast` says how the bath will be"
        ))),
        day => Ok(day),
    }
}

/// Reads a journal.
pub fn read(path: &Path) -> Result<Journal, Failure> {
    Journal::read(path).map_err(|error| hint::no_journal(&error))
}

/// The pairing of the last strip: seen from the journal's folder, or from here.
fn recorded(journal: &Path, entries: &[Entry]) -> Result<(PairingFile, Pairing), String> {
    let named = entries.iter().rev().find_map(|e| match &e.act {
        Act::Strip(strip) => strip.pairing.clone(),
        _ => None,
    });
    let Some(named) = named else {
        return Err("no strip of the journal names a pairing: give --pairing".to_owned());
    };
    let beside = journal.parent().unwrap_or(Path::new("")).join(&named);
    let here = PathBuf::from(&named);
    let Some(path) = [beside, here].into_iter().find(|p| p.exists()) else {
        return Err(format!(
            "the pairing {named} that the journal names is not found: give --pairing"
        ));
    };
    inputs::pairing(&path).map_err(|Failure(why)| why)
}

/// What the journal says of the bath on a day, or today. The activity of a bath that is not to be used is
/// followed only if `anyway`.
pub fn kept(journal: &Path, date: Option<Date>, anyway: bool) -> Result<KeptBath, Failure> {
    let opened = Opened::open(journal, day(date)?, None)?;
    let standing = Standing::of(&opened.entries, opened.on);
    if standing.withholds() && !anyway {
        return Ok(KeptBath { standing, activity: None, notes: Vec::new() });
    }
    let (_, bath) = opened.follow(&Assumptions::default())?;
    let activity = bath.activity().map_err(|why| opened.failure(&why))?;
    Ok(KeptBath { standing, activity: Some(activity), notes: bath.notes() })
}
