//! Several strips for people: one line a strip, then what was noted, once for all that it is true of.

use super::{Note, strip_section, suspects_with};
use crate::answers::{Block, Column, Form, Gather, Section, Table, Value};
use crate::measures::{Measured, Measures, Quantity, StripAnalysis};
use crate::readings::Strip;
use crate::units::{Celsius, Minutes};
use crate::words::{decimals_for, list_and, trimmed};
use std::collections::HashMap;
use std::fmt;

/// What the sign in the table means.
struct LargerHalf;

impl fmt::Display for LargerHalf {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("± is the larger half of the 95 % interval, rounded up")
    }
}

/// The strips in one table, what is the same for all of them above it, and their notes below.
pub(super) fn for_people(strips: &[StripAnalysis]) -> Vec<Block> {
    let mut section = Section::default();
    let described: Vec<Vec<Value>> = strips.iter().map(|a| described(&a.strip)).collect();
    let is_known = |k: &usize| described.iter().any(|values| values[*k] != Value::Empty);
    let is_common = |k: &usize| described.iter().all(|values| values[*k] == described[0][*k]);
    let (common, own): (Vec<usize>, Vec<usize>) =
        (0..DESCRIBED.len()).filter(is_known).partition(is_common);
    if !common.is_empty() {
        let texts: Vec<String> = common.iter().map(|k| described[0][*k].for_people()).collect();
        section.line(format!("all strips: {}", texts.join(", ")), Vec::new());
    }
    // Words need room of their own; numbers stand beside the measures.
    let (words, numbers): (Vec<usize>, Vec<usize>) = own.into_iter().partition(|k| *k < WORDS);
    if !words.is_empty() {
        let mut table = Table::new(columns(&words));
        for (analysis, described) in strips.iter().zip(&described) {
            table.row(cells(analysis, described, &words).collect());
        }
        section.add(table);
    }
    section.add(table(strips, &described, &numbers));
    section.add(suspects(strips));
    section.notes = Some(notes(strips));
    vec![Block::Section(section)]
}

/// Headings of what a strip is described by: first the words.
const DESCRIBED: [&str; 6] = ["film", "developer", "filter", "date", "min", "°C"];
/// How many of them are words.
const WORDS: usize = 4;

/// Film, developer, filter, date, time and temperature of a strip.
fn described(strip: &Strip) -> Vec<Value> {
    let labels = &strip.labels;
    let text = |text: &Option<String>| text.clone().map_or(Value::Empty, Value::Text);
    let number = |number: Option<f64>, unit| {
        number.map_or(Value::Empty, |number| Value::plain(number, 2).unit(unit))
    };
    let mut all: Vec<Value> =
        [&labels.film, &labels.developer, &labels.filter, &labels.date].map(text).into();
    all.push(number(strip.minutes.map(Minutes::get), " min"));
    all.push(number(strip.celsius.map(Celsius::get), " °C"));
    all
}

/// The columns of strips that are described by these.
fn columns(own: &[usize]) -> Vec<Column> {
    let own = own.iter().map(|k| Column::new(DESCRIBED[*k], DESCRIBED[*k]));
    std::iter::once(Column::new("strip", "strip")).chain(own).collect()
}

/// The cells of a strip in these columns; the heading has the unit.
fn cells<'a>(
    analysis: &'a StripAnalysis,
    described: &'a [Value],
    own: &'a [usize],
) -> impl Iterator<Item = Value> {
    let name = Value::from(analysis.strip.name.as_str());
    std::iter::once(name).chain(own.iter().map(|k| described[*k].clone().unit("")))
}

/// One line a strip.
fn table(strips: &[StripAnalysis], described: &[Vec<Value>], own: &[usize]) -> Table {
    let mut columns = columns(own);
    columns.extend(MEASURES.map(|(label, ..)| Column::new(label, label)));
    columns.push(Column::new("rounded", "ISO"));
    let mut table = Table::new(columns);
    for (analysis, described) in strips.iter().zip(described) {
        let mut cells: Vec<Value> = cells(analysis, described, own).collect();
        let measures = analysis.measures();
        cells.extend(MEASURES.map(|(_, decimals, of)| match measures.map(of) {
            Some(Ok(quantity)) => short(quantity, decimals),
            _ => Value::Missing,
        }));
        let iso = measures.and_then(|m| m.iso.standard);
        cells.push(Value::or_missing(iso.map(|s| {
            Value::from(s).worded(format!("{}/{}°", trimmed(s.arithmetic, 2), s.degrees))
        })));
        table.row(cells);
    }
    table
}

/// A heading, the decimals that are written, and the measure.
type OfMeasure = (&'static str, Option<usize>, fn(&Measures) -> &Measured);

/// The measures that have a column; a speed has as many decimals as its interval deserves.
const MEASURES: [OfMeasure; 4] = [
    ("base plus fog", Some(2), |m| &m.base_plus_fog),
    ("gamma", Some(2), |m| &m.gamma),
    ("contrast index", Some(3), |m| &m.contrast_index),
    ("speed, 0.8/Hm", None, |m| &m.iso.speed),
];

/// A quantity with the larger half of its interval: `0.608 ±0.030`.
fn short(q: &Quantity, decimals: Option<usize>) -> Value {
    let decimals = decimals.unwrap_or_else(|| decimals_for(0.5 * (q.high - q.low)));
    Value::quantity_as(q, Form::PlusMinus(decimals))
}

/// The readings that the others contradict, of all strips.
fn suspects(strips: &[StripAnalysis]) -> Table {
    let of = |analysis: &StripAnalysis| {
        let strip = Value::from(analysis.strip.name.as_str());
        suspects_with(analysis, Some(("strip", strip)))
    };
    let mut tables = strips.iter().map(of).filter(|table| !table.rows.is_empty());
    let Some(mut all) = tables.next() else { return Table::default() };
    tables.for_each(|table| all.rows.extend(table.rows));
    all
}

/// The notes of all strips: those that say the same are said once, with the strips that they are of.
fn notes(strips: &[StripAnalysis]) -> Vec<Note> {
    let mut found: Vec<(Vec<String>, Note)> = Vec::new();
    let mut places: HashMap<String, usize> = HashMap::new();
    for analysis in strips {
        let name = &analysis.strip.name;
        for note in strip_section(analysis).notes.into_iter().flatten() {
            let place = *places.entry(note.for_people()).or_insert(found.len());
            match found.get_mut(place) {
                Some((names, _)) => names.push(name.clone()),
                None => found.push((vec![name.clone()], note)),
            }
        }
    }
    let mut all = vec![Note::remark(LargerHalf)];
    all.extend(found.into_iter().map(|(names, note)| {
        let of = match names.len() == strips.len() {
            true => "all strips".to_owned(),
            false => list_and(&names),
        };
        let about = match &note.about {
            Some((key, label)) => (format!("{of}: {key}").into(), format!("{of}: {label}").into()),
            None => (of.clone().into(), of.into()),
        };
        Note { about: Some(about), ..note }
    }));
    all
}
