//! The measures as one JSON document.

use super::notes;
use crate::measures::{Analysed, ContrastCondition, IsoSpeed, Measured, StripAnalysis};
use rayon::prelude::*;
use serde_json::{Map, Value, json};

/// Strips are written one by one, so that thousands of them need no tree of the whole document.
pub fn document(analyses: &[StripAnalysis]) -> Result<String, serde_json::Error> {
    let strips: Vec<String> = analyses
        .par_iter()
        .map(|a| serde_json::to_string_pretty(&strip(a)))
        .collect::<Result<_, _>>()?;
    let mut text = String::from("{\n  \"strips\": [");
    for (index, strip) in strips.iter().enumerate() {
        text.push_str(if index == 0 { "\n    " } else { ",\n    " });
        // A line break inside a string is escaped, so that every one here is layout.
        text.push_str(&strip.replace('\n', "\n    "));
    }
    text.push_str("\n  ]\n}\n");
    Ok(text)
}

pub fn strip(analysis: &StripAnalysis) -> Value {
    let strip = &analysis.strip;
    let mut object = Map::new();
    object.insert("strip".into(), json!(strip.name));
    for (name, text) in [
        ("film", &strip.labels.film),
        ("developer", &strip.labels.developer),
        ("date", &strip.labels.date),
        ("note", &strip.labels.note),
        ("filter", &strip.labels.filter),
    ] {
        if let Some(text) = text {
            object.insert(name.into(), json!(text));
        }
    }
    object.insert("minutes".into(), json!(strip.minutes.map(crate::units::Minutes::get)));
    object.insert("celsius".into(), json!(strip.celsius.map(crate::units::Celsius::get)));
    object.insert("n".into(), json!(strip.readings.len() + strip.unexposed.len()));
    let mut notes = notes(analysis);
    measures(analysis, &mut object, &mut notes);
    object.insert("notes".into(), json!(notes));
    Value::Object(object)
}

/// A measure, or null with its reason among the notes.
fn measured(name: &str, value: Result<&Measured, ()>, notes: &mut Vec<String>) -> Value {
    match value {
        Ok(Ok(quantity)) => json!(quantity),
        Ok(Err(why)) => {
            notes.push(format!("{name}: {why}"));
            Value::Null
        }
        Err(()) => Value::Null,
    }
}

fn measures(analysis: &StripAnalysis, object: &mut Map<String, Value>, notes: &mut Vec<String>) {
    let analysed = analysis.result.as_ref();
    let model = analysed.ok().map(|a| {
        let parameters: Map<String, Value> =
            a.fit.curve.named_parameters().into_iter().map(|(name, value)| (name, json!(value))).collect();
        json!({ "name": a.fit.curve.name(), "parameters": parameters, "residual_sd": a.fit.residual_sd })
    });
    object.insert("model".into(), json!(model));
    let m = analysed.map(|a| &a.measures).map_err(|_| ());
    let mut insert = |name: &str, value| {
        object.insert(name.into(), measured(name, value, notes));
    };
    insert("base_plus_fog", m.map(|m| &m.base_plus_fog));
    insert("d_max", m.map(|m| &m.d_max));
    insert("gamma", m.map(|m| &m.gamma));
    insert("contrast_index", m.map(|m| &m.contrast_index));
    insert("average_gradient", m.map(|m| &m.average_gradient));
    insert("speed_point_log_h", m.map(|m| &m.speed_point));
    object.insert("iso".into(), iso(analysis, m.map(|m| &m.iso), notes));
    let mut insert = |name: &str, value| {
        object.insert(name.into(), measured(name, value, notes));
    };
    insert("fractional_gradient_log_h", m.map(|m| &m.fractional_gradient));
    insert("delta_x_log_h", m.map(|m| &m.delta_x));
    let suspects: Vec<Value> = analysed.map_or_else(|_| Vec::new(), |a| suspects(analysis, a));
    object.insert("suspect_readings".into(), json!(suspects));
}

fn iso(analysis: &StripAnalysis, iso: Result<&IsoSpeed, ()>, notes: &mut Vec<String>) -> Value {
    let standard = iso.ok().and_then(|i| i.standard);
    json!({
        "delta_d": measured("iso.delta_d", iso.map(|i| &i.delta_d), notes),
        "contrast_met": iso.ok().and_then(|i| i.condition).map(|c| c == ContrastCondition::Met),
        "speed": measured("iso.speed", iso.map(|i| &i.speed), notes),
        "rounded": standard.map(|s| s.arithmetic),
        "degrees": standard.map(|s| s.degrees),
        "absolute": analysis.strip.scale == crate::readings::ExposureScale::Absolute,
    })
}

fn suspects(analysis: &StripAnalysis, analysed: &Analysed) -> Vec<Value> {
    let row = |s: &crate::curve::Suspect| {
        let reading = analysis.reading(s.index);
        json!({
            "step": reading.step,
            "log_exposure": reading.log_exposure.map(crate::units::LogExposure::get),
            "density": reading.density.get(),
            "residual": s.residual,
        })
    };
    analysed.fit.suspects.iter().map(row).collect()
}
