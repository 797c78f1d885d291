//! Cells that are filled and that entries of their type do not use.

use super::columns::Column;
use super::layout::Layout;
use super::note::{JournalNote, Noticed};
use csv::StringRecord;
use std::sync::Arc;

/// All that were met, one for each act and column.
#[derive(Default)]
pub(super) struct Strays(Vec<Stray>);

struct Stray {
    column: Column,
    act: &'static str,
    line: u64,
    count: u64,
}

impl Strays {
    /// Looks for them in a row.
    pub(super) fn look(
        &mut self,
        record: &StringRecord,
        line: u64,
        layout: &Layout,
        act: &'static str,
    ) {
        for (cell, column) in record.iter().zip(&layout.columns) {
            if cell.is_empty() {
                continue;
            }
            let Some(column) = column.filter(|c| !c.is_filled_by(act)) else {
                continue;
            };
            if cell.trim().is_empty() {
                continue;
            }
            let mut known = self.0.iter_mut();
            match known.find(|s| s.column == column && s.act == act) {
                Some(stray) => stray.count += 1,
                None => self.0.push(Stray { column, act, line, count: 1 }),
            }
        }
    }

    /// A note on each.
    pub(super) fn notes(&self, file: &Arc<str>) -> Vec<JournalNote> {
        let note = |stray: &Stray| JournalNote {
            file: Arc::clone(file),
            line: Some(stray.line),
            what: Noticed::Unused {
                count: stray.count,
                column: stray.column.name(),
                act: stray.act,
            },
        };
        self.0.iter().map(note).collect()
    }
}
