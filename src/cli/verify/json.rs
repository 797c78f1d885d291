//! A verification as JSON.

use super::{Controls, Verified};
use crate::bath::limits::Limits;
use crate::bath::verify::{Change, Verification, Watched};
use serde_json::{Map, Value, json};

/// One document: that of the strip, or `{"strips":[…]}` of several.
pub fn document(controls: &Controls) -> String {
    let one = |strip| one(strip, &controls.limits);
    let documents: Vec<Value> = controls.strips.iter().map(one).collect();
    let value = match <[Value; 1]>::try_from(documents) {
        Ok([only]) => only,
        Err(several) => json!({ "strips": several }),
    };
    format!("{value:#}\n")
}

fn one(verified: &Verified, held_to: &Limits) -> Value {
    let v = &verified.verification;
    json!({
        "strip": verified.name,
        "minutes": verified.minutes.get(),
        "celsius": verified.celsius.get(),
        "activity": v.activity,
        "in_spec": v.in_spec,
        "deviations": deviations(v),
        "watched": watched(v),
        "limits": limits(held_to),
        "change": change(&v.change),
        "time_can_restore": v.time_can_restore,
        "minutes_to_restore": v.minutes_to_restore.as_ref().ok().filter(|_| v.time_can_restore),
        "action": v.action,
        "why": v.why,
        "notes": v.notes,
    })
}

/// The key of something watched.
const fn key(what: Watched) -> &'static str {
    match what {
        Watched::Contrast => "contrast",
        Watched::BasePlusFog => "base_plus_fog",
        Watched::Speed => "speed_log_h",
        Watched::LowDensity => "low_density",
        Watched::MidDensity => "mid_density",
        Watched::HighDensity => "high_density",
        Watched::DensityDifference => "density_difference",
    }
}

fn deviations(v: &Verification) -> Value {
    let all = v.watched.iter().map(|w| (key(w.what).to_owned(), json!(w.deviation.as_ref().ok())));
    Value::Object(all.collect::<Map<_, _>>())
}

fn watched(v: &Verification) -> Value {
    let one = |w: &crate::bath::verify::WatchedReading| {
        let verdict = w.verdict.map(|v| format!("{v:?}").to_lowercase());
        json!({ "what": key(w.what), "name": w.name, "reading": w.reading.as_ref().ok(), "aim": w.aim, "verdict": verdict })
    };
    v.watched.iter().map(one).collect()
}

fn limits(limits: &Limits) -> Value {
    let mut all = Map::new();
    all.insert("name".to_owned(), json!(limits.name));
    for (quantity, allowed) in limits.iter() {
        all.insert(
            quantity.replace(' ', "_"),
            json!({ "lower": allowed.lower(), "upper": allowed.upper() }),
        );
    }
    Value::Object(all)
}

fn change(change: &Change) -> Value {
    match change {
        Change::Nothing => json!({ "kind": "none" }),
        Change::Shifted { fog, speed_lost } => {
            json!({ "kind": "shifted", "fog": fog, "speed_lost_log_h": speed_lost })
        }
        Change::Shape { residual } => json!({ "kind": "shape", "residual_sd": residual }),
    }
}
