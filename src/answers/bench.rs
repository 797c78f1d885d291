//! What follows today's development at the sink, live?

mod night;

pub use night::{NightBench, NightBenchQuestion};

use super::adjust::aim_words;
use super::standing::standing_field;
use super::{Adjust, AdjustQuestion, Answer, Description, Field, Gather, SessionSheet, Value};
use crate::measures::Quantity;
use crate::session::{Step, StepKind};
use crate::units::{Celsius, TemperatureUnit};
use crate::words::{counted, duration};
use jiff::civil::Date;
use std::borrow::Cow;

/// What is asked.
#[derive(Clone, Debug)]
pub struct BenchQuestion<'a> {
    /// Today's development.
    pub adjust: AdjustQuestion<'a>,
    /// The day that it is for.
    pub date: Date,
    /// The session that it belongs to, where there is a plan of one.
    pub session: Option<&'a SessionSheet>,
    /// The command that enters the film in the journal of its bath, in pieces: between the first and the
    /// second stands how many rolls there were, between the second and the third a remark. One piece
    /// enters all by itself; none where there is no journal.
    pub entering: Vec<String>,
}

/// Today's development with all that is needed to follow it: the law by which a temperature counts, the
/// effective minutes to reach, and the steps that come after.
#[derive(Clone, Debug)]
pub struct Bench<'a> {
    /// Today's development.
    pub adjust: Adjust<'a>,
    date: Date,
    session: Option<&'a SessionSheet>,
    entering: Vec<String>,
}

impl<'a> Bench<'a> {
    /// The answer.
    #[must_use]
    pub fn of(question: BenchQuestion<'a>) -> Self {
        let BenchQuestion { adjust, date, session, entering } = question;
        Self { adjust: Adjust::of(adjust), date, session, entering }
    }

    /// The steps after development.
    fn steps(&self) -> impl Iterator<Item = &Step> + Clone {
        let steps = self.session.map(|session| session.sheet().steps.as_slice());
        steps.unwrap_or_default().iter().filter(|step| is_after(step))
    }

    /// The law by which temperatures count: rate(T) = exp(−E/R·(1/T − 1/T_ref)), as
    /// [`crate::development::drift`] uses it.
    fn law(&self) -> Value {
        let q = &self.adjust.question;
        let law = q.pairing.growth(q.measure).unwrap_or_else(|| q.pairing.law());
        let energy = Quantity::around(law.energy(), law.quantile * law.energy_sd());
        map(vec![
            ("activation_energy_kj_per_mol", Value::quantity(&energy)),
            ("assumed", law.energy_is_assumed().into()),
            ("reference_celsius", Value::plain(law.reference.get(), 4)),
        ])
    }

    /// What people read of the bath's standing and of the aim.
    fn words(&self) -> Value {
        let q = &self.adjust.question;
        let bath = q.bath.standing().map(|standing| {
            let field = standing_field(standing);
            format!("{}: {}", field.label, field.value.for_people())
        });
        map(vec![("bath", bath.into()), ("aim", aim_words(q.measure, &q.target).into())])
    }

    /// What of the session comes after development.
    fn after(&self, all: &mut Description) {
        let Some(session) = self.session else { return };
        let sheet = session.sheet();
        all.field("session", "session", sheet.title.as_str());
        let batches: Vec<Value> =
            sheet.batches.iter().map(|batch| batch.films.to_string().into()).collect();
        let words = counted(batches.len(), "batch");
        all.field("batches", "develop", Value::List(batches).worded(words));
        all.add(steps_field(self.steps()));
    }
}

/// The steps after development.
fn steps_field<'s>(steps: impl Iterator<Item = &'s Step> + Clone) -> Field {
    let one = |step: &Step| {
        map(vec![
            ("step", step.kind.code().into()),
            ("name", step.kind.name().into()),
            ("seconds", step.seconds.into()),
            ("how", step.how.as_str().into()),
            ("from", step.source.to_string().into()),
            // Film dries while the next batch is developed.
            ("timed", (step.kind != StepKind::Dry).into()),
        ])
    };
    let words = |step: &Step| format!("{} {}", step.kind.name(), duration(step.seconds.into()));
    let all_words: Vec<String> = steps.clone().map(words).collect();
    let steps = Value::List(steps.map(one).collect());
    Field::new("steps", "after that", steps.worded(all_words.join(", ")))
}

/// Which steps come after development.
fn is_after(step: &Step) -> bool {
    !matches!(step.kind, StepKind::Load | StepKind::Develop)
}

/// Values with names.
fn map(entries: Vec<(&'static str, Value)>) -> Value {
    Value::Map(entries.into_iter().map(|(name, value)| (Cow::Borrowed(name), value)).collect())
}

/// The ends of a range.
fn range((low, high): (f64, f64)) -> Value {
    map(vec![("low", Value::plain(low, 2)), ("high", Value::plain(high, 2))])
}

impl Answer for Bench<'_> {
    fn describe(&self) -> Description {
        let q = &self.adjust.question;
        let mut all = self.adjust.describe();
        all.data("pairing", q.name);
        all.data("date", self.date);
        all.data("kept", q.bath.standing().is_some());
        if self.is_no() {
            return all;
        }
        let activity = q.bath.activity().unwrap_or_else(|| Quantity::around(1.0, 0.0));
        all.data("bath_activity", Value::quantity(&activity));
        all.data("words", self.words());
        all.data("law", self.law());
        all.data("calibrated_celsius", range(q.pairing.temperatures()));
        all.data("possible_celsius", range((Celsius::LOWEST, Celsius::HIGHEST)));
        all.data(
            "unit",
            match q.unit {
                TemperatureUnit::Celsius => "celsius",
                TemperatureUnit::Fahrenheit => "fahrenheit",
            },
        );
        self.after(&mut all);
        let entering = self.entering.iter().map(|piece| piece.as_str().into()).collect();
        all.data("entering", Value::List(entering));
        all
    }

    fn is_no(&self) -> bool {
        self.adjust.is_no()
    }
}
