//! `wedgebook bath chart`: control charts of the bath.

use super::super::{Failure, Outcome, print};
use super::args::{BasisArg, ChartArgs};
use super::journal::Opened;
use crate::bath::control::{Alphabet, Basis, Chart, Stretch, sparklines};
use crate::bath::history::chart;
use crate::bath::journal::{Act, Entry};
use crate::bath::watched::Watched;
use crate::figures::{Chart as Page, Mark, control_charts};
use serde_json::{Value, json};
use std::fmt::Write;

/// Strips that a line of text shows.
const WIDTH: usize = 40;

pub fn run(args: &ChartArgs) -> Result<Outcome, Failure> {
    let opened = Opened::view(&args.view)?;
    let limits = opened.limits()?;
    let basis = match args.basis {
        BasisArg::Aim => Basis::Aim,
        BasisArg::History => Basis::FirstStrips,
        BasisArg::Tolerances => Basis::Tolerances,
    };
    let asked = Watched::CHARTED
        .into_iter()
        .filter(|c| args.only.is_empty() || args.only.iter().any(|q| Watched::from(*q) == *c));
    let (mut charts, mut notes) = (Vec::new(), vec![format!("tolerances: {}", limits.from)]);
    for charted in asked {
        match chart(&opened.entries, charted, &limits, basis) {
            Ok(chart) => charts.push(chart),
            Err(why) => notes.push(format!("{}: {why}", charted.charted_name())),
        }
    }
    for chart in &charts {
        notes.extend(chart.notes().iter().map(|n| format!("{}: {n}", chart.plan().name)));
    }
    if let Some(path) = &args.plot {
        figure(&opened, &charts).scene().save(path)?;
    }
    print(&if args.view.json {
        format!("{:#}\n", document(&opened, &charts, &notes))
    } else {
        text(&opened, &charts, &notes, args.ascii)
    })?;
    Ok(Outcome::Done)
}

/// The sheet of charts, with what happened to the bath.
fn figure(opened: &Opened, charts: &[Chart]) -> Page {
    let mark = |entry: &Entry| {
        let text = match &entry.act {
            Act::Mix { .. } => "mixed",
            Act::Replenish { .. } => "replenished",
            Act::Discard => "discarded",
            _ => return None,
        };
        let (date, text) = (entry.date, text.to_owned());
        Some(Mark { date, text })
    };
    let marks: Vec<Mark> = opened.entries.iter().filter_map(mark).collect();
    // A bath is called by its pairing, or else by what was mixed last.
    let mixed = opened.entries.iter().rev().find_map(|entry| match &entry.act {
        Act::Mix { what, .. } => what.clone(),
        _ => None,
    });
    let name = match &opened.pairing {
        Ok((file, _)) => file.name.clone(),
        Err(_) => mixed.unwrap_or_else(|| "the bath".to_owned()),
    };
    control_charts(&name, charts, &marks)
}

fn text(opened: &Opened, charts: &[Chart], notes: &[String], ascii: bool) -> String {
    let alphabet = if ascii { Alphabet::Ascii } else { Alphabet::Blocks };
    let mut out = format!("{} on {}\n", opened.path.display(), opened.on);
    for line in sparklines(charts, WIDTH, alphabet).lines() {
        let _ = writeln!(out, "  {line}");
    }
    for note in notes {
        let _ = writeln!(out, "  note: {note}");
    }
    out
}

fn document(opened: &Opened, charts: &[Chart], notes: &[String]) -> Value {
    let charts: Vec<Value> = charts.iter().map(one).collect();
    json!({
        "bath": opened.path.display().to_string(),
        "on": opened.on.to_string(),
        "charts": charts,
        "notes": notes,
    })
}

fn one(chart: &Chart) -> Value {
    let points: Vec<Value> = chart
        .points()
        .iter()
        .map(|p| {
            json!({
                "date": p.date.to_string(),
                "value": p.value,
                "batch_shift": p.shift,
                "strips": p.strips,
                "moving_range": p.moving_range,
                "weighted_average": p.average,
                "cusum_high": p.sums.map(|s| s.0),
                "cusum_low": p.sums.map(|s| s.1),
            })
        })
        .collect();
    let signals: Vec<Value> = chart
        .signals()
        .iter()
        .map(|s| json!({ "rule": s.rule.words(), "date": s.date.to_string(), "point": s.index }))
        .collect();
    let stretches: Vec<Value> = chart.stretches().iter().map(stretch).collect();
    json!({
        "quantity": chart.plan().name,
        "in_control": chart.in_control(),
        "stretches": stretches,
        "points": points,
        "signals": signals,
    })
}

fn stretch(s: &Stretch) -> Value {
    let control = s.control.as_ref().ok();
    json!({
        "from_point": s.points.start,
        "to_point": s.points.end.saturating_sub(1),
        "centre": control.map(|c| c.centre),
        "lower": control.map(|c| c.lower),
        "upper": control.map(|c| c.upper),
        "provisional": control.map(|c| c.provisional),
        "tolerance_lower": s.tolerance.and_then(|t| t.lower()),
        "tolerance_upper": s.tolerance.and_then(|t| t.upper()),
    })
}
