//! The measures of strips as a table for programs: a row a strip, and the keys of JSON as columns.

use super::strip_section;
use crate::answers::{Block, Section, Value};
use crate::measures::StripAnalysis;
use crate::words::no_formula;
use std::collections::HashMap;

/// The columns; those of a quantity with an interval are followed by `_low` and `_high`. A key within an
/// object of JSON follows the object's name: `iso_speed`.
const COLUMNS: [(&str, bool); 31] = [
    ("strip", false),
    ("film", false),
    ("developer", false),
    ("date", false),
    ("note", false),
    ("filter", false),
    ("minutes", false),
    ("celsius", false),
    ("n", false),
    ("model_name", false),
    ("model_residual_sd", false),
    ("base_plus_fog", true),
    ("d_max", true),
    ("gamma", true),
    ("straight_line_slope", true),
    ("straight_line_from_log_h", false),
    ("straight_line_to_log_h", false),
    ("contrast_index", true),
    ("average_gradient", true),
    ("speed_point_log_h", true),
    ("iso_delta_d", true),
    ("iso_condition", false),
    ("iso_speed", true),
    ("iso_rounded", false),
    ("iso_degrees", false),
    ("iso_absolute", false),
    ("fractional_gradient_log_h", true),
    ("delta_x_log_h", true),
    ("exposure_sigma_log_h", false),
    ("offset_sigma", false),
    ("slope_sigma", false),
];

/// The names of the columns.
pub(super) fn columns() -> Vec<String> {
    let names = COLUMNS.iter().flat_map(|(name, is_quantity)| {
        let ends: &[&str] = if *is_quantity { &["", "_low", "_high"] } else { &[""] };
        ends.iter().map(move |end| format!("{name}{end}"))
    });
    names.chain(["suspect_readings".to_owned(), "notes".to_owned()]).collect()
}

/// The row of a strip: a cell a column, empty where there is nothing.
pub(super) fn row(analysis: &StripAnalysis) -> Vec<String> {
    let section = strip_section(analysis);
    let mut found = HashMap::new();
    gather(&mut found, "", &section);
    let mut cells = Vec::new();
    for (name, is_quantity) in COLUMNS {
        let value = found.get(name);
        cells.push(value.map_or_else(String::new, text));
        if is_quantity {
            let ends = match value {
                Some(Value::Amount(amount)) => amount.interval,
                _ => None,
            };
            let end = |end: Option<f64>| end.map_or_else(String::new, |end| end.to_string());
            cells.extend([end(ends.map(|(low, _)| low)), end(ends.map(|(_, high)| high))]);
        }
    }
    let suspects = analysis.result.as_ref().map_or(0, |analysed| analysed.fit.suspects.len());
    cells.push(suspects.to_string());
    let notes: Vec<String> = section.notes.iter().flatten().map(|n| n.for_programs()).collect();
    cells.push(no_formula(&notes.join("; ")).into_owned());
    cells
}

/// The values of a section by their keys.
fn gather(found: &mut HashMap<String, Value>, before: &str, section: &Section) {
    let key = |key: &str| format!("{before}{key}");
    for field in &section.heading {
        found.insert(key(&field.key), field.value.clone());
    }
    for block in &section.blocks {
        match block {
            Block::Field(field) => drop(found.insert(key(&field.key), field.value.clone())),
            Block::Data { key: name, value } => drop(found.insert(key(name), value.clone())),
            Block::Section(part) => {
                let before = part.key.as_ref().map_or_else(String::new, |name| format!("{name}_"));
                gather(found, &key(&before), part);
            }
            _ => {}
        }
    }
}

/// A value as a cell: numbers in full.
fn text(value: &Value) -> String {
    match value {
        Value::Missing | Value::Empty | Value::List(_) | Value::Map(_) => String::new(),
        Value::Flag(flag) => flag.to_string(),
        Value::Count(count) => count.to_string(),
        Value::Amount(amount) => amount.value.to_string(),
        Value::Text(text) => no_formula(text).into_owned(),
        Value::Term { code, .. } => code.to_string(),
        Value::Worded(value, _) => text(value),
    }
}
