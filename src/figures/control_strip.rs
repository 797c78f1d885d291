//! A control strip over the curve that it should have, and the differences.

use super::chart::{
    Entry, Heading, Legend, Marker, Plot, Swatch, Ticks, add_interval_bar, bounds, round_range,
};
use super::draw::{BLUE, GREY, INK, Paint, Path, Rect, Scene, Stroke, VERMILLION};
use crate::numerics::chance::NORMAL_95;
use crate::words::number;

const WIDTH: f64 = 520.0;
const UPPER: f64 = 330.0;
const LOWER: f64 = 170.0;
const BETWEEN: f64 = 22.0;
const LEFT: f64 = 74.0;
const ABOVE: f64 = 20.0;
const BOTTOM: f64 = 64.0;
const GUTTER: f64 = 24.0;
const LEGEND_WIDTH: (f64, f64) = (150.0, 250.0);
const READING: f64 = 4.0;
/// From the left edge to the marks of the unexposed film, in page units.
const INSET: f64 = 12.0;

const AIM: Stroke = Stroke::solid(BLUE, 2.0);
const EXPLAINED: Stroke = Stroke::solid(VERMILLION, 1.8).dashed(&[7.0, 3.5]);
const OPEN: Paint = Paint::open(Stroke::solid(INK, 1.2));
const BAR: Stroke = Stroke::solid(GREY, 1.0);

/// One step of the strip.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ControlStep {
    /// log10 of exposure; −∞ for the unexposed film.
    pub log_exposure: f64,
    /// Density read.
    pub density: f64,
    /// Density that it should have.
    pub aim: f64,
    /// Standard error of the difference.
    pub sd: f64,
}

/// The figure of a control strip.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ControlStripFigure {
    /// The heading.
    pub title: String,
    /// A second line below it.
    pub subtitle: Option<String>,
    /// Whether exposures are in lux seconds.
    pub absolute: bool,
    /// The steps.
    pub steps: Vec<ControlStep>,
    /// (log exposure, aim, density as explained), by rising exposure.
    pub curves: Vec<(f64, f64, f64)>,
    /// The bath's activity.
    pub activity: f64,
    /// What else explains the strip, in a few words.
    pub besides: Option<String>,
}

impl ControlStripFigure {
    /// The figure as a scene, to be written as SVG or PNG.
    #[must_use]
    pub fn scene(&self) -> Scene {
        let heading = Heading::new(&self.title, self.subtitle.as_deref());
        let legend = self.legend();
        let (x, above, below) = self.ranges();
        let area = |y: f64, height: f64| Rect { x: LEFT, y, width: WIDTH, height };
        let upper = Plot::new(area(heading.height() + ABOVE, UPPER), x, above);
        let lower = Plot::new(area(upper.area.bottom() + BETWEEN, LOWER), x, below);
        let legend_width = legend.width().ceil().clamp(LEGEND_WIDTH.0, LEGEND_WIDTH.1);
        let width = upper.area.right() + GUTTER + legend_width + 20.0;
        let height = lower.area.bottom() + BOTTOM;
        let mut scene = Scene::new(width, height, &self.title, &self.description());
        heading.draw(&mut scene);
        let ticks = Ticks::nice(x, 9);
        let (density, off) = (Ticks::nice(above, 8), Ticks::nice(below, 6));
        upper.draw_grid(&mut scene, &ticks, &density);
        lower.draw_grid(&mut scene, &ticks, &off);
        scene.clipped(upper.area, |scene| self.draw_strip(scene, &upper));
        scene.clipped(lower.area, |scene| self.draw_differences(scene, &lower));
        for plot in [&upper, &lower] {
            plot.draw_frame(&mut scene);
        }
        upper.draw_left_axis(&mut scene, &density, "density");
        lower.draw_left_axis(&mut scene, &off, "density off its aim");
        let exposure =
            if self.absolute { "log exposure (lux·s)" } else { "relative log exposure" };
        lower.draw_bottom_axis(&mut scene, &ticks, exposure);
        let corner = (upper.area.right() + GUTTER, upper.area.y + 2.0);
        legend.draw(&mut scene, corner, legend_width);
        scene
    }

    /// Ranges of exposure, of density and of differences.
    fn ranges(&self) -> ((f64, f64), (f64, f64), (f64, f64)) {
        let exposures = bounds(self.steps.iter().map(|s| s.log_exposure)).unwrap_or((-3.0, 0.0));
        // Room at the left for the unexposed film.
        let x = (exposures.0 - 0.2, exposures.1 + 0.1);
        let densities = self.steps.iter().flat_map(|s| [s.density, s.aim]);
        let density = bounds(densities).unwrap_or((0.0, 1.0));
        let ends = |s: &ControlStep| {
            let (d, half) = (s.density - s.aim, NORMAL_95 * s.sd);
            [d - half, d + half, 0.0]
        };
        let explained = self.curves.iter().map(|c| c.2 - c.1);
        let off = bounds(self.steps.iter().flat_map(ends).chain(explained)).unwrap_or((-0.1, 0.1));
        (x, round_range(density, 0.5, 0.5), round_range(off, 0.08, 0.0))
    }

    /// Where a step stands.
    fn at(plot: &Plot, log_exposure: f64, y: f64) -> (f64, f64) {
        let x =
            if log_exposure.is_finite() { plot.x.at(log_exposure) } else { plot.area.x + INSET };
        (x, plot.y.at(y))
    }

    fn marks(&self, plot: &Plot, y: impl Fn(&ControlStep) -> f64) -> Path {
        let mut path = Path::default();
        for s in &self.steps {
            let marker =
                if s.log_exposure.is_finite() { Marker::Circle } else { Marker::TriangleLeft };
            marker.add_to(&mut path, Self::at(plot, s.log_exposure, y(s)), READING);
        }
        path
    }

    fn draw_strip(&self, scene: &mut Scene, plot: &Plot) {
        scene.shape(plot.line(self.curves.iter().map(|c| (c.0, c.1))), AIM);
        scene.shape(plot.line(self.curves.iter().map(|c| (c.0, c.2))), EXPLAINED);
        scene.shape(self.marks(plot, |s| s.density), OPEN);
    }

    fn draw_differences(&self, scene: &mut Scene, plot: &Plot) {
        let (from, to) = plot.x.domain;
        scene.shape(plot.line([(from, 0.0), (to, 0.0)]), AIM);
        let mut bars = Path::default();
        for s in &self.steps {
            let (off, half) = (s.density - s.aim, NORMAL_95 * s.sd);
            let end = |y| Self::at(plot, s.log_exposure, y);
            add_interval_bar(&mut bars, end(off - half), end(off + half));
        }
        scene.shape(bars, BAR);
        let explained = self.curves.iter().map(|c| (c.0, c.2 - c.1));
        scene.shape(plot.line(explained), EXPLAINED);
        scene.shape(self.marks(plot, |s| s.density - s.aim), OPEN);
    }

    fn legend(&self) -> Legend {
        let mark = |marker| vec![(Swatch::Mark(marker, READING), OPEN)];
        let mut entries = vec![
            Entry::new("reading", mark(Marker::Circle))
                .with_detail("below: with its 95 % interval"),
        ];
        if self.steps.iter().any(|s| !s.log_exposure.is_finite()) {
            entries.push(Entry::new("unexposed film", mark(Marker::TriangleLeft)));
        }
        let aim = Entry::new("aim", vec![(Swatch::Line, AIM.into())]);
        entries.push(aim.with_detail("a bath as calibrated"));
        let words = format!("activity {}", number(self.activity, 2));
        let explained = Entry::new(words, vec![(Swatch::Line, EXPLAINED.into())]);
        let besides = self.besides.as_deref();
        entries.push(explained.with_detail(besides.unwrap_or("explains the strip alone")));
        Legend { entries }
    }

    /// The figure in words.
    fn description(&self) -> String {
        let farthest = self.steps.iter().map(|s| s.density - s.aim);
        let farthest = farthest.fold(0.0, |m: f64, d| if d.abs() > m.abs() { d } else { m });
        format!(
            "A control strip of {} readings over the curve of a bath as calibrated. Activity {}; farthest off the aim by {} in density.",
            self.steps.len(),
            number(self.activity, 2),
            number(farthest, 2)
        )
    }
}
