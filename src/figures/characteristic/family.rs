//! Several strips, told apart by colour, dashes and shape of the marks.

use super::StripCurve;
use super::single::UNEXPOSED_INSET;
use crate::figures::chart::{Entry, Legend, Marker, Plot, SeriesStyle, Swatch};
use crate::figures::draw::{GREY, Paint, RULE, Scene, Stroke, WHITE};
use crate::words::number;

/// How many strips the legend lists; with more, curves are thin and marks are few.
pub(super) const LISTED: usize = SeriesStyle::COUNT;
/// With more strips than this, those past the listed ones are a grey background to them.
const MOST_STYLED: usize = 3 * LISTED;
/// How many interval bands can lie over one another and be told apart.
const MOST_BANDS: usize = 4;
const READING: f64 = 3.2;
const SUSPECT: f64 = 5.2;
const BACKGROUND: Stroke = Stroke::solid(RULE, 0.6);

/// Draws the strips inside the plot area.
pub(super) fn draw(scene: &mut Scene, plot: &Plot, strips: &[StripCurve]) {
    let few = strips.len() <= LISTED;
    if strips.len() <= MOST_BANDS {
        for (n, strip) in strips.iter().enumerate() {
            let tint = Paint::tinted(SeriesStyle::nth(n).colour, 0.13);
            scene.shape(plot.band(&strip.band()), tint);
        }
    }
    for (n, strip) in strips.iter().enumerate() {
        draw_readings(scene, plot, strip, SeriesStyle::nth(n), few);
    }
    // The listed strips last, so that they lie on top.
    for (n, strip) in strips.iter().enumerate().rev() {
        scene.shape(plot.line(strip.line()), line_style(n, strips.len()));
    }
    for (n, strip) in strips.iter().enumerate().filter(|_| few) {
        draw_doubts_and_speed(scene, plot, strip, SeriesStyle::nth(n));
    }
}

/// The line of one strip among `count`: the more there are, the thinner.
fn line_style(place: usize, count: usize) -> Stroke {
    if count > MOST_STYLED && place >= LISTED {
        return BACKGROUND;
    }
    SeriesStyle::nth(place).line(if count <= LISTED { 1.9 } else { 1.4 })
}

/// Readings and unexposed film; among many strips only where there is no curve to stand for them.
fn draw_readings(
    scene: &mut Scene,
    plot: &Plot,
    strip: &StripCurve,
    style: SeriesStyle,
    few: bool,
) {
    let thin = style.open_mark(0.9);
    let good = plot.marks(style.marker, &strip.readings(false), if few { READING } else { 2.0 });
    if few {
        let left = plot.area.x + UNEXPOSED_INSET;
        let unexposed = strip.unexposed_densities().map(|d| (left, plot.y.at(d)));
        scene.shape(Marker::TriangleLeft.path(unexposed, READING), thin);
        scene.shape(good, thin);
    } else if strip.curve.is_empty() {
        scene.shape(good, thin);
    }
}

fn draw_doubts_and_speed(scene: &mut Scene, plot: &Plot, strip: &StripCurve, style: SeriesStyle) {
    let crossed = plot.marks(Marker::CrossedCircle, &strip.readings(true), SUSPECT);
    scene.shape(crossed, style.open_mark(1.3));
    if let Some(m) = strip.speed() {
        scene.shape(plot.marks(Marker::Diamond, &[m], 4.2), speed_paint(style));
    }
}

fn speed_paint(style: SeriesStyle) -> Paint {
    Paint { fill: Some((style.colour, 1.0)), stroke: Some(Stroke::solid(WHITE, 1.0)) }
}

/// The strips by name, then what the common marks mean.
pub(super) fn legend(strips: &[StripCurve]) -> Legend {
    let few = strips.len() <= LISTED;
    let mut entries: Vec<Entry> = Vec::new();
    if strips.is_empty() {
        entries.push(Entry::new("no strips", Vec::new()));
    } else if !few {
        entries.push(Entry::new(format!("first {LISTED} of {} strips", strips.len()), Vec::new()));
    }
    for (n, strip) in strips.iter().take(LISTED).enumerate() {
        let style = SeriesStyle::nth(n);
        let mut samples = vec![(Swatch::Line, line_style(n, strips.len()).into())];
        if few {
            samples.push((Swatch::Mark(style.marker, READING), style.open_mark(0.9)));
        }
        let mut entry = Entry::new(strip.label(n), samples);
        if let Some(mark) = strip.chord() {
            entry = entry.with_detail(format!("contrast index {}", number(mark.value, 2)));
        }
        entries.push(entry);
    }
    if few {
        entries.extend(common_marks(strips));
    } else {
        let mut more = Entry::new(format!("and {} more", strips.len() - LISTED), Vec::new());
        if strips.len() > MOST_STYLED {
            more.samples.push((Swatch::Line, BACKGROUND.into()));
        }
        entries.push(more.with_detail("curves without their readings"));
    }
    Legend { entries }
}

fn common_marks(strips: &[StripCurve]) -> Vec<Entry> {
    let grey = SeriesStyle { colour: GREY, ..SeriesStyle::nth(0) };
    let entry = |words: &str, marker, radius, paint| {
        Entry::new(words, vec![(Swatch::Mark(marker, radius), paint)])
    };
    let mut entries = Vec::new();
    if strips.iter().any(|s| !s.readings(true).is_empty()) {
        let paint = grey.open_mark(1.3);
        entries.push(entry("suspect reading", Marker::CrossedCircle, SUSPECT, paint));
    }
    if strips.iter().any(|s| s.unexposed_densities().next().is_some()) {
        entries.push(entry("unexposed film", Marker::TriangleLeft, READING, grey.open_mark(0.9)));
    }
    if strips.iter().any(|s| s.speed().is_some()) {
        entries.push(entry("speed point", Marker::Diamond, 4.2, speed_paint(grey)));
    }
    if strips.len() <= MOST_BANDS && strips.iter().any(|s| !s.curve.is_empty()) {
        let samples = vec![(Swatch::Patch, Paint::tinted(grey.colour, 0.2))];
        entries.push(Entry::new("95 % interval", samples));
    }
    entries
}
