//! Where everything stands on the page, and how large.

use super::blocks::{Bullets, LINE, lines, sizes};
use super::table::Grid;
use super::{Checklist, Headline};
use crate::figures::draw::{CAP_HEIGHT, MILLIMETRE, Rect, shortened, text_width};

const MARGIN: f64 = 12.0 * MILLIMETRE;
pub(super) const TITLE: f64 = 6.2 * MILLIMETRE;
pub(super) const DETAIL: f64 = 3.6 * MILLIMETRE;
/// Capitals of the great number.
const NUMBER: f64 = 11.0 * MILLIMETRE / CAP_HEIGHT;
/// The most of the width that the great number takes.
const NUMBER_SHARE: f64 = 0.4;
/// The least that it is made smaller to.
const LEAST_NUMBER: f64 = 0.3;
/// Sizes of the words beside the great number.
const BESIDE: [f64; 4] = [3.9 * MILLIMETRE, 3.5 * MILLIMETRE, 3.1 * MILLIMETRE, 2.8 * MILLIMETRE];
/// Lines beside it.
const MOST_BESIDE: usize = 5;
/// Lines below the title.
const MOST_DETAILS: usize = 4;
/// Inside of the frame about the cautions.
pub(super) const INSET: f64 = 2.2 * MILLIMETRE;
/// Tables on a page.
const MOST_TABLES: usize = 6;
/// What notes have at least of the height that tables and notes share.
const NOTES_SHARE: f64 = 0.12;
/// The most of the page that cautions take.
const CAUTIONS_SHARE: f64 = 0.3;

/// The great number, in a size that fits.
pub(super) struct Great {
    pub number: String,
    pub size: f64,
    /// Size of the words.
    pub beside: f64,
    pub lines: Vec<String>,
    /// From the left edge to the words.
    pub indent: f64,
}

/// The parts of the page, from top to bottom.
pub(super) struct Layout<'a> {
    /// Inside the margins.
    pub page: Rect,
    pub title: String,
    pub details: Vec<String>,
    pub cautions: Bullets,
    pub great: Option<Great>,
    pub grids: Vec<Grid<'a>>,
    pub notes: Bullets,
    /// Between the parts.
    pub gap: f64,
}

impl<'a> Layout<'a> {
    pub fn new(list: &'a Checklist, title: &str, paper: (f64, f64)) -> Self {
        let page = Rect {
            x: MARGIN,
            y: MARGIN,
            width: paper.0 * MILLIMETRE - 2.0 * MARGIN,
            height: paper.1 * MILLIMETRE - 2.0 * MARGIN,
        };
        let mut tried = sizes().map(|size| Self::in_size(list, title, page, size));
        let mut last = None;
        let fitting = tried.find_map(|layout| {
            let fits = layout.height() <= page.height;
            match fits {
                true => Some(layout),
                false => {
                    last = Some(layout);
                    None
                }
            }
        });
        match fitting.or(last) {
            Some(layout) => layout.squeezed(),
            None => Self::in_size(list, title, page, DETAIL),
        }
    }

    fn in_size(list: &'a Checklist, title: &str, page: Rect, size: f64) -> Self {
        let details = list.details.iter().map(|d| shortened(d.trim(), DETAIL, page.width));
        let details = details.filter(|d| !d.is_empty()).take(MOST_DETAILS);
        let cautions = Bullets::new(&list.cautions, size, page.width - 2.0 * INSET);
        Self {
            title: shortened(title, TITLE, page.width).into_owned(),
            details: details.map(|d| d.into_owned()).collect(),
            cautions: cautions
                .within(CAUTIONS_SHARE * page.height, "… more than the page has room for"),
            great: list.headline.as_ref().map(|h| great(h, page.width)),
            grids: list
                .tables
                .iter()
                .filter(|t| !t.rows.is_empty() && !t.columns.is_empty())
                .take(MOST_TABLES)
                .map(|t| Grid::new(t, size, page.width))
                .collect(),
            notes: Bullets::new(&list.notes, size, page.width),
            page,
            gap: 0.9 * size,
        }
    }

    /// Height of all, gaps among them.
    fn height(&self) -> f64 {
        let grids: f64 = self.grids.iter().map(|g| g.height() + self.gap).sum();
        self.top_height() + grids + self.notes.height()
    }

    /// Height of title, details, cautions and the great number, with the gap after each.
    fn top_height(&self) -> f64 {
        let great = self.great.as_ref().map_or(0.0, |g| g.height() + self.gap);
        self.heading_height() + self.cautions_height() + great
    }

    /// Height of title and details.
    pub fn heading_height(&self) -> f64 {
        1.15 * TITLE + LINE * DETAIL * self.details.len() as f64 + self.gap
    }

    /// Height of the frame with the cautions, and the gap after it.
    pub fn cautions_height(&self) -> f64 {
        match self.cautions.lines.is_empty() {
            true => 0.0,
            false => self.cautions.height() + 2.0 * INSET + self.gap,
        }
    }

    /// The same page with fewer notes and rows, if it is too high.
    fn squeezed(mut self) -> Self {
        if self.height() <= self.page.height {
            return self;
        }
        let room = self.page.height - self.top_height();
        let tables =
            |grids: &[Grid<'_>], gap: f64| grids.iter().map(|g| g.height() + gap).sum::<f64>();
        let for_notes = (room - tables(&self.grids, self.gap)).max(NOTES_SHARE * room);
        self.notes = self.notes.within(for_notes, "… more notes than the page has room for");
        let room = room - self.notes.height();
        while tables(&self.grids, self.gap) > room {
            let longest = self.grids.iter_mut().max_by_key(|g| g.rows.len());
            if !longest.is_some_and(Grid::hide_one) {
                break;
            }
        }
        self
    }
}

impl Great {
    /// Height of the number, or of the words beside it.
    pub fn height(&self) -> f64 {
        let number = 1.1 * CAP_HEIGHT * self.size;
        number.max(LINE * self.beside * self.lines.len() as f64)
    }
}

/// The great number with its words in a width, in the largest type in which all words are seen.
fn great(headline: &Headline, width: f64) -> Great {
    let natural = text_width(headline.number.trim(), NUMBER);
    let size = NUMBER * (NUMBER_SHARE * width / natural.max(1e-6)).clamp(LEAST_NUMBER, 1.0);
    let number = shortened(headline.number.trim(), size, NUMBER_SHARE * width);
    let indent = text_width(&number, size) + BESIDE[0];
    let in_type = |beside: f64| {
        let words = headline.words.iter();
        words.flat_map(|text| lines(text, beside, width - indent)).collect::<Vec<_>>()
    };
    let tried = BESIDE.map(|beside| (beside, in_type(beside)));
    let fitting = tried.iter().find(|(_, lines)| lines.len() <= MOST_BESIDE);
    let (beside, mut lines) = fitting.unwrap_or(&tried[BESIDE.len() - 1]).clone();
    lines.truncate(MOST_BESIDE);
    Great { number: number.into_owned(), size, beside, lines, indent }
}
