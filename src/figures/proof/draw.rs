//! The curve, its levels, the time found, and the words beside them.

use super::ProofFigure;
use crate::figures::chart::{Entry, Legend, Marker, Plot, Swatch, Ticks};
use crate::figures::draw::{
    Anchor, BLUE, GREY, INK, Paint, Scene, Stroke, Text, VERMILLION, WHITE,
};
use crate::units::Density;
use crate::words::number;

/// Closest that two labels of times may stand, in page units.
const APART: f64 = 30.0;
const NOTE: f64 = 11.0;
const READING: f64 = 4.2;

const CURVE: Stroke = Stroke::solid(BLUE, 2.2);
const BAND: Paint = Paint::tinted(BLUE, 0.2);
const END: Stroke = Stroke::solid(GREY, 1.1).dashed(&[6.0, 3.5]);
const BLACK: Stroke = Stroke::solid(INK, 1.1).dashed(&[2.0, 2.5]);
const TIME: Stroke = Stroke::solid(VERMILLION, 2.0);
const OPEN: Paint = Paint::open(Stroke::solid(INK, 1.2));
const SHADE: Paint = Paint::tinted(VERMILLION, 0.16);

/// Draws everything inside the plot area.
pub(super) fn draw(scene: &mut Scene, plot: &Plot, figure: &ProofFigure) {
    if let Some((_, low, high)) = figure.found() {
        let (bottom, top) = plot.y.domain;
        scene.shape(plot.band(&[(low, bottom, top), (high, bottom, top)]), SHADE);
    }
    let held = |d: f64| d.clamp(Density::LOWEST - 1.0, Density::HIGHEST + 1.0);
    let edges: Vec<(f64, f64, f64)> = figure
        .line()
        .zip(&figure.curve)
        .map(|((x, _), p)| (x, held(p.low), held(p.high)))
        .collect();
    scene.shape(plot.band(&edges), BAND);
    let (left, right) = plot.x.domain;
    for (level, stroke) in [(figure.d_max, END), (figure.black, BLACK)] {
        if let Some(d) = figure.level(level) {
            scene.shape(plot.line([(left, d), (right, d)]), stroke);
        }
    }
    if let Some((at, ..)) = figure.found() {
        let (bottom, top) = plot.y.domain;
        let top = figure.level(figure.black).unwrap_or(top);
        scene.shape(plot.line([(at, bottom), (at, top)]), TIME);
    }
    scene.shape(plot.line(figure.line()), CURVE);
    scene.shape(plot.marks(Marker::Circle, &figure.readings(), READING), OPEN);
    if let (Some((at, ..)), Some(d)) = (figure.found(), figure.level(figure.black)) {
        let paint =
            Paint { fill: Some((VERMILLION, 1.0)), stroke: Some(Stroke::solid(WHITE, 1.2)) };
        scene.shape(plot.marks(Marker::Diamond, &[(at, d)], 5.0), paint);
    }
}

/// Values beside what they belong to.
pub(super) fn label(scene: &mut Scene, plot: &Plot, figure: &ProofFigure) {
    // Two values that lie closer than a line of text share one.
    let levels = [("Dmax", figure.d_max), ("black", figure.black)];
    let mut before: Option<f64> = None;
    for (name, level) in levels {
        let Some(d) = figure.level(level) else {
            continue;
        };
        let mut y = plot.y.at(d);
        if let Some(above) = before {
            y = y.max(above + NOTE + 2.0);
        }
        let at = (plot.area.right() + 6.0, y);
        let words = Text::new(format!("{name} {}", number(d, 2)), at, NOTE);
        scene.text(words.centred().coloured(GREY));
        before = Some(y);
    }
    if let (Some((at, ..)), Some((value, ..))) = (figure.found(), figure.seconds) {
        let (x, bottom) = (plot.x.at(at), plot.area.bottom());
        let words = Text::new(written(value), (x + 5.0, bottom - 14.0), 12.5);
        let fits = x + 5.0 + words.width() < plot.area.right();
        let place = if fits { x + 5.0 } else { x - 5.0 };
        let anchor = if fits { Anchor::Start } else { Anchor::End };
        let words = Text::new(written(value), (place, bottom - 14.0), 12.5);
        scene.text(words.anchored(anchor));
    }
}

/// What is drawn, with its values.
pub(super) fn legend(figure: &ProofFigure) -> Legend {
    let mut entries = Vec::new();
    if !figure.readings().is_empty() {
        let sample = vec![(Swatch::Mark(Marker::Circle, READING), OPEN)];
        entries.push(Entry::new("reading", sample));
    }
    if !figure.curve.is_empty() {
        let samples = vec![(Swatch::Patch, BAND), (Swatch::Line, CURVE.into())];
        entries.push(Entry::new("curve of the paper", samples));
    }
    if figure.level(figure.d_max).is_some() {
        let sample = vec![(Swatch::Line, END.into())];
        entries.push(Entry::new("maximum density", sample));
    }
    if figure.level(figure.black).is_some() {
        let entry = Entry::new("counts as black", vec![(Swatch::Line, BLACK.into())]);
        entries.push(entry.with_detail("0.90 of net Dmax (ISO 6846)"));
    }
    if let (Some(_), Some((value, low, high))) = (figure.found(), figure.seconds) {
        let samples = vec![(Swatch::Patch, SHADE), (Swatch::Line, TIME.into())];
        let entry = Entry::new(format!("shortest black {}", written(value)), samples);
        let interval = format!("{} to {}", written(low), written(high));
        let known = !low.is_nan() && !high.is_nan();
        entries.push(if known { entry.with_detail(interval) } else { entry });
    }
    if entries.is_empty() {
        entries.push(Entry::new("no readings", Vec::new()));
    }
    Legend { entries }
}

/// A time in words, to three digits or so.
pub(super) fn written(seconds: f64) -> String {
    let decimals = if seconds < 10.0 {
        2
    } else if seconds < 100.0 {
        1
    } else {
        0
    };
    format!("{} s", number(seconds.clamp(-1e7, 1e7), decimals))
}

/// Ticks at round times, as far as their labels have room: every halving or so.
pub(super) fn seconds_ticks((from, to): (f64, f64), width: f64) -> Ticks {
    let unit = width / (to - from);
    let steps: &[f64] = if 0.3 * unit >= APART {
        &[1.0, 2.0, 3.0, 5.0, 7.0]
    } else if 0.45 * unit >= APART {
        &[1.0, 3.0]
    } else {
        &[1.0]
    };
    let decades = from.floor() as i32..=to.ceil() as i32;
    let inside = |x: &f64| (from..=to).contains(x);
    let mut major: Vec<(f64, String)> = Vec::new();
    for decade in decades.clone() {
        for step in steps {
            let x = step.log10() + f64::from(decade);
            let clear = major.last().is_none_or(|(last, _)| (x - last) * unit >= APART);
            if inside(&x) && clear {
                let decimals = usize::try_from(-decade).unwrap_or(0);
                major.push((x, number(step * 10_f64.powi(decade), decimals)));
            }
        }
    }
    let minor = decades
        .flat_map(|d| (1..=9).map(move |k| f64::from(k).log10() + f64::from(d)))
        .filter(inside)
        .collect();
    Ticks::named(major, minor)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_have_round_labels() {
        let ticks = seconds_ticks((0.4, 1.6), 500.0);
        let labels: Vec<String> = ticks.major.iter().map(|v| ticks.label(*v)).collect();
        assert_eq!(labels, ["3", "5", "7", "10", "20", "30"]);
        let wide = seconds_ticks((-1.2, 5.0), 500.0);
        let labels: Vec<String> = wide.major.iter().map(|v| wide.label(*v)).collect();
        assert_eq!(labels[..3], ["0.1", "0.3", "1"]);
    }
}
