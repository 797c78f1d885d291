//! What the figures of film and of paper have in common: readings with their fitted curve.

use super::chart::{Label, Layer, Marker, Panel, SeriesStyle, key};
use super::draw::{BLUE, GREY, INK, Paint, RULE, Stroke, VERMILLION};
use crate::measures::Analysis;
use crate::readings::{ExposureScale, Reading, Strip};

/// How many strips the legend lists; with more, curves are thin and marks are few.
pub(super) const LISTED: usize = SeriesStyle::COUNT;
/// With more strips than this, those past the listed ones are a grey background to them.
const MOST_STYLED: usize = 3 * LISTED;
/// How many interval bands can lie over one another and be told apart.
const MOST_BANDS: usize = 4;
/// Points along a curve: enough that it looks round at any size.
const POINTS: u32 = 240;
/// Radius of a reading's mark, and of a suspect one's.
pub(super) const READING: f64 = 4.0;
const SUSPECT: f64 = 5.6;
const BACKGROUND: Stroke = Stroke::solid(RULE, 0.6);

pub(super) const CURVE: Stroke = Stroke::solid(BLUE, 2.2);
pub(super) const BAND: Paint = Paint::tinted(BLUE, 0.2);
pub(super) const OPEN: Paint = Paint::open(Stroke::solid(INK, 1.2));

/// Values at equal distances from one end to the other.
pub(super) fn steps((low, high): (f64, f64)) -> impl Iterator<Item = f64> {
    (0..=POINTS).map(move |k| low + (high - low) * f64::from(k) / f64::from(POINTS))
}

/// What is drawn of any strip.
#[derive(Debug, Default)]
pub(super) struct Shown {
    /// Readings, and those that the others contradict.
    pub readings: Vec<(f64, f64)>,
    pub suspects: Vec<(f64, f64)>,
    /// Densities without exposure.
    pub unexposed: Vec<f64>,
    /// The fitted curve with its 95 % interval; empty if there is none.
    pub line: Vec<(f64, f64)>,
    pub band: Vec<(f64, f64, f64)>,
}

impl Shown {
    pub fn of<M>(analysis: &Analysis<M>) -> Self {
        let strip = &analysis.strip;
        let point = |r: &Reading| Some((r.log_exposure?.get(), r.density.get()));
        let fit = analysis.result.as_ref().ok().map(|analysed| &analysed.fit);
        let before = strip.unexposed.len();
        let is_suspect =
            |n: usize| fit.is_some_and(|f| f.suspects.iter().any(|s| s.index == n + before));
        let all = strip.readings.iter().enumerate().filter_map(|(n, r)| Some((n, point(r)?)));
        let (suspects, readings): (Vec<_>, Vec<_>) = all.partition(|(n, _)| is_suspect(*n));
        let points = |of: Vec<(usize, (f64, f64))>| of.into_iter().map(|(_, p)| p).collect();
        let mut shown = Self {
            readings: points(readings),
            suspects: points(suspects),
            unexposed: strip.unexposed.iter().map(|r| r.density.get()).collect(),
            ..Self::default()
        };
        if let Some(fit) = fit {
            let curve = fit.curve.as_ref();
            for x in steps(curve.range()) {
                let (density, sd) = curve.density_and_sd(x);
                let half = fit.quantile * sd;
                shown.line.push((x, density));
                shown.band.push((x, density - half, density + half));
            }
        }
        shown
    }

    /// Adds the readings and the curve of the only strip of a figure.
    pub fn show_alone(self, panel: &mut Panel, unexposed: &str) {
        let doubted = Paint::open(Stroke::solid(VERMILLION, 1.5));
        let marks = |points, marker, radius, paint| Layer::Points(points, marker, radius, paint);
        panel.show_at(key("reading"), [(3, marks(self.readings, Marker::Circle, READING, OPEN))]);
        let suspects = marks(self.suspects, Marker::CrossedCircle, SUSPECT, doubted);
        panel.show(key("suspect reading"), [suspects]);
        panel.show(key(unexposed), [Layer::AtEdge(self.unexposed, READING, OPEN)]);
        let curve = [Layer::Band(self.band, BAND), Layer::Line(self.line, CURVE)];
        panel.show(key("fitted curve").with_detail("with its 95 % interval"), curve);
    }
}

/// One of several strips: what is drawn of it, and its words.
pub(super) struct Named {
    pub shown: Shown,
    /// Its name in the legend, and what stands below it.
    pub name: String,
    pub detail: Option<String>,
    /// What stands at the end of its curve.
    pub end: Option<String>,
    /// Points of its measures.
    pub points: Vec<(f64, f64)>,
}

/// Adds several strips, told apart by colour, dashes and the shape of their marks; `points` says what
/// the points of their measures are.
pub(super) fn show_together(panel: &mut Panel, strips: Vec<Named>, points: &str, unexposed: &str) {
    let count = strips.len();
    let few = count <= LISTED;
    let grey = SeriesStyle { colour: GREY, ..SeriesStyle::nth(0) };
    let any = |of: fn(&Named) -> bool| strips.iter().any(of);
    let common = [
        (any(|s| !s.shown.suspects.is_empty()), "suspect reading"),
        (any(|s| !s.shown.unexposed.is_empty()), unexposed),
        (any(|s| !s.points.is_empty()), points),
        (count <= MOST_BANDS && any(|s| !s.shown.band.is_empty()), "95 % interval"),
    ];
    if !few {
        panel.entry(key(format!("first {LISTED} of {count} strips")));
    }
    for (n, Named { shown, name, detail, end, points }) in strips.into_iter().enumerate() {
        let style = SeriesStyle::nth(n);
        let listed = n < LISTED;
        let entry = listed.then(|| match detail {
            Some(detail) => key(name).with_detail(detail),
            None => key(name),
        });
        if let Some((words, (x, y))) = end.filter(|_| few).zip(shown.line.last().copied()) {
            panel.label(Label { from: Some(x), ..Label::new(y, words) });
        }
        let line = match few {
            true => style.line(1.9),
            false if count > MOST_STYLED && !listed => BACKGROUND,
            false => style.line(1.4),
        };
        let thin = style.open_mark(0.9);
        let marks = if few || shown.line.is_empty() { shown.readings } else { Vec::new() };
        let radius = if few { 3.2 } else { 2.0 };
        // The listed strips lie on top.
        let height = if listed { 5 } else { 4 };
        panel.show_at(
            entry,
            [
                (height, Layer::Line(shown.line, line)),
                (3, Layer::Points(marks, style.marker, radius, thin)),
            ],
        );
        if count <= MOST_BANDS {
            let tint = Paint::tinted(style.colour, 0.13);
            panel.show(None, [Layer::Band(shown.band, tint)]);
        }
        if few {
            let crossed = style.open_mark(1.3);
            panel.show(
                None,
                [
                    Layer::AtEdge(shown.unexposed, 3.2, thin),
                    Layer::Points(shown.suspects, Marker::CrossedCircle, 5.2, crossed),
                    Layer::Points(points, Marker::Diamond, 4.2, Paint::dot(style.colour)),
                ],
            );
        }
    }
    if !few {
        let more = key(format!("and {} more", count - LISTED));
        panel.entry(more.with_detail("curves without their readings"));
        return;
    }
    let samples = [
        Layer::Points(Vec::new(), Marker::CrossedCircle, 5.2, grey.open_mark(1.3)),
        Layer::AtEdge(Vec::new(), 3.2, grey.open_mark(0.9)),
        Layer::Points(Vec::new(), Marker::Diamond, 4.2, Paint::dot(GREY)),
        Layer::Band(Vec::new(), Paint::tinted(GREY, 0.2)),
    ];
    for ((_, words), sample) in common.into_iter().zip(samples).filter(|((there, _), _)| *there) {
        panel.sample(words, &sample);
    }
}

/// "Larkfold in Quillback 1+6", where all strips say the same.
pub(super) fn material<'a>(strips: impl Iterator<Item = &'a Strip> + Clone) -> Option<String> {
    let common = |of: fn(&Strip) -> Option<&String>| {
        let first = of(strips.clone().next()?)?;
        strips.clone().all(|s| of(s) == Some(first)).then_some(first)
    };
    match (common(|s| s.labels.film.as_ref()), common(|s| s.labels.developer.as_ref())) {
        (Some(film), Some(developer)) => Some(format!("{film} in {developer}")),
        (one, other) => one.or(other).cloned(),
    }
}

/// Whether all exposures are in lux seconds, and the title of their axis.
pub(super) fn exposure_title<'a>(mut strips: impl Iterator<Item = &'a Strip>) -> &'static str {
    if strips.all(|s| s.scale == ExposureScale::Absolute) {
        "log exposure (lux·s)"
    } else {
        "relative log exposure"
    }
}
