//! The characteristic curve: density over log exposure, on equal scales.
//!
//! One strip is drawn with everything that its measures rest on; several strips with what tells
//! them apart. The figure is plain data and knows nothing of how a curve was fitted.

mod analysed;
mod extent;
mod family;
mod frame;
mod single;

use std::borrow::Cow;

use crate::figures::draw::Scene;
use crate::measures::{ContrastCondition, ContrastIndexChord};
use crate::units::{Density, LogExposure};
use crate::words::number;

/// One reading of a strip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlotPoint {
    /// log10 of the exposure.
    pub log_exposure: f64,
    /// The density read.
    pub density: f64,
    /// Whether the fit finds it hard to believe.
    pub suspect: bool,
}

/// One point of a fitted curve. The curve is drawn straight between its points: some hundred make
/// it smooth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// log10 of the exposure.
    pub x: f64,
    /// Density on the curve.
    pub density: f64,
    /// Lower end of the 95 % interval.
    pub low: f64,
    /// Upper end of the 95 % interval.
    pub high: f64,
}

/// The contrast index with the chord whose slope it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ContrastIndexMark {
    /// Where the chord lies.
    pub chord: ContrastIndexChord,
    /// The contrast index.
    pub value: f64,
}

/// The triangle of the contrast condition of ISO 6: from m, 1.30 in log exposure and 0.80 up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IsoTriangle {
    /// (log exposure, density) of the speed point m.
    pub m: (f64, f64),
    /// Density that the curve gains from m to m + 1.30.
    pub delta_d: f64,
    /// Whether that is 0.80 ± 0.05.
    pub condition: ContrastCondition,
}

/// What is drawn of one strip. Whatever is absent, or cannot be a log exposure or a density, is
/// left out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StripCurve {
    /// What the strip is called.
    pub name: String,
    /// Its readings.
    pub points: Vec<PlotPoint>,
    /// Densities of the unexposed film.
    pub unexposed: Vec<f64>,
    /// The fitted curve by rising exposure; empty if there is none.
    pub curve: Vec<CurvePoint>,
    /// Base plus fog.
    pub base_plus_fog: Option<f64>,
    /// (log exposure, density) where the curve is 0.10 above base plus fog.
    pub speed_point: Option<(f64, f64)>,
    /// The contrast index and its chord.
    pub contrast_index: Option<ContrastIndexMark>,
    /// The triangle of ISO 6.
    pub iso: Option<IsoTriangle>,
}

/// The figure of one strip's curve, or of several strips' curves.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CharacteristicFigure {
    /// The heading.
    pub title: String,
    /// A second line below it.
    pub subtitle: Option<String>,
    /// Whether exposures are in lux seconds rather than relative.
    pub absolute: bool,
    /// The strips; none gives empty axes.
    pub strips: Vec<StripCurve>,
}

impl CharacteristicFigure {
    /// The figure as a scene, to be written as SVG or PNG.
    #[must_use]
    pub fn scene(&self) -> Scene {
        let legend = match self.strips.as_slice() {
            [only] => single::legend(only),
            strips => family::legend(strips),
        };
        let frame = frame::Frame::new(self, &legend);
        let mut scene = Scene::new(frame.width, frame.height, &self.title, &self.description());
        let plot = &frame.plot;
        frame.draw_below(&mut scene);
        scene.clipped(plot.area, |scene| match self.strips.as_slice() {
            [only] => single::draw(scene, plot, only),
            strips => family::draw(scene, plot, strips),
        });
        frame.draw_above(&mut scene, &legend);
        if let [only] = self.strips.as_slice() {
            single::draw_labels(&mut scene, plot, only);
        }
        scene
    }

    /// The figure in words.
    fn description(&self) -> String {
        let exposure =
            if self.absolute { "log exposure in lux seconds" } else { "relative log exposure" };
        let mut words = format!("Density over {exposure}, equal scales.");
        for (n, strip) in self.strips.iter().take(family::LISTED).enumerate() {
            words.push_str(&format!(" {}: {} readings", strip.label(n), strip.points.len()));
            let values = [
                ("base plus fog", strip.base_plus_fog),
                ("speed point at log exposure", strip.speed_point.map(|(x, _)| x)),
                ("contrast index", strip.contrast_index.map(|mark| mark.value)),
            ];
            for (name, value) in values {
                if let Some(value) = value.filter(|v| v.is_finite()) {
                    words.push_str(&format!(", {name} {}", number(value, 2)));
                }
            }
            words.push('.');
        }
        let unlisted = self.strips.len().saturating_sub(family::LISTED);
        if unlisted > 0 {
            words.push_str(&format!(" And {unlisted} more strips."));
        }
        words
    }
}

/// The point, if its coordinates can be a log exposure and a density.
fn drawable((x, density): (f64, f64)) -> Option<(f64, f64)> {
    let (x, density) = (LogExposure::new(x).ok()?, Density::new(density).ok()?);
    Some((x.get(), density.get()))
}

impl StripCurve {
    /// The name, or the place in the figure where there is none.
    fn label(&self, place: usize) -> Cow<'_, str> {
        match self.name.trim() {
            "" => Cow::Owned(format!("strip {}", place + 1)),
            name => Cow::Borrowed(name),
        }
    }

    fn readings(&self, suspect: bool) -> Vec<(f64, f64)> {
        let wanted = self.points.iter().filter(|p| p.suspect == suspect);
        wanted.filter_map(|p| drawable((p.log_exposure, p.density))).collect()
    }

    fn unexposed_densities(&self) -> impl Iterator<Item = f64> + '_ {
        self.unexposed.iter().copied().filter(|d| Density::new(*d).is_ok())
    }

    fn fog(&self) -> Option<f64> {
        self.base_plus_fog.filter(|d| Density::new(*d).is_ok())
    }

    fn speed(&self) -> Option<(f64, f64)> {
        self.speed_point.and_then(drawable)
    }

    /// The curve with gaps (as NaN) where it cannot be drawn.
    fn line(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.curve.iter().map(|p| drawable((p.x, p.density)).unwrap_or((f64::NAN, f64::NAN)))
    }

    /// The interval band with the same gaps, its edges held near the densities that exist.
    fn band(&self) -> Vec<(f64, f64, f64)> {
        let held = |d: f64| d.clamp(Density::LOWEST - 1.0, Density::HIGHEST + 1.0);
        let edges = self.curve.iter().map(|p| {
            let x = LogExposure::new(p.x).map_or(f64::NAN, LogExposure::get);
            (x, held(p.low), held(p.high))
        });
        edges.collect()
    }

    fn chord(&self) -> Option<ContrastIndexMark> {
        self.contrast_index.filter(|mark| {
            let ContrastIndexChord { origin, near, far } = mark.chord;
            mark.value.abs() < 100.0 && [origin, near, far].iter().all(|p| drawable(*p).is_some())
        })
    }

    fn triangle(&self) -> Option<IsoTriangle> {
        let drawn = |iso: &IsoTriangle| {
            drawable(iso.m).is_some() && drawable((iso.m.0, iso.m.1 + iso.delta_d)).is_some()
        };
        self.iso.filter(drawn)
    }
}
