//! The curves, their points, and the words beside them.

use super::{PaperCurve, Range};
use crate::figures::chart::{Entry, Legend, Marker, Plot, SeriesStyle, Swatch, interval_bar};
use crate::figures::draw::{
    Anchor, BLUE, GREY, INK, Paint, Path, Scene, Stroke, Text, VERMILLION, WHITE,
};
use crate::words::number;

/// How many strips the legend lists.
pub(super) const LISTED: usize = SeriesStyle::COUNT;
/// How many bands can lie over one another and be told apart.
const MOST_BANDS: usize = 4;
const READING: f64 = 4.0;
const SUSPECT: f64 = 5.6;
const POINT: f64 = 4.4;
const NOTE: f64 = 11.0;
/// From the left edge to the marks of the unexposed paper, in page units.
const INSET: f64 = 10.0;
/// From the top of the plot to the bar of the range.
const BAR: f64 = 26.0;

const CURVE: Stroke = Stroke::solid(BLUE, 2.2);
const BAND: Paint = Paint::tinted(BLUE, 0.2);
const END: Stroke = Stroke::solid(GREY, 1.1).dashed(&[6.0, 3.5]);
const LEADER: Stroke = Stroke::solid(INK, 0.9).dashed(&[2.0, 2.5]);
const OPEN: Paint = Paint::open(Stroke::solid(INK, 1.2));
const DOUBTED: Paint = Paint::open(Stroke::solid(VERMILLION, 1.5));
const FILLED: Paint = Paint { fill: Some((INK, 1.0)), stroke: Some(Stroke::solid(WHITE, 1.2)) };
/// Highlight, speed and shadow point.
const MARKERS: [Marker; 3] = [Marker::TriangleUp, Marker::Diamond, Marker::Square];

/// Draws the one strip of a figure with all that its measures rest on.
pub(super) fn one(scene: &mut Scene, plot: &Plot, paper: &PaperCurve) {
    scene.shape(plot.band(&paper.band()), BAND);
    let (left, right) = plot.x.domain;
    for end in paper.ends().into_iter().flatten() {
        scene.shape(plot.line([(left, end), (right, end)]), END);
    }
    if let Some(Range { from, to, .. }) = paper.range() {
        let top = plot.area.y + BAR;
        for point in [from, to] {
            let (x, y) = plot.at(point);
            scene.shape(Path::line([(x, y), (x, top)]), LEADER);
        }
        let bar = interval_bar((plot.x.at(from.0), top), (plot.x.at(to.0), top));
        scene.shape(bar, Stroke::solid(INK, 1.2));
    }
    let readings = plot.marks(Marker::Circle, &paper.readings(false), READING);
    scene.shape(readings, OPEN);
    scene.shape(plot.line(paper.line()), CURVE);
    let suspects = plot.marks(Marker::CrossedCircle, &paper.readings(true), SUSPECT);
    scene.shape(suspects, DOUBTED);
    let at = plot.area.x + INSET;
    let unexposed = paper.unexposed().map(|d| (at, plot.y.at(d)));
    scene.shape(Marker::TriangleLeft.path(unexposed, READING), OPEN);
    for (marker, point) in MARKERS.into_iter().zip(paper.marks()) {
        scene.shape(plot.marks(marker, point.as_slice(), POINT), FILLED);
    }
}

/// Values beside what they belong to.
pub(super) fn labels(scene: &mut Scene, plot: &Plot, paper: &PaperCurve) {
    for (name, end) in ["Dmin", "Dmax"].into_iter().zip(paper.ends()) {
        if let Some(end) = end {
            let at = (plot.area.right() + 6.0, plot.y.at(end));
            let words = Text::new(format!("{name} {}", number(end, 2)), at, NOTE);
            scene.text(words.centred().coloured(GREY));
        }
    }
    if let Some(Range { range_r, from, to }) = paper.range() {
        let middle = plot.x.at(0.5 * (from.0 + to.0));
        let words = format!("R {}", number(range_r, 0));
        let text = Text::new(words, (middle, plot.area.y + BAR - 6.0), 12.5);
        scene.text(text.anchored(Anchor::Middle));
    }
}

/// Draws several strips, told apart by colour, dashes and the shape of their marks.
pub(super) fn several(scene: &mut Scene, plot: &Plot, papers: &[PaperCurve]) {
    let few = papers.len() <= LISTED;
    if papers.len() <= MOST_BANDS {
        for (n, paper) in papers.iter().enumerate() {
            let tint = Paint::tinted(SeriesStyle::nth(n).colour, 0.13);
            scene.shape(plot.band(&paper.band()), tint);
        }
    }
    for (n, paper) in papers.iter().enumerate() {
        let style = SeriesStyle::nth(n);
        if few || paper.curve.is_empty() {
            let marks = plot.marks(style.marker, &paper.readings(false), 2.6);
            scene.shape(marks, style.open_mark(0.8));
        }
    }
    for (n, paper) in papers.iter().enumerate().rev() {
        let width = if few { 1.9 } else { 1.2 };
        scene.shape(plot.line(paper.line()), SeriesStyle::nth(n).line(width));
    }
    for (n, paper) in papers.iter().enumerate().filter(|_| few) {
        let style = SeriesStyle::nth(n);
        let suspects = plot.marks(Marker::CrossedCircle, &paper.readings(true), SUSPECT);
        scene.shape(suspects, style.open_mark(1.3));
        let [highlight, _, shadow] = paper.marks();
        let ends: Vec<(f64, f64)> = [highlight, shadow].into_iter().flatten().collect();
        let paint =
            Paint { fill: Some((style.colour, 1.0)), stroke: Some(Stroke::solid(WHITE, 1.0)) };
        scene.shape(plot.marks(Marker::Diamond, &ends, 4.2), paint);
    }
}

/// What is drawn of one strip, with its values.
pub(super) fn legend_of_one(paper: &PaperCurve) -> Legend {
    let mut entries = Vec::new();
    if !paper.name.trim().is_empty() {
        entries.push(Entry::new(paper.name.clone(), Vec::new()));
    }
    let mark = |marker, radius, paint: Paint| vec![(Swatch::Mark(marker, radius), paint)];
    if !paper.readings(false).is_empty() {
        entries.push(Entry::new("reading", mark(Marker::Circle, READING, OPEN)));
    }
    if !paper.readings(true).is_empty() {
        let sample = mark(Marker::CrossedCircle, SUSPECT, DOUBTED);
        entries.push(Entry::new("suspect reading", sample));
    }
    if paper.unexposed().next().is_some() {
        let sample = mark(Marker::TriangleLeft, READING, OPEN);
        entries.push(Entry::new("unexposed paper", sample));
    }
    if !paper.curve.is_empty() {
        let samples = vec![(Swatch::Patch, BAND), (Swatch::Line, CURVE.into())];
        entries.push(Entry::new("fitted curve", samples).with_detail("with its 95 % interval"));
    }
    if paper.ends().iter().any(Option::is_some) {
        let sample = vec![(Swatch::Line, END.into())];
        entries.push(Entry::new("minimum, maximum density", sample));
    }
    let names = ["highlight point T", "speed point m", "shadow point S"];
    let where_ = ["0.04 above Dmin", "0.60 above Dmin", "0.90 of net Dmax"];
    for (k, point) in paper.marks().into_iter().enumerate() {
        if let Some((x, _)) = point {
            let words = format!("{} {}", names[k], number(x, 2));
            let entry = Entry::new(words, mark(MARKERS[k], POINT, FILLED));
            entries.push(entry.with_detail(where_[k]));
        }
    }
    if let Some(Range { range_r, .. }) = paper.range() {
        let words = format!("range R {}", number(range_r, 0));
        let entry = Entry::new(words, vec![(Swatch::Line, Stroke::solid(INK, 1.2).into())]);
        entries.push(entry.with_detail("100 × log exposure, T to S"));
    }
    if let Some(speed) = paper.speed_p.filter(|p| (0.0..1e7).contains(p)) {
        let entry = Entry::new(format!("paper speed P {}", number(speed, 0)), Vec::new());
        entries.push(entry);
    }
    Legend { entries }
}

/// The strips by name with their ranges, and what the common marks mean.
pub(super) fn legend_of_several(papers: &[PaperCurve]) -> Legend {
    let few = papers.len() <= LISTED;
    let mut entries: Vec<Entry> = Vec::new();
    if papers.is_empty() {
        entries.push(Entry::new("no strips", Vec::new()));
    } else if !few {
        let words = format!("first {LISTED} of {} strips", papers.len());
        entries.push(Entry::new(words, Vec::new()));
    }
    for (n, paper) in papers.iter().take(LISTED).enumerate() {
        let style = SeriesStyle::nth(n);
        let mut samples = vec![(Swatch::Line, style.line(1.9).into())];
        if few {
            samples.push((Swatch::Mark(style.marker, 2.6), style.open_mark(0.8)));
        }
        let words = match paper.range() {
            Some(own) => format!("{}: R {}", paper.label(n), number(own.range_r, 0)),
            None => paper.label(n),
        };
        entries.push(Entry::new(words, samples));
    }
    if few && papers.iter().any(|p| p.range().is_some()) {
        let sample = vec![(Swatch::Mark(Marker::Diamond, 4.2), Paint::filled(GREY))];
        let entry = Entry::new("highlight and shadow point", sample);
        entries.push(entry.with_detail("R: 100 × log exposure between"));
    }
    if papers.len() <= MOST_BANDS && papers.iter().any(|p| !p.curve.is_empty()) {
        let samples = vec![(Swatch::Patch, Paint::tinted(GREY, 0.2))];
        entries.push(Entry::new("95 % interval", samples));
    }
    Legend { entries }
}
