//! The curve with its band, the asymptote, the strips and their names.

use super::extent::Extent;
use super::{ContrastTimeFigure, MOST_CONTRAST, aims, possible};
use crate::figures::chart::{Entry, Legend, Plot, Room, Swatch};
use crate::figures::draw::{BLUE, GREY, Paint, Scene, Stroke, shortened};
use crate::figures::temperatures::{STRIP, Temperatures, draw_mark};
use crate::words::number;

const CURVE: Stroke = Stroke::solid(BLUE, 2.2);
const BAND: Paint = Paint::tinted(BLUE, 0.2);
const ASYMPTOTE: Stroke = Stroke::solid(GREY, 1.2).dashed(&[9.0, 4.5]);
const NAME: f64 = 11.0;
const NAME_WIDTH: f64 = 110.0;
/// With more strips than this, names would only be in the way.
const MOST_NAMES: usize = 30;

/// Draws band, curve and asymptote.
pub(super) fn curve(scene: &mut Scene, plot: &Plot, figure: &ContrastTimeFigure) {
    let held = |c: f64| c.clamp(-2.0 * MOST_CONTRAST, 2.0 * MOST_CONTRAST);
    let points = figure.line().zip(&figure.curve);
    let edges: Vec<(f64, f64, f64)> =
        points.map(|((minutes, _), p)| (minutes, held(p.low), held(p.high))).collect();
    scene.shape(plot.band(&edges), BAND);
    if let Some(asymptote) = figure.asymptote.and_then(possible) {
        let (from, to) = plot.x.domain;
        scene.shape(plot.line([(from, asymptote), (to, asymptote)]), ASYMPTOTE);
    }
    scene.shape(plot.line(figure.line()), CURVE);
}

/// Draws each strip with its interval.
pub(super) fn strips(
    scene: &mut Scene,
    plot: &Plot,
    figure: &ContrastTimeFigure,
    groups: &Temperatures,
) {
    let held = |c: f64| c.clamp(-2.0 * MOST_CONTRAST, 2.0 * MOST_CONTRAST);
    for strip in figure.drawn() {
        let ends = [strip.low, strip.high].map(|c| plot.at((strip.minutes, held(c))));
        let whole = ends.iter().all(|e| e.1.is_finite());
        let bars = if whole { vec![ends] } else { Vec::new() };
        let at = plot.at((strip.minutes, strip.contrast));
        draw_mark(scene, groups.style(strip.celsius), at, &bars);
    }
}

/// Writes the names of the strips where they hide nothing.
pub(super) fn names(scene: &mut Scene, plot: &Plot, figure: &ContrastTimeFigure) {
    if figure.drawn().count() > MOST_NAMES {
        return;
    }
    let mut room = Room::new(plot.area);
    room.take_line(figure.line().map(|p| plot.at(p)));
    for strip in figure.drawn() {
        room.take_mark(plot.at((strip.minutes, strip.contrast)), STRIP + 1.0);
        for end in [strip.low, strip.high] {
            let (x, y) = plot.at((strip.minutes, end));
            room.take_line([plot.at((strip.minutes, strip.contrast)), (x, y)]);
            room.take_line([(x - STRIP, y), (x + STRIP, y)]);
        }
    }
    for line in aims::lines(plot, figure) {
        room.take_line(line);
    }
    for strip in figure.drawn() {
        let at = plot.at((strip.minutes, strip.contrast));
        let name = shortened(strip.name.trim(), NAME, NAME_WIDTH);
        if let Some(text) = room.place(&name, NAME, at, STRIP) {
            scene.text(text.coloured(GREY));
        }
    }
}

/// What is drawn, with its values.
pub(super) fn legend(
    figure: &ContrastTimeFigure,
    groups: &Temperatures,
    extent: &Extent,
) -> Legend {
    let mut entries = groups.entries();
    if !figure.curve.is_empty() {
        let samples = vec![(Swatch::Patch, BAND), (Swatch::Line, CURVE.into())];
        entries.push(Entry::new("fitted curve", samples).with_detail("with its 95 % interval"));
    }
    if figure.drawn_aims().next().is_some() {
        let samples = vec![(Swatch::Line, aims::LINE.into())];
        let entry = Entry::new("aim, down to its time", samples);
        entries.push(entry.with_detail("contrast and min:s at the right"));
    }
    if let Some(asymptote) = figure.asymptote.and_then(possible) {
        let words = format!("asymptote {}", number(asymptote, 2));
        let entry = Entry::new(words, vec![(Swatch::Line, ASYMPTOTE.into())]);
        let inside = (extent.y.0..=extent.y.1).contains(&asymptote);
        entries.push(entry.with_detail(if inside {
            "approached, never reached"
        } else {
            "beyond the axis"
        }));
    }
    if entries.is_empty() {
        entries.push(Entry::new("no strips", Vec::new()));
    }
    Legend { entries }
}
