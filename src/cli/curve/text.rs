//! The measures as aligned tables, one a strip.

use super::{development, notes};
use crate::measures::{Analysed, ContrastCondition, Measured, StripAnalysis};
use crate::readings::ExposureScale;
use std::fmt::Write;

pub fn tables(analyses: &[StripAnalysis]) -> String {
    let tables: Vec<String> = analyses.iter().map(table).collect();
    tables.join("\n")
}

fn table(analysis: &StripAnalysis) -> String {
    let strip = &analysis.strip;
    let mut out = format!("strip {}", strip.name);
    let development = development(strip);
    if !development.is_empty() {
        let _ = write!(out, ": {development}");
    }
    out.push('\n');
    let mut notes = notes(analysis);
    match &analysis.result {
        Ok(analysed) => measures(analysis, analysed, &mut out, &mut notes),
        Err(_) => out.push_str("  no curve\n"),
    }
    for note in notes {
        let _ = writeln!(out, "  note: {note}");
    }
    out
}

fn measures(
    analysis: &StripAnalysis,
    analysed: &Analysed,
    out: &mut String,
    notes: &mut Vec<String>,
) {
    let Analysed { fit, measures: m } = analysed;
    let n = fit.observations.len();
    let _ = writeln!(
        out,
        "  {} curve through {n} readings, residual standard deviation {:.3}\n",
        fit.curve.name(),
        fit.residual_sd
    );
    let log_h = match analysis.strip.scale {
        ExposureScale::Absolute => "log H (lux·s)",
        ExposureScale::Relative => "relative log H",
    };
    let _ = writeln!(out, "  {:<48}{:>9}   95 % interval", "", "value");
    let rows: [(&str, &Measured); 9] = [
        ("base plus fog", &m.base_plus_fog),
        ("maximum density", &m.d_max),
        ("gamma", &m.gamma),
        ("contrast index", &m.contrast_index),
        ("average gradient (1.50)", &m.average_gradient),
        ("speed point", &m.speed_point),
        ("fractional-gradient speed point", &m.fractional_gradient),
        ("Delta-X speed point", &m.delta_x),
        ("density gained over 1.30 (ISO 6)", &m.iso.delta_d),
    ];
    for (name, value) in rows {
        let name = if name.ends_with("speed point") {
            format!("{name}, {log_h}")
        } else {
            name.to_owned()
        };
        row(out, notes, &name, value, 3);
    }
    row(out, notes, "speed, 0.8/Hm", &m.iso.speed, 0);
    iso(analysed, out);
    for suspect in &fit.suspects {
        let reading = analysis.reading(suspect.index);
        let step = reading
            .step
            .as_deref()
            .map_or_else(|| format!("line {}", reading.line), |s| format!("step {s}"));
        notes.insert(
            0,
            format!(
                "suspect reading, not used: {step}, density {}, is {:+.2} off the curve of the others",
                reading.density, suspect.residual
            ),
        );
    }
}

fn row(out: &mut String, notes: &mut Vec<String>, name: &str, value: &Measured, decimals: usize) {
    let _ = match value {
        Ok(q) => writeln!(
            out,
            "  {name:<48}{:>9.decimals$}   {:.decimals$} to {:.decimals$}",
            q.value, q.low, q.high
        ),
        Err(why) => {
            notes.push(format!("{name}: {why}"));
            writeln!(out, "  {name:<48}{:>9}", "none")
        }
    };
}

/// What the speed is worth: the standard speed, or which way to develop.
fn iso(analysed: &Analysed, out: &mut String) {
    let iso = &analysed.measures.iso;
    let (Some(condition), Some(standard)) = (iso.condition, iso.standard) else {
        return;
    };
    let _ = match condition {
        ContrastCondition::Met => {
            writeln!(
                out,
                "  ISO speed {}/{}°: the contrast condition is met",
                standard.arithmetic, standard.degrees
            )
        }
        ContrastCondition::TooLow => {
            writeln!(
                out,
                "  no ISO speed: contrast is below the condition 0.80 ± 0.05; develop longer"
            )
        }
        ContrastCondition::TooHigh => {
            writeln!(
                out,
                "  no ISO speed: contrast is above the condition 0.80 ± 0.05; develop shorter"
            )
        }
    };
}
