//! The papers as one JSON document.

use super::Asked;
use crate::cli::measured::Noted;
use crate::printing::{Grade, Paper, PaperStrip};
use crate::readings::ExposureScale;
use serde_json::{Map, Value, json};

/// The measures of the only strip stand at the top; all strips stand in `strips`.
pub fn document(papers: &[PaperStrip], asked: Option<&Asked>) -> Result<String, serde_json::Error> {
    let strips: Vec<Value> = papers.iter().map(strip).collect();
    let mut object = Map::new();
    let mut notes: Vec<String> = Vec::new();
    for key in ["speed_p", "range_r", "d_min", "d_max"] {
        let value = match strips.as_slice() {
            [only] => only[key].clone(),
            _ => Value::Null,
        };
        object.insert(key.to_owned(), value);
    }
    if strips.len() > 1 {
        notes.push(format!("{} strips: see strips", strips.len()));
    }
    let setting = asked.map(|asked| setting(asked, &mut notes));
    object.insert("setting".to_owned(), json!(setting));
    object.insert("strips".to_owned(), json!(strips));
    object.insert("notes".to_owned(), json!(notes));
    Ok(format!("{:#}\n", Value::Object(object)))
}

fn setting(asked: &Asked, notes: &mut Vec<String>) -> Value {
    let chosen = match &asked.answer {
        Ok(chosen) => Some(chosen),
        Err(why) => {
            notes.push(format!("setting: {why}"));
            None
        }
    };
    json!({
        "wanted_range_r": asked.range_r,
        "between": chosen.and_then(|c| c.between),
        "nearest": chosen.map(|c| &c.nearest.label),
        "nearest_range_r": chosen.map(|c| c.nearest.range_r),
    })
}

fn strip(paper: &PaperStrip) -> Value {
    let strip = &paper.strip;
    let mut object = Map::new();
    object.insert("strip".into(), json!(strip.name));
    let labels = &strip.labels;
    for (name, text) in [
        ("paper", &labels.film),
        ("filter", &labels.filter),
        ("developer", &labels.developer),
        ("date", &labels.date),
        ("note", &labels.note),
    ] {
        if let Some(text) = text {
            object.insert(name.into(), json!(text));
        }
    }
    let n = strip.readings.len() + strip.unexposed.len();
    object.insert("n".into(), json!(n));
    object.insert("absolute".into(), json!(strip.scale == ExposureScale::Absolute));
    let mut noted = Noted::new(paper.notes());
    let own = paper.result.as_ref().ok();
    object.insert("model".into(), json!(own.map(model)));
    let measures = own.map(|p| &p.measures);
    for (name, value) in [
        ("speed_p", measures.map(|m| &m.speed_p)),
        ("range_r", measures.map(|m| &m.range_r)),
        ("d_min", measures.map(|m| &m.d_min)),
        ("d_max", measures.map(|m| &m.d_max)),
        ("average_gradient", measures.map(|m| &m.average_gradient)),
        ("gamma", measures.map(|m| &m.gamma)),
        ("highlight_log_h", measures.map(|m| &m.highlight)),
        ("speed_point_log_h", measures.map(|m| &m.speed_point)),
        ("shadow_log_h", measures.map(|m| &m.shadow)),
        ("shadow_density", measures.map(|m| &m.shadow_density)),
    ] {
        object.insert(name.into(), noted.value(name, value));
    }
    let range = measures.and_then(|m| m.range_r.as_ref().ok());
    let grade = range.map(|r| Grade::of(r.value));
    if let Some(Err(why)) = &grade {
        noted.notes.push(format!("grade: {why}"));
    }
    let grade = grade.and_then(Result::ok);
    object.insert(
        "grade".into(),
        json!(grade.map(|g| json!({ "number": g.number, "label": g.label, "table": "ANSI PH2.2-1966", "limits_assumed": true }))),
    );
    let suspects: Vec<Value> = own.map_or_else(Vec::new, |own| suspects(paper, own));
    object.insert("suspect_readings".into(), json!(suspects));
    object.insert("notes".into(), json!(noted.notes));
    Value::Object(object)
}

fn model(paper: &Paper) -> Value {
    let curve = paper.fit.curve.as_ref();
    let parameters: Map<String, Value> =
        curve.named_parameters().into_iter().map(|(name, value)| (name, json!(value))).collect();
    json!({ "name": curve.name(), "parameters": parameters, "residual_sd": paper.fit.residual_sd })
}

fn suspects(strip: &PaperStrip, paper: &Paper) -> Vec<Value> {
    let row = |s: &crate::curve::Suspect| {
        let reading = strip.reading(s.index);
        json!({
            "step": reading.step,
            "log_exposure": reading.log_exposure.map(crate::units::LogExposure::get),
            "density": reading.density.get(),
            "residual": s.residual,
        })
    };
    paper.fit.suspects.iter().map(row).collect()
}
