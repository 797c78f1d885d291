//! How long is film fixed, and is the fixer spent?

use super::{Answer, Description, Field, Form, Gather, Need, Note, Value};
use crate::bath::film::Films;
use crate::session::Origin;
use crate::session::fixing::{
    CAUTION, ClearingTest, FACTOR, FixingNote, ML_PER_ROLL, SOURCE, SPENT, replenisher_ml,
};
use crate::words::{number, trimmed};

/// What is known of the fixer and of the film.
#[derive(Clone, Debug, PartialEq)]
pub struct FixingQuestion {
    /// How long a piece of film takes to clear.
    pub test: ClearingTest,
    /// Fixing time over clearing time, where it is not the usual one.
    pub factor: Option<f64>,
    /// Film to be fixed.
    pub films: Films,
    /// Fresh fixer for a roll of 135 film of 36 exposures, in **ml**, where it is stated.
    pub ml_per_roll: Option<f64>,
    /// Fresh fixer that there is, in **ml**.
    pub in_hand_ml: Option<f64>,
}

/// The fixing time, and the fresh fixer that film needs.
#[derive(Clone, Debug, PartialEq)]
pub struct Fixing {
    question: FixingQuestion,
}

impl Fixing {
    /// The fixing time by a clearing test.
    #[must_use]
    pub const fn of(question: FixingQuestion) -> Self {
        Self { question }
    }

    /// How long to fix, in **seconds**; `None` in a spent fixer.
    #[must_use]
    pub fn seconds(&self) -> Option<f64> {
        (!self.is_spent()).then(|| self.question.test.fixing_seconds(self.factor()))
    }

    /// Fixing time over clearing time.
    #[must_use]
    pub fn factor(&self) -> f64 {
        self.question.factor.unwrap_or(FACTOR)
    }

    /// Fresh fixer for a roll of 135 film of 36 exposures, in **ml**.
    #[must_use]
    pub fn ml_per_roll(&self) -> f64 {
        self.question.ml_per_roll.unwrap_or(ML_PER_ROLL)
    }

    /// Fresh fixer for the film, in **ml**; `None` without film.
    #[must_use]
    pub fn replenish_ml(&self) -> Option<f64> {
        let films = &self.question.films;
        (!films.0.is_empty()).then(|| replenisher_ml(films, self.ml_per_roll()))
    }

    /// For how many rolls of 135 film of 36 exposures the fresh fixer is enough.
    #[must_use]
    pub fn rolls_in_hand(&self) -> Option<f64> {
        self.question.in_hand_ml.map(|ml| ml / self.ml_per_roll())
    }

    fn is_spent(&self) -> bool {
        self.question.test.is_spent() == Some(true)
    }

    fn notes(&self) -> Vec<FixingNote> {
        let q = &self.question;
        let mut notes = q.test.notes(q.factor.is_none() && !self.is_spent());
        notes.extend((!q.films.0.is_empty()).then_some(FixingNote::NominalArea));
        notes
    }
}

impl Answer for Fixing {
    fn describe(&self) -> Description {
        let seconds = self.seconds().map(|s| Value::in_form(s, Form::ClockOfSeconds));
        let mut all = Description::new(match &seconds {
            Some(time) => format!("Fix for {}", time.for_people()),
            None => "Do not fix in this fixer: it is spent".to_owned(),
        });
        all.heading.push(Field::new("fixing_seconds", "fix for", seconds));
        self.test(&mut all);
        self.film(&mut all);
        let note = |note: FixingNote| Note::remark(note).needing(need(&note));
        all.notes = self.notes().into_iter().map(note).collect();
        if self.is_spent() {
            all.notes.push(Note::remark("mix a fresh fixer and test it"));
            all.caution(CAUTION);
        }
        all
    }

    fn is_no(&self) -> bool {
        self.is_spent()
    }
}

impl Fixing {
    /// The clearing test, and what follows from it.
    pub(super) fn test(&self, all: &mut impl Gather) {
        let q = &self.question;
        let clears = |seconds: f64| Value::plain(seconds, 1).unit(" s");
        all.field("clearing_seconds", "clearing time", clears(q.test.seconds));
        match (q.test.fresh_seconds, q.test.slowed()) {
            (Some(fresh), Some(slowed)) => {
                let times = format!("{} times that of the fresh fixer", number(slowed, 2));
                let limit = format!("{} times that time ({SOURCE})", trimmed(SPENT, 2));
                all.field("fresh_clearing_seconds", "in the fresh fixer", clears(fresh));
                all.field("slowed", "today's time is", Value::number(slowed, 2).worded(times));
                all.field("spent_at", "spent at", Value::number(SPENT, 2).worded(limit));
            }
            _ => {
                all.data("fresh_clearing_seconds", Value::Missing);
                all.data("slowed", Value::Missing);
                all.data("spent_at", Value::number(SPENT, 2));
            }
        }
        let spent = q.test.is_spent().map(Value::from);
        all.field("spent", "spent", spent.unwrap_or(Value::Missing.worded("not known")));
        let from = SOURCE.unless(q.factor.as_ref());
        let factor = format!("{} ({from})", trimmed(self.factor(), 2));
        let factor = Value::number(self.factor(), 2).worded(factor);
        all.field("factor", "fixing time over clearing time", factor);
        all.data("factor_source", origin(from));
    }

    /// The film, and the fresh fixer for it.
    fn film(&self, all: &mut Description) {
        let films = &self.question.films;
        let known = (!films.0.is_empty()).then_some(films);
        shown(all, "films", "film", known.map(self::films));
        let area = known.map(|f| Value::plain(f.area_m2(), 4).unit(" m²"));
        shown(all, "area_m2", "its area", area);
        self.fresh_fixer(all);
    }

    /// Fresh fixer for the film, and what is in hand.
    pub(super) fn fresh_fixer(&self, all: &mut impl Gather) {
        let q = &self.question;
        let fresh = self.replenish_ml().map(|ml| Value::plain(ml, 0).unit(" ml"));
        shown(all, "replenish_ml", "fresh fixer for the film", fresh);
        let in_hand = q.in_hand_ml.map(|ml| Value::plain(ml, 1).unit(" ml"));
        shown(all, "in_hand_ml", "fresh fixer in hand", in_hand);
        let rolls = |rolls: f64| {
            Value::plain(rolls, 4).worded(format!("{} rolls of 135-36", trimmed(rolls.floor(), 0)))
        };
        shown(all, "rolls_in_hand", "enough for", self.rolls_in_hand().map(rolls));
        let from = Origin::Practice.unless(q.ml_per_roll.as_ref());
        let rate = Value::plain(self.ml_per_roll(), 1);
        let words = format!("{} ml for a 135-36 ({from})", rate.for_people());
        if self.replenish_ml().is_some() || q.in_hand_ml.is_some() {
            all.field("ml_per_roll", "by", rate.worded(words));
        } else {
            all.data("ml_per_roll", rate);
        }
        all.data("ml_per_roll_source", origin(from));
    }
}

/// A field where there is something to see, else only `null` for programs.
fn shown(all: &mut impl Gather, key: &'static str, label: &'static str, value: Option<Value>) {
    match value {
        Some(value) => all.field(key, label, value),
        None => all.data(key, Value::Missing),
    }
}

/// What may be stated so that a note is not needed.
pub(super) const fn need(note: &FixingNote) -> Option<Need> {
    match note {
        FixingNote::FreshNotKnown => Some(Need::FreshClearingTime),
        FixingNote::ConventionalFactor => Some(Need::FixingFactor),
        FixingNote::Faster | FixingNote::NominalArea => None,
    }
}

/// Where a number comes from, as a value.
pub(super) fn origin(from: Origin) -> Value {
    Value::term(from.code(), from.to_string())
}

/// Films as a value: a list of formats with their counts, and `6 × 135-36 + 3 × 120` for people.
pub(super) fn films(films: &Films) -> Value {
    let one = |(count, format): &(u32, crate::bath::film::Format)| {
        Value::Map(vec![
            ("format".into(), format.to_string().into()),
            ("count".into(), (*count).into()),
        ])
    };
    Value::List(films.0.iter().map(one).collect()).worded(films.to_string())
}
