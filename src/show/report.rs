//! A report as one HTML file that needs nothing else: what was found, figures, tables, notes, definitions.
//!
//! It renders descriptions and computes nothing. Everything is readable without its script, which shows one
//! row of a curve's table at a time.

use super::html::{escaped, fill, hash, in_script};
use crate::answers::report::{DEFINITIONS, Report, ReportPart, Traced};
use crate::answers::{Block, Description, Field, Note, NoteKind, Section, Table, Value};
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
    let all: Vec<&Note> = part.description.notes.iter().collect();
    let cautions: Vec<&&Note> = all.iter().filter(|n| n.kind == NoteKind::Caution).collect();
    if !cautions.is_empty() {
        out.push_str("<div class=\"caution\">\n");
        for note in cautions {
            let _ = writeln!(out, "<p>{}</p>", escaped(&note.for_people()));
        }
        out.push_str("</div>\n");
    }
    blocks(&mut out, &part.description.blocks);
    notes(&mut out, &part.description.notes);
    out.push_str("</section>\n");
    out
}

fn heading(out: &mut String, description: &Description) {
    let _ = writeln!(out, "<h2>{}</h2>", escaped(&description.title));
    if let Some(subtitle) = &description.subtitle {
        let _ = writeln!(out, "<p class=\"soft\">{}</p>", escaped(subtitle));
    }
    if let Some(first) = &description.first {
        let warns = if first.warns { " warns" } else { "" };
        let _ = writeln!(
            out,
            "<p class=\"first{warns}\">{}: {}</p>",
            escaped(&first.label),
            escaped(&first.value.for_people())
        );
    }
}

fn blocks(out: &mut String, all: &[Block]) {
    let mut fields: Vec<&Field> = Vec::new();
    for block in all {
        if let Block::Field(field) = block {
            fields.push(field);
            continue;
        }
        list(out, &std::mem::take(&mut fields));
        match block {
            Block::Section(own) => section(out, own),
            Block::Sections { items, .. } => items.iter().for_each(|own| section(out, own)),
            Block::Table(own) => table(out, own),
            Block::Line { words, .. } => {
                let _ = writeln!(out, "<p>{}</p>", escaped(words));
            }
            Block::Twofold { people, .. } => blocks(out, people),
            Block::Field(_) | Block::Data { .. } => {}
        }
    }
    list(out, &fields);
}

/// Fields as a list of terms; what leads stands large.
fn list(out: &mut String, fields: &[&Field]) {
    if fields.is_empty() {
        return;
    }
    out.push_str("<dl>\n");
    for field in fields {
        let lead = if field.leads { " class=\"lead\"" } else { "" };
        let _ = writeln!(
            out,
            "<dt>{}</dt><dd{lead}>{}</dd>",
            escaped(&field.label),
            escaped(&field.value.for_people())
        );
    }
    out.push_str("</dl>\n");
}

fn section(out: &mut String, section: &Section) {
    if let Some(title) = &section.title {
        let _ = writeln!(out, "<h3>{}</h3>", escaped(title));
    }
    blocks(out, &section.blocks);
    notes(out, section.notes.as_deref().unwrap_or_default());
}

fn table(out: &mut String, table: &Table) {
    let shown: Vec<usize> = (0..table.columns.len())
        .filter(|&k| !table.columns[k].for_programs)
        .filter(|&k| table.rows.iter().any(|row| row.cells[k] != Value::Empty))
        .collect();
    if let Some(title) = &table.title {
        let _ = writeln!(out, "<h3>{}</h3>", escaped(title));
    }
    if table.rows.is_empty() {
        if table.title.is_some() {
            out.push_str("<p>none</p>\n");
        }
        return;
    }
    // A table that is wider than the screen is moved by itself, also by the keyboard.
    out.push_str("<div class=\"wide\" tabindex=\"0\"><table>\n<thead><tr>");
    for &k in &shown {
        let _ = write!(out, "<th scope=\"col\">{}</th>", escaped(&table.columns[k].label));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in &table.rows {
        out.push_str("<tr>");
        for &k in &shown {
            let number = if row.cells[k].is_number() { " class=\"number\"" } else { "" };
            let _ = write!(out, "<td{number}>{}</td>", escaped(&row.cells[k].for_people()));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table></div>\n");
}

fn notes(out: &mut String, notes: &[Note]) {
    let shown = |note: &&Note| !matches!(note.kind, NoteKind::Caution | NoteKind::ForPrograms);
    let shown: Vec<&Note> = notes.iter().filter(shown).collect();
    if shown.is_empty() {
        return;
    }
    out.push_str("<ul class=\"notes\">\n");
    for note in shown {
        let _ = writeln!(out, "<li>{}</li>", escaped(&note.for_people()));
    }
    out.push_str("</ul>\n");
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
