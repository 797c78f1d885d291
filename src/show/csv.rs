//! A table of an answer as CSV: a column a key, as JSON has it; a quantity has its interval in two more
//! columns, with `_low` and `_high`.

use crate::answers::{Block, Description, Table, Value};
use crate::words::{no_formula, trimmed};

/// The first table of an answer that programs see, as CSV; empty where there is none.
///
/// # Errors
/// Those of the CSV writer.
pub fn table(description: &Description) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    if let Some(table) = first(&description.blocks) {
        write(table, &mut writer)?;
    }
    writer.into_inner().map_err(|e| e.into_error().into())
}

/// The first table among blocks and in their sections.
fn first(blocks: &[Block]) -> Option<&Table> {
    blocks.iter().find_map(|block| match block {
        Block::Table(table) => Some(table),
        Block::Section(section) => first(&section.blocks),
        Block::Twofold { programs, .. } => first(programs),
        _ => None,
    })
}

fn write(table: &Table, writer: &mut csv::Writer<Vec<u8>>) -> Result<(), csv::Error> {
    let wide: Vec<bool> = (0..table.columns.len())
        .map(|k| table.rows.iter().any(|row| interval(&row.cells[k]).is_some()))
        .collect();
    let mut heading = Vec::new();
    for (column, wide) in table.columns.iter().zip(&wide) {
        heading.push(column.key.to_string());
        if *wide {
            heading.extend([format!("{}_low", column.key), format!("{}_high", column.key)]);
        }
    }
    writer.write_record(&heading)?;
    for row in &table.rows {
        let mut record = Vec::new();
        for (cell, wide) in row.cells.iter().zip(&wide) {
            record.push(plain(cell));
            if *wide {
                let ends = interval(cell);
                let end = |of: fn((f64, f64)) -> f64| {
                    ends.map(|ends| trimmed(of(ends), 4)).unwrap_or_default()
                };
                record.extend([end(|e| e.0), end(|e| e.1)]);
            }
        }
        writer.write_record(&record)?;
    }
    Ok(())
}

/// The interval of a quantity.
fn interval(value: &Value) -> Option<(f64, f64)> {
    match value {
        Value::Amount(amount) => amount.interval,
        Value::Worded(value, _) => interval(value),
        _ => None,
    }
}

/// A cell as programs read it, and no spreadsheet takes for a formula.
fn plain(value: &Value) -> String {
    match value {
        Value::Missing | Value::Empty => String::new(),
        Value::Amount(amount) => trimmed(amount.value, 4),
        Value::Term { code, .. } => code.to_string(),
        Value::Worded(value, _) => plain(value),
        other => no_formula(&other.for_people()).into_owned(),
    }
}
