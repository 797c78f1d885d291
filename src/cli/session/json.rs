//! A session as JSON.

use super::Told;
use super::words::{entries, moment, remark};
use crate::bath::journal::{Act, Cell, Entry};
use crate::session::cautions::CAUTIONS;
use crate::session::{ActivitySource, Batch, BathActivity, Mixture, Sheet, Step};
use serde_json::{Map, Value, json};

/// One document.
pub fn document(told: &Told<'_>) -> String {
    let sheet = told.sheet;
    let document = json!({
        "title": sheet.title,
        "date": told.date.to_string(),
        "pairing": sheet.pairing,
        "films": films(&sheet.films.0),
        "area_m2": sheet.area_m2,
        "vessel": { "kind": sheet.vessel, "solution_ml": sheet.solution_ml },
        "developer": developer(told),
        "batches": batches(sheet),
        "mixtures": sheet.mixtures.iter().map(mixture).collect::<Vec<_>>(),
        "steps": sheet.steps.iter().map(step).collect::<Vec<_>>(),
        "seconds": sheet.seconds(),
        "fixing": fixing(sheet),
        "journal": told.journal.map(|j| j.display().to_string()),
        "entries": entries(told).map(|(n, act)| entry(told, n, act)).collect::<Vec<_>>(),
        "cautions": CAUTIONS,
        "notes": sheet.notes,
    });
    format!("{document:#}\n")
}

fn films(films: &[(u32, crate::bath::film::Format)]) -> Value {
    let one = |(count, format): &(u32, crate::bath::film::Format)| json!({ "format": format.to_string(), "count": count });
    films.iter().map(one).collect()
}

fn developer(told: &Told<'_>) -> Value {
    let (d, u) = (&told.sheet.developing, &told.sheet.usage);
    json!({
        "source": if u.bath.is_some() { "bath" } else { "one-shot" },
        "activity": activity(&d.activity),
        "capacity": {
            "m2_per_litre": u.capacity.m2_per_litre,
            "assumed": u.capacity.assumed,
            "litres": u.litres,
            "m2": u.capacity_m2,
            "before_m2": u.before_m2,
            "session_m2": u.session_m2,
            "share": u.share(),
        },
        "contrast": d.contrast,
        "measure": d.measure,
        "aim": d.aim,
        "celsius": d.celsius.get(),
        "wait": d.wait.map(|w| json!({
            "minutes": w.minutes,
            "from_celsius": w.from,
            "to_celsius": w.to,
            "surroundings_celsius": w.surroundings,
        })),
        "minutes": d.minutes,
        "seconds": d.seconds,
        "exposure_index": d.exposure_index,
        "extrapolated": d.extrapolated,
    })
}

fn activity(known: &BathActivity) -> Value {
    let (source, strip) = match &known.source {
        ActivitySource::Plan => ("plan", Value::Null),
        ActivitySource::Strip { name, date, line, verdict, area_since_m2, .. } => (
            "strip",
            json!({
                "name": name,
                "date": date.to_string(),
                "line": line,
                "verdict": verdict,
                "area_since_m2": area_since_m2,
            }),
        ),
        ActivitySource::Estimate(words) => ("estimate", json!(words)),
        ActivitySource::Assumed => ("assumed", Value::Null),
    };
    json!({
        "value": known.value,
        "low": known.interval.map(|i| i.0),
        "high": known.interval.map(|i| i.1),
        "source": source,
        "strip": strip,
    })
}

fn batches(sheet: &Sheet) -> Value {
    let one = |(n, batch): (usize, &Batch)| {
        let steps = batch.steps.iter().map(|s| {
            json!({
                "step": s.kind.name(),
                "from_seconds": s.from,
                "to_seconds": s.to,
                "at": moment(sheet, s.from),
            })
        });
        json!({
            "batch": n + 1,
            "films": films(&batch.films.0),
            "area_m2": batch.area_m2,
            "fullness": batch.fullness,
            "steps": steps.collect::<Vec<_>>(),
        })
    };
    sheet.batches.iter().enumerate().map(one).collect()
}

fn mixture(mixture: &Mixture) -> Value {
    let parts = mixture.parts.as_ref();
    json!({
        "name": mixture.name,
        "times": mixture.times,
        "total_ml": mixture.total_ml,
        "dilution": parts.map(|(d, ..)| d.to_string()),
        "stock_ml": parts.map(|p| p.1),
        "water_ml": parts.map(|p| p.2),
        "water_celsius": mixture.water_celsius,
        "after": mixture.after,
    })
}

fn step(step: &Step) -> Value {
    json!({
        "step": step.kind.name(),
        "seconds": step.seconds,
        "celsius": step.celsius,
        "how": step.how,
        "source": step.source,
    })
}

fn fixing(sheet: &Sheet) -> Value {
    let f = &sheet.fixing;
    json!({
        "clearing_seconds": f.test.seconds,
        "fresh_clearing_seconds": f.test.fresh_seconds,
        "slowed": f.test.slowed(),
        "spent": f.test.is_spent(),
        "factor": f.factor,
        "ml_per_roll": f.ml_per_roll.value,
        "replenish_ml": f.replenish_ml,
        "rolls_carried": f.rolls_carried,
    })
}

/// An entry, its cells by their columns.
pub fn entry(told: &Told<'_>, batch: usize, act: &Act) -> Value {
    let entry = Entry::new(told.date, act.clone(), Some(remark(told, batch)));
    let mut cells = Map::new();
    cells.insert("date".to_owned(), json!(entry.date.to_string()));
    cells.insert("act".to_owned(), json!(entry.act.name()));
    for (column, cell) in entry.cells() {
        let value = match cell {
            Cell::Text(text) => json!(text),
            Cell::Number(number) => json!(number),
        };
        cells.insert(column.name().to_owned(), value);
    }
    Value::Object(cells)
}
