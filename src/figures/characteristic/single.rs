//! One strip, with everything that its measures rest on.

use super::{ContrastIndexMark, IsoTriangle, StripCurve};
use crate::figures::chart::{Entry, Legend, Marker, Plot, Swatch};
use crate::figures::draw::{
    Anchor, BLUE, Colour, GREEN, GREY, INK, Paint, Path, Scene, Stroke, Text, VERMILLION, WHITE,
};
use crate::measures::ContrastCondition;
use crate::words::number;

const READING: f64 = 4.0;
const SUSPECT: f64 = 5.6;
/// From the left edge to the marks of the unexposed film, in page units.
pub(super) const UNEXPOSED_INSET: f64 = 12.0;
const NOTE: f64 = 11.0;

const CURVE: Stroke = Stroke::solid(BLUE, 2.2);
const FOG: Stroke = Stroke::solid(GREY, 1.1).dashed(&[6.0, 3.5]);
const CHORD: Stroke = Stroke::solid(GREEN, 1.4);
const ARC: Stroke = Stroke::solid(GREEN, 0.9).dashed(&[1.5, 2.5]);
/// A dark amber, between the palette's orange and its vermillion, for thin lines and small words.
const AMBER: Colour = Colour::hex(0xB4_69_00);
const TRIANGLE: Stroke = Stroke::solid(AMBER, 1.3);
const LEADER: Stroke = Stroke::solid(INK, 0.9).dashed(&[2.0, 2.0]);

const OPEN: Paint = Paint::open(Stroke::solid(INK, 1.2));
const DOUBTED: Paint = Paint::open(Stroke::solid(VERMILLION, 1.5));
const BAND: Paint = Paint::tinted(BLUE, 0.2);
const DOT: Paint = Paint { fill: Some((GREEN, 1.0)), stroke: Some(Stroke::solid(WHITE, 1.0)) };
const SPEED: Paint = Paint { fill: Some((INK, 1.0)), stroke: Some(Stroke::solid(WHITE, 1.2)) };

/// Draws the strip inside the plot area.
pub(super) fn draw(scene: &mut Scene, plot: &Plot, strip: &StripCurve) {
    scene.shape(plot.band(&strip.band()), BAND);
    if let Some(fog) = strip.fog() {
        let ends = [plot.x.domain.0, plot.x.domain.1];
        scene.shape(plot.line(ends.map(|x| (x, fog))), FOG);
    }
    if let Some(iso) = strip.triangle() {
        draw_triangle(scene, plot, &iso);
    }
    if let Some(mark) = strip.chord() {
        draw_chord(scene, plot, &mark);
    }
    if let Some(m) = strip.speed() {
        draw_leaders(scene, plot, m);
    }
    scene.shape(plot.marks(Marker::Circle, &strip.readings(false), READING), OPEN);
    scene.shape(plot.line(strip.line()), CURVE);
    scene.shape(plot.marks(Marker::CrossedCircle, &strip.readings(true), SUSPECT), DOUBTED);
    let left = plot.area.x + UNEXPOSED_INSET;
    let unexposed = strip.unexposed_densities().map(|d| (left, plot.y.at(d)));
    scene.shape(Marker::TriangleLeft.path(unexposed, READING), OPEN);
    if let Some(mark) = strip.chord() {
        let ends = [mark.chord.origin, mark.chord.near, mark.chord.far];
        scene.shape(plot.marks(Marker::Circle, &ends, 3.4), DOT);
    }
    if let Some(iso) = strip.triangle() {
        draw_passage(scene, plot, &iso);
    }
    if let Some(m) = strip.speed() {
        scene.shape(plot.marks(Marker::Diamond, &[m], 4.6), SPEED);
    }
}

/// The chord from O to Q, with the arcs that find P and Q.
fn draw_chord(scene: &mut Scene, plot: &Plot, mark: &ContrastIndexMark) {
    let (origin, far) = (plot.at(mark.chord.origin), plot.at(mark.chord.far));
    let rise = chord_angle(mark);
    let mut arcs = Path::default();
    for (end, beyond) in [(mark.chord.near, 30.0), (mark.chord.far, 8.0)] {
        let (x, y) = plot.at(end);
        let radius = (x - origin.0).hypot(y - origin.1);
        arcs.add_arc(origin, radius, 0.0, rise + beyond);
    }
    scene.shape(arcs, ARC);
    scene.shape(Path::line([origin, far]), CHORD);
}

/// Degrees above the horizontal; on equal scales the same in data and on the page.
fn chord_angle(mark: &ContrastIndexMark) -> f64 {
    let (from, to) = (mark.chord.origin, mark.chord.far);
    (to.1 - from.1).atan2(to.0 - from.0).to_degrees()
}

/// The triangle of ISO 6, and at its top the tolerance that the curve must pass through.
fn draw_triangle(scene: &mut Scene, plot: &Plot, iso: &IsoTriangle) {
    let (x, d) = iso.m;
    let right = x + 1.30;
    let corners = [(x, d), (right, d), (right, d + 0.80)].map(|p| plot.at(p));
    scene.shape(Path::polygon(corners), Paint::tinted(AMBER, 0.09));
    scene.shape(Path::line(corners), TRIANGLE);
    let (at, low) = plot.at((right, d + 0.75));
    let high = plot.y.at(d + 0.85);
    let mut gate = Path::line([(at, low), (at, high)]);
    for y in [low, high] {
        gate.add_line([(at - 8.0, y), (at + 8.0, y)]);
    }
    scene.shape(gate, Stroke::solid(AMBER, 2.2));
}

/// Where the curve passes the upright: a filled dot in tolerance, an open one outside.
fn draw_passage(scene: &mut Scene, plot: &Plot, iso: &IsoTriangle) {
    let at = (iso.m.0 + 1.30, iso.m.1 + iso.delta_d);
    if iso.condition != ContrastCondition::Met {
        let missed = plot.line([(at.0, iso.m.1 + 0.80), at]);
        scene.shape(missed, TRIANGLE.dashed(&[1.5, 2.5]));
    }
    let ring = Stroke::solid(AMBER, 1.6);
    let inside = if iso.condition == ContrastCondition::Met { AMBER } else { WHITE };
    let paint = Paint { fill: Some((inside, 1.0)), stroke: Some(ring) };
    scene.shape(plot.marks(Marker::Circle, &[at], 3.0), paint);
}

/// From the speed point down to its log exposure.
fn draw_leaders(scene: &mut Scene, plot: &Plot, m: (f64, f64)) {
    let (x, y) = plot.at(m);
    scene.shape(Path::line([(x, y), (x, plot.area.bottom())]), LEADER);
}

/// Short words and values at what they name.
pub(super) fn draw_labels(scene: &mut Scene, plot: &Plot, strip: &StripCurve) {
    let note =
        |words: String, at: (f64, f64), colour: Colour| Text::new(words, at, NOTE).coloured(colour);
    if let Some(fog) = strip.fog() {
        let at = (plot.area.right() + 6.0, plot.y.at(fog));
        scene.text(note(number(fog, 2), at, GREY).centred());
    }
    if let (Some((x, density)), Some(fog)) = (strip.speed(), strip.fog()) {
        let room = plot.area.bottom() - plot.y.at(fog.min(density));
        if room >= NOTE + 3.0 {
            let at = (plot.x.at(x) + 5.0, plot.area.bottom() - room / 2.0);
            scene.text(note(format!("m {}", number(x, 2)), at, INK).centred());
        }
    }
    if let Some(iso) = strip.triangle() {
        let (x, y) = plot.at((iso.m.0 + 0.95, iso.m.1));
        scene.text(note("1.30".to_owned(), (x, y - 5.0), AMBER).anchored(Anchor::Middle));
        let (x, y) = plot.at((iso.m.0 + 1.30, iso.m.1 + 0.36));
        let words = note("0.80 ± 0.05".to_owned(), (x + 7.0, y), AMBER).centred();
        if x + 7.0 + words.width() <= plot.area.right() {
            scene.text(words);
        }
    }
    if let Some(mark) = strip.chord() {
        label_chord(scene, plot, strip, &mark);
    }
}

/// The value along the chord, on the side that the curve leaves free, and the radius of each arc.
fn label_chord(scene: &mut Scene, plot: &Plot, strip: &StripCurve, mark: &ContrastIndexMark) {
    let rise = chord_angle(mark);
    let (sin, cos) = rise.to_radians().sin_cos();
    let (ox, oy) = mark.chord.origin;
    // How far a point lies along the chord, and how far to its upper left.
    let beside = |(x, d): (f64, f64)| {
        let (dx, dy) = (x - ox, d - oy);
        (dx * cos + dy * sin, dy * cos - dx * sin)
    };
    let along = 1.1;
    let near_label = strip.line().map(beside).filter(|p| (p.0 - along).abs() < 0.3);
    let curve_above = near_label.map(|p| p.1).sum::<f64>() > 0.0;
    let off = if curve_above { -(NOTE + 8.0) } else { 8.0 };
    let (x, y) = plot.at((ox + along * cos, oy + along * sin));
    let at = (x - off * sin, y - off * cos);
    let words = Text::new(format!("CI {}", number(mark.value, 2)), at, 12.0);
    scene.text(words.anchored(Anchor::Middle).rotated(rise).coloured(GREEN));
    for (end, beyond, radius) in [(mark.chord.near, 30.0, "0.2"), (mark.chord.far, 8.0, "2.2")] {
        let (from, to) = (plot.at(mark.chord.origin), plot.at(end));
        let reach = (to.0 - from.0).hypot(to.1 - from.1);
        let (sin, cos) = f64::to_radians(rise + beyond).sin_cos();
        let at = (from.0 + reach * cos, from.1 - reach * sin - 4.0);
        if plot.area.contains((at.0, at.1 - NOTE)) {
            let words = Text::new(radius, at, NOTE).coloured(GREEN);
            scene.text(words.anchored(Anchor::Middle));
        }
    }
}

/// What is drawn, with its values.
pub(super) fn legend(strip: &StripCurve) -> Legend {
    let mut entries = Vec::new();
    if !strip.name.trim().is_empty() {
        entries.push(Entry::new(strip.name.clone(), Vec::new()));
    }
    let mark = |marker, radius, paint: Paint| vec![(Swatch::Mark(marker, radius), paint)];
    if !strip.readings(false).is_empty() {
        entries.push(Entry::new("reading", mark(Marker::Circle, READING, OPEN)));
    }
    if !strip.readings(true).is_empty() {
        let sample = mark(Marker::CrossedCircle, SUSPECT, DOUBTED);
        entries.push(Entry::new("suspect reading", sample));
    }
    if strip.unexposed_densities().next().is_some() {
        entries.push(Entry::new("unexposed film", mark(Marker::TriangleLeft, READING, OPEN)));
    }
    if !strip.curve.is_empty() {
        let samples = vec![(Swatch::Patch, BAND), (Swatch::Line, CURVE.into())];
        entries.push(Entry::new("fitted curve", samples).with_detail("with its 95 % interval"));
    }
    if let Some(fog) = strip.fog() {
        let words = format!("base + fog {}", number(fog, 2));
        entries.push(Entry::new(words, vec![(Swatch::Line, FOG.into())]));
    }
    if let Some((x, _)) = strip.speed() {
        let entry = Entry::new(
            format!("speed point m {}", number(x, 2)),
            mark(Marker::Diamond, 4.6, SPEED),
        );
        entries.push(entry.with_detail("0.10 above base + fog"));
    }
    if let Some(ci) = strip.chord() {
        let samples = vec![(Swatch::Line, CHORD.into()), (Swatch::Mark(Marker::Circle, 3.4), DOT)];
        let entry = Entry::new(format!("contrast index {}", number(ci.value, 2)), samples);
        entries.push(entry.with_detail("chord between arcs 0.2, 2.2"));
    }
    if let Some(iso) = strip.triangle() {
        let verdict = match iso.condition {
            ContrastCondition::Met => "met",
            ContrastCondition::TooLow | ContrastCondition::TooHigh => "not met",
            ContrastCondition::TooNear => "too near to say",
        };
        let wedge = Paint { fill: Some((AMBER, 0.09)), stroke: Some(TRIANGLE) };
        let entry = Entry::new("ISO 6 triangle 1.30 × 0.80", vec![(Swatch::Wedge, wedge)]);
        entries
            .push(entry.with_detail(format!("ΔD {}: condition {verdict}", number(iso.delta_d, 2))));
    }
    Legend { entries }
}
