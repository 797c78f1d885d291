//! A journal that is read, and the pairing that goes with it.

use super::super::{Failure, hint};
use super::args::View;
use crate::answers::KeptBath;
use crate::answers::bath::{BathRecord, NoPairing};
use crate::bath::forecast::Assumptions;
use crate::bath::journal::{Journal, today};
use crate::bath::materials::differences;
use crate::bath::standing::State;
use crate::cli::inputs;
use crate::cli::way::Way;
use crate::development::Pairing;
use crate::development::file::PairingFile;
use jiff::civil::Date;
use std::path::{Path, PathBuf};

/// The journal that a person named, and its pairing if that is found.
pub fn record(view: &View) -> Result<BathRecord, Failure> {
    open(&view.journal, day(view.date)?, view.pairing.as_deref())
}

/// The same on a day, with a pairing where one is named.
pub fn record_of(path: &Path, on: Date, pairing: Option<&Path>) -> Result<BathRecord, Failure> {
    open(path, day(Some(on))?, pairing)
}

fn open(path: &Path, on: Date, pairing: Option<&Path>) -> Result<BathRecord, Failure> {
    noted(&read(path)?, path, on, pairing)
}

/// What a journal says, with its notes told.
fn noted(
    journal: &Journal,
    path: &Path,
    on: Date,
    pairing: Option<&Path>,
) -> Result<BathRecord, Failure> {
    hint::journal_notes(journal);
    let typed = pairing.map(inputs::pairing).transpose()?;
    Ok(BathRecord::of(path.display().to_string(), journal, on, |named| match typed {
        Some(typed) => Ok(typed),
        None => recorded(path, named),
    }))
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

/// The pairing that a journal names: seen from the journal's folder, or from here.
fn recorded(journal: &Path, named: Option<&str>) -> Result<(PairingFile, Pairing), NoPairing> {
    let named = named.ok_or(NoPairing::NotNamed)?;
    let beside = journal.parent().unwrap_or(Path::new("")).join(named);
    let found = [beside, PathBuf::from(named)].into_iter().find(|p| p.exists());
    let path = found.ok_or_else(|| NoPairing::NotFound(named.to_owned()))?;
    inputs::pairing(&path).map_err(|Failure(why)| NoPairing::Unusable(why))
}

/// Why there is no pairing, with the option that names one.
pub fn no_pairing(why: &NoPairing) -> Failure {
    match why {
        NoPairing::Unusable(_) => Failure(why.to_string()),
        _ => Failure(format!("{why} {}", Way::Pairing.words())),
    }
}

/// Whether the bath of a journal is of another developer than a pairing.
pub fn is_of_another(journal: &Path, pairing: &PairingFile) -> Result<bool, Failure> {
    let entries = read(journal)?.entries;
    Ok(!differences(pairing, &entries, &journal.display().to_string()).is_empty())
}

/// What the journal says of the bath on a day, or today. The activity of a bath that is not to be used is
/// followed only if `anyway`, and that of one that was thrown away never; nor does a pairing of another
/// developer go with it unless `anyway`.
pub fn kept(
    journal: &Path,
    date: Option<Date>,
    pairing: &PairingFile,
    anyway: bool,
) -> Result<KeptBath, Failure> {
    let read = read(journal)?;
    if let Some(doubt) = read.doubts.first().filter(|_| !anyway) {
        return Err(hint::doubtful(doubt));
    }
    let record = noted(&read, journal, day(date)?, None)?;
    let others = differences(pairing, &record.entries, &record.file);
    if let Some(other) = others.first().filter(|_| !anyway) {
        return Err(hint::of_another(other));
    }
    let standing = record.standing.clone();
    if standing.state == State::Discarded || standing.withholds() && !anyway {
        return Ok(KeptBath { standing, activity: None, others, notes: Vec::new() });
    }
    let (_, bath) = record.follow(&Assumptions::default())?;
    let activity = bath.activity().map_err(|why| Failure(format!("{}: {why}", record.file)))?;
    Ok(KeptBath { standing, activity: Some(activity), others, notes: bath.notes() })
}
