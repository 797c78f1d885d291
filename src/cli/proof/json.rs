//! The proof as one JSON document.

use super::{Proof, Row, Source, Time};
use crate::cli::measured::Noted;
use crate::measures::Measured;
use serde_json::{Value, json};

pub fn document(proof: &Proof) -> String {
    let mut noted = Noted::new(proof.notes.clone());
    let time = proof.time.as_ref();
    let seconds: Option<Measured<String>> = time.map(|t| t.seconds().map_err(String::clone));
    let seconds = noted.value("seconds", seconds.as_ref());
    let found = time.and_then(|t| t.found.as_ref().ok());
    let rows: Vec<Value> = proof.rows.iter().map(|row| negative(row, &mut noted)).collect();
    let only = match proof.rows.as_slice() {
        [one] => Some(one.needed.range_r),
        _ => None,
    };
    let document = json!({
        "seconds": seconds,
        "needed_range_r": only,
        "measured_seconds": found.map(|f| f.seconds),
        "factor": time.map(|t| t.change.factor()),
        "black_density": found.map(|f| f.density),
        "d_max": found.map(|f| f.d_max),
        "from": time.map(|t| source(t, proof)),
        "negatives": rows,
        "notes": noted.notes,
    });
    format!("{document:#}\n")
}

fn source(time: &Time, proof: &Proof) -> Value {
    match &time.source {
        Source::Strip(strip, readings) => json!({
            "test_strip": readings.len(),
            "white": strip.white().density,
            "white_assumed": strip.white().assumed,
        }),
        Source::Paper { strip, .. } => json!({ "paper": proof.papers[*strip].setting() }),
    }
}

fn negative(row: &Row, noted: &mut Noted) -> Value {
    let name = &row.negative.name;
    if let Err(why) = &row.grade {
        noted.notes.push(format!("{name}: grade: {why}"));
    }
    if let Some(Err(why)) = &row.setting {
        noted.notes.push(format!("{name}: setting: {why}"));
    }
    let chosen = row.setting.as_ref().and_then(|s| s.as_ref().ok());
    json!({
        "negative": name,
        "low": row.negative.low,
        "high": row.negative.high,
        "needed_log_range": row.needed.log_range,
        "needed_range_r": row.needed.range_r,
        "grade": row.grade.as_ref().ok().map(|g| json!({
            "number": g.number,
            "label": g.label,
            "table": "ANSI PH2.2-1966",
            "limits_assumed": true,
        })),
        "setting": chosen.map(|c| json!({
            "between": c.between,
            "nearest": c.nearest.label,
            "nearest_range_r": c.nearest.range_r,
        })),
    })
}
