//! The answer of `adjust` for a row of temperatures: as a table.

use super::grid::{Column as Aim, temperatures};
use super::{Adjust, Got, NoTime, temperature};
use crate::answers::standing::standing_field;
use crate::answers::{
    Answer, Block, Column, Description, DevelopedQuestion, Form, Gather, Note, Row, Table, Value,
};
use crate::development::SHORTEST;
use crate::units::{Celsius, TemperatureUnit};
use crate::words::{list_and, number, trimmed};

/// Times for every temperature and every scene of the aims.
#[derive(Debug)]
pub struct TimesTable<'a> {
    /// The answer for one temperature and one aim, which the table goes on from.
    pub adjust: Adjust<'a>,
}

impl TimesTable<'_> {
    /// Whether times are withheld.
    fn withheld(&self) -> Option<NoTime> {
        let q = &self.adjust.question;
        q.bath.withheld(q.anyway).map(NoTime::Withheld)
    }
}

/// A temperature as a cell.
fn degrees(celsius: Celsius, unit: TemperatureUnit) -> Value {
    Value::plain(celsius.get(), 2).worded(temperature(celsius.get(), unit))
}

impl Answer for TimesTable<'_> {
    fn describe(&self) -> Description {
        let q = &self.adjust.question;
        let mut all = Description::new(q.name);
        all.first = q.bath.standing().map(standing_field);
        q.bath.add_activity(&mut all);
        if let Some(why) = self.withheld() {
            all.notes.push(Note::missing("times", "times", why));
            return all;
        }
        let temperatures = self.adjust.temperatures(q.unit);
        let reached = |aim: &Aim| {
            temperatures.iter().any(|&celsius| self.adjust.at(aim.contrast, celsius).is_some())
        };
        let (aims, dropped): (Vec<Aim>, Vec<Aim>) =
            self.adjust.columns().into_iter().partition(reached);
        let mut columns = vec![Column::new("celsius", "temperature")];
        columns.extend(aims.iter().map(|aim| Column::new("minutes", heading(aim))));
        let mut people = Table::new(columns);
        let mut programs = Table::new(
            ["celsius", "contrast", "scene_stops", "minutes", "exposure_index", "extrapolated"]
                .map(|key| Column::new(key, key))
                .to_vec(),
        )
        .keyed("times");
        let (mut outside, mut short) = (false, false);
        for celsius in temperatures {
            let mut row = vec![degrees(celsius, q.unit)];
            for aim in &aims {
                let adjusted = self.adjust.at(aim.contrast, celsius);
                let marked = adjusted.as_ref().map(|a| {
                    outside |= a.extrapolated;
                    short |= a.minutes.value < SHORTEST;
                    let mark = if a.extrapolated { "* " } else { "" };
                    let time = Value::in_form(a.minutes.value, Form::Clock).for_people();
                    Value::number(a.minutes.value, 2).worded(format!("{mark}{time}"))
                });
                row.push(Value::or_missing(marked));
                programs.row(vec![
                    Value::plain(celsius.get(), 2),
                    Value::number(aim.contrast, 3),
                    aim.stops.map(|stops| Value::plain(stops, 2)).into(),
                    adjusted.as_ref().map(|a| Value::time(&a.minutes)).into(),
                    adjusted.as_ref().and_then(|a| a.exposure_index.as_ref()).into(),
                    adjusted.as_ref().map(|a| a.extrapolated).into(),
                ]);
            }
            people.rows.push(Row { key: None, cells: row });
        }
        all.add(Block::Twofold {
            people: vec![Block::Table(people)],
            programs: vec![Block::Table(programs)],
        });
        if !dropped.is_empty() {
            let names: Vec<String> = dropped.iter().map(Aim::name).collect();
            all.note(format!("not reached at any temperature: {}", list_and(&names)));
        }
        if outside {
            all.note("* outside the calibrated times or temperatures");
        }
        if short {
            all.note(format!(
                "times shorter than {SHORTEST:.0} minutes may be uneven (common practice, no source)"
            ));
        }
        all.notes(q.pairing.law_assumed());
        all.notes(q.bath.notes());
        all.notes(q.printing.assumptions_for(q.scene_stops));
        all
    }

    fn is_no(&self) -> bool {
        self.withheld().is_some()
    }
}

/// `0.62, N, 7 stops` over a column of times.
fn heading(aim: &Aim) -> String {
    format!("{} {}", number(aim.contrast, 2), aim.second().replace(" · ", " "))
}

/// What film got in a known time, for every temperature.
#[derive(Debug)]
pub struct DevelopedTable<'a> {
    /// The answers, coldest first.
    pub rows: Vec<Got<'a>>,
}

impl<'a> DevelopedTable<'a> {
    /// The answers for a row of temperatures.
    #[must_use]
    pub fn of(question: &DevelopedQuestion<'a>) -> Self {
        let all = temperatures(question.pairing, question.unit).into_iter();
        let at = |celsius| Got::of(DevelopedQuestion { celsius, ..question.clone() });
        Self { rows: all.map(at).collect() }
    }
}

impl Answer for DevelopedTable<'_> {
    fn describe(&self) -> Description {
        let Some(q) = self.rows.first().map(|got| &got.question) else {
            return Description::default();
        };
        let mut all = Description::new(q.name);
        all.first = q.bath.standing().map(standing_field);
        all.field("minutes", "developed for", Value::in_form(q.minutes.get(), Form::Clock));
        q.bath.add_activity(&mut all);
        let paper = trimmed(q.printing.range_r(), 1);
        let mut table = Table::new(vec![
            Column::new("celsius", "temperature"),
            Column::new("contrast", q.measure.name()),
            Column::new("scene_stops", format!("stops that fit paper of R {paper}")),
            Column::new("exposure_index", "exposure index"),
        ])
        .keyed("developed");
        for got in &self.rows {
            let contrast = got.contrast();
            let stops = got.scene_stops();
            let stops = stops.as_ref().map(|s| Value::quantity_as(s, Form::Decimals(1)));
            let index = got.result.as_ref().ok().and_then(|d| d.exposure_index);
            table.row(vec![
                degrees(got.question.celsius, q.unit),
                contrast.as_ref().map(crate::answers::curve::three_decimals).into(),
                stops.into(),
                index.as_ref().into(),
            ]);
        }
        let missing = self.rows.iter().filter_map(|got| {
            let name = temperature(got.question.celsius.get(), q.unit);
            let why = got.result.as_ref().err()?;
            Some((name, Note::missing("contrast", q.measure.name(), why)))
        });
        all.notes.extend(Note::merged(missing.collect()));
        all.add(Block::Table(table));
        all.notes(q.pairing.law_assumed());
        all.notes(q.bath.notes());
        all.notes(q.printing.assumptions());
        all
    }

    fn is_no(&self) -> bool {
        self.rows.iter().all(|got| got.result.is_err())
    }
}
