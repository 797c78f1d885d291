//! The contact proof's time: density of the print through clear film over the time of exposure.

use super::characteristic::CurvePoint;
use super::chart::{Entry, Heading, Legend, Marker, Plot, Sheet, Swatch, Ticks, bounds};
use super::draw::{Anchor, BLUE, GREY, INK, Paint, Scene, Stroke, Text, VERMILLION, WHITE, number};
use crate::units::Density;

const SIZE: (f64, f64) = (500.0, 380.0);
/// Times that are drawn, log10 of seconds.
const TIMES: (f64, f64) = (-3.0, 6.0);
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

/// The figure of a test strip, or of a paper's curve in seconds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ProofFigure {
    /// The heading.
    pub title: String,
    /// A second line below it.
    pub subtitle: Option<String>,
    /// Readings: seconds and density.
    pub points: Vec<(f64, f64)>,
    /// The curve: log10 of seconds, density and its interval; without one the two ends are equal.
    pub curve: Vec<CurvePoint>,
    /// Maximum density.
    pub d_max: Option<f64>,
    /// Density that counts as black.
    pub black: Option<f64>,
    /// The shortest time that gives it, and its 95 % interval.
    pub seconds: Option<(f64, f64, f64)>,
}

impl ProofFigure {
    /// The figure as a scene, to be written as SVG or PNG.
    #[must_use]
    pub fn scene(&self) -> Scene {
        let (x, y) = self.ranges();
        let heading = Heading::new(&self.title, self.subtitle.as_deref());
        let sheet = Sheet::new(heading, self.legend(), (SIZE, 76.0), x, y);
        let times = seconds_ticks(x, SIZE.0);
        let densities = Ticks::every(y, 0.5, 5);
        let mut scene = Scene::new(sheet.width, sheet.height, &self.title, &self.description());
        let plot = &sheet.plot;
        plot.draw_grid(&mut scene, &times, &densities);
        scene.clipped(plot.area, |scene| self.draw(scene, plot));
        let (across, up) = ("exposure (seconds)", "reflection density");
        sheet.draw_around(&mut scene, (&times, across), (&densities, up));
        self.label(&mut scene, plot);
        scene
    }

    fn readings(&self) -> Vec<(f64, f64)> {
        let point = |&(seconds, density): &(f64, f64)| {
            Some((time(seconds)?, Density::new(density).ok()?.get()))
        };
        self.points.iter().filter_map(point).collect()
    }

    /// The curve with gaps (as NaN) where it cannot be drawn.
    fn line(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        let within = |x: f64| (TIMES.0..=TIMES.1).contains(&x);
        self.curve
            .iter()
            .map(move |p| match Density::new(p.density) {
                Ok(density) if within(p.x) => (p.x, density.get()),
                _ => (f64::NAN, f64::NAN),
            })
    }

    fn level(&self, density: Option<f64>) -> Option<f64> {
        density.filter(|d| Density::new(*d).is_ok())
    }

    /// log10 of the time and of its interval's ends.
    fn found(&self) -> Option<(f64, f64, f64)> {
        let (value, low, high) = self.seconds?;
        let held = |seconds: f64| seconds.clamp(1e-3, 1e6).log10();
        let at = time(value)?;
        let ends = (!low.is_nan() && !high.is_nan()).then(|| (held(low), held(high)));
        let (low, high) = ends.unwrap_or((at, at));
        Some((at, low, high))
    }

    fn ranges(&self) -> ((f64, f64), (f64, f64)) {
        let mut points = self.readings();
        points.extend(self.line().filter(|p| p.0.is_finite()));
        let across = points.iter().map(|p| p.0).chain(self.found().map(|f| f.0));
        let levels = [self.level(self.d_max), self.level(self.black)];
        let up = points
            .iter()
            .map(|p| p.1)
            .chain(levels.into_iter().flatten());
        let (from, to) = bounds(across).unwrap_or((0.0, 1.5));
        let (lowest, highest) = bounds(up).unwrap_or((0.0, 2.0));
        let lacking = (0.9 - (to - from)).max(0.0) / 2.0;
        let bottom = (lowest.min(0.0) * 10.0).floor() / 10.0;
        let top = ((highest + 0.12) * 10.0).ceil() / 10.0;
        (
            (from - 0.08 - lacking, to + 0.08 + lacking),
            (bottom, top.max(bottom + 1.0)),
        )
    }

    fn draw(&self, scene: &mut Scene, plot: &Plot) {
        if let Some((_, low, high)) = self.found() {
            let (bottom, top) = plot.y.domain;
            scene.shape(plot.band(&[(low, bottom, top), (high, bottom, top)]), SHADE);
        }
        let held = |d: f64| d.clamp(Density::LOWEST - 1.0, Density::HIGHEST + 1.0);
        let edges: Vec<(f64, f64, f64)> = self
            .line()
            .zip(&self.curve)
            .map(|((x, _), p)| (x, held(p.low), held(p.high)))
            .collect();
        scene.shape(plot.band(&edges), BAND);
        let (left, right) = plot.x.domain;
        for (level, stroke) in [(self.d_max, END), (self.black, BLACK)] {
            if let Some(d) = self.level(level) {
                scene.shape(plot.line([(left, d), (right, d)]), stroke);
            }
        }
        if let Some((at, ..)) = self.found() {
            let (bottom, top) = plot.y.domain;
            let top = self.level(self.black).unwrap_or(top);
            scene.shape(plot.line([(at, bottom), (at, top)]), TIME);
        }
        scene.shape(plot.line(self.line()), CURVE);
        scene.shape(plot.marks(Marker::Circle, &self.readings(), READING), OPEN);
        if let (Some((at, ..)), Some(d)) = (self.found(), self.level(self.black)) {
            let paint = Paint {
                fill: Some((VERMILLION, 1.0)),
                stroke: Some(Stroke::solid(WHITE, 1.2)),
            };
            scene.shape(plot.marks(Marker::Diamond, &[(at, d)], 5.0), paint);
        }
    }

    fn label(&self, scene: &mut Scene, plot: &Plot) {
        // Two values that lie closer than a line of text share one.
        let levels = [("Dmax", self.d_max), ("black", self.black)];
        let mut before: Option<f64> = None;
        for (name, level) in levels {
            let Some(d) = self.level(level) else { continue };
            let mut y = plot.y.at(d);
            if let Some(above) = before {
                y = y.max(above + NOTE + 2.0);
            }
            let at = (plot.area.right() + 6.0, y);
            let words = Text::new(format!("{name} {}", number(d, 2)), at, NOTE);
            scene.text(words.centred().coloured(GREY));
            before = Some(y);
        }
        if let (Some((at, ..)), Some((value, ..))) = (self.found(), self.seconds) {
            let (x, bottom) = (plot.x.at(at), plot.area.bottom());
            let words = Text::new(written(value), (x + 5.0, bottom - 14.0), 12.5);
            let fits = x + 5.0 + words.width() < plot.area.right();
            let place = if fits { x + 5.0 } else { x - 5.0 };
            let anchor = if fits { Anchor::Start } else { Anchor::End };
            let words = Text::new(written(value), (place, bottom - 14.0), 12.5);
            scene.text(words.anchored(anchor));
        }
    }

    fn legend(&self) -> Legend {
        let mut entries = Vec::new();
        if !self.readings().is_empty() {
            let sample = vec![(Swatch::Mark(Marker::Circle, READING), OPEN)];
            entries.push(Entry::new("reading", sample));
        }
        if !self.curve.is_empty() {
            let samples = vec![(Swatch::Patch, BAND), (Swatch::Line, CURVE.into())];
            entries.push(Entry::new("curve of the paper", samples));
        }
        if self.level(self.d_max).is_some() {
            let sample = vec![(Swatch::Line, END.into())];
            entries.push(Entry::new("maximum density", sample));
        }
        if self.level(self.black).is_some() {
            let entry = Entry::new("counts as black", vec![(Swatch::Line, BLACK.into())]);
            entries.push(entry.with_detail("0.90 of net Dmax (ISO 6846)"));
        }
        if let (Some(_), Some((value, low, high))) = (self.found(), self.seconds) {
            let samples = vec![(Swatch::Patch, SHADE), (Swatch::Line, TIME.into())];
            let entry = Entry::new(format!("shortest black {}", written(value)), samples);
            let interval = format!("{} to {}", written(low), written(high));
            let known = !low.is_nan() && !high.is_nan();
            entries.push(if known {
                entry.with_detail(interval)
            } else {
                entry
            });
        }
        if entries.is_empty() {
            entries.push(Entry::new("no readings", Vec::new()));
        }
        Legend { entries }
    }

    fn description(&self) -> String {
        let mut words =
            "Reflection density through clear film over seconds of exposure.".to_owned();
        for (name, level) in [
            ("Maximum density", self.d_max),
            ("Counts as black from", self.black),
        ] {
            if let Some(d) = self.level(level) {
                words.push_str(&format!(" {name} {}.", number(d, 2)));
            }
        }
        if let (Some(_), Some((value, ..))) = (self.found(), self.seconds) {
            words.push_str(&format!(
                " Shortest time that gives it: {}.",
                written(value)
            ));
        }
        words
    }
}

/// A time in words, to three digits or so.
fn written(seconds: f64) -> String {
    let decimals = if seconds < 10.0 {
        2
    } else if seconds < 100.0 {
        1
    } else {
        0
    };
    format!("{} s", number(seconds.clamp(-1e7, 1e7), decimals))
}

/// log10 of a time, if it can be one.
fn time(seconds: f64) -> Option<f64> {
    let x = seconds.log10();
    (TIMES.0..=TIMES.1).contains(&x).then_some(x)
}

/// Ticks at round times, as far as their labels have room: every halving or so.
fn seconds_ticks((from, to): (f64, f64), width: f64) -> Ticks {
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
            let clear = major
                .last()
                .is_none_or(|(last, _)| (x - last) * unit >= APART);
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
