//! What an entry must be, typed or read: numbers within bounds, texts that say something, dates in order.

use super::cell_error::CellError;
use super::columns::Column;
use super::entry::{Act, Cell, Entry};
use super::load::{self, GREATEST, Numbered};
use jiff::civil::Date;
use std::collections::HashMap;

/// A column and what is wrong in it.
pub(super) type Flaw = (Column, CellError);

/// The flaws of an entry by itself, wherever it comes from.
pub(super) fn flaws(entry: &Entry) -> Vec<Flaw> {
    let cells = entry.cells();
    let mut flaws: Vec<Flaw> = cells.iter().filter_map(out_of_bounds).collect();
    for (column, write) in needed(&entry.act) {
        if !cells.iter().any(|(filled, _)| filled == column) {
            flaws.push((*column, empty(&entry.act, write)));
        }
    }
    let possible = |film: &Numbered| {
        let from_one = |n: Option<u32>| n.is_none_or(|n| (1..=GREATEST).contains(&n));
        from_one(Some(film.number)) && from_one(film.reel) && from_one(film.place)
    };
    if !entry.numbered().iter().all(possible) {
        let found = load::written(entry.numbered()).into();
        flaws.push((Column::Numbers, CellError::NotNumbers { found }));
    }
    let activity = match &entry.act {
        Act::Strip(s) => (s.activity_low, s.activity, s.activity_high),
        Act::Leader(l) => (l.activity_low, l.activity, l.activity_high),
        _ => (None, None, None),
    };
    if let (Some(low), Some(found), Some(high)) = activity
        && !(low..=high).contains(&found)
    {
        flaws.push((Column::Activity, CellError::OutsideInterval { found, low, high }));
    }
    flaws
}

fn out_of_bounds((column, cell): &(Column, Cell<'_>)) -> Option<Flaw> {
    let bounds = column.bounds();
    match *cell {
        Cell::Number(found) if !bounds.contains(found) => {
            Some((*column, CellError::OutOfBounds { found, bounds }))
        }
        _ => None,
    }
}

/// The first number of a film that `known` ones have already; those of `entry` are known then.
pub(super) fn numbers(entry: &Entry, known: &mut HashMap<u32, u64>) -> Option<Flaw> {
    let mut twice = None;
    for film in entry.numbered() {
        if let Some(line) = known.insert(film.number, entry.line) {
            twice = twice.or(Some(CellError::NumberTwice { number: film.number, line }));
        }
    }
    twice.map(|twice| (Column::Numbers, twice))
}

/// The cells without which an act says nothing, and what to write there.
const fn needed(act: &Act) -> &'static [(Column, &'static str)] {
    match act {
        Act::Strip(_) => &[
            (Column::Strip, "the strip's name"),
            (Column::Verdict, "a verdict in words, as in spec"),
        ],
        Act::Leader(_) => &[(Column::Activity, "the activity that the piece showed, as 0.95")],
        Act::Note => &[(Column::Note, "a remark")],
        _ => &[],
    }
}

/// What an empty cell is told.
pub(super) fn empty(act: &Act, write: &str) -> CellError {
    CellError::Empty { act: act.name(), write: write.to_owned() }
}

/// The flaws of a typed entry's texts: each must be one line.
pub(super) fn several_lines(entry: &Entry) -> Vec<Flaw> {
    let found = |(column, cell)| match cell {
        Cell::Text(text) if text.contains(char::is_control) => {
            Some((column, CellError::NotOneLine { found: text.into() }))
        }
        _ => None,
    };
    entry.cells().into_iter().filter_map(found).collect()
}

/// What is wrong with a date after an entry of `last`.
pub(super) fn date(found: Date, last: Option<Date>, today: Date) -> Option<Flaw> {
    let wrong = match last {
        _ if found > today => CellError::Future { found, today },
        Some(last) if found < last => CellError::OutOfOrder { found, last },
        _ => return None,
    };
    Some((Column::Date, wrong))
}
