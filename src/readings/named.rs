//! Tables whose columns have fixed names: which names there are, and where each column stands.

use super::columns::{all_numbers, nearest, normalised};
use super::fault::{ReadError, quoted};
use super::intake::Rank;
use super::note::{Note, Unused};
use super::table::Header;
use std::sync::Arc;

/// The columns of one kind of table.
#[derive(Debug)]
pub(crate) struct Names {
    /// What is needed: each quantity with the columns that may give it, one of them in a table.
    pub(crate) needed: &'static [(&'static str, &'static [&'static str])],
    /// Columns that may be left out.
    pub(crate) optional: &'static [&'static str],
    /// Other words that people use for a column, for suggestions only.
    pub(crate) synonyms: &'static [(&'static str, &'static str)],
    /// A row of column names, for messages.
    pub(crate) example: &'static str,
}

/// Where the columns of one table stand.
#[derive(Clone, Debug)]
pub(crate) struct Columns {
    found: Vec<(&'static str, usize)>,
    /// Headings that name no column.
    unused: Vec<Unused>,
}

impl Columns {
    /// The position of a column, if the table has it.
    pub(super) fn find(&self, name: &str) -> Option<usize> {
        self.found.iter().find(|(known, _)| *known == name).map(|(_, at)| *at)
    }

    /// A note on headings that name no column, if there are such.
    pub(super) fn note(&self, file: &Arc<str>) -> Option<Note> {
        let columns = self.unused.clone();
        (!columns.is_empty()).then(|| Note::Unused { file: Arc::clone(file), columns })
    }
}

impl Names {
    fn all(&self) -> impl Iterator<Item = &'static str> {
        self.needed.iter().flat_map(|(_, names)| *names).chain(self.optional).copied()
    }

    /// The column that a heading names.
    fn known(&self, heading: &str) -> Option<&'static str> {
        let wanted = normalised(heading);
        self.all().find(|name| *name == wanted)
    }

    /// Whether a heading names a column.
    pub(super) fn knows(&self, heading: &str) -> bool {
        self.known(heading).is_some()
    }

    /// The column that a heading may stand for.
    pub(super) fn near(&self, heading: &str) -> Option<&'static str> {
        nearest(heading, self.all(), self.synonyms)
    }

    /// The columns of which one stands in the row of headings of every such table.
    pub(super) fn keys(&self) -> &'static [&'static str] {
        self.needed.last().map_or(&[], |(_, names)| names)
    }

    /// How well a row of cells serves as the row of headings.
    pub(super) fn rank(&self, cells: &[&str]) -> Rank {
        let known: Vec<&str> = cells.iter().filter_map(|cell| self.known(cell)).collect();
        let given = |names: &[&str]| names.iter().any(|name| known.contains(name));
        let near = |cell: &&str| self.near(cell).is_some_and(|name| self.keys().contains(&name));
        match () {
            () if self.needed.iter().all(|(_, names)| given(names)) => Rank::All,
            () if given(self.keys()) => Rank::Key,
            () if cells.iter().any(near) => Rank::Near,
            () => Rank::None,
        }
    }

    /// What a column gives, by which two of one quantity are recognised.
    fn quantity(&self, name: &'static str) -> &'static str {
        let of = self.needed.iter().find(|(_, names)| names.contains(&name));
        of.map_or(name, |(quantity, _)| quantity)
    }

    /// The columns of a table with this `header`.
    ///
    /// # Errors
    /// Where a needed column is missing, or two give the same quantity.
    pub(super) fn columns(&self, header: &Header) -> Result<Columns, ReadError> {
        let headings = || header.columns.iter().map(|column| column.heading.as_str());
        let mut found: Vec<(&'static str, usize)> = Vec::new();
        for (second, name) in headings().enumerate() {
            let Some(name) = self.known(name) else {
                continue;
            };
            let quantity = self.quantity(name);
            if let Some((_, first)) = found.iter().find(|(n, _)| self.quantity(n) == quantity) {
                return Err(ReadError::DuplicateColumns {
                    at: Box::new(header.place.clone()),
                    first: header.column(*first),
                    second: header.column(second),
                    quantity,
                });
            }
            found.push((name, second));
        }
        let has = |name: &str| found.iter().any(|(n, _)| *n == name);
        let absent: Vec<&[&'static str]> = self
            .needed
            .iter()
            .map(|(_, names)| *names)
            .filter(|names| !names.iter().any(|name| has(name)))
            .collect();
        let unused: Vec<Unused> = headings()
            .filter(|heading| !heading.trim().is_empty() && !self.knows(heading))
            .map(|heading| Unused {
                heading: heading.to_owned(),
                near: self.near(heading).filter(|name| !has(name)),
            })
            .collect();
        if absent.is_empty() {
            return Ok(Columns { found, unused });
        }
        let at = Box::new(header.place.clone());
        let found: Vec<String> =
            headings().filter(|h| !h.trim().is_empty()).map(str::to_owned).collect();
        if all_numbers(&found) {
            return Err(ReadError::NoHeader { at, example: self.example });
        }
        let meant = |u: &Unused| Some((u.heading.clone(), u.near?));
        let suggestion = unused
            .iter()
            .filter_map(meant)
            .find(|(_, name)| absent.iter().any(|names| names.contains(name)));
        let missing = absent.iter().map(|names| quoted(names)).collect();
        Err(ReadError::MissingColumns { at, missing, found, suggestion })
    }
}
