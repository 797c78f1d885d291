//! Where everything stands on the card, and how large.

use super::footer::Footer;
use super::{ASSUMED, TimeTemperatureCard};
use crate::figures::draw::{
    Anchor, BLACK, MILLIMETRE, Path, Rect, Scene, Stroke, Text, shortened, text_width,
};

const MARGIN: f64 = 7.0 * MILLIMETRE;
const TITLE: f64 = 6.4 * MILLIMETRE;
const LEAST_TITLE: f64 = 4.4 * MILLIMETRE;
const DETAIL: f64 = 3.8 * MILLIMETRE;
const GAP: f64 = 3.0 * MILLIMETRE;
/// The most of the card's height that its foot may take.
const FOOTER_SHARE: f64 = 0.24;

/// The parts of the card, in page units.
pub(super) struct Layout {
    /// Inside the margins.
    pub page: Rect,
    /// The table with its headings.
    pub table: Rect,
    title_size: f64,
    details: Vec<String>,
    footer: Footer,
}

impl Layout {
    pub fn new(card: &TimeTemperatureCard, paper: (f64, f64)) -> Self {
        let (width, height) = (paper.0 * MILLIMETRE, paper.1 * MILLIMETRE);
        let page = Rect {
            x: MARGIN,
            y: MARGIN,
            width: width - 2.0 * MARGIN,
            height: height - 2.0 * MARGIN,
        };
        let footer = Footer::new(card, page.width, FOOTER_SHARE * page.height);
        let room = page.width - text_width(&ASSUMED.to_string(), TITLE);
        let natural = text_width(card.pairing.trim(), TITLE);
        let title_size = (TITLE * (room / natural.max(1.0)).min(1.0)).max(LEAST_TITLE);
        let details = details(card, page.width);
        let top = page.y + 1.15 * TITLE + 1.35 * DETAIL * details.len() as f64 + GAP;
        let gap = if footer.height() > 0.0 { GAP } else { 0.0 };
        let table = Rect {
            x: page.x,
            y: top,
            width: page.width,
            height: page.bottom() - footer.height() - gap - top,
        };
        Self { page, table, title_size, details, footer }
    }

    /// Title, date and the state of the bath.
    pub fn draw_heading(&self, scene: &mut Scene, card: &TimeTemperatureCard, title: &str) {
        let mark = if card.has_assumption() { format!(" {ASSUMED}") } else { String::new() };
        let room = self.page.width - text_width(&mark, self.title_size);
        let title = shortened(title, self.title_size, room);
        let baseline = self.page.y + 0.8 * TITLE;
        let words = Text::new(format!("{title}{mark}"), (self.page.x, baseline), self.title_size);
        scene.text(words.coloured(BLACK));
        for (n, detail) in self.details.iter().enumerate() {
            let at = baseline + 0.35 * TITLE + DETAIL * (0.85 + 1.35 * n as f64);
            let words = Text::new(detail, (self.page.x, at), DETAIL);
            scene.text(words.coloured(BLACK));
        }
    }

    /// The foot, at the bottom of the page.
    pub fn draw_footer(&self, scene: &mut Scene) {
        let top = self.page.bottom() - self.footer.height();
        self.footer.draw(scene, (self.page.x, top));
    }
}

/// The bath's state and the date, on one line where they fit.
fn details(card: &TimeTemperatureCard, width: f64) -> Vec<String> {
    let given = [card.activity.as_deref(), card.date.as_deref()];
    let parts: Vec<&str> = given.into_iter().flatten().map(str::trim).collect();
    let parts: Vec<&str> = parts.into_iter().filter(|p| !p.is_empty()).collect();
    let joined = parts.join(" · ");
    if joined.is_empty() {
        return Vec::new();
    }
    if text_width(&joined, DETAIL) <= width {
        return vec![joined];
    }
    let short = |part: &&str| shortened(part, DETAIL, width).into_owned();
    parts.iter().map(short).collect()
}

/// Text in the middle of a place, no larger than `size` and no wider than `width`; below `least`
/// it is shortened rather than made smaller.
pub(super) fn fitted(words: &str, at: (f64, f64), size: f64, width: f64, least: f64) -> Text {
    let natural = text_width(words, size);
    let shrunk = size * (width / natural.max(1e-6)).min(1.0);
    let least = least.min(size);
    let (words, size) = if shrunk < least {
        (shortened(words, least, width), least)
    } else {
        (words.into(), shrunk)
    };
    Text::new(words, at, size).anchored(Anchor::Middle).centred().coloured(BLACK)
}

/// A rule from left to right.
pub(super) fn rule(scene: &mut Scene, (from, to): (f64, f64), y: f64, millimetres: f64) {
    let line = Path::line([(from, y), (to, y)]);
    scene.shape(line, Stroke::solid(BLACK, millimetres * MILLIMETRE));
}
