//! The parts of a workbook, looked at before a reader trusts what they say of themselves.

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use std::io::{Cursor, Read};
use zip::ZipArchive;

/// Greatest number of parts of a workbook.
pub const MOST_PARTS: usize = 1000;
/// Greatest size of all parts of a workbook, unpacked, in bytes.
pub const LARGEST: u64 = 128 << 20;
/// Greatest number of cells with something in them, repeated ones counted as often as they are repeated.
pub const MOST_CELLS: u64 = 2_000_000;
/// Greatest number of cells of the rectangle that holds them all in an OpenDocument sheet.
pub const WIDEST_SHEET: u64 = 2_000_000;
/// A number of entries that a part may claim to have, whatever it has.
const SMALL_CLAIM: u64 = 10_000;

/// Why a workbook is not read.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Unsound {
    /// It is no archive, or a damaged one.
    #[error("{0}")]
    Archive(String),
    /// More parts than a workbook has.
    #[error("it has {found} parts; at most {MOST_PARTS} are read")]
    Parts {
        /// How many.
        found: usize,
    },
    /// Larger than what is read.
    #[error("unpacked it is larger than {} MB", LARGEST >> 20)]
    Large,
    /// A part that is no sound XML.
    #[error("its part {part} is damaged")]
    Damaged {
        /// The part.
        part: String,
    },
    /// A part that says it has more than it has.
    #[error("its part {part} says that it has {claimed} entries and has {found}")]
    Claim {
        /// The part.
        part: String,
        /// What it says.
        claimed: u64,
        /// What it has.
        found: u64,
    },
    /// Too many cells.
    #[error("a sheet has more than {MOST_CELLS} cells with something in them; split it")]
    Cells,
    /// Cells so far apart that the sheet between them does not fit into memory.
    #[error(
        "cells of a sheet lie too far apart: {rows} rows by {columns} columns; delete the stray ones"
    )]
    Apart {
        /// Rows from the first to the last cell.
        rows: u64,
        /// Columns.
        columns: u64,
    },
}

/// Whether the archive is an OpenDocument workbook, after a look at its parts, whatever their names are: of
/// a size that fits into memory, with tags that match and references that can be some, so that no reader
/// runs past an open tag or counts beyond its numbers, and with as many entries and cells as they claim.
pub fn checked(bytes: &[u8]) -> Result<bool, Unsound> {
    let archive = |fault: &dyn std::fmt::Display| Unsound::Archive(fault.to_string());
    let mut zip = ZipArchive::new(Cursor::new(bytes)).map_err(|e| archive(&e))?;
    if zip.len() > MOST_PARTS {
        return Err(Unsound::Parts { found: zip.len() });
    }
    let (mut is_ods, mut left) = (false, LARGEST);
    let mut text = Vec::new();
    for index in 0..zip.len() {
        let part = zip.by_index(index).map_err(|e| archive(&e))?;
        let name = part.name().map_err(|e| archive(&e))?.into_owned();
        is_ods |= name == "content.xml";
        text.clear();
        part.take(left + 1).read_to_end(&mut text).map_err(|e| archive(&e))?;
        left = left.checked_sub(text.len() as u64).ok_or(Unsound::Large)?;
        if is_xml(&name, &text) {
            Part::default().read(&text, &name)?;
        }
    }
    Ok(is_ods)
}

/// Whether a part may be read as XML, by its name or by how it begins: pictures are not.
fn is_xml(name: &str, text: &[u8]) -> bool {
    if [".xml", ".rels"].iter().any(|end| name.ends_with(end)) {
        return true;
    }
    let start = text.strip_prefix(b"\xef\xbb\xbf").unwrap_or(text);
    start.iter().find(|byte| !byte.is_ascii_whitespace()) == Some(&b'<')
}

/// What is counted of a part.
#[derive(Default)]
struct Part {
    depth: usize,
    /// What the part says it has: entries of the shared texts.
    claimed: u64,
    /// What it has of them.
    entries: u64,
    /// Cells with something in them.
    cells: u64,
    /// How often the present row of an OpenDocument sheet is repeated, and where it is.
    repeated: u64,
    row: u64,
    column: u64,
    rows: u64,
    columns: u64,
}

impl Part {
    fn read(mut self, text: &[u8], name: &str) -> Result<(), Unsound> {
        let mut reader = Reader::from_reader(text);
        let mut buffer = Vec::new();
        let damaged = || Unsound::Damaged { part: name.to_owned() };
        loop {
            match reader.read_event_into(&mut buffer).map_err(|_| damaged())? {
                Event::Start(tag) => {
                    self.tag(&tag, true).ok_or_else(damaged)?;
                    self.depth += 1;
                }
                Event::Empty(tag) => self.tag(&tag, false).ok_or_else(damaged)?,
                Event::End(_) => self.depth = self.depth.saturating_sub(1),
                Event::Eof if self.depth == 0 => break,
                Event::Eof => return Err(damaged()),
                _ => {}
            }
            if self.cells > MOST_CELLS {
                return Err(Unsound::Cells);
            }
            if self.rows.saturating_mul(self.columns) > WIDEST_SHEET {
                return Err(Unsound::Apart { rows: self.rows, columns: self.columns });
            }
            buffer.clear();
        }
        if self.claimed > self.entries.max(SMALL_CLAIM) {
            let (claimed, found) = (self.claimed, self.entries);
            return Err(Unsound::Claim { part: name.to_owned(), claimed, found });
        }
        Ok(())
    }

    /// Counts what a tag stands for; `None` where its references can be none.
    fn tag(&mut self, tag: &BytesStart<'_>, holds: bool) -> Option<()> {
        if !references_fit(tag) {
            return None;
        }
        match tag.local_name().as_ref() {
            "si" => self.entries += 1,
            "sst" => self.claimed = number(tag, "uniqueCount").max(number(tag, "count")),
            "c" => self.cells += 1,
            "table" => (self.row, self.rows, self.columns) = (0, 0, 0),
            "table-row" => {
                self.repeated = number(tag, "number-rows-repeated").max(1);
                self.row = self.row.saturating_add(self.repeated);
                self.column = 0;
            }
            "table-cell" | "covered-table-cell" => {
                let times = number(tag, "number-columns-repeated").max(1);
                self.column = self.column.saturating_add(times);
                let has_value =
                    tag.attributes().flatten().any(|a| a.key.local_name().as_ref() == "value-type");
                if holds || has_value {
                    self.cells = self.cells.saturating_add(times.saturating_mul(self.repeated));
                    self.rows = self.rows.max(self.row);
                    self.columns = self.columns.max(self.column);
                }
            }
            _ => {}
        }
        Some(())
    }
}

/// The number that an attribute holds, 0 if there is none; the greatest one if it is too large for one.
fn number(tag: &BytesStart<'_>, name: &str) -> u64 {
    let mut attributes = tag.attributes().flatten();
    let found = attributes.find(|a| a.key.local_name().as_ref() == name);
    let Some(attribute) = found else { return 0 };
    let digits = attribute.value.trim();
    match digits.parse() {
        Ok(number) => number,
        Err(_) if !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit()) => u64::MAX,
        Err(_) => 0,
    }
}

/// Whether the attributes that refer to cells, as `XFD1048576` or a range of two, have at most
/// three letters and seven digits in each.
fn references_fit(tag: &BytesStart<'_>) -> bool {
    let fits = |cell: &str| {
        let count = |kind: fn(&u8) -> bool| cell.bytes().filter(kind).count();
        count(u8::is_ascii_alphabetic) <= 3 && count(u8::is_ascii_digit) <= 7
    };
    tag.attributes()
        .flatten()
        .filter(|attribute| matches!(attribute.key.as_ref(), "r" | "ref"))
        .all(|attribute| attribute.value.split(':').all(fits))
}
