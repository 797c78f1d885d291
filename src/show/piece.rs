//! An answer as a piece of a page: headings, lists of terms, tables, notes. A report has it in its parts, and
//! a page that asks has it as the answer.

use super::html::escaped;
use crate::answers::{Block, Description, Field, Note, NoteKind, Section, Table, Value};
use std::fmt::Write;

/// The whole answer, cautions first of what follows its title.
#[must_use]
pub fn render(description: &Description) -> String {
    let mut out = String::new();
    heading(&mut out, description);
    cautions(&mut out, &description.notes);
    blocks(&mut out, &description.blocks);
    notes(&mut out, &description.notes);
    out
}

/// What protects people.
pub(super) fn cautions(out: &mut String, notes: &[Note]) {
    let cautions: Vec<&Note> = notes.iter().filter(|n| n.kind == NoteKind::Caution).collect();
    if cautions.is_empty() {
        return;
    }
    out.push_str("<div class=\"caution\">\n");
    for note in cautions {
        let _ = writeln!(out, "<p>{}</p>", escaped(&note.for_people()));
    }
    out.push_str("</div>\n");
}

/// A value; its interval stands apart, so that a page can write it smaller.
fn written(value: &Value) -> String {
    match value {
        Value::Amount(amount) => match amount.interval_written() {
            Some(interval) => format!(
                "{} <span class=\"interval\">{}</span>",
                escaped(&amount.written()),
                escaped(&interval)
            ),
            None => escaped(&amount.written()),
        },
        other => escaped(&other.for_people()),
    }
}

pub(super) fn heading(out: &mut String, description: &Description) {
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

pub(super) fn blocks(out: &mut String, all: &[Block]) {
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
            "<dt>{}</dt><dd{lead} data-key=\"{}\">{}</dd>",
            escaped(&field.label),
            escaped(&field.key),
            written(&field.value)
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

pub(super) fn table(out: &mut String, table: &Table) {
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

pub(super) fn notes(out: &mut String, notes: &[Note]) {
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
