//! What did film get that was developed for a known time?

use super::{NoTime, temperature};
use crate::answers::standing::standing_field;
use crate::answers::{Answer, BathToday, Description, Field, Form, Gather, Note, Section, Value};
use crate::development::aim::Printing;
use crate::development::{Developed, Measure, Pairing};
use crate::measures::Quantity;
use crate::units::{Celsius, Minutes, TemperatureUnit};
use crate::words::trimmed;

/// What is asked.
#[derive(Clone, Debug)]
pub struct DevelopedQuestion<'a> {
    /// Film and developer.
    pub name: &'a str,
    /// The pairing.
    pub pairing: &'a Pairing,
    /// The measure of contrast that scenes are fitted to the paper by.
    pub measure: Measure,
    /// How long the film was in the bath.
    pub minutes: Minutes,
    /// How the bath was moved, in words.
    pub agitation: Option<&'a str>,
    /// Temperature of the bath.
    pub celsius: Celsius,
    /// The unit that temperatures are shown in.
    pub unit: TemperatureUnit,
    /// The bath.
    pub bath: BathToday,
    /// Whether to calculate far outside what was calibrated.
    pub extrapolate: bool,
    /// Whether to calculate for a bath that is not to be used.
    pub anyway: bool,
    /// How the negatives are printed.
    pub printing: Printing,
}

/// What the film has.
#[derive(Clone, Debug)]
pub struct Got<'a> {
    /// What was asked.
    pub question: DevelopedQuestion<'a>,
    /// What it has, or why that is not known.
    pub result: Result<Developed, NoTime>,
}

impl<'a> Got<'a> {
    /// The answer.
    #[must_use]
    pub fn of(question: DevelopedQuestion<'a>) -> Self {
        let activity = question.bath.activity().unwrap_or_else(|| Quantity::around(1.0, 0.0));
        let DevelopedQuestion { pairing, minutes, celsius, extrapolate, .. } = question;
        let result = match question.bath.withheld(question.anyway) {
            Some(withheld) => Err(NoTime::Withheld(withheld)),
            None => {
                pairing.developed(minutes, celsius, &activity, extrapolate).map_err(NoTime::from)
            }
        };
        Self { question, result }
    }

    /// The contrast that scenes are fitted by.
    #[must_use]
    pub fn contrast(&self) -> Option<Quantity> {
        let all = &self.result.as_ref().ok()?.measures;
        all.iter().find(|(measure, _)| *measure == self.question.measure).map(|(_, q)| *q)
    }

    /// The scene that fits the paper at that contrast, in **stops**.
    #[must_use]
    pub fn scene_stops(&self) -> Option<Quantity> {
        self.question.printing.scenes_for(&self.contrast()?)
    }
}

impl Answer for Got<'_> {
    fn describe(&self) -> Description {
        let q = &self.question;
        let mut all = Description::new(q.name);
        all.first = q.bath.standing().map(standing_field);
        let developed = self.result.as_ref().ok();
        if let Err(why) = &self.result {
            all.notes.push(Note::missing("contrast", q.measure.name(), why));
        }
        let three = crate::answers::curve::three_decimals;
        let contrast = self.contrast();
        let value = contrast.as_ref().map_or(Value::Missing, three);
        all.add(Field { leads: true, ..Field::new("contrast", q.measure.name(), value) });
        all.data("measure", q.measure.code());
        let stops = self.scene_stops();
        let stops = stops.as_ref().map(|s| Value::quantity_as(s, Form::Decimals(1)).unit(" stops"));
        let paper = trimmed(q.printing.range_r(), 1);
        let label = format!("scene that fits paper of range R {paper}");
        all.field("scene_stops", label, Value::or_missing(stops));
        let index = developed.and_then(|d| d.exposure_index);
        all.field("exposure_index", "exposure index", index.as_ref());
        all.field("minutes", "developed for", Value::in_form(q.minutes.get(), Form::Clock));
        let words = temperature(q.celsius.get(), q.unit);
        all.field("celsius", "temperature", Value::plain(q.celsius.get(), 2).worded(words));
        q.bath.add_activity(&mut all);
        super::add_agitation(&mut all, q.pairing, q.agitation);
        let Some(developed) = developed else { return all };
        all.data("effective_minutes", Value::number(developed.effective_minutes, 3));
        let mut section = Section::titled("to expect").keyed("expected");
        let base = developed.base_plus_fog.as_ref().map(three);
        section.field("base_plus_fog", "base plus fog", base);
        for (measure, value) in &developed.measures {
            section.field(measure.code(), measure.name(), three(value));
        }
        all.add(section);
        if index.is_none() {
            let why = "the pairing's exposures are relative";
            all.notes.push(Note::missing("exposure_index", "exposure index", why));
        }
        all.notes(&developed.notes);
        all.notes(q.bath.notes());
        all.notes(q.printing.assumptions());
        all
    }

    fn is_no(&self) -> bool {
        self.result.is_err()
    }
}
