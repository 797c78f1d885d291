//! What do faulty films share that good ones do not?

use super::{chance, films};
use crate::answers::{Answer, Column, Description, Field, Gather, Need, Note, Table, Value};
use crate::bath::journal::Journal;
use crate::bath::trace::shared::{Candidate, Case, Chance, LEVEL, Shared, cases, shared};
use crate::bath::trace::{NotFound, numbers, trace};
use crate::words::{list_and, number};

/// Films that are faulty, and films that are good.
#[derive(Clone, Debug)]
pub struct FaultQuestion<'a> {
    /// The journal.
    pub journal: &'a Journal,
    /// Numbers of the faulty films.
    pub faulty: &'a [u32],
    /// Numbers of the good ones; without any, all other films of the same days are good.
    pub good: &'a [u32],
    /// What readings of films showed, where it was them that said which are faulty.
    pub judged: &'a [Judged],
}

/// What readings of an evenly exposed film showed.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// The number of the film.
    pub number: u32,
    /// Whether unevenness of it is seen in a print.
    pub is_faulty: bool,
    /// What was found, in words.
    pub found: String,
}

/// Why films are not compared.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NotCompared {
    /// A number is not there.
    #[error(transparent)]
    NotFound(#[from] NotFound),
    /// A film that is faulty and good.
    #[error("film {0} is named as faulty and as good; keep one of the two")]
    Both(u32),
    /// Nothing is faulty.
    #[error(
        "none of these films is uneven so that it is seen in a print: there is no fault to compare"
    )]
    NoFaulty,
    /// There is nothing to compare with.
    #[error(
        "the journal has no other film of the same days, and good ones are needed for a comparison"
    )]
    NoGood,
}

/// What faulty films share.
#[derive(Clone, Debug)]
pub struct SharedFault {
    journal: String,
    shared: Shared,
    judged: Vec<Judged>,
    /// Whether it was not said which films are good.
    assumed_good: bool,
}

impl SharedFault {
    /// Compares films of a journal.
    ///
    /// # Errors
    /// [`NotCompared`]
    pub fn of(question: &FaultQuestion<'_>) -> Result<Self, NotCompared> {
        let FaultQuestion { journal, faulty, good, judged } = question;
        if faulty.is_empty() {
            return Err(NotCompared::NoFaulty);
        }
        if let Some(both) = faulty.iter().find(|number| good.contains(number)) {
            return Err(NotCompared::Both(*both));
        }
        for number in faulty.iter().chain(*good) {
            trace(&journal.file, &journal.entries, *number)?;
        }
        let all = cases(&journal.entries);
        let of = |wanted: &dyn Fn(&Case) -> bool| -> Vec<&Case> {
            all.iter().filter(|case| wanted(case)).collect()
        };
        let bad = of(&|case| faulty.contains(&case.number));
        let same_day = |case: &Case| bad.iter().any(|other| other.date == case.date);
        let fine = match good.is_empty() {
            true => of(&|case| !faulty.contains(&case.number) && same_day(case)),
            false => of(&|case| good.contains(&case.number)),
        };
        if fine.is_empty() {
            return Err(NotCompared::NoGood);
        }
        debug_assert_eq!(all.len(), numbers(&journal.entries).len());
        Ok(Self {
            journal: journal.file.to_string(),
            shared: shared(&bad, &fine),
            judged: judged.to_vec(),
            assumed_good: good.is_empty(),
        })
    }

    /// What was found.
    #[must_use]
    pub const fn shared(&self) -> &Shared {
        &self.shared
    }

    /// The first candidate, if it is more than chance.
    fn found(&self) -> Option<&Candidate> {
        self.shared.candidates.first().filter(|first| first.points())
    }

    fn verdict(&self) -> String {
        match (self.found(), self.shared.candidates.first()) {
            (Some(found), _) => format!("they share {}", words(found)),
            (None, Some(best)) => {
                format!("nothing that is more than chance; the best is {}", words(best))
            }
            (None, None) => "nothing that the good ones do not have as often".to_owned(),
        }
    }
}

/// What films have in common, in words.
fn words(candidate: &Candidate) -> String {
    let what: Vec<&str> = candidate.what.iter().map(|(_, words)| words.as_str()).collect();
    match what.len() {
        1 => what[0].to_owned(),
        _ => format!("{} (these films do not separate them)", list_and(&what)),
    }
}

impl Answer for SharedFault {
    fn describe(&self) -> Description {
        let s = &self.shared;
        let (bad, fine) = (s.faulty.len() as u32, s.good.len() as u32);
        let mut all = Description::new(format!("What do {} share?", films(&s.faulty)));
        all.subtitle = Some(format!("good: {}", films(&s.good)));
        let list = |numbers: &[u32]| Value::List(numbers.iter().map(|n| (*n).into()).collect());
        all.heading = vec![
            Field::new("journal", "journal", self.journal.as_str()),
            Field::new("faulty", "faulty", list(&s.faulty)),
            Field::new("good", "good", list(&s.good)),
        ];
        let code = if self.found().is_some() { "shared" } else { "not_shown" };
        all.leading("verdict", "answer", Value::term(code, self.verdict()));
        let mut table = Table::new(vec![
            Column::new("what", "what they have"),
            Column::new("faulty_with", "faulty"),
            Column::new("good_with", "good"),
            Column::new("chance_alone", "chance alone"),
            Column::new("chance_among_all", "among all"),
            Column::new("chance_is_bound", "upper bound").for_programs(),
        ])
        .keyed("candidates");
        for candidate in &s.candidates {
            table.title = Some("what more of the faulty films have than of the good".to_owned());
            let of = |with: u32, all: u32| Value::from(with).worded(format!("{with} of {all}"));
            let factors = candidate.what.iter().map(|(factor, words)| {
                Value::Map(vec![
                    ("factor".into(), factor.code().into()),
                    ("value".into(), words.as_str().into()),
                ])
            });
            let is_bound = matches!(candidate.among_all, Chance::AtMost(_));
            table.row(vec![
                Value::List(factors.collect()).worded(words(candidate)),
                of(candidate.faulty_with, bad),
                of(candidate.good_with, fine),
                chance(candidate.alone),
                among_all(candidate.among_all),
                is_bound.into(),
            ]);
        }
        all.add(table);
        if !self.judged.is_empty() {
            all.add(self.readings());
        }
        all.field("splits", "ways to split these films", s.splits);
        let least = among_all(s.least);
        all.field("least_chance", "smallest chance that they could show", least);
        match &s.trial {
            Some(trial) => all.field("trial", "a trial that decides", trial.to_string()),
            None => {
                all.field("trial", "a trial that decides", Value::Missing);
                let why = "no agreement was found that one could be made for";
                all.notes.push(Note::missing("trial", "a trial that decides", why));
            }
        }
        for note in self.notes() {
            all.notes.push(note);
        }
        all
    }

    fn is_no(&self) -> bool {
        self.found().is_none()
    }
}

fn among_all(value: Chance) -> Value {
    let plain = chance(value.value());
    match value {
        Chance::Exact(_) => plain,
        Chance::AtMost(_) => {
            let words = plain.for_people();
            let words = if words.starts_with('<') { words } else { format!("at most {words}") };
            plain.worded(words)
        }
    }
}

impl SharedFault {
    /// What the readings of each film showed.
    fn readings(&self) -> Table {
        let mut table = Table::new(vec![
            Column::new("number", "film"),
            Column::new("faulty", "faulty"),
            Column::new("found", "its readings"),
        ])
        .titled("what the readings show")
        .keyed("judged");
        for judged in &self.judged {
            let found = judged.found.as_str();
            table.row(vec![judged.number.into(), judged.is_faulty.into(), found.into()]);
        }
        table
    }

    fn notes(&self) -> Vec<Note> {
        let mut notes = Vec::new();
        if self.assumed_good {
            let words = "all other films of the same days are taken as good";
            notes.push(Note::remark(words).needing(Some(Need::GoodFilms)));
        }
        if self.shared.least.value() > LEVEL {
            notes.push(Note::remark(
                "so few films could show nothing: even a perfect agreement comes about by chance more often than in 5 of 100 cases",
            ));
        }
        notes.push(Note::remark(format!(
            "chance alone: that so many of the faulty films have it, if the fault had nothing to do with it (Fisher's exact test, one-sided; R. A. Fisher 1935). Among all: that the best of all {} ways to split these films agrees so well (P. H. Westfall and S. S. Young 1993); up to {} it counts as more than chance",
            self.shared.splits,
            number(LEVEL, 2)
        )));
        notes.push(Note::remark(
            "an agreement is no proof: something that the journal does not have may go with it",
        ));
        notes
    }
}
