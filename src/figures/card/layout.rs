//! Where everything stands on the card, and how large.

use super::footer::Footer;
use super::{ASSUMED, TimeTemperatureCard};
use crate::figures::draw::{
    Anchor, BLACK, MILLIMETRE, Paint, Path, Rect, Scene, Stroke, Text, WHITE, shortened,
    text_width, wrapped,
};

const MARGIN: f64 = 7.0 * MILLIMETRE;
const TITLE: f64 = 6.4 * MILLIMETRE;
const LEAST_TITLE: f64 = 4.4 * MILLIMETRE;
const DETAIL: f64 = 3.8 * MILLIMETRE;
const GAP: f64 = 3.0 * MILLIMETRE;
/// Height of a line of details.
const LINE: f64 = 1.35 * DETAIL;
/// From the edge of a warning to its words.
const PADDING: f64 = 1.5 * MILLIMETRE;
/// The most of the card's height that its foot may take.
const FOOTER_SHARE: f64 = 0.24;

/// The parts of the card, in page units.
pub(super) struct Layout {
    /// Inside the margins.
    pub page: Rect,
    /// The table with its headings.
    pub table: Rect,
    title_size: f64,
    standing: Vec<String>,
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
        let standing = card.standing.as_deref().map(str::trim).filter(|s| !s.is_empty());
        let standing = standing.map_or_else(Vec::new, |words| {
            wrapped(&format!("Bath: {words}"), DETAIL, page.width - 2.0 * PADDING)
        });
        let details = details(card, page.width);
        let lines = standing.len() + details.len();
        let top = page.y + 1.15 * TITLE + LINE * lines as f64 + GAP;
        let gap = if footer.height() > 0.0 { GAP } else { 0.0 };
        let table = Rect {
            x: page.x,
            y: top,
            width: page.width,
            height: page.bottom() - footer.height() - gap - top,
        };
        Self { page, table, title_size, standing, details, footer }
    }

    /// Title, date and the state of the bath.
    pub fn draw_heading(&self, scene: &mut Scene, card: &TimeTemperatureCard, title: &str) {
        let mark = if card.has_assumption() { format!(" {ASSUMED}") } else { String::new() };
        let room = self.page.width - text_width(&mark, self.title_size);
        let title = shortened(title, self.title_size, room);
        let baseline = self.page.y + 0.8 * TITLE;
        let words = Text::new(format!("{title}{mark}"), (self.page.x, baseline), self.title_size);
        scene.text(words.coloured(BLACK));
        let top = baseline + 0.35 * TITLE;
        let warning = card.warns && !self.standing.is_empty();
        if warning {
            let height = LINE * self.standing.len() as f64;
            let ground = Rect { x: self.page.x, y: top, width: self.page.width, height };
            scene.shape(Path::rect(ground), Paint::filled(BLACK));
        }
        let inset = if warning { PADDING } else { 0.0 };
        let standing = self.standing.iter().map(|line| (line, inset, warning));
        let details = self.details.iter().map(|line| (line, 0.0, false));
        for (n, (line, inset, white)) in standing.chain(details).enumerate() {
            let at = (self.page.x + inset, top + LINE * n as f64 + DETAIL);
            let words = Text::new(line, at, DETAIL);
            scene.text(words.coloured(if white { WHITE } else { BLACK }));
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
