//! What was entered in the journal of a bath.

use super::balance;
use super::change::changed;
use crate::answers::{
    Answer, Block, Column, Description, Field, Gather, LeaderTest, Section, Table, Value,
    Verifications,
};
use crate::bath::film::NOMINAL;
use crate::bath::journal::{
    Act, Appended, Cell, Column as JournalColumn, Entry, LeaderResult, Numbered,
};
use crate::words::{amount, number, ranges, trimmed};
use jiff::civil::Date;

/// What protects people where a bath is thrown away.
const DISPOSAL: &str = "dispose of it as the maker's safety sheet and the local rules say; it does not go down a drain unless they allow it";

/// Entries that were made in a journal, in their order.
#[derive(Debug)]
pub struct Entered {
    /// The journal, as a person names it.
    pub file: String,
    /// The entries, each with what became of it; one at least.
    pub made: Vec<(Entry, Appended)>,
    /// Whether the area of film follows from nominal dimensions.
    pub nominal_area: bool,
    /// The day on which they were made.
    pub on: Date,
}

/// Control strips that were verified and entered.
#[derive(Debug)]
pub struct StripsEntered {
    /// What the strips show.
    pub verified: Verifications,
    /// Their entries.
    pub entered: Entered,
}

/// A piece of leader that was tested and entered.
#[derive(Debug)]
pub struct LeaderEntered<'a> {
    /// What the piece shows.
    pub test: LeaderTest<'a>,
    /// Its entry.
    pub entered: Entered,
}

/// An entry in words: `added 125 ml, removed 125 ml`.
#[must_use]
pub fn entry_words(act: &Act) -> String {
    match act {
        Act::Mix { litres, what, dilution } => {
            let mut line = format!("mixed {}", amount(*litres, 3, "litre"));
            if let Some(what) = what {
                line.push_str(&format!(" of {what}"));
            }
            // A name like Quillback 1+6 says it already.
            if let Some(dilution) = dilution
                && !what.as_ref().is_some_and(|w| w.contains(dilution.as_str()))
            {
                line.push_str(&format!(", {dilution}"));
            }
            line
        }
        Act::Film { films, area_m2, load } => {
            let films = if films.is_empty() { "film" } else { films };
            let numbers = load.iter().flat_map(|load| &load.films).map(|film| film.number);
            let numbers = match ranges(&numbers.collect::<Vec<_>>()) {
                none if none.is_empty() => none,
                numbers => format!(", no. {numbers}"),
            };
            format!("{films}, {} m²{numbers}", trimmed(*area_m2, 4))
        }
        Act::Replenish { added_ml, removed_ml } => {
            format!("added {} ml, removed {} ml", trimmed(*added_ml, 3), trimmed(*removed_ml, 3))
        }
        Act::Strip(strip) => format!("control strip {}: {}", strip.name, strip.verdict),
        Act::Leader(leader) => leader_words(leader),
        Act::Note => "noted".to_owned(),
        Act::Discard => "discarded".to_owned(),
    }
}

/// A piece of leader in words: `leader piece L9: activity 0.87 (0.80 to 0.95)`.
fn leader_words(leader: &LeaderResult) -> String {
    let mut words = String::from("leader piece");
    if let Some(name) = &leader.name {
        words += &format!(" {name}");
    }
    let known = leader.activity.map_or_else(|| "not known".to_owned(), |a| number(a, 2));
    words += &format!(": activity {known}");
    if let (Some(low), Some(high)) = (leader.activity_low, leader.activity_high) {
        words += &format!(" ({} to {})", number(low, 2), number(high, 2));
    }
    words
}

/// An entry as an object of its own.
pub(super) fn entry_value(entry: &Entry, line: u64, struck_out: Option<Date>) -> Value {
    let mut cells = vec![
        ("line".into(), line.into()),
        ("date".into(), entry.date.into()),
        ("act".into(), entry.act.name().into()),
    ];
    let named =
        |(column, cell): (JournalColumn, Cell<'_>)| (column.name().into(), cell_value(&cell));
    cells.extend(entry.cells().into_iter().map(named));
    cells.extend(struck_out.map(|date| ("struck_out".into(), date.into())));
    Value::Map(cells)
}

/// What a cell of a journal holds.
pub(in crate::answers) fn cell_value(cell: &Cell<'_>) -> Value {
    match cell {
        Cell::Text(text) => (*text).into(),
        Cell::Number(number) => Value::plain(*number, 4),
        Cell::Films(films) => {
            let one = |film: &Numbered| {
                Value::Map(vec![
                    ("number".into(), film.number.into()),
                    ("reel".into(), film.reel.into()),
                    ("place".into(), film.place.into()),
                ])
            };
            let numbers: Vec<u32> = films.iter().map(|film| film.number).collect();
            Value::List(films.iter().map(one).collect()).worded(ranges(&numbers))
        }
    }
}

impl Entered {
    fn last(&self) -> Option<&(Entry, Appended)> {
        self.made.last()
    }

    /// What the bath is after the last entry: `bath: 1.5 litres, no film so far, mixed today`.
    fn balance_words(&self) -> Option<String> {
        let (entry, appended) = self.last()?;
        let last = appended.balance.last.unwrap_or(entry.date);
        Some(format!("bath: {}", balance::in_words(&appended.balance, last)))
    }

    /// What stands in JSON: the journal, the last entry, all entries, the balance after them.
    fn add_to(&self, all: &mut Description) {
        all.heading.push(Field::new("bath", "journal", self.file.as_str()));
        if let Some((entry, appended)) = self.last() {
            all.data("entry", entry_value(entry, appended.line, None));
            let entries = self.made.iter().map(|(e, a)| entry_value(e, a.line, None)).collect();
            all.data("entries", Value::List(entries));
            all.add(balance::section(
                &appended.balance,
                appended.balance.last.unwrap_or(entry.date),
            ));
        }
        if let Some(later) = self.made.iter().find_map(|(_, appended)| appended.later.as_ref()) {
            all.data("later_entries", later.count);
            all.note(format!(
                "{} of later days: all that follows from the order is calculated again",
                match later.count {
                    1 => "it goes before 1 entry".to_owned(),
                    count => format!("it goes before {count} entries"),
                }
            ));
            all.add(changed(&later.before, &later.after, self.on));
        }
        if self.nominal_area {
            all.note(NOMINAL);
        }
        if self.made.iter().any(|(entry, _)| entry.act == Act::Discard) {
            all.caution(DISPOSAL);
        }
    }
}

impl Answer for Entered {
    fn describe(&self) -> Description {
        let title = match self.last() {
            Some((entry, _)) => format!("{}  {}", entry.date, entry_words(&entry.act)),
            None => "nothing entered".to_owned(),
        };
        let mut all = Description::new(title);
        all.subtitle = self.balance_words();
        self.add_to(&mut all);
        all
    }
}

impl Entered {
    /// What was entered, and what the bath is after it, below what `all` says already.
    fn below(&self, mut all: Description) -> Description {
        let mut table = Table::new(vec![
            Column::new("line", "line"),
            Column::new("date", "date"),
            Column::new("entry", "entry"),
        ]);
        for (entry, appended) in &self.made {
            table.row(vec![
                appended.line.into(),
                entry.date.into(),
                entry_words(&entry.act).into(),
            ]);
        }
        let mut section = Section::titled(format!("entered in {}", self.file));
        section.add(table);
        if let Some(words) = self.balance_words() {
            section.line(words, Vec::new());
        }
        all.add(Block::Section(section));
        self.add_to(&mut all);
        all
    }
}

impl Answer for LeaderEntered<'_> {
    fn describe(&self) -> Description {
        self.entered.below(self.test.describe())
    }

    fn is_no(&self) -> bool {
        self.test.is_no()
    }
}

impl Answer for StripsEntered {
    fn describe(&self) -> Description {
        self.entered.below(self.verified.describe())
    }

    fn is_no(&self) -> bool {
        self.verified.is_no()
    }
}
