//! The evenness as one JSON document.

use super::Report;
use crate::evenness::{FrameEvenness, FrameSize, NoiseSource, Pattern, Transition};
use crate::measures::Measured;
use serde_json::{Map, Value, json};

pub fn document(report: &Report) -> Result<String, serde_json::Error> {
    let evenness = &report.evenness;
    let geometry = &evenness.geometry;
    let printing = &report.options.printing;
    let (source, degrees) = match evenness.noise.source {
        NoiseSource::Given => ("given", None),
        NoiseSource::Repeats(n) => ("repeats", Some(n)),
        NoiseSource::Scatter(n) => ("scatter", Some(n)),
        NoiseSource::Assumed(n) => ("assumed", Some(n)),
    };
    let labels = &report.labels;
    let readings: usize = evenness.frames.iter().map(|f| f.readings).sum();
    let mut notes = report.notes();
    let together = evenness.together.as_ref().map(|together| {
        let mut object = pattern(&together.pattern);
        object.shift_remove("scatter");
        object.insert("uneven".into(), json!(together.uneven));
        object.insert("frames_differ".into(), json!(together.different));
        object.insert("chance_if_even".into(), json!(together.agreement.map(|a| a.common)));
        object.insert("chance_if_alike".into(), json!(together.agreement.map(|a| a.different)));
        Value::Object(object)
    });
    let frames: Vec<Value> = evenness.frames.iter().map(|f| frame(f, &mut notes)).collect();
    let findings: Vec<Value> = report
        .findings
        .iter()
        .map(|f| {
            json!({
                "frame": f.frame,
                "form": f.form.name(),
                "size": f.size,
                "in_print": f.in_print,
                "seen_from": f.seen_from,
                "seen": f.is_seen(),
                "words": f.words(),
            })
        })
        .collect();
    let causes: Vec<Value> = report
        .causes
        .iter()
        .map(|c| {
            json!({
                "sign": c.sign.words(),
                "cause": c.cause,
                "remedy": c.remedy,
                "source": c.source.words(),
            })
        })
        .collect();
    let document = json!({ "evenness": {
        "film": labels.film,
        "developer": labels.developer,
        "date": labels.date,
        "note": labels.note,
        "n": readings,
        "verdict": {
            "uneven": evenness.uneven(),
            "seen_in_print": report.findings.iter().any(crate::evenness::Finding::is_seen),
            "words": report.verdict(),
        },
        "noise": {
            "sigma": evenness.sigma,
            "source": source,
            "degrees_of_freedom": degrees,
        },
        "frame_mm": {
            "length": geometry.length(),
            "width": geometry.width(),
            "assumed": geometry.size == FrameSize::Assumed135,
        },
        "print": {
            "gradient": printing.slope(),
            "gradient_assumed": printing.gradient.is_none(),
            "seen_from": printing.threshold(Transition::Edge),
            "seen_from_gradual": printing.threshold(Transition::Gradual),
        },
        "together": together,
        "frames": frames,
        "findings": findings,
        "fits_with": causes,
        "notes": notes,
    }});
    Ok(format!("{}\n", serde_json::to_string_pretty(&document)?))
}

fn frame(frame: &FrameEvenness, notes: &mut Vec<String>) -> Value {
    let mut object = Map::new();
    object.insert("frame".into(), json!(frame.name));
    object.insert("n".into(), json!(frame.readings));
    object.insert("places".into(), json!(frame.places.len()));
    object.insert("uneven".into(), json!(frame.uneven));
    object.insert(
        "chance_if_even".into(),
        json!(frame.test.map(|t| {
            json!({ "all": t.chance(), "field": t.field, "scatter": t.scatter, "spots": t.spots, "wave": t.wave })
        })),
    );
    object.append(&mut pattern(&frame.pattern));
    let spots: Vec<Value> =
        frame.spots.iter().map(|s| json!({ "x_mm": s.x, "y_mm": s.y, "size": s.size })).collect();
    object.insert("spots".into(), json!(spots));
    for (name, measured) in named(&frame.pattern) {
        if let Err(why) = measured
            && !notes.iter().any(|note| super::reason(note) == why)
        {
            notes.push(format!("frame {}, {name}: {why}", frame.name));
        }
    }
    Value::Object(object)
}

/// The numbers of a pattern with their names.
fn named(p: &Pattern) -> [(&'static str, &Measured<String>); 14] {
    [
        ("mean", &p.mean),
        ("gradient_along_per_10_mm", &p.along_per_10_mm),
        ("gradient_along", &p.along),
        ("gradient_across_per_10_mm", &p.across_per_10_mm),
        ("gradient_across", &p.across),
        ("long_edges", &p.long_edges.both),
        ("lower_edge", &p.long_edges.first),
        ("upper_edge", &p.long_edges.second),
        ("sides", &p.sides.both),
        ("left_side", &p.sides.first),
        ("right_side", &p.sides.second),
        ("perforations", &p.perforations),
        ("smooth_range", &p.range),
        ("scatter", &p.scatter),
    ]
}

fn pattern(pattern: &Pattern) -> Map<String, Value> {
    named(pattern)
        .into_iter()
        .map(|(name, measured)| (name.to_owned(), json!(measured.as_ref().ok())))
        .collect()
}
