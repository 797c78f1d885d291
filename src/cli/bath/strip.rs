//! `wedgebook bath strip`: what a control strip says of the bath, entered.

use super::super::show;
use super::super::verify::verified;
use super::super::{Failure, Outcome};
use super::args::{Place, StripArgs};
use super::enter::{Told, document, make, tell, text};
use crate::answers::Answer;
use crate::answers::verify::Verified;
use crate::bath::entered::Entered;
use crate::bath::journal::{Act, Entry, iso_date, today};
use crate::files::{Output, Outputs};
use serde_json::json;
use std::path::{Path, PathBuf};

pub fn run(args: &StripArgs) -> Result<Outcome, Failure> {
    Outputs::beside(args.control.files())
        .writes(Some(&args.place.journal), Output::Journal)
        .check()?;
    let controls = verified(&args.control, Some(&args.place.journal))?;
    let pairing = from_journal(&args.place.journal, &args.control.pairing);
    let mut documents = Vec::new();
    for strip in controls.strips() {
        let entered = Entered {
            name: strip.name.clone(),
            batch: args.batch.clone(),
            pairing: pairing.display().to_string(),
            minutes: strip.minutes,
            celsius: strip.celsius,
        };
        let act = Act::Strip(Box::new(entered.result(&strip.verification)));
        let entry = Entry::new(date(&args.place, strip), act, args.note.clone());
        let (entry, appended) = make(&args.place, entry)?;
        let told = Told::line(format!("control strip {}", strip.name));
        if args.place.json {
            documents.push(document(&args.place, &entry, &appended, &told));
        } else {
            let text = text(&entry, &appended, &told);
            tell(&args.place, &appended, &text)?;
        }
    }
    if args.place.json {
        let value = match <[_; 1]>::try_from(documents) {
            Ok([only]) => only,
            Err(several) => json!({ "entries": several }),
        };
        super::super::print(&format!("{value:#}\n"))?;
    }
    if !args.place.json {
        return show(&controls, false);
    }
    Ok(if controls.is_no() { Outcome::No } else { Outcome::Done })
}

/// The day typed, or the strip's own, or today.
fn date(place: &Place, strip: &Verified) -> jiff::civil::Date {
    let own = strip.date.as_deref().and_then(iso_date);
    place.date.or(own).unwrap_or_else(today)
}

/// A path as seen from the journal's folder, where it lies in or below it; else as typed.
fn from_journal(journal: &Path, path: &Path) -> PathBuf {
    let folder = journal.parent().unwrap_or(Path::new(""));
    path.strip_prefix(folder).unwrap_or(path).to_owned()
}
