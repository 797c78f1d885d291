//! The pairing as one JSON document.

use super::Calibrated;
use crate::development::surface::NAMES;
use crate::development::temperature::factor_per_ten_degrees;
use crate::measures::Quantity;
use serde_json::{Value, json};

pub fn document(calibrated: &Calibrated) -> Result<String, serde_json::Error> {
    let Calibrated { file, pairing, rows } = calibrated;
    let law = pairing.growth(file.aims.measure).unwrap_or_else(|| pairing.law());
    let energy = Quantity::around(law.energy(), law.quantile * law.energy_sd());
    let mut notes = pairing.notes.clone();
    let iso = match pairing.iso_speed() {
        Ok(iso) => json!({
            "speed": iso.speed,
            "rounded": iso.standard.map(|s| crate::show::json::of(&s.into())),
            "degrees": iso.standard.map(|s| s.degrees),
            "minutes": iso.minutes,
        }),
        Err(why) => {
            notes.push(format!("iso: {why}"));
            Value::Null
        }
    };
    let times: Vec<Value> = rows
        .iter()
        .map(|row| {
            let answer = row.answer.as_ref();
            if let Err(why) = answer {
                notes.push(format!("{} stops: {why}", row.stops));
            }
            json!({
                "contrast": row.contrast,
                "minutes": answer.ok().map(|a| a.minutes),
                "exposure_index": answer.ok().and_then(|a| a.exposure_index),
                "label": row.label,
                "scene_stops": row.stops,
            })
        })
        .collect();
    notes.extend(file.aims.printing.assumptions());
    let document = json!({ "pairing": {
        "name": file.name,
        "reference_celsius": pairing.reference.get(),
        "contrast_time": {
            "measure": file.aims.measure,
            "form": law.form.name(),
            "parameters": law.parameters,
            "residual_sd": law.residual_sd,
        },
        "surface": pairing.surface().map(|surface| {
            let parameters: serde_json::Map<String, Value> =
                NAMES.iter().zip(surface.parameters).map(|(name, value)| ((*name).to_owned(), json!(value))).collect();
            json!({
                "parameters": parameters,
                "residual_sd": surface.residual_sd,
                "residual_sd_by_strip": surface.residual_sd_by_strip,
            })
        }),
        "temperature": {
            "activation_energy_kj_per_mol": energy,
            "factor_per_10_celsius": factor_per_ten_degrees(law.energy()),
            "assumed": pairing.energy_is_assumed,
        },
        "iso": iso,
        "times": times,
        "strips": pairing.strips.iter().map(|a| crate::show::json::section(&crate::answers::curve::strip_section(a))).collect::<Vec<_>>(),
        "notes": notes,
    }});
    Ok(format!("{}\n", serde_json::to_string_pretty(&document)?))
}
