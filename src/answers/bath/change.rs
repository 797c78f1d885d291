//! What a change of the journal changes in what follows from it.

use super::entered::{entry_value, entry_words};
use super::in_words;
use crate::answers::{Answer, Column, Description, Field, Gather, Section, Table};
use crate::bath::forecast::{Assumptions, Bath};
use crate::bath::history::BathHistory;
use crate::bath::journal::{Balance, Entry, TakenBack};
use crate::bath::standing::Standing;
use crate::measures::Quantity;
use crate::words::trimmed;
use jiff::civil::Date;

/// An entry that was taken back.
#[derive(Clone, Debug)]
pub struct Undone {
    /// The journal, as a person names it.
    pub file: String,
    /// What was taken back, and the entries before and now.
    pub taken: TakenBack,
    /// The day on which that was done.
    pub on: Date,
}

impl Answer for Undone {
    fn describe(&self) -> Description {
        let entry = &self.taken.entry;
        let words = entry_words(&entry.act);
        let mut all = Description::new(format!("taken back: {}  {words}", entry.date));
        all.subtitle = Some(format!("line {} of {}, struck out", entry.line, self.file));
        all.heading.push(Field::new("bath", "journal", self.file.as_str()));
        all.data("entry", entry_value(entry, entry.line, Some(self.on)));
        all.add(changed(&self.taken.before, &self.taken.after, self.on));
        all
    }
}

/// What is otherwise on a day after a change: the standing, the activity, what went in and through.
pub(super) fn changed(before: &[Entry], after: &[Entry], on: Date) -> Section {
    let [then, now] = [before, after].map(|entries| state(entries, on));
    let mut table = Table::new(vec![
        Column::new("what", "what changes"),
        Column::new("before", "before"),
        Column::new("now", "now"),
    ])
    .keyed("changed");
    for ((what, then), (_, now)) in then.into_iter().zip(now) {
        if then != now {
            table.row(vec![what.into(), then.into(), now.into()]);
        }
    }
    let mut section = Section::default();
    section.add(table);
    section
}

/// What follows from entries, in words.
fn state(entries: &[Entry], on: Date) -> [(&'static str, String); 3] {
    let mut balance = Balance::default();
    entries.iter().for_each(|entry| balance.enter(entry));
    let activity = BathHistory::of(entries).and_then(|life| {
        let bath = Bath::follow(&life.events, &Assumptions::default(), life.day(on)).ok()?;
        bath.activity().ok()
    });
    let interval = |a: &Quantity| {
        format!("{} ({} to {})", trimmed(a.value, 3), trimmed(a.low, 3), trimmed(a.high, 3))
    };
    [
        ("standing", Standing::of(entries, on).to_string()),
        ("activity", activity.as_ref().map_or_else(|| "not known".to_owned(), interval)),
        ("bath", in_words(&balance, on)),
    ]
}
