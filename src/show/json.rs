//! An answer as JSON: the keys of its fields, a number with an interval as
//! `{"value":…,"low":…,"high":…}`, what is missing as `null` with its reason among the notes.

use crate::answers::{
    Block, Description, Field, Note, NoteKind, Section, Table, Value as Answered,
};
use crate::words::acts;
#[cfg(feature = "threads")]
use rayon::prelude::*;
use serde_json::{Map, Value, json};

/// The description as one JSON object.
#[must_use]
pub fn value(description: &Description) -> Value {
    let mut object = Map::new();
    insert_fields(&mut object, description.first.as_slice());
    insert_fields(&mut object, &description.heading);
    insert_all(&mut object, &description.blocks);
    insert_notes(&mut object, &description.notes);
    Value::Object(object)
}

/// The description as a JSON document, laid out in lines, the last one ended. Sections of a list are
/// written one by one, so that thousands of them need no tree of the whole document.
#[must_use]
pub fn render(description: &Description) -> String {
    let text = laid_out(description);
    if !text.chars().any(acts) {
        return text;
    }
    // In strings only: the layout has none of them.
    let escaped =
        |c: char| if acts(c) { format!("\\u{:04x}", u32::from(c)) } else { c.to_string() };
    text.chars().map(escaped).collect()
}

/// What a block lays out for programs.
fn of_programs(block: &Block) -> &[Block] {
    match block {
        Block::Twofold { programs, .. } => programs,
        block => std::slice::from_ref(block),
    }
}

fn laid_out(description: &Description) -> String {
    let is_list = |block: &Block| matches!(block, Block::Sections { .. });
    // Lists for programs alone stand in their order; beside other blocks, each stands in its own place.
    let only_lists = description.blocks.iter().flat_map(of_programs).all(is_list);
    let own: fn(&Block) -> &[Block] = if only_lists { of_programs } else { std::slice::from_ref };
    let (lists, others): (Vec<&Block>, Vec<&Block>) =
        description.blocks.iter().flat_map(own).partition(|block| is_list(block));
    if lists.is_empty() {
        return format!("{:#}\n", value(description));
    }
    let mut parts: Vec<String> = Vec::new();
    for block in lists {
        let Block::Sections { key, items } = block else { continue };
        let written = |item: &Section| indented(&format!("{:#}", section(item)), 4);
        #[cfg(feature = "threads")]
        let items = items.par_iter();
        #[cfg(not(feature = "threads"))]
        let items = items.iter();
        let items: Vec<String> = items.map(written).collect();
        parts.push(match items.is_empty() {
            true => format!("  {}: []", json!(key)),
            false => format!("  {}: [\n    {}\n  ]", json!(key), items.join(",\n    ")),
        });
    }
    let rest = Description {
        first: description.first.clone(),
        heading: description.heading.clone(),
        blocks: others.into_iter().cloned().collect(),
        notes: description.notes.clone(),
        ..Description::default()
    };
    if let Value::Object(object) = value(&rest) {
        let written = |(key, value): (&String, &Value)| {
            format!("  {}: {}", json!(key), indented(&format!("{value:#}"), 2))
        };
        parts.extend(object.iter().map(written));
    }
    format!("{{\n{}\n}}\n", parts.join(",\n"))
}

/// Lines after the first moved in. A line break inside a string is escaped, so that every one here is
/// layout.
fn indented(text: &str, by: usize) -> String {
    text.replace('\n', &format!("\n{}", " ".repeat(by)))
}

/// A section as an object of its own.
#[must_use]
pub fn section(section: &Section) -> Value {
    let mut object = Map::new();
    insert_fields(&mut object, &section.heading);
    insert_all(&mut object, &section.blocks);
    if let Some(all) = &section.notes {
        insert_notes(&mut object, all);
    }
    Value::Object(object)
}

/// Cautions, where there are any, and all other notes.
fn insert_notes(object: &mut Map<String, Value>, notes: &[Note]) {
    let (cautions, others): (Vec<&Note>, Vec<&Note>) =
        notes.iter().partition(|n| n.kind == NoteKind::Caution);
    let words = |notes: Vec<&Note>| notes.into_iter().map(Note::for_programs).collect();
    if !cautions.is_empty() {
        object.insert("cautions".to_owned(), words(cautions));
    }
    object.insert("notes".to_owned(), words(others));
}

fn insert_all(object: &mut Map<String, Value>, blocks: &[Block]) {
    for block in blocks {
        match block {
            Block::Field(field) => insert(object, &field.key, &field.value),
            Block::Data { key, value } => insert(object, key, value),
            Block::Section(part) => match &part.key {
                Some(key) => {
                    object.insert(key.to_string(), section(part));
                }
                None => {
                    insert_fields(object, &part.heading);
                    insert_all(object, &part.blocks);
                }
            },
            Block::Sections { key, items } => {
                object.insert(key.to_string(), items.iter().map(section).collect());
            }
            Block::Table(table) => insert_table(object, table),
            Block::Twofold { programs, .. } => insert_all(object, programs),
            Block::Line { fields, .. } => insert_fields(object, fields),
        }
    }
}

fn insert_fields(object: &mut Map<String, Value>, fields: &[Field]) {
    for field in fields {
        insert(object, &field.key, &field.value);
    }
}

fn insert(object: &mut Map<String, Value>, key: &str, value: &Answered) {
    if *value != Answered::Empty {
        object.insert(key.to_owned(), of(value));
    }
}

fn insert_table(object: &mut Map<String, Value>, table: &Table) {
    if let Some(key) = &table.key {
        let row = |row: &crate::answers::Row| {
            let mut cells = Map::new();
            for (column, cell) in table.columns.iter().zip(&row.cells) {
                insert(&mut cells, &column.key, cell);
            }
            Value::Object(cells)
        };
        object.insert(key.to_string(), table.rows.iter().map(row).collect());
    }
    for (k, column) in table.columns.iter().enumerate() {
        let Some(key) = &column.lifted else { continue };
        let mut lifted = Map::new();
        for row in &table.rows {
            if let Some(name) = &row.key {
                insert(&mut lifted, name, &row.cells[k]);
            }
        }
        match object.get_mut(key.as_ref()) {
            Some(Value::Object(there)) => there.extend(lifted),
            _ => {
                object.insert(key.to_string(), Value::Object(lifted));
            }
        }
    }
}

/// What a field holds.
pub(crate) fn of(value: &Answered) -> Value {
    match value {
        Answered::Missing | Answered::Empty => Value::Null,
        Answered::Flag(flag) => json!(flag),
        Answered::Count(count) => json!(count),
        Answered::Amount(amount) => match amount.interval {
            Some((low, high)) => json!({ "value": amount.value, "low": low, "high": high }),
            None => json!(amount.value),
        },
        Answered::Text(text) => json!(text),
        Answered::Term { code, .. } => json!(code),
        Answered::Worded(value, _) => of(value),
        Answered::List(values) => values.iter().map(of).collect(),
        Answered::Map(entries) => {
            Value::Object(entries.iter().map(|(k, v)| (k.to_string(), of(v))).collect())
        }
    }
}
