//! One strip, with everything that its measures rest on.

use super::{fog_label, speed_point, value};
use crate::elementary::{atan2, hypot, sin_cos};
use crate::figures::chart::{Entry, Layer, Marker, NAME, Panel, Plot, Swatch, key};
use crate::figures::curves::Shown;
use crate::figures::draw::{
    AMBER, DARK_GREEN, GREEN, GREY, INK, Paint, Path, Scene, Stroke, Text, WHITE,
};
use crate::measures::{ContrastCondition, ContrastIndexChord, StripAnalysis};
use crate::words::number;

const FOG: Stroke = Stroke::solid(GREY, 1.1).dashed(&[6.0, 3.5]);
const CHORD: Stroke = Stroke::solid(GREEN, 1.4);
const ARC: Stroke = Stroke::solid(GREEN, 0.9).dashed(&[1.5, 2.5]);
const TRIANGLE: Stroke = Stroke::solid(AMBER, 1.3);
const LEADER: Stroke = Stroke::solid(INK, 0.9).dashed(&[2.0, 2.0]);
const SPEED: Paint = Paint { fill: Some((INK, 1.0)), stroke: Some(Stroke::solid(WHITE, 1.2)) };
/// The two arcs of the contrast index: radius, and degrees that they go beyond the chord.
const ARCS: [(&str, f64); 2] = [("0.2", 30.0), ("2.2", 8.0)];

/// Adds the strip with what was measured of it.
pub(super) fn show(panel: &mut Panel, analysis: &StripAnalysis) {
    let shown = Shown::of(analysis);
    let line = shown.line.clone();
    shown.show_alone(panel, "unexposed film");
    let Ok(analysed) = &analysis.result else { return };
    let m = &analysed.measures;
    let fog = value(&m.base_plus_fog);
    let speed = speed_point(analysis);
    if let Some(fog) = fog {
        let words = format!("base + fog {}", number(fog, 2));
        panel.show(key(words), [Layer::Across(vec![fog], FOG)]);
        panel.label(fog_label(fog));
    }
    if let Some((x, density)) = speed {
        let entry = key(format!("speed point m {}", number(x, 2)));
        let mark = Layer::Points(vec![(x, density)], Marker::Diamond, 4.6, SPEED);
        panel.show_at(entry.with_detail("0.10 above base + fog"), [(8, mark)]);
        show_speed(panel, (x, density), fog.unwrap_or(density));
    }
    if let (Some(index), Some(chord)) = (value(&m.contrast_index), m.contrast_index_chord) {
        show_chord(panel, chord, index, line);
    }
    if let (Some(m_point), Ok(delta_d)) = (speed, &m.iso.delta_d) {
        show_triangle(panel, m_point, delta_d.value, ContrastCondition::of(delta_d));
    }
}

/// A leader from the speed point down to its log exposure, with the value.
fn show_speed(panel: &mut Panel, (x, density): (f64, f64), fog: f64) {
    panel.show(
        None,
        [Layer::free(move |plot, scene| {
            let (x, y) = plot.at((x, density));
            scene.shape(Path::line([(x, y), (x, plot.area.bottom())]), LEADER);
        })],
    );
    panel.over(move |plot, scene| {
        let room = plot.area.bottom() - plot.y.at(fog.min(density));
        if room >= NAME + 3.0 {
            let at = (plot.x.at(x) + 5.0, plot.area.bottom() - room / 2.0);
            scene.text(Text::new(format!("m {}", number(x, 2)), at, NAME).centred());
        }
    });
}

/// Degrees of the chord above the horizontal; on equal scales the same in data and on the page.
fn rise(chord: &ContrastIndexChord) -> f64 {
    let (from, to) = (chord.origin, chord.far);
    atan2(to.1 - from.1, to.0 - from.0).to_degrees()
}

/// The chord from O to Q with the arcs that find P and Q, and the contrast index along it.
fn show_chord(panel: &mut Panel, chord: ContrastIndexChord, index: f64, line: Vec<(f64, f64)>) {
    let arcs = Layer::free(move |plot, scene| {
        let origin = plot.at(chord.origin);
        let mut path = Path::default();
        for (end, (_, beyond)) in [chord.near, chord.far].into_iter().zip(ARCS) {
            let (x, y) = plot.at(end);
            path.add_arc(origin, hypot(x - origin.0, y - origin.1), 0.0, rise(&chord) + beyond);
        }
        scene.shape(path, ARC);
    });
    let ends = vec![chord.origin, chord.near, chord.far];
    let entry = key(format!("contrast index {}", number(index, 2)));
    panel.show_at(
        entry.with_detail("chord between arcs of radius 0.2 and 2.2"),
        [
            (3, Layer::Line(vec![chord.origin, chord.far], CHORD)),
            (7, Layer::Points(ends, Marker::Circle, 3.4, Paint::dot(GREEN))),
        ],
    );
    panel.show(None, [arcs]);
    panel.over(move |plot, scene| label_chord(plot, scene, &chord, index, &line));
}

/// The value along the chord, on the side that the curve leaves free, and the radius of each arc.
fn label_chord(
    plot: &Plot,
    scene: &mut Scene,
    chord: &ContrastIndexChord,
    index: f64,
    line: &[(f64, f64)],
) {
    let rise = rise(chord);
    let (sin, cos) = sin_cos(rise.to_radians());
    let (ox, oy) = chord.origin;
    // How far a point lies along the chord, and how far to its upper left.
    let beside = |&(x, d): &(f64, f64)| {
        let (dx, dy) = (x - ox, d - oy);
        (dx * cos + dy * sin, dy * cos - dx * sin)
    };
    let along = 1.1;
    let near_label = line.iter().map(beside).filter(|p| (p.0 - along).abs() < 0.3);
    let curve_above = near_label.map(|p| p.1).sum::<f64>() > 0.0;
    let off = if curve_above { -(NAME + 8.0) } else { 8.0 };
    let (x, y) = plot.at((ox + along * cos, oy + along * sin));
    let words = format!("CI {}", number(index, 2));
    let words = Text::new(words, (x - off * sin, y - off * cos), 12.0);
    scene.text(words.middle().rotated(rise).coloured(DARK_GREEN));
    let from = plot.at(chord.origin);
    for (end, (radius, beyond)) in [chord.near, chord.far].into_iter().zip(ARCS) {
        let to = plot.at(end);
        let reach = hypot(to.0 - from.0, to.1 - from.1);
        let (sin, cos) = sin_cos(f64::to_radians(rise + beyond));
        let at = (from.0 + reach * cos, from.1 - reach * sin - 4.0);
        if plot.area.contains((at.0, at.1 - NAME)) {
            scene.text(Text::new(radius, at, NAME).middle().coloured(DARK_GREEN));
        }
    }
}

/// The triangle of the contrast condition of ISO 6: from m, 1.30 in log exposure and 0.80 up; at its
/// top the tolerance that the curve must pass through, and where it does.
fn show_triangle(
    panel: &mut Panel,
    (x, d): (f64, f64),
    delta_d: f64,
    condition: ContrastCondition,
) {
    let met = condition == ContrastCondition::Met;
    let right = x + 1.30;
    panel.keep_in_sight([(right, d + 0.85)]);
    let below = Layer::free(move |plot, scene| {
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
    });
    let missed = if met { Vec::new() } else { vec![(right, d + 0.80), (right, d + delta_d)] };
    let inside = if met { AMBER } else { WHITE };
    let paint = Paint { fill: Some((inside, 1.0)), stroke: Some(Stroke::solid(AMBER, 1.6)) };
    panel.show_at(
        None,
        [
            (2, below),
            (6, Layer::Line(missed, TRIANGLE.dashed(&[1.5, 2.5]))),
            (7, Layer::Points(vec![(right, d + delta_d)], Marker::Circle, 3.0, paint)),
        ],
    );
    panel.over(move |plot, scene| {
        let note = |words, at| Text::new(words, at, NAME).coloured(AMBER);
        let (at, y) = plot.at((x + 0.95, d));
        scene.text(note("1.30", (at, y - 5.0)).middle());
        let (at, y) = plot.at((right, d + 0.36));
        let words = note("0.80 ± 0.05", (at + 7.0, y)).centred();
        if at + 7.0 + words.width() <= plot.area.right() {
            scene.text(words);
        }
    });
    let verdict = match condition {
        ContrastCondition::Met => "met",
        ContrastCondition::TooLow | ContrastCondition::TooHigh => "not met",
        ContrastCondition::TooNear => "too near to say",
    };
    let wedge = Paint { fill: Some((AMBER, 0.09)), stroke: Some(TRIANGLE) };
    let entry = Entry::new("ISO 6 triangle 1.30 × 0.80", vec![(Swatch::Wedge, wedge)]);
    panel.entry(entry.with_detail(format!("ΔD {}: condition {verdict}", number(delta_d, 2))));
}
