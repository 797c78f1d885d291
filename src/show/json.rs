//! An answer as JSON: the keys of its fields, a number with an interval as
//! `{"value":…,"low":…,"high":…}`, what is missing as `null` with its reason among the notes.

use crate::answers::{Block, Description, Note, Section, Table, Value as Answered};
use serde_json::{Map, Value, json};

/// The description as one JSON object.
#[must_use]
pub fn value(description: &Description) -> Value {
    let mut object = Map::new();
    insert_all(&mut object, &description.blocks);
    object.insert("notes".to_owned(), notes(&description.notes));
    Value::Object(object)
}

/// The description as a JSON document, laid out in lines, the last one ended.
#[must_use]
pub fn render(description: &Description) -> String {
    format!("{:#}\n", value(description))
}

/// A section as an object of its own.
#[must_use]
pub fn section(section: &Section) -> Value {
    let mut object = Map::new();
    insert_all(&mut object, &section.blocks);
    if let Some(all) = &section.notes {
        object.insert("notes".to_owned(), notes(all));
    }
    Value::Object(object)
}

fn notes(notes: &[Note]) -> Value {
    notes.iter().map(Note::for_programs).collect()
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
                None => insert_all(object, &part.blocks),
            },
            Block::Sections { key, items } => {
                object.insert(key.to_string(), items.iter().map(section).collect());
            }
            Block::Table(table) => insert_table(object, table),
            Block::Words(_) => {}
        }
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
fn of(value: &Answered) -> Value {
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
