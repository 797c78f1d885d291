//! What a session is to be entered as in the journal of its bath, and what was entered.

use super::developer::standing;
use crate::answers::bath::entered::cell_value;
use crate::answers::standing::standing_field;
use crate::answers::{Answer, Column, Description, Field, Gather, Table, Value};
use crate::bath::journal::{Balance, Entry};
use crate::bath::standing::Standing;
use std::path::{Path, PathBuf};

/// Entries that were made in a journal.
#[derive(Clone, Debug, PartialEq)]
pub struct Entered {
    /// The journal's file.
    pub journal: PathBuf,
    /// The entries, and the line of the file where each stands.
    pub made: Vec<(u64, Entry)>,
    /// How the bath stands after them.
    pub balance: Option<Balance>,
    /// Whether film may go in.
    pub standing: Standing,
}

impl Answer for Entered {
    fn describe(&self) -> Description {
        let journal = self.journal.display().to_string();
        let date = self.made.first().map(|(_, entry)| entry.date);
        let dated = date.map_or(String::new(), |date| format!(", dated {date}"));
        let mut all = Description::new(format!("entered in {journal}{dated}"));
        all.first = Some(standing_field(&self.standing));
        all.heading.push(Field::new("journal", "journal", journal));
        let (lines, entries): (Vec<u64>, Vec<Entry>) = self.made.iter().cloned().unzip();
        let mut table = table(&entries, None, &lines);
        table.title = None;
        all.add(table);
        if let Some((balance, date)) = self.balance.as_ref().zip(date) {
            let bath = vec![
                ("litres".into(), Value::plain(balance.litres, 3)),
                ("films".into(), usize::try_from(balance.films).unwrap_or(usize::MAX).into()),
                ("area_m2".into(), Value::plain(balance.area_m2, 4)),
                ("age_days".into(), balance.age_days(date).map(Value::Count).into()),
            ];
            all.field("bath", "bath", Value::Map(bath).worded(standing(balance, date)));
        }
        all
    }
}

/// Entries, each cell in the journal's column; with the lines where they stand, if they stand there.
pub(super) fn table(entries: &[Entry], journal: Option<&Path>, lines: &[u64]) -> Table {
    let mut known: Vec<&'static str> = Vec::new();
    for (column, _) in entries.iter().flat_map(Entry::cells) {
        if !known.contains(&column.name()) {
            known.push(column.name());
        }
    }
    // The remark is the last cell of every entry.
    known.sort_by_key(|name| *name == "note");
    let label = |name: &'static str| match name {
        "area_m2" => "m²",
        "added_ml" => "added, ml",
        "removed_ml" => "removed, ml",
        other => other,
    };
    let mut columns = vec![Column::new("date", "date").for_programs(), Column::new("act", "entry")];
    // How numbered film was developed stands above already; its numbers are enough for people.
    let said = ["minutes", "celsius", "contrast", "pairing", "load", "vessel", "development"];
    let column = |name: &&'static str| match said.contains(name) {
        true => Column::new(*name, label(name)).for_programs(),
        false => Column::new(*name, label(name)),
    };
    columns.extend(known.iter().map(column));
    if !lines.is_empty() {
        columns.push(Column::new("line", "line"));
    }
    let mut table = Table::new(columns).keyed("entries");
    table.title = journal.zip(entries.first()).map(|(journal, first)| {
        format!("to enter in {} afterwards, dated {}", journal.display(), first.date)
    });
    table.boxes = 1;
    for (n, entry) in entries.iter().enumerate() {
        let cells = entry.cells();
        let cell = |name: &&'static str| {
            let found = cells.iter().find(|(column, _)| column.name() == *name);
            found.map_or(Value::Empty, |(_, cell)| cell_value(cell))
        };
        let mut row = vec![entry.date.into(), entry.act.name().into()];
        row.extend(known.iter().map(cell));
        row.extend(lines.get(n).map(|line| Value::Count(i64::try_from(*line).unwrap_or(i64::MAX))));
        table.row(row);
    }
    table
}
