//! A pairing of which one strip is known: how long today for what that strip has?

use super::adjust::{NoTime, aim_fields, temperature};
use super::curve::{strip_section, three_decimals};
use super::standing::standing_field;
use super::{
    Answer, BathToday, Block, Column, Description, Field, Form, Gather, Note, Section, Table, Value,
};
use crate::development::aim::{Printing, Target};
use crate::development::changes::Change;
use crate::development::file::{Aims, PairingFile};
use crate::development::{Measure, OneStrip};
use crate::measures::Quantity;
use crate::units::{Celsius, TemperatureUnit};
use crate::words::trimmed;
use std::cmp::Ordering;

/// What is asked.
#[derive(Clone, Debug)]
pub struct OneStripQuestion<'a> {
    /// Film and developer.
    pub name: &'a str,
    /// The strip.
    pub one: &'a OneStrip,
    /// The measure of contrast.
    pub measure: Measure,
    /// The contrast that is wanted.
    pub target: Target,
    /// Whether a person asked for it; else it is that of a normal scene.
    pub asked: bool,
    /// Temperature of the bath.
    pub celsius: Celsius,
    /// The unit that temperatures are shown in.
    pub unit: TemperatureUnit,
    /// The bath.
    pub bath: BathToday,
    /// Whether to calculate for a bath that is not to be used.
    pub anyway: bool,
    /// How the negatives are printed.
    pub printing: Printing,
}

/// The time that develops as much as the strip has.
#[derive(Clone, Debug)]
pub struct OneStripToday<'a> {
    /// What was asked.
    pub question: OneStripQuestion<'a>,
    /// The time, or why there is none.
    pub minutes: Result<Quantity, NoTime>,
}

impl<'a> OneStripToday<'a> {
    /// The answer.
    #[must_use]
    pub fn of(question: OneStripQuestion<'a>) -> Self {
        let q = &question;
        let activity = q.bath.activity().unwrap_or_else(|| Quantity::around(1.0, 0.0));
        let fits = q.fits();
        let minutes = match q.bath.withheld(q.anyway) {
            Some(withheld) => Err(NoTime::Withheld(withheld)),
            None if q.asked && !fits => Err(NoTime::OneStrip),
            None => Ok(q.one.time_at(q.celsius, &activity)),
        };
        Self { question, minutes }
    }
}

impl OneStripQuestion<'_> {
    /// Whether the strip has the contrast that is wanted.
    fn fits(&self) -> bool {
        self.one.compared(self.measure, self.target.contrast) == Some(Ordering::Equal)
    }
}

/// What the strip has: its contrast, the scene that fits the paper at it, base plus fog.
fn measured(all: &mut impl Gather, one: &OneStrip, measure: Measure, printing: &Printing) {
    let contrast = one.contrast(measure).as_ref().ok();
    all.field(measure.code(), measure.name(), contrast.map(three_decimals));
    let stops = contrast.and_then(|c| printing.scenes_for(c));
    let stops = stops.as_ref().map(|s| Value::quantity_as(s, Form::Decimals(1)).unit(" stops"));
    let label = format!("scene that fits paper of range R {}", trimmed(printing.range_r(), 1));
    all.field("fitting_scene_stops", label, Value::or_missing(stops));
    let base = one.base_plus_fog();
    all.field("base_plus_fog", "base plus fog", base.as_ref().map(three_decimals));
}

/// Why the strip has no contrast or no exposure index.
fn missing(one: &OneStrip, measure: Measure) -> Vec<Note> {
    let mut notes = Vec::new();
    if let Err(why) = one.contrast(measure) {
        notes.push(Note::missing(measure.code(), measure.name(), why));
    }
    if one.exposure_index().is_none() {
        let why =
            "the exposures of the strip are relative, or its speed point cannot be determined";
        notes.push(Note::missing("exposure_index", "exposure index", why));
    }
    notes
}

impl Answer for OneStripToday<'_> {
    fn describe(&self) -> Description {
        let q = &self.question;
        let mut all = Description::new(q.name);
        all.first = q.bath.standing().map(standing_field);
        let label = match q.fits() {
            true => "develop for",
            false => "time for what the strip has",
        };
        let (field, note) = Field::measured("minutes", label, &self.minutes, Value::time);
        all.add(Field { leads: true, ..field });
        all.notes.extend(note);
        all.field("exposure_index", "exposure index", q.one.exposure_index().as_ref());
        aim_fields(&mut all, q.measure, &q.target);
        let words = temperature(q.celsius.get(), q.unit);
        all.field("celsius", "temperature", Value::plain(q.celsius.get(), 2).worded(words));
        q.bath.add_activity(&mut all);
        let mut has = Section::titled("what the strip has").keyed("expected");
        measured(&mut has, q.one, q.measure, &q.printing);
        all.add(has);
        all.notes.extend(missing(q.one, q.measure));
        all.notes(q.one.notes(q.measure, q.target.contrast, q.celsius));
        all.notes(q.bath.notes());
        all.notes(&q.target.assumptions);
        all
    }

    fn is_no(&self) -> bool {
        self.minutes.is_err()
    }
}

/// A pairing that begins with one strip.
#[derive(Debug)]
pub struct FirstStrip {
    /// What is kept of it.
    pub file: PairingFile,
    /// The strip.
    pub one: OneStrip,
    /// What it changes and what it keeps of the pairing that it replaces.
    pub changes: Vec<Change>,
    /// The unit that temperatures are shown in.
    pub unit: TemperatureUnit,
}

/// How far from the strip's temperature its times are shown, in °C.
const AWAY: i32 = 4;

impl FirstStrip {
    /// Without what it changes.
    #[must_use]
    pub fn results(&self) -> Description {
        self.described(&[])
    }

    /// Times that develop as much, at whole degrees about the strip's temperature.
    fn times(&self) -> Table {
        let mut table = Table::new(vec![
            Column::new("celsius", "temperature"),
            Column::new("minutes", "time for the same contrast"),
        ])
        .keyed("times_at_temperatures");
        let middle = self.one.celsius.get().round() as i32;
        for celsius in middle - AWAY..=middle + AWAY {
            let Ok(celsius) = Celsius::new(f64::from(celsius)) else { continue };
            let minutes = self.one.time_at(celsius, &Quantity::around(1.0, 0.0));
            let words = temperature(celsius.get(), self.unit);
            let at = Value::plain(celsius.get(), 2).worded(words);
            table.row(vec![at, Value::time(&minutes)]);
        }
        table
    }

    pub(super) fn described(&self, changes: &[Change]) -> Description {
        let Self { file, one, .. } = self;
        let Aims { measure, printing, .. } = &file.aims;
        let reference = temperature(file.reference_celsius, self.unit);
        let mut all = Description::new(format!("{}: 1 strip, reference {reference}", file.name));
        let mut section = Section::default().keyed("pairing");
        section.heading.push(Field::new("name", "name", file.name.as_str()));
        let celsius = Value::plain(file.reference_celsius, 2);
        section.heading.push(Field::new("reference_celsius", "reference", celsius));
        let developed = Value::in_form(one.minutes.get(), Form::Clock);
        section.field("minutes", "developed for", developed);
        let at = Value::plain(one.celsius.get(), 2);
        let at = at.worded(temperature(one.celsius.get(), self.unit));
        section.field("celsius", "at", at);
        section.data("measure", measure.code());
        measured(&mut section, one, *measure, printing);
        section.field("exposure_index", "exposure index", one.exposure_index().as_ref());
        section.add(self.times());
        let programs = vec![Block::Sections {
            key: "strips".into(),
            items: vec![strip_section(&one.analysis)],
        }];
        section.add(Block::Twofold { people: Vec::new(), programs });
        let mut notes = missing(one, *measure);
        let wanted = Target::normal_scene(printing).map(|target| target.contrast);
        let elsewhere = Celsius::new(one.celsius.get() + 1.0).unwrap_or(one.celsius);
        let open = one.notes(*measure, wanted.unwrap_or(f64::MAX), elsewhere);
        notes.extend(open.iter().map(Note::remark));
        notes.extend(printing.assumptions().iter().map(Note::remark));
        section.notes = Some(notes);
        all.add(section);
        if !changes.is_empty() {
            all.add(super::calibrate::changes_table(changes));
        }
        all
    }
}

impl Answer for FirstStrip {
    fn describe(&self) -> Description {
        self.described(&self.changes)
    }
}
