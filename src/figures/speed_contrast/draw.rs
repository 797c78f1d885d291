//! The curve, the contrast of ISO 6, the strips and their names.

use super::{INDICES, SpeedAt, SpeedContrastFigure};
use crate::figures::chart::{Entry, Legend, Marker, Plot, Room, Swatch};
use crate::figures::draw::{
    Anchor, BLUE, Colour, GREY, Paint, Path, Scene, Stroke, Text, WHITE, shortened,
};
use crate::figures::temperatures::{STRIP, Temperatures, draw_mark};
use crate::words::number;

const CURVE: Stroke = Stroke::solid(BLUE, 2.2);
const BAND: Paint = Paint::tinted(BLUE, 0.2);
/// The amber that the triangle of ISO 6 has in the characteristic curve.
const AMBER: Colour = Colour::hex(0xB4_69_00);
const ISO: Stroke = Stroke::solid(AMBER, 1.3).dashed(&[9.0, 3.0, 2.0, 3.0]);
const ISO_SPEED: Stroke = Stroke::solid(AMBER, 1.0).dashed(&[2.0, 2.5]);
const ISO_MARK: Paint = Paint { fill: Some((AMBER, 1.0)), stroke: Some(Stroke::solid(WHITE, 1.2)) };
const ISO_RADIUS: f64 = 5.0;
const NAME: f64 = 11.0;
const NAME_WIDTH: f64 = 110.0;
/// With more strips than this, names would only be in the way.
const MOST_NAMES: usize = 30;

/// Draws band and curve.
pub(super) fn curve(scene: &mut Scene, plot: &Plot, figure: &SpeedContrastFigure) {
    let held = |index: f64| index.clamp(INDICES.0, INDICES.1).log10();
    let points = figure.line().zip(&figure.curve);
    let edges: Vec<(f64, f64, f64)> =
        points.map(|((contrast, _), p)| (contrast, held(p.low), held(p.high))).collect();
    scene.shape(plot.band(&edges), BAND);
    scene.shape(plot.line(figure.line()), CURVE);
}

/// Draws the contrast of ISO 6 as an upright, and the speed there with a line to the axis.
pub(super) fn iso(scene: &mut Scene, plot: &Plot, figure: &SpeedContrastFigure) {
    let Some((contrast, speed)) = figure.iso_mark() else {
        return;
    };
    let x = plot.x.at(contrast);
    let upright = Path::line([(x, plot.area.y), (x, plot.area.bottom())]);
    scene.shape(upright, ISO);
    if let Some(y) = speed.map(|s| plot.y.at(s)) {
        scene.shape(Path::line([(plot.area.x, y), (x, y)]), ISO_SPEED);
        scene.shape(Marker::Diamond.path([(x, y)], ISO_RADIUS), ISO_MARK);
    }
}

/// Draws each strip with its intervals.
pub(super) fn strips(
    scene: &mut Scene,
    plot: &Plot,
    figure: &SpeedContrastFigure,
    groups: &Temperatures,
) {
    for strip in figure.drawn() {
        if let Some(at) = strip.at() {
            let bars: Vec<_> = bars(plot, strip);
            draw_mark(scene, groups.style(strip.celsius), plot.at(at), &bars);
        }
    }
}

fn bars(plot: &Plot, strip: &SpeedAt) -> Vec<[(f64, f64); 2]> {
    let on_page = |bar: [(f64, f64); 2]| bar.map(|end| plot.at(end));
    strip.bars().into_iter().map(on_page).collect()
}

/// Writes "ISO contrast" at its upright and the names of the strips, where they hide nothing.
pub(super) fn names(scene: &mut Scene, plot: &Plot, figure: &SpeedContrastFigure) {
    let mut room = Room::new(plot.area);
    room.take_line(figure.line().map(|p| plot.at(p)));
    for strip in figure.drawn() {
        room.take_mark(plot.at(strip.at().unwrap_or_default()), STRIP + 1.0);
        for [from, to] in bars(plot, strip) {
            room.take_line([from, to]);
            for (x, y) in [from, to] {
                room.take_mark((x, y), 3.0);
            }
        }
    }
    if let Some((contrast, speed)) = figure.iso_mark() {
        label_iso(scene, plot, contrast);
        let x = plot.x.at(contrast);
        room.take_line([(x, plot.area.y), (x, plot.area.bottom())]);
        if let Some(y) = speed.map(|s| plot.y.at(s)) {
            room.take_line([(plot.area.x, y), (x, y)]);
            room.take_mark((x, y), ISO_RADIUS + 1.0);
            let words = figure.iso.and_then(|iso| iso.written()).unwrap_or_default();
            let label = room.place(&format!("ISO {words}"), 12.0, (plot.area.x, y), 3.0);
            if let Some(text) = label {
                scene.text(text.coloured(AMBER));
            }
        }
    }
    if figure.drawn().count() > MOST_NAMES {
        return;
    }
    for strip in figure.drawn() {
        let at = plot.at(strip.at().unwrap_or_default());
        let name = shortened(strip.name.trim(), NAME, NAME_WIDTH);
        if let Some(text) = room.place(&name, NAME, at, STRIP) {
            scene.text(text.coloured(GREY));
        }
    }
}

/// The name of the upright, above the frame: nothing is drawn there.
fn label_iso(scene: &mut Scene, plot: &Plot, contrast: f64) {
    let words = Text::new("ISO contrast", (0.0, plot.area.y - 5.0), NAME);
    let half = words.width() / 2.0;
    let (from, to) = (plot.area.x + half, plot.area.right() - half);
    let at = (plot.x.at(contrast).clamp(from, to), words.at.1);
    let words = Text { at, ..words }.anchored(Anchor::Middle);
    scene.text(words.coloured(AMBER));
}

/// What is drawn, with its values.
pub(super) fn legend(figure: &SpeedContrastFigure, groups: &Temperatures) -> Legend {
    let mut entries = groups.entries();
    if !figure.curve.is_empty() {
        let samples = vec![(Swatch::Patch, BAND), (Swatch::Line, CURVE.into())];
        entries.push(Entry::new("fitted curve", samples).with_detail("with its 95 % interval"));
    }
    if let Some((contrast, speed)) = figure.iso_mark() {
        let words = format!("ISO contrast {}", number(contrast, 2));
        let entry = Entry::new(words, vec![(Swatch::Line, ISO.into())]);
        entries.push(entry.with_detail("where ISO 6 takes the speed"));
        if let Some(written) = speed.and(figure.iso).and_then(|iso| iso.written()) {
            let samples = vec![(Swatch::Mark(Marker::Diamond, ISO_RADIUS), ISO_MARK)];
            let mut entry = Entry::new(format!("ISO speed {written}"), samples);
            let rounded = figure.iso.filter(|iso| iso.rounded.is_some());
            if let Some(value) = rounded.and_then(|iso| iso.speed) {
                entry = entry.with_detail(format!("rounded from {}", number(value, 0)));
            }
            entries.push(entry);
        }
    }
    if entries.is_empty() {
        entries.push(Entry::new("no strips", Vec::new()));
    }
    Legend { entries }
}
