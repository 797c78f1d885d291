//! The bytes of a journal to its entries, and how a further entry is to be written.

use super::cell_error::CellError;
use super::columns::Column;
use super::entry::{Act, Entry};
use super::errors::{Fault, Faults, JournalError};
use super::layout::Layout;
use super::note::{JournalNote, Noticed};
use super::rows::Rows;
use super::struck::struck;
use super::tail::{Shape, garbage, is_control, is_torn};
use super::write::{START, Style};
use super::{Balance, Journal, unlikely};
use crate::readings::delimited::{
    Misshapen, Records, delimiter_of, misshapen, without_separator_line,
};
use crate::units::day::{Order, order};
use jiff::civil::Date;
use std::borrow::Cow;
use std::sync::Arc;

const BOM: &[u8] = b"\xEF\xBB\xBF";
/// Bytes at the start of a file in which its headings are looked for.
const HEAD: usize = 64 * 1024;
/// Longest torn text that is shown, in characters.
const SHOWN: usize = 300;

/// A journal as it stands in a file.
pub(super) struct Parsed {
    pub(super) journal: Journal,
    pub(super) balance: Balance,
    /// `None` while the file names no columns.
    pub(super) layout: Option<Layout>,
    pub(super) style: Style,
    /// How many of its bytes are good; what follows is torn.
    pub(super) end: usize,
    /// The line end that the last good line lacks, or nothing.
    pub(super) lacks: &'static str,
    /// Line of a further entry.
    pub(super) next_line: u64,
}

/// Reads `bytes`; `file` stands for them in messages.
pub(super) fn parse(file: &Arc<str>, bytes: &[u8], today: Date) -> Result<Parsed, JournalError> {
    let unusable =
        |reason: &str| JournalError::Unusable { file: Arc::clone(file), reason: reason.to_owned() };
    if bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF") {
        return Err(unusable("this is UTF-16; save it as CSV in UTF-8"));
    }
    let mark = if bytes.starts_with(BOM) { BOM.len() } else { 0 };
    // What a crash leaves of the first write: a part of it, and zeros.
    let written = bytes.len() - bytes.iter().rev().take_while(|byte| **byte == 0).count();
    if !bytes.is_empty() && START.as_bytes().starts_with(&bytes[..written]) {
        return Ok(Parsed::empty(file, bytes, 0));
    }
    let head = String::from_utf8_lossy(&bytes[mark..bytes.len().min(mark + HEAD)]);
    let Some((shape, lines_before)) = shape_of(&head) else {
        return Ok(Parsed::empty(file, bytes, bytes.len()));
    };
    let mut end = garbage(bytes, shape).unwrap_or(bytes.len());
    let tail = bytes[mark..end].iter().rposition(|b| *b == b'\n').map_or(0, |at| at + 1);
    let (mut text, mut latin1) = decoded(&bytes[mark..end], tail);
    if text.trim_end_matches('\r').contains('\r') && !text.contains('\n') {
        return Err(unusable("its lines end in an old way (CR alone); save it again as CSV"));
    }
    let start = text.rfind('\n').map_or(0, |at| at + 1);
    if start == 0 && text.bytes().any(is_control) {
        return Err(unusable("this is no text, and no journal"));
    }
    // Of a first line that is no part of the one above, nothing was written by this program.
    if 0 < start && start < text.len() && is_torn(&text, start, shape) {
        end = mark + tail;
        (text, latin1) = decoded(&bytes[mark..end], tail);
    }
    let mut parsed = Parsed::empty(file, bytes, end);
    read_table(file, &text, shape, lines_before, today, &mut parsed)?;
    if latin1 {
        let note = JournalNote { file: Arc::clone(file), line: None, what: Noticed::Latin1 };
        parsed.journal.notes.insert(0, note);
    }
    parsed.style.latin1 = latin1;
    Ok(parsed)
}

/// The form of the rows by the row of headings, and the lines before it; `None` without one.
fn shape_of(head: &str) -> Option<(Shape, u32)> {
    let (text, lines_before, stated) = without_separator_line(head);
    let first = text.lines().find(|line| !line.trim().is_empty() && !line.starts_with('#'))?;
    let known = |heading: &str| Column::from_heading(heading).is_some();
    let delimiter = stated.unwrap_or_else(|| delimiter_of(first, known));
    let mut records = Records::new(text, delimiter, lines_before);
    records.next(None)?;
    let names = |heading| Column::from_heading(heading) == Some(Column::Date);
    let shape = Shape {
        delimiter,
        width: records.record.len(),
        date: records.record.iter().position(names),
    };
    Some((shape, lines_before))
}

/// The text of `bytes`, and whether it had to be read as Latin-1. What follows the last line end, at
/// `tail`, may be torn inside a letter: it does not decide.
fn decoded(bytes: &[u8], tail: usize) -> (Cow<'_, str>, bool) {
    let latin1 = |bytes: &[u8]| bytes.iter().map(|b| char::from(*b)).collect::<String>();
    match (std::str::from_utf8(bytes), std::str::from_utf8(&bytes[..tail])) {
        (Ok(text), _) => (Cow::Borrowed(text), false),
        (Err(_), Ok(text)) if !text.is_ascii() => {
            (Cow::Owned(format!("{text}{}", latin1(&bytes[tail..]))), false)
        }
        _ => (Cow::Owned(latin1(bytes)), true),
    }
}

fn read_table(
    file: &Arc<str>,
    text: &str,
    shape: Shape,
    lines_before: u32,
    today: Date,
    parsed: &mut Parsed,
) -> Result<(), JournalError> {
    let (table, _, _) = without_separator_line(text);
    let Shape { delimiter, width, .. } = shape;
    let mut records = Records::new(table, delimiter, lines_before);
    let Some((line, _)) = records.next(None) else {
        return Ok(());
    };
    let (layout, notes) =
        Layout::read(file, line.into(), &records.record).map_err(|fault| Faults(vec![fault]))?;
    let mut rows = Rows::new(file, &layout, delimiter != b',', today);
    rows.order = order_of_days(table, shape, lines_before);
    while let Some((line, raw)) = records.next(Some(width)) {
        let line = u64::from(line);
        let wrong = if raw.bytes().any(is_control) {
            Some(CellError::NotText)
        } else {
            misshapen(&records.record, raw, width, delimiter, records.at_end())
                .map(|misshapen| wrong_form(misshapen, width))
        };
        if let Some(wrong) = wrong {
            rows.faults.push(Fault::of_line(file, line, wrong));
            continue;
        }
        let Some(entry) = rows.entry(&records.record, line) else {
            continue;
        };
        // After a faulty row nobody knows how the bath stands.
        if rows.faults.is_empty() {
            match parsed.balance.refusal(&entry) {
                Some(flaw) => {
                    rows.fault(line, flaw);
                }
                None => {
                    parsed.doubt(file, line, &entry);
                    parsed.balance.enter(&entry);
                }
            }
        }
        parsed.journal.entries.push(entry);
    }
    parsed.journal.struck = struck(text, delimiter, |row, line| {
        let mut records = Records::new(row, delimiter, 0);
        records.next(Some(width))?;
        let mut alone = Rows::new(file, &layout, delimiter != b',', today);
        alone.order = rows.order;
        alone.entry(&records.record, line)
    });
    parsed.journal.notes.extend(notes);
    parsed.journal.notes.extend(rows.nominal.map(|(line, count)| JournalNote {
        file: Arc::clone(file),
        line: Some(line),
        what: Noticed::NominalArea { count },
    }));
    parsed.journal.notes.extend(rows.strays.notes(file));
    parsed.journal.notes.extend(parsed.journal.doubts.iter().cloned());
    let comma = rows.decimal_comma.unwrap_or(delimiter == b';');
    parsed.style = Style {
        delimiter,
        line_end: line_end(text),
        latin1: false,
        decimal_comma: comma && delimiter != b',',
        day: rows.form,
    };
    if !rows.faults.is_empty() {
        return Err(Faults(rows.faults).into());
    }
    parsed.lacks = match text.as_bytes().last() {
        None | Some(b'\n') => "",
        Some(b'\r') => "\n",
        Some(_) => parsed.style.line_end,
    };
    if !parsed.lacks.is_empty() {
        parsed.journal.notes.push(JournalNote {
            file: Arc::clone(file),
            line: Some(parsed.next_line - 1),
            what: Noticed::NoLineEnd,
        });
    }
    parsed.layout = Some(layout);
    Ok(())
}

/// Whether day or month comes first in the dates of a table, if some of them show it.
fn order_of_days(table: &str, shape: Shape, lines_before: u32) -> Option<Order> {
    if !table.contains('/') {
        return None;
    }
    let at = shape.date?;
    let mut records = Records::new(table, shape.delimiter, lines_before);
    let mut dates: Vec<String> = Vec::new();
    while records.next(Some(shape.width)).is_some() {
        dates.extend(records.record.get(at).filter(|cell| cell.contains('/')).map(str::to_owned));
    }
    order(dates.iter().map(String::as_str))
}

fn wrong_form(misshapen: Misshapen, expected: usize) -> CellError {
    match misshapen {
        Misshapen::OpenQuote => CellError::OpenQuote,
        Misshapen::Cells { found, advice } => CellError::CellCount { found, expected, advice },
    }
}

/// The line end of the first line.
fn line_end(text: &str) -> &'static str {
    match text.split_once('\n') {
        Some((first, _)) if first.ends_with('\r') => "\r\n",
        _ => "\n",
    }
}

impl Parsed {
    /// Notes an amount of film that is most likely a slip of the hand; a fresh bath leaves such behind.
    fn doubt(&mut self, file: &Arc<str>, line: u64, entry: &Entry) {
        if matches!(entry.act, Act::Mix { .. }) {
            self.journal.doubts.clear();
        }
        if let Some(what) = unlikely::doubtful(entry, &self.balance) {
            let what = Noticed::Unlikely { column: Column::AreaM2.name(), what };
            self.journal.doubts.push(JournalNote {
                file: Arc::clone(file),
                line: Some(line),
                what,
            });
        }
    }

    /// A journal without columns or entries, of whose bytes the first `end` are good.
    fn empty(file: &Arc<str>, bytes: &[u8], end: usize) -> Self {
        let good = &bytes[..end];
        let lacks = match good.last() {
            None | Some(b'\n') => "",
            Some(_) => "\n",
        };
        let lines = good.iter().filter(|b| **b == b'\n').count() + usize::from(!lacks.is_empty());
        Self {
            journal: Journal {
                file: Arc::clone(file),
                entries: Vec::new(),
                struck: Vec::new(),
                notes: Vec::new(),
                doubts: Vec::new(),
                torn: torn_text(&bytes[end..]),
            },
            balance: Balance::default(),
            layout: None,
            style: Style::default(),
            end,
            lacks,
            next_line: lines as u64 + 1,
        }
    }
}

/// Torn bytes as a text to show: one line, cut where it is long; `None` if there is nothing to see.
fn torn_text(bytes: &[u8]) -> Option<String> {
    if bytes.is_empty() || bytes == BOM {
        return None;
    }
    let text = String::from_utf8_lossy(bytes);
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(&text);
    let seen = |c: char| if c.is_control() { '\u{FFFD}' } else { c };
    let mut shown: String = text.chars().take(SHOWN).map(seen).collect();
    let left = text.chars().count().saturating_sub(SHOWN);
    if left > 0 {
        shown.push_str(&format!("… and {left} more"));
    }
    Some(shown)
}

/// An entry is no use without a place for it.
pub(super) fn no_columns(entry: &Entry, layout: &Layout) -> Vec<(Column, CellError)> {
    let columns = entry.cells().into_iter().map(|(column, _)| column);
    columns
        .filter(|column| layout.position(*column).is_none())
        .map(|column| (column, CellError::NoColumn))
        .collect()
}
