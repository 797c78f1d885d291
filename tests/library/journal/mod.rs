//! The journal of a bath: entries made and read back, edited by hand, refused, torn by a crash.

mod acts;
mod by_hand;
mod properties;
mod refusals;
mod torn;

use assert_cmd::Command;
use jiff::civil::{Date, date};
use std::path::PathBuf;
use wedgebook::bath::journal::{Act, Entry, Journal, JournalNote, StripResult};

/// A folder of its own for each test, with runs of `wedgebook bath` in it.
struct Desk(tempfile::TempDir);

struct Run {
    status: i32,
    out: String,
    err: String,
}

impl Desk {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    /// A desk with a journal `bath.csv` of this text.
    fn with(text: impl AsRef<[u8]>) -> Self {
        let desk = Self::new();
        std::fs::write(desk.path("bath.csv"), text).unwrap();
        desk
    }

    /// A desk with a journal of 1.5 litres, mixed on 3 March 2026.
    fn mixed() -> Self {
        let desk = Self::new();
        desk.done("mix bath.csv --litres 1.5 --date 2026-03-03");
        desk
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn text(&self) -> String {
        std::fs::read_to_string(self.path("bath.csv")).unwrap()
    }

    fn journal(&self) -> Journal {
        Journal::read(&self.path("bath.csv")).unwrap()
    }

    fn bath(&self, args: &[&str]) -> Run {
        let output = Command::cargo_bin("wedgebook")
            .unwrap()
            .arg("bath")
            .args(args)
            .current_dir(self.0.path())
            .output()
            .unwrap();
        Run {
            status: output.status.code().unwrap(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// A run of words, which must succeed without a word on stderr.
    fn done(&self, args: &str) -> String {
        let run = self.bath(&args.split(' ').collect::<Vec<_>>());
        assert_eq!((run.status, run.err.as_str()), (0, ""), "{args}");
        run.out
    }

    /// A run of words that is refused; the journal must stay as it is.
    fn refused(&self, args: &str) -> String {
        let before = std::fs::read(self.path("bath.csv")).ok();
        let run = self.bath(&args.split(' ').collect::<Vec<_>>());
        assert_eq!((run.status, run.out.as_str()), (2, ""), "{args}");
        assert_eq!(std::fs::read(self.path("bath.csv")).ok(), before, "{args}");
        run.err.trim_end().to_owned()
    }
}

const TODAY: Date = date(2026, 6, 30);

fn parse(text: impl AsRef<[u8]>) -> Journal {
    Journal::parse("bath.csv", text.as_ref(), TODAY).unwrap()
}

fn faults(text: impl AsRef<[u8]>) -> String {
    let journal = Journal::parse("bath.csv", text.as_ref(), TODAY);
    journal.unwrap_err().to_string()
}

fn mix(day: i8, litres: f64) -> Entry {
    let act = Act::Mix {
        litres,
        what: Some("Quillback 1+6".to_owned()),
        dilution: Some("1+6".to_owned()),
    };
    Entry::new(date(2026, 3, day), act, None)
}

fn film(day: i8, films: &str, area_m2: f64) -> Entry {
    let films = films.to_owned();
    Entry::new(date(2026, 3, day), Act::film(films, area_m2), None)
}

fn replenish(day: i8, added_ml: f64, removed_ml: f64) -> Entry {
    let act = Act::Replenish { added_ml, removed_ml };
    Entry::new(date(2026, 3, day), act, None)
}

/// A strip with a value in every column.
fn strip(day: i8) -> Entry {
    let strip = StripResult {
        name: "C 7".to_owned(),
        batch: Some("control 2026-02".to_owned()),
        pairing: Some("quillback, tray.toml".to_owned()),
        minutes: Some(9.25),
        celsius: Some(20.5),
        activity: Some(0.931),
        activity_low: Some(0.902),
        activity_high: Some(0.961),
        contrast: Some(0.553),
        contrast_off: Some(-0.031),
        base_plus_fog: Some(0.298),
        base_plus_fog_off: Some(0.1 + 0.2),
        speed_log_h: Some(-2.114),
        speed_gain_log_h: Some(1e-7),
        low_density: Some(0.41),
        low_density_off: Some(-0.01),
        high_density: Some(1.27),
        high_density_off: Some(-0.06),
        verdict: "out of spec: lengthen".to_owned(),
    };
    Entry::new(date(2026, 3, day), Act::Strip(Box::new(strip)), None)
}

fn note(day: i8, text: &str) -> Entry {
    Entry::new(date(2026, 3, day), Act::Note, Some(text.to_owned()))
}

fn discard(day: i8) -> Entry {
    Entry::new(date(2026, 3, day), Act::Discard, None)
}

/// What was noticed, in words.
fn words(notes: &[JournalNote]) -> Vec<String> {
    notes.iter().map(ToString::to_string).collect()
}

/// Entries without their lines, to compare what was written with what is read.
fn bare(entries: &[Entry]) -> Vec<Entry> {
    let bare = |entry: &Entry| Entry { line: 0, ..entry.clone() };
    entries.iter().map(bare).collect()
}
