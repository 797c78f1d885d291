//! The contact proof's time: density of the print through clear film over the time of exposure.

mod draw;

use super::characteristic::CurvePoint;
use super::chart::{Heading, Sheet, Ticks, bounds};
use super::draw::Scene;
use crate::units::Density;
use crate::words::number;

const SIZE: (f64, f64) = (500.0, 380.0);
/// Times that are drawn, log10 of seconds.
const TIMES: (f64, f64) = (-3.0, 6.0);
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
        let sheet = Sheet::new(heading, draw::legend(self), (SIZE, 76.0), x, y);
        let times = draw::seconds_ticks(x, SIZE.0);
        let densities = Ticks::every(y, 0.5, 5);
        let mut scene = Scene::new(sheet.width, sheet.height, &self.title, &self.description());
        let plot = &sheet.plot;
        plot.draw_grid(&mut scene, &times, &densities);
        scene.clipped(plot.area, |scene| draw::draw(scene, plot, self));
        let (across, up) = ("exposure (seconds)", "reflection density");
        sheet.draw_around(&mut scene, (&times, across), (&densities, up));
        draw::label(&mut scene, plot, self);
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
        self.curve.iter().map(move |p| match Density::new(p.density) {
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
        let up = points.iter().map(|p| p.1).chain(levels.into_iter().flatten());
        let (from, to) = bounds(across).unwrap_or((0.0, 1.5));
        let (lowest, highest) = bounds(up).unwrap_or((0.0, 2.0));
        let lacking = (0.9 - (to - from)).max(0.0) / 2.0;
        let bottom = (lowest.min(0.0) * 10.0).floor() / 10.0;
        let top = ((highest + 0.12) * 10.0).ceil() / 10.0;
        ((from - 0.08 - lacking, to + 0.08 + lacking), (bottom, top.max(bottom + 1.0)))
    }

    fn description(&self) -> String {
        let mut words =
            "Reflection density through clear film over seconds of exposure.".to_owned();
        for (name, level) in [("Maximum density", self.d_max), ("Counts as black from", self.black)]
        {
            if let Some(d) = self.level(level) {
                words.push_str(&format!(" {name} {}.", number(d, 2)));
            }
        }
        if let (Some(_), Some((value, ..))) = (self.found(), self.seconds) {
            words.push_str(&format!(" Shortest time that gives it: {}.", draw::written(value)));
        }
        words
    }
}

/// log10 of a time, if it can be one.
fn time(seconds: f64) -> Option<f64> {
    let x = seconds.log10();
    (TIMES.0..=TIMES.1).contains(&x).then_some(x)
}
