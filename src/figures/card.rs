//! The card for the wall: development times by temperature and contrast, on A5 paper, black on
//! white, in type that can be read at arm's length in dim light.

mod cells;
mod footer;
mod layout;
mod table;

use super::draw::Scene;
use crate::words::{rounded_clock, rounded_seconds};

/// A5 paper, upright, in millimetres.
const A5: (f64, f64) = (148.0, 210.0);
/// With more columns than this the card lies on its side.
const MOST_UPRIGHT: usize = 5;
/// Times shorter than this many minutes are marked: development may turn out uneven.
const SHORTEST_EVEN: f64 = 4.0;
/// The mark of whatever rests on an assumed constant.
pub(super) const ASSUMED: char = '†';

/// The heading of one column.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CardColumn {
    /// The contrast, as "0.58".
    pub heading: String,
    /// A second line below it: "N", "7 stops".
    pub second: Option<String>,
    /// A third line: the exposure index to set, as "EI 135".
    pub third: Option<String>,
    /// Whether it is the contrast that was asked for: its heading stands white on black, and a frame
    /// runs round the column.
    pub asked: bool,
}

/// What stands in one cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CardCell {
    /// A development time.
    Time {
        /// Minutes by the clock; rounded when written.
        minutes: f64,
        /// Whether it lies outside the range that was calibrated.
        outside: bool,
    },
    /// A development time too short to be even. A [`CardCell::Time`] under 4 minutes is marked in
    /// the same way.
    Short {
        /// Minutes by the clock; rounded when written.
        minutes: f64,
    },
    /// No time gives this contrast.
    Unreachable,
}

/// One temperature.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CardRow {
    /// Temperature of the bath in °C.
    pub celsius: f64,
    /// One cell for each column; those that are lacking are left empty.
    pub cells: Vec<CardCell>,
}

/// A card of development times.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TimeTemperatureCard {
    /// Film and developer: the title.
    pub pairing: String,
    /// The standing of a kept bath, in a sentence.
    pub standing: Option<String>,
    /// Whether that sentence is a warning, which stands white on black.
    pub warns: bool,
    /// The day that the state of the bath is of.
    pub date: Option<String>,
    /// The state of the bath, as "bath activity 0.92 (0.89 to 0.95)".
    pub activity: Option<String>,
    /// What the columns are, as "contrast index".
    pub measure: String,
    /// The reference temperature in °C; its row is emphasised.
    pub reference_celsius: Option<f64>,
    /// The contrasts.
    pub columns: Vec<CardColumn>,
    /// The temperatures, in the order given.
    pub rows: Vec<CardRow>,
    /// Remarks for the foot of the card. One about an assumed constant begins with †, and the
    /// heading then has a † as well.
    pub notes: Vec<String>,
    /// Whether each temperature is given in °F too.
    pub fahrenheit: bool,
}

impl CardCell {
    /// The time as it is written, and whether it is outside and short; `None` for a dash.
    fn written(self) -> Option<(String, bool, bool)> {
        let (minutes, outside, short) = match self {
            Self::Time { minutes, outside } => (minutes, outside, false),
            Self::Short { minutes } => (minutes, false, true),
            Self::Unreachable => return None,
        };
        let seconds = f64::from(rounded_seconds(minutes)?);
        let short = short || seconds < 60.0 * SHORTEST_EVEN;
        Some((rounded_clock(minutes), outside, short))
    }
}

impl TimeTemperatureCard {
    /// The card as a scene of A5 size, to be written as SVG or PNG. It stands upright with up to
    /// five columns and lies on its side with more.
    #[must_use]
    pub fn scene(&self) -> Scene {
        let paper = if self.columns.len() > MOST_UPRIGHT { (A5.1, A5.0) } else { A5 };
        let layout = layout::Layout::new(self, paper);
        let title = match self.pairing.trim() {
            "" => "Development times",
            pairing => pairing,
        };
        let mut scene = Scene::on_paper(paper, title, &self.description());
        layout.draw_heading(&mut scene, self, title);
        table::draw(&mut scene, self, &layout);
        layout.draw_footer(&mut scene);
        scene
    }

    /// The cells with a column, as they are written.
    fn written(&self) -> impl Iterator<Item = Option<(String, bool, bool)>> + '_ {
        let width = self.columns.len();
        let cells = self.rows.iter().flat_map(move |row| row.cells.iter().take(width));
        cells.map(|cell| cell.written())
    }

    /// Whether something on the card rests on an assumed constant.
    fn has_assumption(&self) -> bool {
        self.notes.iter().any(|n| n.trim_start().starts_with(ASSUMED))
    }

    /// Whether a row is that of the reference temperature.
    fn is_reference(&self, celsius: f64) -> bool {
        self.reference_celsius.is_some_and(|r| (r - celsius).abs() < 0.05)
    }

    /// The card in words, row by row.
    fn description(&self) -> String {
        let mut words = format!("Development times in minutes and seconds by {}.", self.measure);
        for row in &self.rows {
            words.push_str(&format!(" {}:", cells::temperature(row.celsius)));
            for (column, cell) in self.columns.iter().zip(&row.cells) {
                let time = match cell.written() {
                    Some((time, ..)) => time,
                    None => "not reachable".to_owned(),
                };
                words.push_str(&format!(" {} {time};", column.heading.trim()));
            }
        }
        words
    }
}
