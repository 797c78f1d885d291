//! The proof as text.

use super::{Proof, Row, Source, Time};
use crate::cli::inputs::quantity;
use crate::measures::Quantity;
use std::fmt::Write;

pub fn report(proof: &Proof) -> String {
    let mut out = String::new();
    let mut notes = Vec::new();
    if let Some(time) = &proof.time {
        report_time(time, proof, &mut out, &mut notes);
    }
    if !proof.rows.is_empty() {
        if !out.is_empty() {
            out.push('\n');
        }
        negatives(proof, &mut out, &mut notes);
    }
    for note in notes.iter().chain(&proof.notes) {
        let _ = writeln!(out, "  note: {note}");
    }
    out
}

/// A time to three digits or so.
fn seconds(q: &Quantity) -> String {
    let decimals = if q.value < 10.0 {
        2
    } else if q.value < 100.0 {
        1
    } else {
        0
    };
    format!("{:.decimals$} s, {:.decimals$} to {:.decimals$}", q.value, q.low, q.high)
}

fn report_time(time: &Time, proof: &Proof, out: &mut String, notes: &mut Vec<String>) {
    let _ = match &time.source {
        Source::Strip(_, readings) => {
            writeln!(out, "contact proof, from a test strip of {} exposures", readings.len())
        }
        Source::Paper { strip, .. } => {
            let strip = &proof.papers[*strip];
            let paper = strip.strip.labels.film.as_deref().unwrap_or("the paper");
            writeln!(out, "contact proof, from the curve of {paper}, setting {}", strip.setting())
        }
    };
    match &time.found {
        Ok(found) => {
            let _ = writeln!(
                out,
                "  black             {:.2} in the print, 0.90 of the net maximum density (Dmax {})",
                found.density,
                quantity(&found.d_max, 2)
            );
            if !time.change.is_none() {
                let _ = writeln!(out, "  tested            {}", seconds(&found.seconds));
                let _ =
                    writeln!(out, "  changed by        a factor of {:.3}", time.change.factor());
            }
            let _ = writeln!(
                out,
                "  expose for        {}",
                seconds(&time.change.scaled(found.seconds))
            );
        }
        Err(why) => {
            out.push_str("  expose for        no time can be told\n");
            notes.push(why.clone());
        }
    }
}

fn negatives(proof: &Proof, out: &mut String, notes: &mut Vec<String>) {
    let width = proof.rows.iter().map(|r| r.negative.name.chars().count()).fold(8, usize::max);
    let has_setting = proof.rows.iter().any(|r| r.setting.is_some());
    let _ = writeln!(
        out,
        "  {:<width$}  low    high   needs R             {}grade",
        "negative",
        if has_setting { "setting                   " } else { "" }
    );
    for row in &proof.rows {
        let setting = setting(row, notes);
        let grade = match &row.grade {
            Ok(grade) => format!("{} ({})", grade.number, grade.label),
            Err(why) => {
                notes.push(format!("{}: {why}", row.negative.name));
                "none".to_owned()
            }
        };
        let _ = writeln!(
            out,
            "  {:<width$}  {:<6.2} {:<6.2} {:<20}{setting}{grade}",
            row.negative.name,
            row.negative.low,
            row.negative.high,
            quantity(&row.needed.range_r, 0),
        );
    }
}

fn setting(row: &Row, notes: &mut Vec<String>) -> String {
    let words = match &row.setting {
        None => return String::new(),
        Some(Err(why)) => {
            notes.push(format!("{}: {why}", row.negative.name));
            "none".to_owned()
        }
        Some(Ok(chosen)) => match &chosen.between {
            Some(between) => format!("{}, near {}", quantity(between, 1), chosen.nearest.label),
            None => format!("{} (R {:.0})", chosen.nearest.label, chosen.nearest.range_r.value),
        },
    };
    format!("{words:<26}")
}
