//! The curve of a printing paper: reflection density over log exposure, on equal scales, with the
//! points of ISO 6846.

mod draw;
mod extent;
mod measured;

use super::characteristic::{CurvePoint, PlotPoint};
use super::chart::{Heading, Sheet, Ticks};
use super::draw::Scene;
use crate::units::{Density, LogExposure};
use crate::words::number;

/// What is drawn of one strip of paper. Whatever is absent, or cannot be a log exposure or a density,
/// is left out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PaperCurve {
    /// What it is called: the filter, the grade, the strip.
    pub name: String,
    /// Its readings.
    pub points: Vec<PlotPoint>,
    /// Densities of the unexposed paper.
    pub unexposed: Vec<f64>,
    /// The fitted curve by rising exposure; empty if there is none.
    pub curve: Vec<CurvePoint>,
    /// Minimum density.
    pub d_min: Option<f64>,
    /// Maximum density.
    pub d_max: Option<f64>,
    /// (log exposure, density) of the highlight point.
    pub highlight: Option<(f64, f64)>,
    /// (log exposure, density) of the speed point.
    pub speed_point: Option<(f64, f64)>,
    /// (log exposure, density) of the shadow point.
    pub shadow: Option<(f64, f64)>,
    /// Range R.
    pub range_r: Option<f64>,
    /// Paper speed P.
    pub speed_p: Option<f64>,
}

/// The figure of one strip of paper, or of several.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PaperFigure {
    /// The heading.
    pub title: String,
    /// A second line below it.
    pub subtitle: Option<String>,
    /// Whether exposures are in lux seconds rather than relative.
    pub absolute: bool,
    /// The strips; none gives empty axes.
    pub papers: Vec<PaperCurve>,
}

impl PaperFigure {
    /// The figure as a scene, to be written as SVG or PNG.
    #[must_use]
    pub fn scene(&self) -> Scene {
        let extent = extent::Extent::of(&self.papers);
        let heading = Heading::new(&self.title, self.subtitle.as_deref());
        let legend = match self.papers.as_slice() {
            [only] => draw::legend_of_one(only),
            papers => draw::legend_of_several(papers),
        };
        let sheet = Sheet::new(heading, legend, (extent.size(), 74.0), extent.x, extent.y);
        let (x, y) = extent.ticks();
        let mut scene = Scene::new(sheet.width, sheet.height, &self.title, &self.description());
        let plot = &sheet.plot;
        plot.draw_grid(&mut scene, &x, &y);
        scene.clipped(plot.area, |scene| match self.papers.as_slice() {
            [only] => draw::one(scene, plot, only),
            papers => draw::several(scene, plot, papers),
        });
        let exposure =
            if self.absolute { "log exposure (lux·s)" } else { "relative log exposure" };
        sheet.draw_around(&mut scene, (&x, exposure), (&y, "reflection density"));
        if let [only] = self.papers.as_slice() {
            draw::labels(&mut scene, plot, only);
        }
        scene
    }

    /// The figure in words.
    fn description(&self) -> String {
        let exposure =
            if self.absolute { "log exposure in lux seconds" } else { "relative log exposure" };
        let mut words = format!("Reflection density over {exposure}, equal scales.");
        for (n, paper) in self.papers.iter().take(draw::LISTED).enumerate() {
            words.push_str(&format!(" {}: {} readings", paper.label(n), paper.points.len()));
            let values = [
                ("minimum density", paper.d_min, 2),
                ("maximum density", paper.d_max, 2),
                ("range R", paper.range_r, 0),
                ("speed P", paper.speed_p, 0),
            ];
            for (name, value, decimals) in values {
                if let Some(value) = value.filter(|v| v.is_finite() && v.abs() < 1e9) {
                    words.push_str(&format!(", {name} {}", number(value, decimals)));
                }
            }
            words.push('.');
        }
        let unlisted = self.papers.len().saturating_sub(draw::LISTED);
        if unlisted > 0 {
            words.push_str(&format!(" And {unlisted} more."));
        }
        words
    }
}

/// The point, if its coordinates can be a log exposure and a density.
fn drawable((x, density): (f64, f64)) -> Option<(f64, f64)> {
    let (x, density) = (LogExposure::new(x).ok()?, Density::new(density).ok()?);
    Some((x.get(), density.get()))
}

impl PaperCurve {
    /// The name, or the place in the figure where there is none.
    fn label(&self, place: usize) -> String {
        match self.name.trim() {
            "" => format!("strip {}", place + 1),
            name => name.to_owned(),
        }
    }

    fn readings(&self, suspect: bool) -> Vec<(f64, f64)> {
        let wanted = self.points.iter().filter(|p| p.suspect == suspect);
        wanted.filter_map(|p| drawable((p.log_exposure, p.density))).collect()
    }

    fn unexposed(&self) -> impl Iterator<Item = f64> + '_ {
        let possible = |d: &f64| Density::new(*d).is_ok();
        self.unexposed.iter().copied().filter(possible)
    }

    /// The curve with gaps (as NaN) where it cannot be drawn.
    fn line(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        let at = |p: &CurvePoint| drawable((p.x, p.density)).unwrap_or((f64::NAN, f64::NAN));
        self.curve.iter().map(at)
    }

    /// The interval band with the same gaps, its edges held near the densities that exist.
    fn band(&self) -> Vec<(f64, f64, f64)> {
        let held = |d: f64| d.clamp(Density::LOWEST - 1.0, Density::HIGHEST + 1.0);
        let edge = |p: &CurvePoint| {
            let x = LogExposure::new(p.x).map_or(f64::NAN, LogExposure::get);
            (x, held(p.low), held(p.high))
        };
        self.curve.iter().map(edge).collect()
    }

    /// Minimum and maximum density, each where it can be one.
    fn ends(&self) -> [Option<f64>; 2] {
        [self.d_min, self.d_max].map(|d| d.filter(|d| Density::new(*d).is_ok()))
    }

    /// Highlight, speed and shadow point, each where it can be drawn.
    fn marks(&self) -> [Option<(f64, f64)>; 3] {
        [self.highlight, self.speed_point, self.shadow].map(|p| p.and_then(drawable))
    }

    /// Range R with the two points that it lies between.
    fn range(&self) -> Option<Range> {
        let [from, _, to] = self.marks();
        let range = self.range_r.filter(|r| r.abs() < 1e4)?;
        Some(Range { range_r: range, from: from?, to: to? })
    }
}

/// Range R with its highlight and its shadow point.
#[derive(Clone, Copy, Debug)]
struct Range {
    range_r: f64,
    from: (f64, f64),
    to: (f64, f64),
}

/// Ticks for an axis of densities or log exposures.
fn ticks(range: (f64, f64)) -> Ticks {
    Ticks::every(range, 0.5, 5)
}
