//! Where each column stands in one journal.

use super::cell_error::CellError;
use super::columns::Column;
use super::errors::Fault;
use super::note::{JournalNote, Noticed};
use crate::words::did_you_mean;
use csv::StringRecord;
use std::sync::Arc;

/// Where each column of one file stands.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    /// The headings as written.
    pub(super) headings: Vec<Box<str>>,
    /// The column that each heading names.
    pub(super) columns: Vec<Option<Column>>,
    positions: [Option<usize>; Column::ALL.len()],
    /// Whether the file has speed off aim as it once was: more is slower.
    speed_is_lost: bool,
}

impl Layout {
    /// The layout of a new journal.
    pub(super) fn standard() -> Self {
        Self::of(Column::ALL.iter().map(|c| c.name()))
    }

    fn of<'a>(headings: impl Iterator<Item = &'a str>) -> Self {
        let headings: Vec<Box<str>> = headings.map(|h| h.trim().into()).collect();
        let columns: Vec<_> = headings.iter().map(|h| Column::from_heading(h)).collect();
        let positions = Column::ALL.map(|c| columns.iter().position(|found| *found == Some(c)));
        let speed_is_lost = headings.iter().any(|h| Column::is_speed_lost(h));
        Self { headings, columns, positions, speed_is_lost }
    }

    /// A number of a column from the file's sign to ours, or back.
    pub(super) fn signed(&self, column: Column, number: f64) -> f64 {
        match column {
            // No minus in front of a zero.
            Column::SpeedGainLogH if self.speed_is_lost => 0.0 - number,
            _ => number,
        }
    }

    /// The layout of a file with this row of headings, and notes on those that are not known.
    pub(super) fn read(
        file: &Arc<str>,
        line: u64,
        record: &StringRecord,
    ) -> Result<(Self, Vec<JournalNote>), Fault> {
        let layout = Self::of(record.iter());
        let fault = |what| Fault::of_line(file, line, what);
        if let Some(name) = layout.twice() {
            return Err(fault(CellError::ColumnTwice { name }));
        }
        let missing: Vec<&str> = [Column::Date, Column::Act]
            .into_iter()
            .filter(|c| layout.position(*c).is_none())
            .map(Column::name)
            .collect();
        if !missing.is_empty() {
            let found = layout.headings.iter().map(|h| h.to_string()).collect();
            return Err(fault(CellError::NoJournal { missing, found }));
        }
        let unknown = layout.headings.iter().zip(&layout.columns);
        let notes = unknown
            .filter(|(heading, column)| column.is_none() && !heading.is_empty())
            .map(|(heading, _)| JournalNote {
                file: Arc::clone(file),
                line: Some(line),
                what: Noticed::UnknownColumn {
                    heading: heading.clone(),
                    near: layout.near(heading),
                },
            })
            .collect();
        Ok((layout, notes))
    }

    pub(super) const fn position(&self, column: Column) -> Option<usize> {
        self.positions[column as usize]
    }

    /// A column that two headings name.
    fn twice(&self) -> Option<&'static str> {
        Column::ALL
            .into_iter()
            .find(|c| self.columns.iter().filter(|found| **found == Some(*c)).count() > 1)
            .map(Column::name)
    }

    /// A missing column that `heading` may stand for.
    fn near(&self, heading: &str) -> Option<&'static str> {
        let free = Column::ALL.into_iter().filter(|c| self.position(*c).is_none());
        did_you_mean(heading, free.map(Column::name))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_column_stands_at_its_number() {
        let layout = Layout::standard();
        for (index, column) in Column::ALL.into_iter().enumerate() {
            assert_eq!(column as usize, index);
            assert_eq!(layout.position(column), Some(index));
        }
    }
}
