//! What happened to the bath: hairlines through the panels, labels above the first one.

use super::Mark;
use crate::figures::chart::{Plot, day_number};
use crate::figures::draw::{GREY, Path, RULE, Scene, Stroke, Text, shortened, text_width};
use jiff::civil::Date;
use std::collections::{BTreeMap, HashMap};

const EVENT: Stroke = Stroke::solid(RULE, 0.8);
const LABEL: f64 = 11.5;
/// Rows of labels above the first panel.
const ROWS: usize = 3;
const ROW: f64 = 14.5;
const GAP: f64 = 7.0;
const WIDEST: f64 = 120.0;
/// Hairlines closer than this on average would be a wash over the strips: they become short ticks
/// above the first panel.
const CLOSEST: f64 = 6.0;
const SHORT: f64 = 5.0;
/// Hairlines closer than this are one.
const SAME: f64 = 0.75;
/// What happens on more days than this, beside rarer things, is routine: it gets a short tick at the foot of
/// the first panel, and no words.
const ROUTINE: usize = 12;

/// One day on which something happened.
struct Event {
    /// In the middle of the day.
    at: f64,
    /// How far that is from the left of a plot, and how wide its label.
    x: f64,
    width: f64,
    text: String,
    /// Row of its label from the top, if there is room for it.
    row: Option<usize>,
}

/// All of them, in the order of time.
pub(super) struct Events {
    events: Vec<Event>,
    rows: usize,
    crowded: bool,
    /// Places in time of what is routine, and what it is called.
    routine: Vec<f64>,
    routine_words: Vec<String>,
}

impl Events {
    /// The events on plots of this width for these days, with this room right of them.
    pub fn of(marks: &[Mark], days: (f64, f64), width: f64, room: f64) -> Self {
        let mut by_day: BTreeMap<Date, Vec<&str>> = BTreeMap::new();
        for mark in marks {
            let texts = by_day.entry(mark.date).or_default();
            if !texts.contains(&mark.text.trim()) {
                texts.push(mark.text.trim());
            }
        }
        let (routine, routine_words) = take_routine(&mut by_day);
        let event = |(date, texts): (Date, Vec<&str>)| {
            let at = day_number(date) + 0.5;
            let text = shortened(&texts.join(", "), LABEL, WIDEST).into_owned();
            Event {
                at,
                x: (at - days.0) / (days.1 - days.0) * width,
                width: text_width(&text, LABEL),
                text,
                row: None,
            }
        };
        let mut events: Vec<Event> = by_day.into_iter().map(event).collect();
        let crowded = events.len() as f64 * CLOSEST > width;
        let right = width + room - 8.0;
        if crowded {
            in_one_row(&mut events, right);
        } else {
            in_rows(&mut events, right);
        }
        let rows = events.iter().filter_map(|e| e.row).max().map_or(0, |r| r + 1);
        Self { events, rows, crowded, routine, routine_words }
    }

    /// Height of the labels above the first panel.
    pub fn lane(&self) -> f64 {
        match self.rows {
            0 => 0.0,
            rows => rows as f64 * ROW + if self.crowded { SHORT + 2.0 } else { 3.0 },
        }
    }

    /// The hairlines inside of a panel; in the first one also the ticks of what is routine.
    pub fn draw_lines(&self, scene: &mut Scene, plot: &Plot, first: bool) {
        let area = plot.area;
        if first {
            let mut ticks = Path::default();
            for x in self.routine.iter().map(|at| plot.x.at(*at)) {
                ticks.add_line([(x, area.bottom() - SHORT), (x, area.bottom())]);
            }
            scene.shape(ticks, EVENT);
        }
        if !self.crowded {
            self.draw_hairlines(scene, plot, (area.y, area.bottom()));
        }
    }

    /// Short ticks above the first panel, where hairlines would be too many.
    pub fn draw_ticks_above(&self, scene: &mut Scene, plot: &Plot) {
        if self.crowded {
            self.draw_hairlines(scene, plot, (plot.area.y - SHORT, plot.area.y));
        }
    }

    fn draw_hairlines(&self, scene: &mut Scene, plot: &Plot, (from, to): (f64, f64)) {
        let mut lines = Path::default();
        let mut last = f64::NEG_INFINITY;
        for x in self.events.iter().map(|e| plot.x.at(e.at)) {
            if x - last >= SAME {
                lines.add_line([(x, from), (x, to)]);
                last = x;
            }
        }
        scene.shape(lines, EVENT);
    }

    /// The labels above the first panel, with the hairlines up to them.
    pub fn draw_labels(&self, scene: &mut Scene, plot: &Plot) {
        let top = plot.area.y - self.lane();
        let foot = plot.area.y - if self.crowded { SHORT } else { 0.0 };
        let mut lines = Path::default();
        for event in &self.events {
            let Some(row) = event.row else { continue };
            let x = plot.x.at(event.at);
            let row = top + row as f64 * ROW;
            lines.add_line([(x, row + 1.0), (x, foot)]);
            let at = (x + 3.0, row + 0.5 * ROW);
            scene.text(Text::new(&event.text, at, LABEL).centred().coloured(GREY));
        }
        scene.shape(lines, EVENT);
    }

    /// What the hairlines are, for the legend.
    pub fn words(&self) -> Option<String> {
        let labelled = self.events.iter().filter(|e| e.row.is_some()).count();
        let named = match self.events.len() {
            0 => None,
            n if n == labelled => Some("what happened to the bath".to_owned()),
            n => Some(format!("what happened to the bath ({labelled} of {n} named)")),
        };
        let ticks = match self.routine.len() {
            0 => None,
            n => Some(format!("short ticks: {} ({n} days)", self.routine_words.join(", "))),
        };
        match (named, ticks) {
            (Some(named), Some(ticks)) => Some(format!("{named}; {ticks}")),
            (named, ticks) => named.or(ticks),
        }
    }
}

/// Takes what is routine out of the days: where in time it stands, and what it is called.
fn take_routine(by_day: &mut BTreeMap<Date, Vec<&str>>) -> (Vec<f64>, Vec<String>) {
    let mut counts: HashMap<&str, usize> = HashMap::new();
    for text in by_day.values().flatten() {
        *counts.entry(text).or_default() += 1;
    }
    // Where all is frequent nothing is routine.
    if counts.values().all(|n| *n > ROUTINE) {
        return (Vec::new(), Vec::new());
    }
    let mut words: Vec<&str> =
        counts.into_iter().filter(|(_, n)| *n > ROUTINE).map(|(text, _)| text).collect();
    words.sort_unstable();
    let mut at = Vec::new();
    by_day.retain(|date, texts| {
        let before = texts.len();
        texts.retain(|t| !words.contains(t));
        if texts.len() < before {
            at.push(day_number(*date) + 0.5);
        }
        !texts.is_empty()
    });
    (at, words.into_iter().map(str::to_owned).collect())
}

/// Gives labels their rows. A label begins at its hairline. The hairline of a later event that would
/// cut through it must end below: so that event's label goes one row down, or nowhere.
fn in_rows(events: &mut [Event], right: f64) {
    let mut ends = [f64::NEG_INFINITY; ROWS];
    for event in events.iter_mut().filter(|e| e.fits(right)) {
        let covered = ends.iter().rposition(|end| end + GAP > event.x);
        let row = covered.map_or(0, |r| r + 1);
        if row < ROWS {
            ends[row] = event.x + event.width;
            event.row = Some(row);
        }
    }
}

/// Labels in one row, those with the rarest words first.
fn in_one_row(events: &mut [Event], right: f64) {
    let mut counts: HashMap<String, usize> = HashMap::new();
    for event in events.iter() {
        *counts.entry(event.text.clone()).or_default() += 1;
    }
    let mut order: Vec<usize> = (0..events.len()).filter(|n| events[*n].fits(right)).collect();
    order.sort_by_key(|n| counts[&events[*n].text]);
    let mut taken: Vec<(f64, f64)> = Vec::new();
    for n in order {
        let event = &mut events[n];
        let (from, to) = (event.x - GAP, event.x + event.width + GAP);
        if taken.iter().all(|(start, end)| to < *start || from > *end) {
            taken.push((event.x, event.x + event.width));
            event.row = Some(0);
        }
    }
}

impl Event {
    /// Whether it has words, and room for them on the page.
    fn fits(&self, right: f64) -> bool {
        !self.text.is_empty() && self.x + self.width < right
    }
}
