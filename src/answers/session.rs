//! What is done in a session, and when?

mod developer;
mod entered;
mod night;
mod tables;

pub use entered::Entered;
pub use night::{ClassNight, NightQuestion};

use super::fixing::{films, need};
use super::standing::{NotGiven, Withheld, standing_field};
use super::{
    Answer, BathToday, Block, Description, Field, Fixing, FixingQuestion, Gather, Need, Note,
};
use super::{Section, Value};
use crate::bath::film::Films;
use crate::bath::history::until;
use crate::bath::journal::{Act, Entry, Journal};
use crate::bath::materials::differences;
use crate::bath::standing::{Standing, State};
use crate::development::Pairing;
use crate::development::agitation::OtherAgitation;
use crate::development::file::PairingFile;
use crate::development::materials::OfAnother;
use crate::session::cautions::CAUTIONS;
use crate::session::sheet::entries::seen_from;
use crate::session::{
    Plan, Session, SessionError, SessionNote, Sheet, StepKind, StepSource, followed,
};
use crate::words::{duration, trimmed};
use jiff::civil::Date;
use std::path::PathBuf;

/// A plan with all that it names, and the day.
#[derive(Clone, Copy, Debug)]
pub struct SessionQuestion<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// The pairing's file.
    pub file: &'a PairingFile,
    /// The pairing.
    pub pairing: &'a Pairing,
    /// The bath's journal, where the plan names one.
    pub journal: Option<&'a Journal>,
    /// The day of the session.
    pub date: Date,
    /// Whether to answer far outside what was calibrated.
    pub extrapolate: bool,
    /// Whether to answer for a bath that is not to be used.
    pub anyway: bool,
    /// The number of the first film, where it is not the next of the journal.
    pub first_number: Option<u32>,
    /// Files of temperatures that were read, one for each batch in their order.
    pub temperatures: &'a [PathBuf],
}

/// The sheet of a session: batches, volumes, times, and the entries for the journal.
#[derive(Clone, Debug)]
pub struct SessionSheet {
    sheet: Sheet,
    date: Date,
    journal: Option<PathBuf>,
    standing: Option<Standing>,
    /// What the bath is of that the pairing is not.
    others: Vec<OfAnother>,
    /// The plan's agitation, where that is another than the pairing's.
    agitation: Option<OtherAgitation>,
    fixing: Fixing,
    temperatures: Vec<PathBuf>,
}

impl SessionSheet {
    /// The sheet of a plan.
    ///
    /// # Errors
    /// [`SessionError`]: a plan that contradicts itself or its bath, or an answer that is no.
    pub fn of(question: SessionQuestion<'_>) -> Result<Self, SessionError> {
        let SessionQuestion { plan, file, pairing, journal, date, .. } = question;
        // What was entered for later days is not known on the day of the session.
        let first_number =
            journal.map(|j| question.first_number.unwrap_or_else(|| j.next_number()));
        let then = |j: &Journal| Journal { entries: until(j, date).to_vec(), ..j.clone() };
        let then = journal.map(then);
        let journal = then.as_ref();
        let others = journal.map(|j| differences(file, &j.entries, &j.file)).unwrap_or_default();
        if let Some(other) = others.first().filter(|_| !question.anyway) {
            return Err(other.clone().into());
        }
        let standing = journal.map(|j| Standing::of(&j.entries, date));
        let overruled = |s: &&Standing| question.anyway && s.state != State::Discarded;
        let session = Session {
            plan,
            file,
            pairing,
            journal,
            standing: standing.as_ref().filter(|s| !overruled(s)),
            activity: journal.and_then(|j| followed(j, date)),
            extrapolate: question.extrapolate,
            first_number,
        };
        let sheet = session.sheet()?;
        let fixing = fixing_of(plan, &sheet.fixing, &sheet.films);
        let journal = plan.journal().cloned();
        let temperatures = question.temperatures.to_vec();
        let agitation = pairing.agitated_otherwise(plan.developer.agitation.as_deref());
        Ok(Self { agitation, sheet, date, journal, standing, others, fixing, temperatures })
    }

    /// The answer where the bath is not to be used.
    #[must_use]
    pub fn not_given(question: &SessionQuestion<'_>, standing: Standing) -> NotGiven {
        let SessionQuestion { plan, file, date, .. } = question;
        let journal = plan.journal().map(|journal| journal.display().to_string());
        let mut answer = Self::withheld(plan, *date, standing);
        answer.heading.push(Field::new("pairing", "pairing", file.name.as_str()));
        answer.heading.push(Field::new("journal", "journal", journal));
        answer
    }

    /// The answer to any plan where a bath is not to be used.
    #[must_use]
    pub fn withheld(plan: &Plan, date: Date, standing: Standing) -> NotGiven {
        NotGiven {
            title: format!("{}, {date}", plan.title),
            heading: vec![
                Field::new("title", "session", plan.title.as_str()),
                Field::new("date", "date", date),
            ],
            missing: ("batches", "plan of the session"),
            why: Withheld(standing),
        }
    }

    /// The file of the bath's journal; `None` for a developer that is used once.
    #[must_use]
    pub const fn journal(&self) -> Option<&PathBuf> {
        self.journal.as_ref()
    }

    /// The day of the session.
    #[must_use]
    pub const fn date(&self) -> Date {
        self.date
    }

    /// The sheet itself.
    #[must_use]
    pub const fn sheet(&self) -> &Sheet {
        &self.sheet
    }

    /// The bath of the session, as other answers take it.
    #[must_use]
    pub fn bath(&self) -> BathToday {
        let activity = &self.sheet.developing.activity;
        BathToday::of_session(self.standing.as_ref(), activity, &self.others)
    }

    /// What is to be entered in the journal after the session, in order.
    #[must_use]
    pub fn entries(&self) -> Vec<Entry> {
        let count = self.sheet.batches.len();
        let batches = self.sheet.batches.iter().enumerate();
        let of_batch = |(n, batch): (usize, &crate::session::Batch)| {
            let note = format!("{}, batch {} of {count}", self.sheet.title, n + 1);
            let entry = |act| Entry::new(self.date, act, Some(note.clone()));
            let log = self.temperatures.get(n);
            let with_log = |mut act: Act| {
                if let (Act::Film { load: Some(load), .. }, Some(log)) = (&mut act, log) {
                    load.temperatures = Some(seen_from(self.journal.as_ref(), log));
                }
                act
            };
            batch.entries.iter().cloned().map(with_log).map(entry).collect::<Vec<_>>()
        };
        batches.flat_map(of_batch).collect()
    }

    /// How many batches there are.
    #[must_use]
    pub const fn batch_count(&self) -> usize {
        self.sheet.batches.len()
    }

    /// The entry of a journal that shows that this session is entered already: entered twice, its film
    /// would count twice.
    #[must_use]
    pub fn entered_in<'a>(&self, journal: &'a Journal) -> Option<&'a Entry> {
        let first = self.entries().into_iter().next()?;
        let same =
            |e: &&Entry| (e.date, &e.note) == (first.date, &first.note) && e.act.is_as(&first.act);
        journal.entries.iter().find(same)
    }
}

impl Answer for SessionSheet {
    fn describe(&self) -> Description {
        let sheet = &self.sheet;
        let mut all = Description::new(format!("{}, {}", sheet.title, self.date));
        all.first = self.standing.as_ref().map(standing_field);
        let area = Value::plain(sheet.area_m2, 4).unit(" m²");
        all.subtitle = Some(format!("{}: {}, {}", sheet.pairing, sheet.films, area.for_people()));
        let vessel = vec![
            ("kind".into(), sheet.vessel.into()),
            ("solution_ml".into(), volume(sheet.solution_ml)),
        ];
        let journal = self.journal.as_ref().map(|j| j.display().to_string());
        all.heading = vec![
            Field::new("title", "session", sheet.title.as_str()),
            Field::new("date", "date", self.date),
            Field::new("pairing", "pairing", sheet.pairing.as_str()),
            Field::new("films", "films", films(&sheet.films)),
            Field::new("area_m2", "area", area),
            Field::new("vessel", "vessel", Value::Map(vessel)),
            Field::new("journal", "journal", journal),
        ];
        all.add(self.developer());
        all.add(Block::Twofold {
            people: vec![self.batches().into()],
            programs: vec![self.batch_list()],
        });
        all.add(self.mixtures());
        all.add(self.steps());
        all.add(Block::Twofold { people: vec![self.timetable().into()], programs: Vec::new() });
        self.end(&mut all);
        if self.sheet.batches.iter().any(|batch| !batch.numbered.is_empty()) {
            all.add(self.numbered());
        }
        all.data("washing", self.washing());
        let mut fixing = Section::titled("fixer").keyed("fixing");
        self.fixing.test(&mut fixing);
        self.fixing.fresh_fixer(&mut fixing);
        all.add(fixing);
        all.add(entered::table(&self.entries(), self.journal.as_deref(), &[]));
        for caution in CAUTIONS {
            all.caution(caution);
        }
        all.notes(&self.others);
        all.notes(&self.agitation);
        all.notes.extend(sheet.notes.iter().map(note));
        if self.journal.is_some() {
            let words = "after the session, enter its film and its replenishment in the journal";
            all.notes.push(Note::remark(words).needing(Some(Need::Entering)));
        }
        all
    }
}

impl SessionSheet {
    /// The wash, as it stands among the steps, for programs.
    fn washing(&self) -> Value {
        let wash = self.sheet.steps.iter().find(|s| s.kind == StepKind::Wash);
        let number = |v: f64| Value::plain(v, 4);
        let entries = match wash.map(|s| s.source) {
            Some(StepSource::RunningWater { half_time, from, left }) => vec![
                ("method".into(), "running".into()),
                ("half_time_minutes".into(), number(half_time)),
                ("half_time_source".into(), from.code().into()),
                ("fraction_left".into(), number(left)),
            ],
            Some(StepSource::Changes { changes, each, from, left }) => vec![
                ("method".into(), "changes".into()),
                ("changes".into(), changes.into()),
                ("minutes_each".into(), number(each)),
                ("minutes_each_source".into(), from.code().into()),
                ("fraction_left".into(), number(left)),
            ],
            _ => return Value::Missing,
        };
        Value::Map(entries)
    }

    /// When all is done.
    fn end(&self, all: &mut Description) {
        let seconds = self.sheet.seconds();
        let last = self.sheet.batches.last();
        let dry = last.and_then(|b| b.steps.iter().find(|s| s.kind == StepKind::Dry));
        let dry = dry.map_or(String::new(), |s| format!(", dry at {}", self.moment(s.to)));
        let words = format!("all hung up after {}{dry}", duration(seconds));
        all.line(words, vec![Field::new("seconds", "all hung up after", count(seconds))]);
    }

    /// When something comes: a time of day where the session has one, else from its beginning.
    fn moment(&self, seconds: u64) -> String {
        moment(self.sheet.start, seconds)
    }
}

/// When something comes in a session that begins so many minutes after midnight, or at 0:00:00.
fn moment(start: Option<u32>, seconds: u64) -> String {
    let all = seconds + 60 * u64::from(start.unwrap_or(0));
    let (hours, minutes, seconds) = (all / 3600, all / 60 % 60, all % 60);
    match start {
        Some(_) if hours >= 24 => {
            format!("{}:{minutes:02}:{seconds:02} +{} d", hours % 24, hours / 24)
        }
        _ => format!("{hours}:{minutes:02}:{seconds:02}"),
    }
}

/// The answer on fixing that belongs to a plan.
fn fixing_of(plan: &Plan, fixing: &crate::session::Fixing, films: &Films) -> Fixing {
    let stated = |s: crate::session::plan::Stated| (!s.assumed).then_some(s.value);
    Fixing::of(FixingQuestion {
        test: fixing.test,
        factor: stated(plan.fix.factor),
        films: films.clone(),
        ml_per_roll: stated(plan.fix.ml_per_roll),
        in_hand_ml: plan.fix.in_hand_ml,
    })
}

/// A note, with what may be stated so that it is not needed. A plan states the clearing times and the
/// factor itself.
fn note(note: &SessionNote) -> Note {
    let key = match note {
        SessionNote::Fixing(fixing) => match need(fixing) {
            Some(Need::FreshClearingTime) => "; the plan states it as fresh_clearing_seconds",
            Some(Need::FixingFactor) => "; the plan states it as factor",
            _ => "",
        },
        _ => "",
    };
    Note::remark(format!("{note}{key}"))
}

/// Whole seconds.
fn count(seconds: u64) -> Value {
    Value::Count(i64::try_from(seconds).unwrap_or(i64::MAX))
}

/// A volume that can be measured: whole millilitres, below a hundred in tenths.
const fn volume(ml: f64) -> Value {
    Value::plain(ml, if ml < 100.0 { 1 } else { 0 })
}

/// A share as `37 %`.
fn percent(share: f64) -> String {
    format!("{} %", trimmed(100.0 * share, 0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn volumes_can_be_measured() {
        assert_eq!(
            [14.285, 285.714, 2000.0].map(|ml| volume(ml).for_people()),
            ["14.3", "286", "2000"]
        );
    }
}
