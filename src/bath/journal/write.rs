//! An entry to its line, in the file's own style.

use super::columns::Column;
use super::entry::{Cell, Entry};
use super::layout::Layout;
use super::load;
use crate::units::day::DayForm;
use std::fmt::Write;

/// How a file is written.
#[derive(Clone, Copy, Debug)]
pub(super) struct Style {
    pub(super) delimiter: u8,
    pub(super) line_end: &'static str,
    /// Letters are Latin-1, not UTF-8.
    pub(super) latin1: bool,
    pub(super) decimal_comma: bool,
    /// How dates are written.
    pub(super) day: DayForm,
}

impl Default for Style {
    fn default() -> Self {
        Self {
            delimiter: b',',
            line_end: "\n",
            latin1: false,
            decimal_comma: false,
            day: DayForm::Iso,
        }
    }
}

/// What a new journal starts with. By the byte order mark spreadsheets know that it is UTF-8.
pub(super) const START: &str = "\u{FEFF}date,act,litres,what,dilution,films,area_m2,added_ml,removed_ml,strip,batch,pairing,minutes,celsius,activity,activity_low,activity_high,contrast,contrast_off,base_plus_fog,base_plus_fog_off,speed_log_h,speed_gain_log_h,low_density,low_density_off,high_density,high_density_off,note,verdict,numbers,load,vessel,development,temperatures\n";

/// The line of an entry, with its line end.
///
/// If its last cell holds anything, that cell and the date are quoted, so that a line that is cut
/// short does not pass for a whole row: see [`super::tail`]. (In a journal begun here the last column
/// is the file of temperatures of a batch.)
pub(super) fn line(entry: &Entry, layout: &Layout, style: &Style) -> String {
    let cells = entry.cells();
    let mut line = String::with_capacity(128);
    let last = layout.columns.last().copied().flatten();
    let ends_filled = last.is_some_and(|last| {
        matches!(last, Column::Date | Column::Act) || cells.iter().any(|(c, _)| *c == last)
    });
    for (index, column) in layout.columns.iter().enumerate() {
        if index > 0 {
            line.push(char::from(style.delimiter));
        }
        let is_last = index + 1 == layout.columns.len();
        match column {
            Some(Column::Date) => {
                put(&mut line, &style.day.write(entry.date), style, ends_filled);
            }
            Some(Column::Act) => put(&mut line, entry.act.name(), style, is_last),
            Some(column) => match cells.iter().find(|(filled, _)| filled == column) {
                Some((_, Cell::Text(text))) => put(&mut line, text, style, is_last),
                Some((_, Cell::Number(number))) => {
                    let mut text = String::new();
                    // `Display` writes the shortest digits that read back as the same number.
                    let _ = write!(text, "{}", layout.signed(*column, *number));
                    if style.decimal_comma {
                        text = text.replace('.', ",");
                    }
                    put(&mut line, &text, style, is_last);
                }
                Some((_, Cell::Films(films))) => {
                    put(&mut line, &load::written(films), style, is_last)
                }
                None => {}
            },
            None => {}
        }
    }
    line.push_str(style.line_end);
    line
}

fn put(line: &mut String, text: &str, style: &Style, quoted: bool) {
    let special = [char::from(style.delimiter), '"', '\n', '\r'];
    if quoted || text.contains(special) || text.starts_with('#') {
        line.push('"');
        line.push_str(&text.replace('"', "\"\""));
        line.push('"');
    } else {
        line.push_str(text);
    }
}

/// The bytes of `text` in the file's encoding.
///
/// # Errors
/// The first letter that the encoding does not have.
pub(super) fn encoded(text: &str, style: &Style) -> Result<Vec<u8>, char> {
    if style.latin1 {
        text.chars().map(|c| u8::try_from(c).map_err(|_| c)).collect()
    } else {
        Ok(text.as_bytes().to_vec())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_journal_names_every_column() {
        let names: Vec<&str> = Column::ALL.iter().map(|c| c.name()).collect();
        assert_eq!(START, format!("\u{FEFF}{}\n", names.join(",")));
    }
}
