//! Tone reproduction as one JSON document.

use super::{STOP, Told, text};
use crate::development::Measure;
use crate::printing::tone::{Cause, Change, Link, Lost, Remedy};
use serde_json::{Value, json};

pub fn document(told: &Told<'_>) -> String {
    let camera = told.chain.camera();
    let development = &told.development;
    let r = &told.reproduction;
    let finite = |v: f64| v.is_finite().then_some(v);
    let rows: Vec<Value> = told
        .rows()
        .into_iter()
        .map(|luminance| {
            let tone = told.chain.tone(luminance);
            json!({
                "stops": luminance / STOP,
                "log_luminance": tone.luminance,
                "film_log_exposure": tone.film_exposure,
                "negative_density": tone.negative,
                "paper_log_exposure": tone.paper_exposure,
                "print_density": tone.print,
            })
        })
        .collect();
    let mut notes = told.notes.clone();
    if told.gradient.is_none() {
        notes.push("overall_gradient: no tone of the scene is kept".to_owned());
    }
    let exposure_index = told
        .bench
        .film
        .exposure_index
        .or_else(|| Some(told.pairing.exposure_index(development.theta)?.value));
    let limits = told.chain.limits();
    let document = json!({
        "overall_gradient": told.gradient,
        "metered_gradient": finite(r.middle_gradient),
        "shadows_lost": r.shadows.as_ref().map(lost),
        "highlights_lost": r.highlights.as_ref().map(lost),
        "lost_stops": r.lost_stops(),
        "remedies": told.remedies.iter().map(|m| remedy(told, m)).collect::<Vec<_>>(),
        "scene": {
            "stops": camera.stops,
            "darkest_stops": camera.darkest() / STOP,
            "brightest_stops": camera.brightest() / STOP,
            "flare": camera.flare,
        },
        "film": {
            "minutes": development.minutes,
            "celsius": development.celsius.get(),
            "activity": development.activity,
            "effective_minutes": development.theta,
            "contrast_index": told.pairing.growth(Measure::ContrastIndex).map(|g| g.value(development.theta)),
            "exposure_index": exposure_index,
        },
        "paper": {
            "setting": told.strip().setting(),
            "range_r": told.paper.measures.range_r.as_ref().ok(),
            "callier": told.bench.printed.callier,
            "highlight_density": limits.0,
            "shadow_density": limits.1,
        },
        "tones": rows,
        "notes": notes,
    });
    format!("{document:#}\n")
}

fn lost(lost: &Lost) -> Value {
    json!({
        "from_stops": lost.from / STOP,
        "from_log_luminance": lost.from,
        "stops": lost.stops,
        "cause": match lost.cause {
            Cause::Black => "black",
            Cause::White => "white",
            Cause::Flat(_) => "flat",
        },
        "where": match lost.cause {
            Cause::Flat(Link::Flare) => "flare",
            Cause::Flat(Link::Film) => "film",
            _ => "paper",
        },
    })
}

fn remedy(told: &Told<'_>, remedy: &Remedy) -> Value {
    let development = &told.development;
    let (kind, value) = match &remedy.change {
        Change::Development { theta, contrast } => (
            "development",
            json!({
                "minutes": development.minutes * theta / development.theta,
                "contrast_index": contrast,
            }),
        ),
        Change::Exposure(stops) => ("exposure", json!({ "stops": stops })),
        Change::PrintExposure(stops) => ("print_exposure", json!({ "stops": stops })),
        Change::Setting { label, range_r } => {
            ("setting", json!({ "setting": label, "range_r": range_r }))
        }
    };
    json!({
        "change": kind,
        "to": value,
        "words": text::change(told, remedy),
        "keeps_all": remedy.is_whole(),
        "lost_stops": remedy.lost_stops,
        "overall_gradient": remedy.gradient.is_finite().then_some(remedy.gradient),
    })
}
