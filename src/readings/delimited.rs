//! Text with separators: commas, semicolons or tabs.

use std::sync::Arc;

use csv::{ReaderBuilder, StringRecord};

use super::columns::all_numbers;
use super::fault::ReadError;
use super::gather::Input;
use super::intake::{Intake, Rank, RowTaker};
use super::note::Note;
use super::place::Place;
use super::table::{Header, Row};
use crate::units::typed::number;

/// The row of headings is looked for in so many rows.
const MOST_ABOVE: usize = 50;

/// Reads `text` into `intake`. Rows above the row of headings are passed over, with a note. Blank lines, and comments that start with `#`, are passed over.
pub(super) fn read<I: Intake>(input: &Input<'_>, text: &str, intake: &mut I) {
    let (text, lines_before, stated) = without_separator_line(text);
    let first = text.lines().find(|line| !line.trim().is_empty() && !line.starts_with('#'));
    let delimiter = stated
        .unwrap_or_else(|| delimiter_of(first.unwrap_or(""), |heading| intake.knows(heading)));
    let others: &[u8] = if stated.is_none() { b";\t," } else { b"" };
    let (delimiter, above) = headings(text, delimiter, others, intake);
    let mut records = Records::new(text, delimiter, lines_before);
    let passed = match passed(&mut records, above) {
        Ok(lines) => lines,
        Err((line, text)) => {
            let at = Box::new(Place::of_line(&input.file, line, &text));
            return intake.fault(ReadError::NoHeader { at, example: intake.example() });
        }
    };
    let Some((line, raw)) = records.next(None) else {
        let file = Arc::clone(&input.file);
        let example = intake.example();
        return intake.fault(ReadError::Empty { file, example });
    };
    if let Some((first, last)) = passed {
        intake.note(Note::RowsAbove { file: Arc::clone(&input.file), first, last });
    }
    let place = Place::of_line(&input.file, line, first_line(raw));
    let header = Header::new(place, records.record.iter().map(|cell| cell.trim().to_owned()));
    intake.table(input, &header, delimiter != b',', |taker| {
        let width = header.columns.len();
        while let Some((line, raw)) = records.next(Some(width)) {
            let row = CsvRow { record: &records.record, line, raw };
            match record_fault(&row, &header, delimiter, records.at_end()) {
                Some(fault) => taker.fault(fault),
                None => taker.row(&row),
            }
        }
    });
}

/// The separator of the row of headings, and how many rows stand above it. Where no row is one, the first
/// is taken for it, with the `usual` separator.
fn headings<I: Intake>(text: &str, usual: u8, others: &[u8], intake: &I) -> (u8, usize) {
    // The best so far: its rank, how many cells it has where that decides, its separator and row.
    let mut best = (Rank::None, 0, usual, 0);
    for &delimiter in std::iter::once(&usual).chain(others) {
        let mut records = Records::new(text, delimiter, 0);
        for row in 0..MOST_ABOVE {
            if records.next(None).is_none() {
                break;
            }
            let cells: Vec<&str> = records.record.iter().map(str::trim).collect();
            let rank = intake.rank(&cells);
            let filled = cells.iter().filter(|cell| !cell.is_empty()).count();
            // A title can look like an exposure with one strip.
            let weight = if rank == Rank::Wide { filled } else { 0 };
            if (rank, weight) > (best.0, best.1) {
                best = (rank, weight, delimiter, row);
            }
            // No row is better than this one.
            if rank == Rank::All {
                return (best.2, best.3);
            }
        }
    }
    (best.2, best.3)
}

/// The lines of the rows that stand above the headings, the first and the last.
///
/// # Errors
/// The line of a row of numbers: the headings are missing above it.
fn passed(records: &mut Records<'_>, above: usize) -> Result<Option<(u32, u32)>, (u32, String)> {
    let mut lines = None;
    for _ in 0..above {
        let Some((line, raw)) = records.next(None) else { break };
        let cells: Vec<String> = records.record.iter().map(|cell| cell.trim().to_owned()).collect();
        let filled: Vec<String> = cells.into_iter().filter(|cell| !cell.is_empty()).collect();
        if filled.len() > 1 && all_numbers(&filled) {
            return Err((line, first_line(raw).to_owned()));
        }
        lines = Some((lines.map_or(line, |(first, _)| first), line));
    }
    Ok(lines)
}

/// The text after a first line `sep=X`, by which some spreadsheets state the separator.
pub(crate) fn without_separator_line(text: &str) -> (&str, u32, Option<u8>) {
    let line = first_line(text);
    match line.trim_end().strip_prefix("sep=").map(str::as_bytes) {
        Some([separator @ (b',' | b';' | b'\t')]) => {
            let rest = text[line.len()..].trim_start_matches('\r');
            (rest.strip_prefix('\n').unwrap_or(rest), 1, Some(*separator))
        }
        _ => (text, 0, None),
    }
}

pub(crate) fn first_line(text: &str) -> &str {
    text.split(['\n', '\r']).next().unwrap_or(text)
}

/// The separator by which the row of headings names the most columns that are `known`, then the most
/// cells.
pub(crate) fn delimiter_of(headings: &str, known: impl Fn(&str) -> bool) -> u8 {
    let score = |delimiter: char| {
        let cells = || headings.split(delimiter);
        let known = cells().filter(|cell| known(cell.trim().trim_matches('"')));
        (known.count(), cells().count())
    };
    let best = [';', '\t', ','].into_iter().max_by_key(|delimiter| score(*delimiter));
    best.map_or(b',', |delimiter| delimiter as u8)
}

/// The records of a text with the lines on which they start.
pub(crate) struct Records<'t> {
    text: &'t str,
    reader: csv::Reader<&'t [u8]>,
    /// The cells of the record read last.
    pub(crate) record: StringRecord,
    line: u32,
    /// Up to where lines have been counted.
    counted: usize,
}

impl<'t> Records<'t> {
    pub(crate) fn new(text: &'t str, delimiter: u8, lines_before: u32) -> Self {
        let reader = ReaderBuilder::new()
            .delimiter(delimiter)
            .has_headers(false)
            .flexible(true)
            .from_reader(text.as_bytes());
        Self { text, reader, record: StringRecord::new(), line: lines_before + 1, counted: 0 }
    }

    /// Reads the next record that is neither blank nor a comment; its line and its text. A line that
    /// starts with `#` is a comment unless it has exactly `width` cells and a number in one of them.
    pub(crate) fn next(&mut self, width: Option<usize>) -> Option<(u32, &'t str)> {
        loop {
            let before = self.position();
            // The text is UTF-8 and the number of cells is free, so that no record can be at fault.
            if !self.reader.read_record(&mut self.record).unwrap_or(false) {
                return None;
            }
            let whole = &self.text[before..self.position()];
            let start = before + (whole.len() - whole.trim_start_matches(['\n', '\r']).len());
            let raw = &self.text[start..self.position()];
            if raw.starts_with('#') && !(width == Some(self.record.len()) && self.has_number()) {
                continue;
            }
            if self.record.iter().all(|cell| cell.trim().is_empty()) {
                continue;
            }
            let passed = &self.text.as_bytes()[self.counted..start];
            let lines = passed.iter().filter(|byte| **byte == b'\n').count();
            self.line = self.line.saturating_add(u32::try_from(lines).unwrap_or(u32::MAX));
            self.counted = start;
            return Some((self.line, raw));
        }
    }

    fn has_number(&self) -> bool {
        self.record.iter().any(|cell| number(cell.trim(), true).is_ok())
    }

    /// Where the record read last starts in the text, in bytes.
    pub(crate) fn start(&self) -> usize {
        self.counted
    }

    fn position(&self) -> usize {
        usize::try_from(self.reader.position().byte())
            .map_or(self.text.len(), |byte| byte.min(self.text.len()))
    }

    pub(crate) fn at_end(&self) -> bool {
        self.position() >= self.text.len()
    }
}

/// What is wrong with a record as a whole: a quotation mark left open, or its number of cells.
fn record_fault(
    row: &CsvRow<'_>,
    header: &Header,
    delimiter: u8,
    at_end: bool,
) -> Option<ReadError> {
    let expected = header.columns.len();
    let misshapen = misshapen(row.record, row.raw, expected, delimiter, at_end)?;
    let at = Box::new(header.row_place(row.line, row.excerpt()));
    Some(match misshapen {
        Misshapen::OpenQuote => ReadError::UnclosedQuote { at },
        Misshapen::Cells { found, advice } => ReadError::FieldCount { at, found, expected, advice },
    })
}

/// What is wrong with the form of a record.
pub(crate) enum Misshapen {
    /// A quotation mark is left open.
    OpenQuote,
    /// It has too many or too few cells.
    Cells {
        /// How many it has.
        found: usize,
        /// What to do.
        advice: &'static str,
    },
}

/// What is wrong with a record of `raw` text in a table of `expected` columns, if anything is.
pub(crate) fn misshapen(
    record: &StringRecord,
    raw: &str,
    expected: usize,
    delimiter: u8,
    at_end: bool,
) -> Option<Misshapen> {
    let several_lines = || raw.trim_end().contains(['\n', '\r']);
    if raw.contains('"')
        && (at_end || several_lines())
        && quote_left_open(raw, char::from(delimiter))
    {
        return Some(Misshapen::OpenQuote);
    }
    let found = record.len();
    let surplus_is_blank =
        || found > expected && record.iter().skip(expected).all(|cell| cell.trim().is_empty());
    if found == expected || surplus_is_blank() {
        return None;
    }
    let advice = match (found > expected, delimiter) {
        (true, b',') => {
            "put a text with a comma in quotation marks; if these are decimal commas, separate the columns with ; or tabs"
        }
        (true, _) => "put a text with a separator in quotation marks",
        (false, _) => "leave an empty cell empty, but keep its separator",
    };
    Some(Misshapen::Cells { found, advice })
}

/// Whether a record has a cell that starts with a quotation mark, and an odd number of them in all.
fn quote_left_open(raw: &str, delimiter: char) -> bool {
    let opens = raw.starts_with('"') || raw.contains(&*format!("{delimiter}\""));
    opens && raw.matches('"').count() % 2 == 1
}

struct CsvRow<'a> {
    record: &'a StringRecord,
    line: u32,
    raw: &'a str,
}

impl Row for CsvRow<'_> {
    fn line(&self) -> u32 {
        self.line
    }

    fn cell(&self, column: usize) -> &str {
        self.record.get(column).unwrap_or("").trim()
    }

    fn excerpt(&self) -> Option<&str> {
        Some(first_line(self.raw))
    }
}
