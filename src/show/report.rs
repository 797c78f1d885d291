//! A report as one HTML file that needs nothing else: what was found, figures, tables, notes, definitions.
//!
//! It renders descriptions and computes nothing. Everything is readable without its script, which shows one
//! row of a curve's table at a time.

use super::html::{escaped, fill, hash, in_script};
use super::piece::{blocks, cautions, heading, notes, table};
use crate::answers::report::{DEFINITIONS, Report, ReportPart, Traced};
use std::fmt::Write;

const PAGE: &str = include_str!("report/report.html");
const STYLE: &str = include_str!("report/report.css");
const SCRIPT: &str = include_str!("report/report.js");

/// The page.
#[must_use]
pub fn render(report: &Report) -> String {
    let policy = format!(
        "default-src 'none'; script-src 'sha256-{}'; style-src 'sha256-{}'; base-uri 'none'; form-action 'none'",
        hash(SCRIPT),
        hash(STYLE)
    );
    let summary: String =
        report.summary().iter().map(|line| format!("<p>{}</p>\n", escaped(line))).collect();
    let parts = report.parts.iter().enumerate().map(|(n, p)| part(n, p)).collect::<String>();
    let mut definitions = String::from("<dl>\n");
    for (term, words, source) in DEFINITIONS {
        let source = if source.is_empty() { String::new() } else { format!(" ({source})") };
        let _ = writeln!(
            definitions,
            "<dt>{}</dt><dd>{}{}</dd>",
            escaped(term),
            escaped(words),
            escaped(&source)
        );
    }
    definitions.push_str("</dl>\n");
    let caution = |words: &&str| format!("<p>{}</p>\n", escaped(words));
    let cautions: String = report.cautions().iter().map(caution).collect();
    fill(
        PAGE,
        &[
            ("{policy}", &policy),
            ("{cautions}", &cautions),
            ("{title}", &escaped(&report.title)),
            ("{style}", STYLE),
            ("{date}", &escaped(&report.date.to_string())),
            ("{summary}", &summary),
            ("{parts}", &parts),
            ("{definitions}", &definitions),
            ("{script}", SCRIPT),
        ],
    )
}

/// One part: its description with its figures after what leads.
fn part(n: usize, part: &ReportPart) -> String {
    let mut out = String::from("<section>\n");
    heading(&mut out, &part.description);
    for (k, figure) in part.figures.iter().enumerate() {
        // Names within a figure are its own.
        let svg = figure.to_svg().replace("clip-", &format!("clip-{n}-{k}-"));
        let tall = if figure.height() > 1.3 * figure.width() { " class=\"tall\"" } else { "" };
        let title = escaped(&part.description.title);
        let _ = writeln!(
            out,
            "<figure{tall} tabindex=\"0\" aria-label=\"figure {}: {title}\">\n{}\n</figure>",
            k + 1,
            svg.trim()
        );
    }
    if !part.curves.is_empty() {
        readout(&mut out, n, &part.curves);
    }
    cautions(&mut out, &part.description.notes);
    blocks(&mut out, &part.description.blocks);
    notes(&mut out, &part.description.notes);
    out.push_str("</section>\n");
    out
}

/// A place on a curve, read out by a slider, and the same as a table for who has no script.
fn readout(out: &mut String, n: usize, curves: &[Traced]) {
    let embedded: Vec<serde_json::Value> = curves
        .iter()
        .map(|curve| {
            let rounded = |v: &f64| (v * 1e4).round() / 1e4;
            let points: Vec<Vec<f64>> =
                curve.points.iter().map(|p| p.iter().map(rounded).collect()).collect();
            serde_json::json!({ "name": curve.name, "points": points })
        })
        .collect();
    let embedded = in_script(&serde_json::Value::from(embedded).to_string());
    let _ = writeln!(
        out,
        "<div class=\"readout\" hidden>\n<label for=\"curve-{n}\">curve</label>\n<select id=\"curve-{n}\">"
    );
    for (k, curve) in curves.iter().enumerate() {
        let _ = writeln!(out, "<option value=\"{k}\">{}</option>", escaped(&curve.name));
    }
    let _ = writeln!(
        out,
        "</select>\n<label for=\"place-{n}\">place on the curve</label>\n<input id=\"place-{n}\" type=\"range\" min=\"0\" max=\"1\" value=\"0\">\n<output for=\"place-{n} curve-{n}\"></output>\n<script type=\"application/json\">{embedded}</script>\n</div>"
    );
    out.push_str("<details open><summary>The curves as tables</summary>\n");
    for curve in curves {
        let _ = writeln!(out, "<h3>{}</h3>", escaped(&curve.name));
        table(out, &curve.table());
    }
    out.push_str("</details>\n");
}
