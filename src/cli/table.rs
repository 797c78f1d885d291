//! Small tables that are no readings of film: a few named columns of a CSV file.

use super::Failure;
use csv::{ReaderBuilder, StringRecord};
use std::io::ErrorKind;
use std::path::Path;

/// The rows of a file.
pub struct Table {
    /// The rows in their order.
    pub rows: Vec<Row>,
}

/// One row.
pub struct Row {
    /// `file:line`.
    pub place: String,
    /// The cells of the columns that were asked for; empty where the file has no such column.
    cells: Vec<String>,
    /// Whether a comma is a decimal comma.
    comma: bool,
}

impl Table {
    /// Reads the columns `needed` and `optional`, in this order; blank lines and comments (`#`) are
    /// passed over. Columns are separated by commas, semicolons or tabs.
    ///
    /// # Errors
    /// One message for the first fault: the file, a column that is missing, a row of other length.
    pub fn read(path: &Path, needed: &[&str], optional: &[&str]) -> Result<Self, Failure> {
        let file = path.display();
        let bytes = std::fs::read(path).map_err(|e| {
            Failure(match e.kind() {
                ErrorKind::NotFound => format!("{file}: no such file; check the path"),
                kind => format!("{file}: {kind}"),
            })
        })?;
        let text = String::from_utf8(bytes)
            .ok()
            .filter(|text| !text.contains('\0'))
            .ok_or_else(|| Failure(format!("{file}: this is not text; save it as CSV in UTF-8")))?;
        let text = text.trim_start_matches('\u{feff}');
        let first =
            text.lines().find(|l| !l.trim().is_empty() && !l.starts_with('#')).unwrap_or("");
        let delimiter = [b';', b'\t', b',']
            .into_iter()
            .find(|d| first.bytes().any(|b| b == *d))
            .unwrap_or(b',');
        let mut reader = ReaderBuilder::new()
            .delimiter(delimiter)
            .trim(csv::Trim::All)
            .comment(Some(b'#'))
            .flexible(true)
            .from_reader(text.as_bytes());
        let header = reader.headers()?.clone();
        let wanted: Vec<&str> = needed.iter().chain(optional).copied().collect();
        let columns: Vec<Option<usize>> =
            wanted.iter().map(|name| header.iter().position(|h| normalised(h) == *name)).collect();
        if let Some(missing) = (0..needed.len()).find(|k| columns[*k].is_none()) {
            let found: Vec<&str> = header.iter().filter(|h| !h.is_empty()).collect();
            return Err(Failure(format!(
                "{file}:1: no column {:?}; found {}",
                needed[missing],
                if found.is_empty() { "nothing".to_owned() } else { found.join(", ") }
            )));
        }
        let mut rows = Vec::new();
        for record in reader.records() {
            let record = record?;
            let line = record.position().map_or(0, csv::Position::line);
            let place = format!("{file}:{line}");
            if record.iter().all(str::is_empty) {
                continue;
            }
            if record.len() != header.len() {
                return Err(Failure(format!(
                    "{place}: {} cell{} for {} columns; keep the separator of an empty cell",
                    record.len(),
                    if record.len() == 1 { "" } else { "s" },
                    header.len()
                )));
            }
            rows.push(Row::of(place, &record, &columns, delimiter != b','));
        }
        Ok(Self { rows })
    }
}

fn normalised(heading: &str) -> String {
    heading.trim().to_lowercase().replace([' ', '-'], "_")
}

impl Row {
    fn of(place: String, record: &StringRecord, columns: &[Option<usize>], comma: bool) -> Self {
        let cell =
            |column: &Option<usize>| column.and_then(|at| record.get(at)).unwrap_or("").to_owned();
        Self { place, cells: columns.iter().map(cell).collect(), comma }
    }

    /// A cell's text.
    pub fn text(&self, column: usize) -> &str {
        &self.cells[column]
    }

    /// A cell's number; `None` for an empty cell.
    ///
    /// # Errors
    /// A message with the place, where it is no number.
    pub fn number(&self, column: usize, name: &str) -> Result<Option<f64>, Failure> {
        let text = self.text(column);
        if text.is_empty() {
            return Ok(None);
        }
        let written = if self.comma { text.replace(',', ".") } else { text.to_owned() };
        match written.parse::<f64>() {
            Ok(value) if value.is_finite() => Ok(Some(value)),
            _ => Err(Failure(format!("{}, column {name:?}: {text:?} is not a number", self.place))),
        }
    }
}
