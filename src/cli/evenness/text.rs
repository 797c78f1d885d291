//! The evenness as text: the answer, the numbers, what stands out, what it fits with.

use super::{Report, rows};
use crate::evenness::{FrameEvenness, NoiseSource, Pattern};
use crate::measures::Measured;
use std::fmt::Write;

pub fn report(report: &Report) -> String {
    let evenness = &report.evenness;
    let mut out = headline(report);
    let _ = writeln!(out, "\n{}\n", report.verdict());
    match &evenness.together {
        Some(together) => {
            table(&mut out, "all frames together", &together.pattern, true);
            out.push('\n');
            frames(&mut out, &evenness.frames);
        }
        None => {
            if let Some(frame) = evenness.frames.first() {
                table(&mut out, "", &frame.pattern, false);
            }
        }
    }
    findings(&mut out, report);
    for note in report.notes() {
        let _ = writeln!(out, "note: {}", note.trim_start());
    }
    out
}

/// What was read, and how much readings scatter.
fn headline(report: &Report) -> String {
    let evenness = &report.evenness;
    let readings: usize = evenness.frames.iter().map(|f| f.readings).sum();
    let places: usize = evenness.frames.iter().map(|f| f.places.len()).sum();
    let mut out = match evenness.frames.as_slice() {
        [only] => format!("frame {}, ", only.name),
        several => format!("{} frames, ", several.len()),
    };
    let _ = write!(out, "{readings} readings at {places} places");
    let development = report.development();
    if !development.is_empty() {
        let _ = write!(out, ": {development}");
    }
    let source = match evenness.noise.source {
        NoiseSource::Given => "as given".to_owned(),
        NoiseSource::Repeats(n) => format!("from repeats, {n} degrees of freedom"),
        NoiseSource::Scatter(n) => {
            format!("from the scatter about smooth fields, {n} degrees of freedom")
        }
        NoiseSource::Assumed(0) => "assumed".to_owned(),
        NoiseSource::Assumed(n) => format!("assumed, with {n} degrees of freedom of scatter"),
    };
    let _ = writeln!(out, "\n  a reading scatters by {:.3} ({source})", evenness.sigma);
    out
}

/// A number with its sign, unless it is a size.
fn number(name: &str, value: f64) -> String {
    let unsigned = ["mean density", "wave", "range", "scatter"];
    let text = format!("{value:.3}");
    if unsigned.iter().any(|word| name.starts_with(word)) {
        return text;
    }
    match text.as_str() {
        "-0.000" | "0.000" => "0.000".to_owned(),
        _ => format!("{value:+.3}"),
    }
}

fn table(out: &mut String, title: &str, pattern: &Pattern, together: bool) {
    let _ = writeln!(out, "  {title:<32}{:>9}   95 % interval", "value");
    for (name, measured) in rows(pattern) {
        // Scatter is told of each frame.
        if together && name.starts_with("scatter") {
            continue;
        }
        let _ = match measured {
            Ok(q) => writeln!(
                out,
                "  {name:<32}{:>9}   {} to {}",
                number(name, q.value),
                number(name, q.low),
                number(name, q.high)
            ),
            Err(_) => writeln!(out, "  {name:<32}{:>9}", "none"),
        };
    }
}

/// One line a frame.
fn frames(out: &mut String, frames: &[FrameEvenness]) {
    let name = |f: &FrameEvenness| f.name.chars().count();
    let width = frames.iter().map(name).max().unwrap_or(0).clamp(5, 24);
    let _ = writeln!(
        out,
        "  {:<width$}   mean   along  across  long edges   sides  spots  chance if even",
        "frame"
    );
    let cell = |measured: &Measured<String>| match measured {
        Ok(q) => number("", q.value),
        Err(_) => "none".to_owned(),
    };
    for frame in frames {
        let p = &frame.pattern;
        let mean = p.mean.as_ref().map_or("none".to_owned(), |q| format!("{:.3}", q.value));
        let chance = match frame.test {
            None => "none".to_owned(),
            Some(test) => chance(test.chance()),
        };
        let _ = writeln!(
            out,
            "  {:<width$}{mean:>7}{:>8}{:>8}{:>12}{:>8}{:>7}  {chance:>8}{}",
            frame.name,
            cell(&p.along),
            cell(&p.across),
            cell(&p.long_edges.both),
            cell(&p.sides.both),
            frame.spots.len(),
            if frame.uneven { "  uneven" } else { "" }
        );
    }
}

/// A chance, as far as it means something.
fn chance(chance: f64) -> String {
    if chance < 0.001 { "< 0.001".to_owned() } else { format!("{chance:.3}") }
}

fn findings(out: &mut String, report: &Report) {
    if report.findings.is_empty() {
        out.push('\n');
        return;
    }
    out.push_str("\nwhat stands out\n");
    let several = report.evenness.frames.len() > 1;
    for finding in &report.findings {
        let scope = match &finding.frame {
            _ if !several => String::new(),
            None => format!("{}: ", report.all_frames(finding)),
            Some(frame) => format!("frame {frame}: "),
        };
        let _ = writeln!(
            out,
            "  {scope}{} ({:.3} to {:.3}); in the print {:.2}, {}",
            finding.words(),
            finding.interval().0,
            finding.interval().1,
            finding.in_print,
            if finding.is_seen() { "seen" } else { "not seen" }
        );
    }
    if !report.causes.is_empty() {
        out.push_str("\nwhat it fits with (look there first; the film cannot tell)\n");
    }
    let mut sign = None;
    for cause in &report.causes {
        if sign != Some(cause.sign) {
            let _ = writeln!(out, "  {}", cause.sign.words());
            sign = Some(cause.sign);
        }
        let _ = writeln!(
            out,
            "    {}\n      try: {} ({})",
            cause.cause,
            cause.remedy,
            cause.source.words()
        );
    }
    out.push('\n');
}
