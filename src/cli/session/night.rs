//! A class night: its sheet, its pages, and its entries in the journal of each bath.

use super::{Args, enough_for, enter, save_page};
use crate::answers::SessionSheet;
use crate::answers::session::{ClassNight, NightQuestion};
use crate::bath::journal::{Journal, today};
use crate::cli::{Failure, Outcome, hint, inputs, show};
use crate::development::Pairing;
use crate::development::file::PairingFile;
use crate::files::{Output, Outputs};
use crate::session::plan::{Plan, Source};
use std::path::{Path, PathBuf};

/// The journals of the developers, each once.
pub(in crate::cli) fn kept(plan: &Plan) -> Vec<Option<&PathBuf>> {
    plan.developers
        .iter()
        .map(|d| match &d.developer.source {
            Source::Bath { journal, .. } => Some(journal),
            Source::OneShot { .. } => None,
        })
        .collect()
}

/// The files that the plan of a class night names, read.
pub(in crate::cli) struct Named {
    pairings: Vec<(PathBuf, PairingFile, Pairing)>,
    journals: Vec<Option<Journal>>,
}

impl Named {
    /// Reads them; what is doubtful in a journal is refused but for `anyway`.
    pub fn read(plan: &Plan, anyway: bool) -> Result<Self, Failure> {
        let journals: Vec<Option<Journal>> = kept(plan)
            .iter()
            .map(|path| path.map(|path| crate::cli::bath::read(path)).transpose())
            .collect::<Result<_, _>>()?;
        let named = Self { pairings: pairings(plan)?, journals };
        if let Some(doubt) = named.all().flat_map(|j| &j.doubts).next().filter(|_| !anyway) {
            return Err(hint::doubtful(doubt));
        }
        named.all().for_each(hint::journal_notes);
        Ok(named)
    }

    fn all(&self) -> impl Iterator<Item = &Journal> {
        self.journals.iter().flatten()
    }

    /// The pairing of each entry of films.
    pub fn of_parts(&self, plan: &Plan) -> Vec<(&PairingFile, &Pairing)> {
        let find = |named: &Path| self.pairings.iter().find(|(path, ..)| path == named);
        let of = |part: &crate::session::plan::Part| find(&part.pairing).map(|(_, f, p)| (f, p));
        plan.parts.iter().filter_map(of).collect()
    }

    /// The journal of each developer, where it is kept.
    pub fn journals(&self) -> Vec<Option<&Journal>> {
        self.journals.iter().map(Option::as_ref).collect()
    }
}

pub fn run(args: &Args, path: &Path, plan: &Plan) -> Result<Outcome, Failure> {
    let kept = kept(plan);
    let read = kept.iter().flatten().filter(|_| !args.enter);
    let written: Vec<&&PathBuf> = kept.iter().flatten().filter(|_| args.enter).collect();
    let mut outputs = Outputs::beside(plan.parts.iter().map(|part| &part.pairing))
        .reads([path])
        .reads(&args.temperatures)
        .reads(read);
    for journal in written {
        outputs = outputs.writes(Some(journal), Output::Journal);
    }
    outputs.writes_pages(args.page.as_deref()).check()?;
    let named = Named::read(plan, args.anyway)?;
    let all = || named.all();
    if args.number.is_some() && all().count() != 1 {
        return Err(Failure(format!(
            "{}: --number is for a plan with one journal, and this one has {}",
            path.display(),
            all().count()
        )));
    }
    let date = args.date.unwrap_or_else(today);
    let question = NightQuestion {
        plan,
        pairings: named.of_parts(plan),
        journals: named.journals(),
        date,
        extrapolate: args.extrapolate,
        anyway: args.anyway,
        first_number: args.number,
        temperatures: &args.temperatures,
    };
    let night = match ClassNight::of(question) {
        Ok(night) => night,
        Err(why) => {
            let answer = |standing| SessionSheet::withheld(plan, date, standing);
            return hint::without_sheet(why, args.json, answer, |answer| save_page(args, answer));
        }
    };
    let tanks = night.sheet().tanks.len();
    enough_for(&args.temperatures, tanks, "tank")?;
    if args.enter {
        return enter_all(args, path, &night, &kept, &named.journals);
    }
    save_page(args, &night)?;
    show(&night, args.json)
}

/// The pairings that a plan names, each read once.
fn pairings(plan: &Plan) -> Result<Vec<(PathBuf, PairingFile, Pairing)>, Failure> {
    let mut all: Vec<(PathBuf, PairingFile, Pairing)> = Vec::new();
    for part in &plan.parts {
        if !all.iter().any(|(path, ..)| *path == part.pairing) {
            let (file, pairing) = inputs::pairing(&part.pairing)?;
            all.push((part.pairing.clone(), file, pairing));
        }
    }
    Ok(all)
}

/// Makes the entries in the journal of each bath, and shows those of each.
fn enter_all(
    args: &Args,
    plan: &Path,
    night: &ClassNight,
    kept: &[Option<&PathBuf>],
    journals: &[Option<Journal>],
) -> Result<Outcome, Failure> {
    let entries = night.entries();
    if entries.is_empty() {
        return Err(enter::no_journal(plan));
    }
    let journal_of = |path: &PathBuf| {
        let at = kept.iter().position(|kept| *kept == Some(path));
        at.and_then(|at| journals[at].as_ref())
    };
    // Nothing is entered anywhere if one of them has the session already.
    for (path, entries) in &entries {
        let found = journal_of(path).and_then(|journal| night.entered_in(journal, entries));
        if let Some(entry) = found.filter(|_| !args.again) {
            return Err(enter::entered_already(&path.display().to_string(), entry.line));
        }
    }
    let mut outcome = Outcome::Done;
    for (n, (path, entries)) in entries.iter().enumerate() {
        let Some(journal) = journal_of(path) else { continue };
        let made = enter::make(args, path, journal, entries.clone(), night.date());
        outcome = made.map_err(|Failure(why)| match n {
            0 => Failure(why),
            _ => Failure(format!("{why}; the entries in the journals before it are made")),
        })?;
    }
    Ok(outcome)
}
