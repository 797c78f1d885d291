//! What can be wrong with a row or an entry, in words.

use super::unlikely::Unlikely;
use crate::units::Bounds;
use crate::units::day::NotADay;
use crate::words::{counted, list_and, shown};
use jiff::civil::Date;

/// What is wrong with a row or an entry, and what to do.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CellError {
    /// The first row names no journal's columns.
    #[error("not a journal: its first row names no column {}; found {}", .missing.join(" and no column "), list_and(.found))]
    NoJournal {
        /// The columns that are missing.
        missing: Vec<&'static str>,
        /// The headings.
        found: Vec<String>,
    },
    /// Two columns of one name.
    #[error("two columns are named \"{name}\"; keep one")]
    ColumnTwice {
        /// Their name.
        name: &'static str,
    },
    /// A value for which the file has no column.
    #[error(
        "the journal has no such column; add its name to the end of the first row, and a separator to the end of every other row"
    )]
    NoColumn,
    /// A row with too many or too few cells.
    #[error("{} for {}; {advice}", counted(*.found, "cell"), counted(*.expected, "column"))]
    CellCount {
        /// Cells in the row.
        found: usize,
        /// Columns of the file.
        expected: usize,
        /// What to do.
        advice: &'static str,
    },
    /// A quotation mark that is not closed.
    #[error(
        "a quotation mark opened here is not closed; close it, or double it where it belongs to the text"
    )]
    OpenQuote,
    /// Bytes that are no text.
    #[error("the line has bytes that are no text; remove them, or put back a copy of the journal")]
    NotText,
    /// A text that is more than one line, or has control characters.
    #[error("{} has a line break or a control character; write it on one line", shown(.found))]
    NotOneLine {
        /// The text.
        found: Box<str>,
    },
    /// A letter that the file's encoding does not have.
    #[error("the file is not UTF-8 and has no letter '{found}'; save it as CSV in UTF-8")]
    NoLetter {
        /// The letter.
        found: char,
    },
    /// A cell that must not be empty.
    #[error("{act} needs it; write {write}")]
    Empty {
        /// The act.
        act: &'static str,
        /// What to write.
        write: String,
    },
    /// No date.
    #[error("{} {why}", shown(.found))]
    NotADate {
        /// The text.
        found: Box<str>,
        /// Why not.
        why: NotADay,
    },
    /// A date to come.
    #[error("{found} is later than today, {today}; correct the date, or this computer's clock")]
    Future {
        /// The date.
        found: Date,
        /// Today.
        today: Date,
    },
    /// A date before that of the entry before it.
    #[error(
        "{found} is before the entry before it, {last}; entries stand in the order of their dates: correct the date"
    )]
    OutOfOrder {
        /// The date.
        found: Date,
        /// The date of the entry before.
        last: Date,
    },
    /// An entry that is there already.
    #[error("{act}: line {line} has the same on the same day")]
    Repeated {
        /// The act.
        act: &'static str,
        /// The line of the entry that is there.
        line: u64,
    },
    /// What is possible, and most likely a slip of the hand.
    #[error("{0}; check what was typed")]
    Unlikely(Unlikely),
    /// A type that no entry has.
    #[error("unknown entry type {}; {}", shown(.found), suggested(*.near))]
    UnknownAct {
        /// The text.
        found: Box<str>,
        /// What it may stand for.
        near: Option<&'static str>,
    },
    /// No number.
    #[error("{} is not a number; write {}, as {example}", shown(.found), .bounds.quantity)]
    NotANumber {
        /// The text.
        found: Box<str>,
        /// What the number may be.
        bounds: Bounds,
        /// A number that could stand there.
        example: &'static str,
    },
    /// A decimal comma where commas separate.
    #[error("{} has a decimal comma; write a point, or separate the columns with ; or tabs", shown(.found))]
    DecimalComma {
        /// The text.
        found: Box<str>,
    },
    /// No numbers of films.
    #[error(
        "{} are no numbers of films; write numbers from 1 to 999999, as 12=r1p2 13=r2p1 for film 12 on reel 1 at place 2 and film 13 on reel 2 at place 1, or only 12 13",
        shown(.found)
    )]
    NotNumbers {
        /// The text.
        found: Box<str>,
    },
    /// A number that another film has.
    #[error("the number {number} is {}; a film has a number of its own", twice(*.line))]
    NumberTwice {
        /// The number.
        number: u32,
        /// The line of the film that has it; 0 where it is given twice at once.
        line: u64,
    },
    /// A number that cannot be.
    #[error("{found} is not {}: it must be {bounds}; check what was typed", .bounds.quantity)]
    OutOfBounds {
        /// The number.
        found: f64,
        /// What it may be.
        bounds: Bounds,
    },
    /// An interval that does not hold its value.
    #[error("{found} lies outside its own interval, {low} to {high}; check the three")]
    OutsideInterval {
        /// The value.
        found: f64,
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
    },
    /// Something done to a bath that was never mixed.
    #[error("{act} before any mix: there is no bath yet; enter the mix first")]
    NoBath {
        /// The act.
        act: &'static str,
    },
    /// Something done to a bath that is gone.
    #[error("{act} after the bath was discarded on {on}; only a mix or a note may follow")]
    Discarded {
        /// The act.
        act: &'static str,
        /// The date of the discard.
        on: Date,
    },
    /// More taken out than there is.
    #[error(
        "{found} ml is more than the bath has, {there} ml; check this entry and those before it"
    )]
    TooMuch {
        /// What was to be removed, in **ml**.
        found: f64,
        /// What there is, in **ml**.
        there: f64,
    },
}

fn twice(line: u64) -> String {
    match line {
        0 => "given twice at once".to_owned(),
        line => format!("that of a film in line {line}"),
    }
}

fn suggested(near: Option<&str>) -> String {
    near.map_or_else(
        || "write mix, film, replenish, strip, note or discard".to_owned(),
        |name| format!("did you mean \"{name}\"?"),
    )
}
