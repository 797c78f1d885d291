//! `wedgebook adjust`: how long today, and what exposure index.

use super::args::AdjustArgs;
use super::inputs::{pairing, quantity, time};
use super::{Failure, Outcome, complain, print};
use crate::development::aim::development_label;
use crate::development::file::{Aims, PairingFile};
use crate::development::{Adjusted, Pairing, SHORTEST, Wanted};
use crate::figures::{CardCell, CardColumn, CardRow, TimeTemperatureCard};
use crate::measures::Quantity;
use crate::units::Celsius;
use serde_json::json;
use std::fmt::Write;

pub fn run(args: &AdjustArgs) -> Result<Outcome, Failure> {
    let (file, pairing) = pairing(&args.pairing)?;
    let aims = super::aims::aims(&file.aims, &args.aims);
    let target = super::aims::target(&args.target, &aims)?;
    let bath = match args.temperature {
        Some(typed) => typed.celsius,
        None => pairing.reference,
    };
    let known = match &args.bath {
        Some(journal) => Some(super::bath::activity_now(journal)?),
        None => None,
    };
    let measured = known.as_ref().map(|k| rounded(&k.activity));
    let wanted = Wanted {
        measure: aims.measure,
        contrast: target.contrast,
        celsius: bath,
        activity: measured.map_or(args.activity.unwrap_or(1.0), |q| q.value),
        extrapolate: args.extrapolate,
    };
    if let Some(path) = &args.card {
        card(&file, &pairing, &aims, &wanted).scene().save(path)?;
    }
    let mut adjusted = match pairing.adjust(&wanted) {
        Ok(adjusted) => adjusted,
        Err(why) => {
            complain(&why);
            return Ok(Outcome::No);
        }
    };
    if let (Some(activity), Some(known)) = (&measured, known) {
        adjusted = adjusted.allowing_for(activity);
        adjusted.notes.extend(known.notes);
    }
    adjusted.notes.extend(target.assumptions);
    let text = if args.json {
        format!("{:#}\n", document(&adjusted, &wanted))
    } else {
        report(&file.name, target.label.as_deref(), &adjusted, &wanted)
    };
    print(&text)?;
    Ok(Outcome::Done)
}

/// An activity as it is written on a card: to three decimals.
fn rounded(q: &Quantity) -> Quantity {
    let to = |v: f64| (v * 1e3).round() / 1e3;
    Quantity { value: to(q.value), low: to(q.low), high: to(q.high) }
}

fn document(adjusted: &Adjusted, wanted: &Wanted) -> serde_json::Value {
    json!({
        "minutes": adjusted.minutes,
        "contrast": wanted.contrast,
        "measure": wanted.measure,
        "celsius": wanted.celsius.get(),
        "activity": wanted.activity,
        "exposure_index": adjusted.exposure_index,
        "effective_minutes": adjusted.effective_minutes,
        "extrapolated": adjusted.extrapolated,
        "notes": adjusted.notes,
    })
}

fn report(name: &str, label: Option<&str>, adjusted: &Adjusted, wanted: &Wanted) -> String {
    let mut out = format!("{name}\n");
    let for_what = label.map_or(String::new(), |l| format!(", for {l}"));
    let _ = writeln!(
        out,
        "  aim               {} {:.3}{for_what}",
        wanted.measure.name(),
        wanted.contrast
    );
    let _ =
        writeln!(out, "  bath              {} °C, activity {}", wanted.celsius, wanted.activity);
    let _ = writeln!(out, "  develop for       {}", time(&adjusted.minutes));
    if let Some(index) = &adjusted.exposure_index {
        let _ = writeln!(out, "  exposure index    {}", quantity(index, 0));
    }
    out.push_str("  to expect\n");
    if let Some(base) = &adjusted.base_plus_fog {
        let _ = writeln!(out, "    {:<16}{}", "base plus fog", quantity(base, 3));
    }
    for (measure, value) in &adjusted.expected {
        let _ = writeln!(out, "    {:<16} {}", measure.name(), quantity(value, 3));
    }
    for note in &adjusted.notes {
        let _ = writeln!(out, "  note: {note}");
    }
    out
}

/// The card: temperatures down, the scene ranges of the aims across.
fn card(
    file: &PairingFile,
    pairing: &Pairing,
    aims: &Aims,
    wanted: &Wanted,
) -> TimeTemperatureCard {
    let columns: Vec<(f64, f64)> = aims
        .scene_stops
        .iter()
        .filter_map(|&stops| Some((stops, aims.printing.contrast(stops)?)))
        .collect();
    let (low, high) = pairing.temperatures();
    let rows = (low.floor() as i32 - 2..=high.ceil() as i32 + 2)
        .filter_map(|c| Celsius::new(f64::from(c)).ok());
    let cell = |contrast: f64, celsius: Celsius| {
        let wanted = Wanted { contrast, celsius, ..*wanted };
        match pairing.adjust(&wanted) {
            Ok(a) if a.minutes.value < SHORTEST => CardCell::Short { minutes: a.minutes.value },
            Ok(a) => CardCell::Time { minutes: a.minutes.value, outside: a.extrapolated },
            Err(_) => CardCell::Unreachable,
        }
    };
    let mut notes: Vec<String> = aims.printing.assumptions();
    if pairing.energy_is_assumed {
        notes.push(
            "the temperature law is assumed: a factor of 2.5 per 10 °C (published range 2 to 3)"
                .to_owned(),
        );
    }
    TimeTemperatureCard {
        pairing: file.name.clone(),
        date: pairing.strips.iter().find_map(|s| s.strip.labels.date.clone()),
        activity: Some(if wanted.activity == 1.0 {
            "bath activity 1, as calibrated".to_owned()
        } else {
            format!("bath activity {}", wanted.activity)
        }),
        measure: format!(
            "{} for a paper of range R {}",
            aims.measure.name(),
            aims.printing.paper_range
        ),
        reference_celsius: Some(pairing.reference.get()),
        rows: rows
            .map(|c| CardRow {
                celsius: c.get(),
                cells: columns.iter().map(|(_, g)| cell(*g, c)).collect(),
            })
            .collect(),
        columns: columns
            .iter()
            .map(|&(stops, contrast)| CardColumn {
                heading: format!("{contrast:.2}"),
                second: Some(
                    development_label(stops).map_or_else(
                        || format!("{stops} stops"),
                        |l| format!("{l} · {stops} stops"),
                    ),
                ),
            })
            .collect(),
        notes: notes.into_iter().map(|n| format!("† {n}")).collect(),
        fahrenheit: true,
    }
}
