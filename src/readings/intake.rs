//! What takes the tables of a file: the formats hand over headers and rows without knowing what
//! they are rows of.

use super::fault::ReadError;
use super::gather::Input;
use super::note::Note;
use super::table::{Header, Row};

/// Takes in the tables of files of one kind: strips, frames read at places, or small tables.
pub(super) trait Intake {
    /// Takes in the rows of one table.
    type Taker<'t>: RowTaker;

    /// A row of column names, for messages.
    fn example(&self) -> &'static str;
    /// The columns of which one stands in the row of headings of every such table.
    fn keys(&self) -> &'static [&'static str];
    /// How well a row of cells serves as the row of headings.
    fn rank(&self, cells: &[&str]) -> Rank;
    /// Whether a heading names a column that files of this kind have.
    fn knows(&self, heading: &str) -> bool;
    /// The column that a heading may stand for.
    fn near(&self, heading: &str) -> Option<&'static str>;
    /// Takes in a fault of the file as a whole.
    fn fault(&mut self, fault: ReadError);
    /// Takes in a note for the user.
    fn note(&mut self, note: Note);
    /// Takes in the table under `header`, whose rows `fill` hands over one by one.
    fn table(
        &mut self,
        input: &Input<'_>,
        header: &Header,
        comma_allowed: bool,
        fill: impl FnOnce(&mut Self::Taker<'_>),
    );
}

/// How well a row of cells serves as the row of headings, the worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Rank {
    /// It names no column by which a table is found.
    None,
    /// It has a word that may be meant for one.
    Near,
    /// It names one.
    Key,
    /// It names the exposures, and strips beside them.
    Wide,
    /// It names all columns that are needed.
    All,
}

/// Takes in rows.
pub(super) trait RowTaker {
    /// Takes in a fault that the format found in place of a row.
    fn fault(&mut self, fault: ReadError);
    /// Takes in one row.
    fn row(&mut self, row: &impl Row);
}
