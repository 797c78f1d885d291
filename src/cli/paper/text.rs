//! The papers as text: one strip with all its measures, several as a table.

use super::Asked;
use crate::cli::inputs::quantity;
use crate::measures::Measured;
use crate::printing::grade::GRADES_ASSUMED;
use crate::printing::{Grade, Paper, PaperStrip};
use crate::readings::ExposureScale;
use std::fmt::Write;

pub fn report(papers: &[PaperStrip], asked: Option<&Asked>) -> String {
    let (mut out, notes) = match papers {
        [only] => one(only),
        several => table(several),
    };
    if let Some(asked) = asked {
        setting(asked, &mut out);
    }
    for note in notes {
        let _ = writeln!(out, "  note: {note}");
    }
    out
}

fn setting(asked: &Asked, out: &mut String) {
    let _ = match &asked.answer {
        Err(why) => writeln!(out, "  no setting for R {:.0}: {why}", asked.range_r),
        Ok(chosen) => {
            let nearest =
                format!("{} (R {})", chosen.nearest.label, quantity(&chosen.nearest.range_r, 0));
            match &chosen.between {
                Some(between) => writeln!(
                    out,
                    "  for R {:.0}        setting {}; the nearest measured is {nearest}",
                    asked.range_r,
                    quantity(between, 1)
                ),
                None => writeln!(
                    out,
                    "  for R {:.0}        the nearest measured is {nearest}",
                    asked.range_r
                ),
            }
        }
    };
}

/// Paper, setting, strip and date, as far as they are known.
fn heading(paper: &PaperStrip) -> String {
    let labels = &paper.strip.labels;
    let parts = [
        labels.film.clone(),
        labels.filter.clone().map(super::setting),
        labels.developer.clone(),
        labels.date.clone(),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    let mut out = format!("strip {}", paper.strip.name);
    if !parts.is_empty() {
        let _ = write!(out, ": {}", parts.join(", "));
    }
    out
}

fn one(strip: &PaperStrip) -> (String, Vec<String>) {
    let mut out = heading(strip);
    out.push('\n');
    let mut notes = strip.notes();
    match &strip.result {
        Ok(paper) => measures(strip, paper, &mut out, &mut notes),
        Err(_) => out.push_str("  no curve\n"),
    }
    (out, merged(notes))
}

fn measures(strip: &PaperStrip, paper: &Paper, out: &mut String, notes: &mut Vec<String>) {
    let Paper { fit, measures: m } = paper;
    let _ = writeln!(
        out,
        "  {} curve through {} readings, residual standard deviation {:.3}\n",
        fit.curve.name(),
        fit.observations.len(),
        fit.residual_sd
    );
    let log_h = match strip.strip.scale {
        ExposureScale::Absolute => "log H (lux·s)",
        ExposureScale::Relative => "relative log H",
    };
    let _ = writeln!(out, "  {:<48}{:>9}   95 % interval", "", "value");
    let point = |name: &str| format!("{name}, {log_h}");
    let rows: [(String, &Measured, usize); 10] = [
        ("minimum density".into(), &m.d_min, 3),
        ("maximum density".into(), &m.d_max, 3),
        (point("highlight point T"), &m.highlight, 3),
        (point("speed point m"), &m.speed_point, 3),
        (point("shadow point S"), &m.shadow, 3),
        ("density of the shadow point".into(), &m.shadow_density, 3),
        ("average gradient from T to S".into(), &m.average_gradient, 2),
        ("greatest slope".into(), &m.gamma, 2),
        ("paper speed P (1000/Hm)".into(), &m.speed_p, 0),
        ("range R (100 × log exposure from T to S)".into(), &m.range_r, 0),
    ];
    for (name, value, decimals) in rows {
        let _ = match value {
            Ok(q) => writeln!(
                out,
                "  {name:<48}{:>9.decimals$}   {:.decimals$} to {:.decimals$}",
                q.value, q.low, q.high
            ),
            Err(why) => {
                let short = name.split([',', '(']).next().unwrap_or(&name).trim_end();
                notes.push(format!("{short}: {why}"));
                writeln!(out, "  {name:<48}{:>9}", "none")
            }
        };
    }
    if let Ok(range) = &m.range_r {
        match Grade::of(range.value) {
            Ok(grade) => {
                let _ = writeln!(out, "  grade {} ({})", grade.number, grade.label);
                notes.push(GRADES_ASSUMED.to_owned());
            }
            Err(why) => notes.push(why),
        }
    }
    for suspect in suspects(strip, paper) {
        notes.insert(0, suspect);
    }
}

fn suspects(strip: &PaperStrip, paper: &Paper) -> Vec<String> {
    let words = |s: &crate::curve::Suspect| {
        let reading = strip.reading(s.index);
        let step = reading
            .step
            .as_deref()
            .map_or_else(|| format!("line {}", reading.line), |s| format!("step {s}"));
        format!(
            "suspect reading, not used: {step}, density {}, is {:+.2} off the curve of the others",
            reading.density, s.residual
        )
    };
    paper.fit.suspects.iter().map(words).collect()
}

/// One line a strip.
fn table(papers: &[PaperStrip]) -> (String, Vec<String>) {
    let title = super::name(papers).unwrap_or("paper");
    let mut out = format!("{title}: {} strips\n\n", papers.len());
    let width = papers.iter().map(|p| p.setting().chars().count()).fold(7, usize::max);
    let _ = writeln!(
        out,
        "  {:<width$}  {:<19}{:<19}{:<7}{:<7}{:<10}grade",
        "setting", "range R", "speed P", "Dmin", "Dmax", "gradient"
    );
    let mut notes = Vec::new();
    let mut graded = false;
    for strip in papers {
        let name = strip.setting();
        let note = |why: &str| format!("{name}: {why}");
        notes.extend(strip.notes().iter().map(|n| note(n)));
        let Ok(paper) = &strip.result else {
            let _ = writeln!(out, "  {name:<width$}  no curve");
            continue;
        };
        notes.extend(suspects(strip, paper).iter().map(|n| note(n)));
        let m = &paper.measures;
        let mut cell = |what: &str, value: &Measured, decimals: usize, interval: bool| match value {
            Ok(q) if interval => quantity(q, decimals),
            Ok(q) => format!("{:.decimals$}", q.value),
            Err(why) => {
                notes.push(note(&format!("{what}: {why}")));
                "none".to_owned()
            }
        };
        let cells = [
            cell("range R", &m.range_r, 0, true),
            cell("speed P", &m.speed_p, 0, true),
            cell("minimum density", &m.d_min, 2, false),
            cell("maximum density", &m.d_max, 2, false),
            cell("average gradient", &m.average_gradient, 2, false),
        ];
        let grade = match m.range_r.as_ref().map(|r| Grade::of(r.value)) {
            Ok(Ok(grade)) => {
                graded = true;
                format!("{} ({})", grade.number, grade.label)
            }
            Ok(Err(why)) => {
                notes.push(note(&why));
                "none".to_owned()
            }
            Err(_) => "none".to_owned(),
        };
        let [range, speed, d_min, d_max, gradient] = cells;
        let _ = writeln!(
            out,
            "  {name:<width$}  {range:<19}{speed:<19}{d_min:<7}{d_max:<7}{gradient:<10}{grade}"
        );
    }
    out.push('\n');
    if graded {
        notes.push(GRADES_ASSUMED.to_owned());
    }
    (out, merged(notes))
}

/// Notes that differ only in the strip, or in the measure, are said once.
fn merged(notes: Vec<String>) -> Vec<String> {
    let mut found: Vec<(Vec<String>, String)> = Vec::new();
    for note in notes {
        let (name, rest) = match note.split_once(": ") {
            Some((name, rest)) => (name.to_owned(), rest.to_owned()),
            None => (String::new(), note),
        };
        match found.iter_mut().find(|(_, words)| *words == rest) {
            Some((names, _)) => names.push(name),
            None => found.push((vec![name], rest)),
        }
    }
    let words = |(names, rest): (Vec<String>, String)| match names.as_slice() {
        [only] if only.is_empty() => rest,
        names => format!("{}: {rest}", names.join(", ")),
    };
    found.into_iter().map(words).collect()
}
