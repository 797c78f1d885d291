//! What is in a folder?

use super::standing::standing_field;
use super::{Answer, Column, Description, Gather, Note, Table, Value};
use crate::bath::journal::Journal;
use crate::bath::standing::Standing;
use crate::development::file::PairingFile;
use crate::folder::{Folder, Found, Sort};
use crate::readings::{ReadOptions, read_files};
use crate::session::plan::Plan;
use crate::words::{clock, list_and};
use jiff::civil::Date;
use std::path::{Path, PathBuf};

/// The pairings, baths, papers and plans of a folder.
#[derive(Debug)]
pub struct Listing {
    /// The file of what is usual there, if there is one.
    pub defaults: Option<PathBuf>,
    /// The day that baths are judged on.
    pub on: Date,
    /// Pairings: the file, its name, how many strips, the shortest and the longest time in **minutes**.
    pub pairings: Vec<(PathBuf, String, usize, (f64, f64))>,
    /// Baths: the journal, the developer, the standing.
    pub baths: Vec<(PathBuf, Option<String>, Standing)>,
    /// Papers: the file, the paper, its settings.
    pub papers: Vec<(PathBuf, Option<String>, Vec<String>)>,
    /// Plans: the file, the title, the films.
    pub plans: Vec<(PathBuf, String, String)>,
    /// What cannot be read, and why.
    pub faults: Vec<String>,
}

impl Listing {
    /// What a folder holds, baths as they are on a day.
    #[must_use]
    pub fn of(folder: &Folder, on: Date) -> Self {
        let mut all = Self {
            defaults: folder.laid_down.then(|| folder.file()),
            on,
            pairings: Vec::new(),
            baths: Vec::new(),
            papers: Vec::new(),
            plans: Vec::new(),
            faults: Vec::new(),
        };
        for Found { path, .. } in folder.files(Sort::Pairing) {
            match PairingFile::read(&path) {
                Ok(file) => all.pairing(path, file),
                Err(why) => all.faults.push(why.to_string()),
            }
        }
        for Found { path, .. } in folder.files(Sort::Journal) {
            match Journal::read(&path) {
                Ok(journal) => all.bath(path, &journal),
                Err(why) => all.faults.push(why.to_string()),
            }
        }
        for Found { path, .. } in folder.files(Sort::Readings) {
            all.paper(path);
        }
        for Found { path, .. } in folder.files(Sort::Plan) {
            match Plan::read(&path) {
                Ok(plan) => {
                    let films = plan.films().to_string();
                    all.plans.push((path, plan.title, films));
                }
                Err(why) => all.faults.push(why.to_string()),
            }
        }
        all
    }

    fn pairing(&mut self, path: PathBuf, file: PairingFile) {
        let minutes = file.strips.iter().map(|s| s.minutes());
        let times = minutes.fold((f64::INFINITY, 0.0_f64), |(l, h), m| (l.min(m), h.max(m)));
        self.pairings.push((path, file.name, file.strips.len(), times));
    }

    fn bath(&mut self, path: PathBuf, journal: &Journal) {
        let none = || super::bath::NoPairing::NotNamed;
        let record = super::bath::BathRecord::of(String::new(), journal, self.on, |_| Err(none()));
        let developer = record.developer().map(str::to_owned);
        self.baths.push((path, developer, record.standing));
    }

    /// Readings with filters or grades are those of a paper. Others are strips, of which there are many.
    fn paper(&mut self, path: PathBuf) {
        let Ok(read) = read_files(std::slice::from_ref(&path), &ReadOptions::default()) else {
            return;
        };
        let settings: Vec<String> =
            read.strips.iter().filter_map(|s| s.labels.filter.clone()).collect();
        if !settings.is_empty() {
            let paper = read.strips.iter().find_map(|s| s.labels.film.clone());
            self.papers.push((path, paper, settings));
        }
    }

    fn is_empty(&self) -> bool {
        self.pairings.is_empty()
            && self.baths.is_empty()
            && self.papers.is_empty()
            && self.plans.is_empty()
    }
}

/// A file as a cell.
fn cell(path: &Path) -> Value {
    path.display().to_string().into()
}

fn table(key: &'static str, columns: &[(&'static str, &'static str)]) -> Table {
    let columns = columns.iter().map(|(key, label)| Column::new(*key, *label)).collect();
    Table::new(columns).keyed(key)
}

impl Answer for Listing {
    fn describe(&self) -> Description {
        let mut all = Description::new(match self.is_empty() {
            true => "Nothing is in this folder yet".to_owned(),
            false => "In this folder".to_owned(),
        });
        all.data("date", self.on);
        all.data("defaults", Value::or_missing(self.defaults.as_deref().map(cell)));
        let mut pairings = table(
            "pairings",
            &[
                ("file", "pairing"),
                ("name", "film and developer"),
                ("strips", "strips"),
                ("minutes", "developed for"),
            ],
        );
        for (path, name, strips, (least, most)) in &self.pairings {
            let times = Value::List(vec![Value::plain(*least, 2), Value::plain(*most, 2)]);
            let words = match least == most {
                true => clock(*least),
                false => format!("{} to {}", clock(*least), clock(*most)),
            };
            let strips = Value::Count(*strips as i64);
            pairings.row(vec![cell(path), name.as_str().into(), strips, times.worded(words)]);
        }
        let mut baths = table(
            "baths",
            &[("file", "bath"), ("developer", "developer"), ("standing", "standing today")],
        );
        for (path, developer, standing) in &self.baths {
            let developer = Value::or_missing(developer.as_deref());
            baths.row(vec![cell(path), developer, standing_field(standing).value]);
        }
        let mut papers =
            table("papers", &[("file", "paper"), ("name", "name"), ("settings", "settings")]);
        for (path, name, settings) in &self.papers {
            let each = settings.iter().map(|s| s.as_str().into()).collect();
            let settings = Value::List(each).worded(list_and(settings));
            papers.row(vec![cell(path), Value::or_missing(name.as_deref()), settings]);
        }
        let mut plans = table("plans", &[("file", "plan"), ("title", "title"), ("films", "films")]);
        for (path, title, films) in &self.plans {
            plans.row(vec![cell(path), title.as_str().into(), films.as_str().into()]);
        }
        for table in [pairings, baths, papers, plans] {
            all.add(table);
        }
        all.notes = self.faults.iter().map(Note::remark).collect();
        all
    }
}
