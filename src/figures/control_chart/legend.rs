//! Below the panels: what the lines and marks mean, and what has to be known beside them.

use super::ControlChartFigure;
use super::draw::{
    AVERAGE, CENTRE, CHANGE, DOT, EVENT, LIMIT, OUT, OUT_RADIUS, SIGNAL, SIGNAL_RADIUS, STRIPS,
    TOLERANCE,
};
use super::events::Events;
use super::layout::{LEFT, Page};
use crate::bath::control::{Chart, Rule, Stretch};
use crate::figures::chart::{Entry, Legend, Marker, Swatch};
use crate::figures::draw::{GREY, Paint, Scene, Text, shortened, wrapped};
use crate::words::number;

const GAP: f64 = 22.0;
const ROW: f64 = 20.0;
const NOTE: f64 = 11.0;
const NOTE_LINE: f64 = 15.0;
/// Lines of notes that are written.
const MOST_NOTES: usize = 10;

/// A row of entries: their places in the list, and where each begins.
pub(super) type Row = Vec<(usize, f64)>;

/// The entries of what is drawn.
pub(super) fn entries(figure: &ControlChartFigure, events: &Events) -> Vec<Entry> {
    let stretches = || figure.charts.iter().flat_map(Chart::stretches);
    let any = |of: fn(&Stretch) -> bool| stretches().any(of);
    let signals = || figure.charts.iter().flat_map(Chart::signals);
    let beyond =
        |r: Rule| matches!(r, Rule::AboveTolerance | Rule::BelowTolerance | Rule::BeyondThree);
    let line = |words: &str, stroke| Entry::new(words, vec![(Swatch::Line, Paint::from(stroke))]);
    let mut entries = Vec::new();
    if figure.charts.is_empty() {
        return entries;
    }
    let strip = vec![(Swatch::Line, Paint::from(STRIPS)), (Swatch::Mark(Marker::Circle, 2.3), DOT)];
    entries.push(Entry::new("control strips", strip));
    let averages = figure.charts.iter().filter(|c| c.last().average.is_some());
    if let Some(chart) = averages.into_iter().next() {
        let words = format!("weighted average (λ = {})", number(chart.plan().weight, 2));
        entries.push(line(&words, AVERAGE));
    }
    if any(|s| s.control.is_ok() || s.tolerance.is_some()) {
        entries.push(line("centre or aim", CENTRE));
    }
    if any(|s| s.control.is_ok()) {
        entries.push(line("control limits", LIMIT));
    }
    if any(|s| s.tolerance.is_some()) {
        entries.push(line("tolerance", TOLERANCE));
    }
    if signals().any(|s| beyond(s.rule)) {
        let mark = vec![(Swatch::Mark(Marker::Diamond, OUT_RADIUS), OUT)];
        entries.push(Entry::new("beyond a limit or tolerance", mark));
    }
    if signals().any(|s| !beyond(s.rule)) {
        let mark = vec![(Swatch::Mark(Marker::Circle, SIGNAL_RADIUS), Paint::from(SIGNAL))];
        entries.push(Entry::new("breaks another rule", mark));
    }
    if figure.charts.iter().any(|c| !c.changes().is_empty()) {
        entries.push(line("new batch of strips", CHANGE));
    }
    if let Some(words) = events.words() {
        entries.push(line(&words, EVENT));
    }
    entries
}

/// The entries in rows that fit a width.
pub(super) fn rows(entries: &[Entry], width: f64) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    let mut x = f64::INFINITY;
    for (n, entry) in entries.iter().enumerate() {
        let own = entry_width(entry);
        if x + own > width {
            rows.push(Vec::new());
            x = 0.0;
        }
        if let Some(row) = rows.last_mut() {
            row.push((n, x));
        }
        x += own + GAP;
    }
    rows
}

fn entry_width(entry: &Entry) -> f64 {
    let alone = Legend { entries: vec![entry.clone()] };
    alone.width().ceil()
}

/// What has to be known, in lines: a note that several charts share names them all.
pub(super) fn notes(figure: &ControlChartFigure) -> Vec<String> {
    let mut notes: Vec<(String, Vec<&str>)> = Vec::new();
    for chart in &figure.charts {
        for note in chart.notes().iter().map(ToString::to_string) {
            let name = chart.plan().name.as_str();
            match notes.iter_mut().find(|(known, _)| *known == note) {
                Some((_, names)) => names.push(name),
                None => notes.push((note, vec![name])),
            }
        }
    }
    let lines = notes.into_iter().flat_map(|(note, names)| {
        let names = match names.len() {
            n if n > 1 && n == figure.charts.len() => "all".to_owned(),
            _ => names.join(", "),
        };
        let names = shortened(&names, NOTE, 0.6 * Page::text_width());
        wrapped(&format!("{names}: {note}"), NOTE, Page::text_width())
    });
    let mut lines: Vec<String> = lines.collect();
    if lines.len() > MOST_NOTES {
        let left = lines.len() - (MOST_NOTES - 1);
        lines.truncate(MOST_NOTES - 1);
        lines.push(format!("and {left} more lines of notes"));
    }
    lines
}

/// Height of rows and notes.
pub(super) fn height(rows: &[Row], notes: usize) -> f64 {
    let between = if notes > 0 { 6.0 } else { 0.0 };
    rows.len() as f64 * ROW + between + notes as f64 * NOTE_LINE
}

/// Draws the entries in their rows, and the notes below them.
pub(super) fn draw(scene: &mut Scene, page: &Page, (entries, notes): (&[Entry], &[String])) {
    for (n, row) in page.legend.iter().enumerate() {
        let y = page.foot + n as f64 * ROW;
        for (place, x) in row {
            let alone = Legend { entries: vec![entries[*place].clone()] };
            alone.draw(scene, (LEFT + x, y), entry_width(&entries[*place]));
        }
    }
    let top = page.foot + height(&page.legend, 0) + 6.0;
    for (n, note) in notes.iter().enumerate() {
        let at = (LEFT, top + (n as f64 + 0.8) * NOTE_LINE);
        scene.text(Text::new(note, at, NOTE).coloured(GREY));
    }
}
