//! What was entered in the journal of a bath.

use super::entered::{entry_value, entry_words};
use crate::answers::{Answer, Block, Column, Description, Field, Gather, Table, Value};
use crate::bath::journal::{Entry, Journal};
use jiff::civil::Date;

/// How many entries are listed where not all are wanted.
pub const USUAL: usize = 20;

/// The entries of a journal, in the order of the file.
#[derive(Clone, Debug)]
pub struct BathLog {
    /// The journal, as a person names it.
    pub file: String,
    /// The entries that are listed; those that were taken back with the day of that.
    pub listed: Vec<(Entry, Option<Date>)>,
    /// How many entries the journal has before those that are listed.
    pub before: usize,
}

impl BathLog {
    /// The last [`USUAL`] entries; or all of them, and those that were taken back.
    #[must_use]
    pub fn of(file: String, journal: &Journal, all: bool) -> Self {
        let stand = journal.entries.iter().map(|entry| (entry.clone(), None));
        let before = if all { 0 } else { journal.entries.len().saturating_sub(USUAL) };
        let mut listed: Vec<_> = stand.skip(before).collect();
        if all {
            let struck = journal.struck.iter().map(|s| (s.entry.clone(), Some(s.on)));
            listed.extend(struck);
            listed.sort_by_key(|(entry, _)| entry.line);
        }
        Self { file, listed, before }
    }
}

impl Answer for BathLog {
    fn describe(&self) -> Description {
        let mut all = Description::new(self.file.as_str());
        all.subtitle = match (self.before, self.listed.len()) {
            (_, 0) => Some("no entry".to_owned()),
            (0, _) => None,
            (before, shown) => Some(format!("the last {shown} of {} entries", before + shown)),
        };
        all.heading.push(Field::new("bath", "journal", self.file.as_str()));
        all.heading.push(Field::new("entries_before", "entries before", self.before));
        let struck = self.listed.iter().any(|(_, struck)| struck.is_some());
        let mut columns = vec![
            Column::new("line", "line"),
            Column::new("date", "date"),
            Column::new("entry", "entry"),
        ];
        let noted = self.listed.iter().any(|(entry, _)| entry.note.is_some());
        if noted {
            columns.push(Column::new("note", "note"));
        }
        if struck {
            columns.push(Column::new("struck_out", "struck out"));
        }
        let mut table = Table::new(columns);
        let mut list = Vec::new();
        for (entry, on) in &self.listed {
            let mut row =
                vec![entry.line.into(), entry.date.into(), entry_words(&entry.act).into()];
            if noted {
                row.push(entry.note.as_deref().map_or(Value::Empty, Value::from));
            }
            if struck {
                row.push(on.map_or(Value::Empty, Value::from));
            }
            table.row(row);
            list.push(entry_value(entry, entry.line, *on));
        }
        let people = if self.listed.is_empty() { Vec::new() } else { vec![Block::Table(table)] };
        let programs = vec![Block::Data { key: "entries".into(), value: Value::List(list) }];
        all.add(Block::Twofold { people, programs });
        all
    }
}
