//! The foot of the card: what the signs mean, and the notes.

use super::{ASSUMED, TimeTemperatureCard};
use crate::figures::chart::Marker;
use crate::figures::draw::{Anchor, BLACK, MILLIMETRE, Paint, Path, Scene, Stroke, Text, wrapped};

/// Sizes of type that are tried, in millimetres; the last one stays.
const SIZES: [f64; 4] = [3.5, 3.1, 2.7, 2.5];
/// Height of a line, as a share of the size of its type.
const LINE: f64 = 1.36;

/// A sign beside a time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sign {
    /// Outside the calibrated range: an open triangle.
    Outside,
    /// Too short to be even: a filled square on its corner.
    Short,
    /// No time: a dash.
    Unreachable,
}

impl Sign {
    /// Draws the sign about a point; `size` is its width.
    pub fn draw(self, scene: &mut Scene, at: (f64, f64), size: f64) {
        match self {
            Self::Outside => {
                let triangle = Marker::TriangleUp.path([at], size / 2.9);
                scene.shape(triangle, Stroke::solid(BLACK, size / 7.0));
            }
            Self::Short => {
                let diamond = Marker::Diamond.path([at], size / 2.5);
                scene.shape(diamond, Paint::filled(BLACK));
            }
            Self::Unreachable => {
                let (from, to) = (at.0 - size / 2.0, at.0 + size / 2.0);
                let dash = Path::line([(from, at.1), (to, at.1)]);
                scene.shape(dash, Stroke::solid(BLACK, size / 7.0));
            }
        }
    }

    const fn meaning(self) -> &'static str {
        match self {
            Self::Outside => "outside the range that was calibrated",
            Self::Short => {
                "short: development may be uneven; common practice is 4\u{a0}min or more"
            }
            Self::Unreachable => "this contrast is not reached",
        }
    }
}

/// What stands before a line at the foot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Lead {
    /// The sign that the line explains.
    Sign(Sign),
    /// A letter: † or the bullet of a note.
    Letter(char),
    /// Nothing: the line goes on from the one before.
    Nothing,
}

/// One line at the foot.
#[derive(Clone, Debug, PartialEq)]
struct Line {
    lead: Lead,
    words: String,
}

/// The foot of a card: its lines in a size that leaves the table its room.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Footer {
    lines: Vec<Line>,
    size: f64,
}

impl Footer {
    /// The foot within a width, in at most a height where that can be.
    pub fn new(card: &TimeTemperatureCard, width: f64, most: f64) -> Self {
        let sizes = SIZES.map(|s| s * MILLIMETRE);
        let tried = sizes.map(|size| Self::in_size(card, size, width));
        let fitting = tried.iter().find(|footer| footer.height() <= most);
        let mut footer = fitting.unwrap_or(&tried[SIZES.len() - 1]).clone();
        let room = ((most / (LINE * footer.size)) as usize).max(1);
        if footer.lines.len() > room {
            footer.lines.truncate(room);
            if let Some(last) = footer.lines.last_mut() {
                *last = Line {
                    lead: Lead::Nothing,
                    words: "… more notes than the card has room for".to_owned(),
                };
            }
        }
        footer
    }

    fn in_size(card: &TimeTemperatureCard, size: f64, width: f64) -> Self {
        let mut lines = Vec::new();
        let mut add = |lead: Lead, words: &str| {
            let parts = wrapped(words, size, width - indent(size));
            for (n, words) in parts.into_iter().enumerate() {
                let lead = if n == 0 { lead } else { Lead::Nothing };
                lines.push(Line { lead, words });
            }
        };
        for sign in signs(card) {
            add(Lead::Sign(sign), sign.meaning());
        }
        for note in card.notes.iter().map(|n| n.trim()) {
            match note.strip_prefix(ASSUMED) {
                Some(words) => add(Lead::Letter(ASSUMED), words),
                None => add(Lead::Letter('•'), note),
            }
        }
        Self { lines, size }
    }

    /// Height in page units.
    pub fn height(&self) -> f64 {
        LINE * self.size * self.lines.len() as f64
    }

    /// Writes the foot with its top left corner at a position.
    pub fn draw(&self, scene: &mut Scene, (left, top): (f64, f64)) {
        let text = |words: &str, x: f64, y: f64| {
            Text::new(words, (x, y), self.size).centred().coloured(BLACK)
        };
        for (n, line) in self.lines.iter().enumerate() {
            let middle = top + LINE * self.size * (n as f64 + 0.5);
            let lead = (left + 0.5 * self.size, middle);
            match line.lead {
                Lead::Sign(sign) => sign.draw(scene, lead, 0.85 * self.size),
                Lead::Letter(c) => {
                    let letter = text(&c.to_string(), lead.0, middle);
                    scene.text(letter.anchored(Anchor::Middle));
                }
                Lead::Nothing => {}
            }
            scene.text(text(&line.words, left + indent(self.size), middle));
        }
    }
}

/// From the left edge to the words.
fn indent(size: f64) -> f64 {
    1.5 * size
}

/// The signs that stand in the table.
fn signs(card: &TimeTemperatureCard) -> Vec<Sign> {
    let has = |sign: Sign| {
        card.written().any(|cell| match (sign, cell) {
            (Sign::Outside, Some((_, outside, _))) => outside,
            (Sign::Short, Some((_, _, short))) => short,
            (Sign::Unreachable, cell) => cell.is_none(),
            _ => false,
        })
    };
    let all = [Sign::Outside, Sign::Short, Sign::Unreachable];
    all.into_iter().filter(|sign| has(*sign)).collect()
}
