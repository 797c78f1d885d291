//! Entries in the journal: `mix`, `film`, `replenish`, `strip`, `note`, `discard`.

use super::super::verify::verified;
use super::super::{Failure, Outcome, complain, hint, remark, show};
use super::args::{
    DiscardArgs, FilmArgs, LeaderArgs, MixArgs, NoteArgs, Place, ReplenishArgs, StripArgs, UndoArgs,
};
use crate::answers::Answer;
use crate::answers::bath::Undone;
use crate::answers::bath::entered::{Entered, LeaderEntered, StripsEntered};
use crate::answers::verify::Verified;
use crate::bath::entered;
use crate::bath::film::Films;
use crate::bath::journal::{Act, Allow, Entry, Journal, today};
use crate::bath::materials::another_developer;
use crate::files::{Output, Outputs};
use crate::units::{FilmArea, RemovedMillilitres};
use jiff::civil::Date;
use std::path::{Path, PathBuf};

pub fn mix(args: &MixArgs) -> Result<Outcome, Failure> {
    let act = Act::Mix {
        litres: args.litres.get(),
        what: args.what.clone(),
        dilution: args.dilution.clone(),
    };
    enter(&args.place, act, args.note.clone(), false)
}

pub fn film(args: &FilmArgs) -> Result<Outcome, Failure> {
    let films = Films::of_counts(&args.rolls, &args.sheets);
    let area_m2 = args.area_m2.map_or_else(|| films.area_m2(), FilmArea::get);
    let act = Act::film(films.to_string(), area_m2);
    enter(&args.place, act, args.note.clone(), args.area_m2.is_none())
}

pub fn replenish(args: &ReplenishArgs) -> Result<Outcome, Failure> {
    let added_ml = args.added_ml.get();
    let removed_ml = args.removed_ml.map_or(added_ml, RemovedMillilitres::get);
    enter(&args.place, Act::Replenish { added_ml, removed_ml }, args.note.clone(), false)
}

pub fn note(args: &NoteArgs) -> Result<Outcome, Failure> {
    enter(&args.place, Act::Note, Some(args.text.join(" ")), false)
}

pub fn discard(args: &DiscardArgs) -> Result<Outcome, Failure> {
    enter(&args.place, Act::Discard, args.note.clone(), false)
}

pub fn strip(args: &StripArgs) -> Result<Outcome, Failure> {
    Outputs::beside(args.control.files())
        .writes(Some(&args.place.journal), Output::Journal)
        .check()?;
    let verified = verified(&args.control, Some(&args.place.journal))?;
    let pairing = from_journal(&args.place.journal, &args.control.pairing);
    let days = match args.place.date {
        Some(date) => verified.strips().map(|_| Some(date)).collect(),
        None => verified.days()?,
    };
    let entry = |(strip, own): (&Verified, Option<Date>)| {
        let entered = entered::Entered {
            name: strip.name.clone(),
            batch: args.batch.clone(),
            pairing: pairing.display().to_string(),
            minutes: strip.minutes,
            celsius: strip.celsius,
        };
        let date = own.unwrap_or_else(today);
        let act = Act::Strip(Box::new(entered.result(&strip.verification)));
        Entry::new(date, act, args.note.clone())
    };
    let entries = verified.strips().zip(days).map(entry).collect();
    let entered = make(&args.place, entries, false)?;
    tell(&args.place, &StripsEntered { verified, entered })
}

pub fn leader(args: &LeaderArgs) -> Result<Outcome, Failure> {
    let (journal, family_file) = (&args.place.journal, &args.test.family);
    Outputs::beside([family_file]).writes(Some(journal), Output::Journal).check()?;
    let family = args.test.read()?;
    // A journal that is not there, or not to be read, is refused before anything is calculated.
    let entries = super::read(journal)?.entries;
    if let Some(why) = another_developer(&entries, &family).filter(|_| !args.anyway) {
        return Err(hint::another_family(&why));
    }
    let test = args.test.tested(&family)?;
    let Some((piece, activity)) = test.question.piece.as_ref().zip(test.activity.as_ref()) else {
        let why = "an entry needs the piece: give --density, --minutes and --temperature";
        return Err(Failure(why.to_owned()));
    };
    let Ok(activity) = activity else {
        complain("nothing is entered: the piece does not show the activity");
        return show(&test, args.place.json);
    };
    let result = entered::leader(
        args.piece.clone(),
        from_journal(journal, family_file).display().to_string(),
        piece,
        activity,
    );
    let date = args.place.date.unwrap_or_else(today);
    let entry = Entry::new(date, Act::Leader(Box::new(result)), args.note.clone());
    let entered = make(&args.place, vec![entry], false)?;
    tell(&args.place, &LeaderEntered { test, entered })
}

pub fn undo(args: &UndoArgs) -> Result<Outcome, Failure> {
    Outputs::default().writes(Some(&args.journal), Output::Journal).check()?;
    let taken = Journal::take_back(&args.journal, args.line).map_err(|e| hint::no_journal(&e))?;
    let file = args.journal.display().to_string();
    show(&Undone { file, taken, on: today() }, args.json).map_err(|Failure(error)| {
        Failure(format!("the entry is taken back, but that cannot be shown: {error}"))
    })
}

/// Makes an entry, and shows it once it is on the disk.
fn enter(
    place: &Place,
    act: Act,
    note: Option<String>,
    nominal_area: bool,
) -> Result<Outcome, Failure> {
    Outputs::default().writes(Some(&place.journal), Output::Journal).check()?;
    let date = place.date.unwrap_or_else(today);
    tell(place, &make(place, vec![Entry::new(date, act, note)], nominal_area)?)
}

/// Makes entries, all or none; they are on the disk when this returns.
fn make(place: &Place, entries: Vec<Entry>, nominal_area: bool) -> Result<Entered, Failure> {
    let file = place.journal.display().to_string();
    let made = Journal::append_all(
        &place.journal,
        &entries,
        Allow { late: place.late, again: place.again, sure: place.sure },
    )
    .map_err(|error| hint::no_journal(&error))?;
    for appended in &made {
        for note in &appended.notes {
            remark(format_args!("note: {note}"));
        }
        if let Some((text, beside)) = &appended.torn {
            complain(format_args!(
                "{file}: the last line was cut short by a crash; it is moved to {}: {text}",
                beside.display()
            ));
        }
    }
    let made = entries.into_iter().zip(made).collect();
    Ok(Entered { file, made, nominal_area, on: today() })
}

/// Shows what was made.
fn tell(place: &Place, answer: &impl Answer) -> Result<Outcome, Failure> {
    show(answer, place.json).map_err(|Failure(error)| {
        Failure(format!(
            "the entry is made in {}, but cannot be shown: {error}",
            place.journal.display()
        ))
    })
}

/// A path as seen from the journal's folder, where it lies in or below it; else as typed.
fn from_journal(journal: &Path, path: &Path) -> PathBuf {
    let folder = journal.parent().unwrap_or(Path::new(""));
    path.strip_prefix(folder).unwrap_or(path).to_owned()
}
