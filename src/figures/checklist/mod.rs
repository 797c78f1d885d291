//! A checklist to print: cautions, one great number, and tables with boxes to tick, on A4 paper,
//! black on white.

mod blocks;
mod draw;
mod layout;
mod table;

use super::draw::Scene;

/// A4 paper, upright, in millimetres.
const A4: (f64, f64) = (210.0, 297.0);
/// More boxes than this in a row are one box.
pub const MOST_BOXES: usize = 8;

/// A checklist.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Checklist {
    /// The title.
    pub title: String,
    /// Lines below the title.
    pub details: Vec<String>,
    /// What stands in a frame at the top.
    pub cautions: Vec<String>,
    /// The number that is to be seen from afar, with words beside it.
    pub headline: Option<Headline>,
    /// The tables, from top to bottom.
    pub tables: Vec<CheckTable>,
    /// Remarks for the foot of the page.
    pub notes: Vec<String>,
}

/// A number to be seen from afar.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Headline {
    /// The number, as "11:00".
    pub number: String,
    /// Lines beside it.
    pub words: Vec<String>,
}

/// A table whose rows are ticked.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CheckTable {
    /// What it is.
    pub heading: String,
    /// Its columns.
    pub columns: Vec<CheckColumn>,
    /// Boxes before each row, up to [`MOST_BOXES`]; several are numbered from 1.
    pub boxes: usize,
    /// The cells of each row, one for each column; those that are lacking are left empty.
    pub rows: Vec<Vec<String>>,
}

/// A column.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CheckColumn {
    /// Its heading.
    pub heading: String,
    /// Whether its cells end at its right edge, as numbers do.
    pub is_number: bool,
}

impl Checklist {
    /// The page as a scene of A4 size, to be written as SVG or PNG. Type is made smaller until all
    /// fits; if the smallest does not, notes and then rows give way, and the page says how many.
    #[must_use]
    pub fn scene(&self) -> Scene {
        let title = match self.title.trim() {
            "" => "Checklist",
            title => title,
        };
        let mut scene = Scene::on_paper(A4, title, &self.description());
        layout::Layout::new(self, title, A4).draw(&mut scene);
        scene
    }

    /// The page in words.
    fn description(&self) -> String {
        let mut words: Vec<String> = self.cautions.clone();
        if let Some(headline) = &self.headline {
            words.push(format!("{}: {}.", headline.number, headline.words.join("; ")));
        }
        for table in &self.tables {
            let rows: Vec<String> = table.rows.iter().map(|row| row.join(" ")).collect();
            words.push(format!("{}: {}.", table.heading, rows.join("; ")));
        }
        words.join(" ")
    }
}
