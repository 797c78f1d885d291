//! Exposure index over contrast: what speed a film has at the contrast it is developed to.

mod axis;
mod draw;

use super::chart::{Heading, Sheet, Ticks, bounds, round_range};
use super::draw::Scene;
use super::temperatures::Temperatures;
use crate::words::number;

const MOST_CONTRAST: f64 = 10.0;
/// Exposure indices between which every film lies, by far.
const INDICES: (f64, f64) = (0.01, 1e6);
const SIZE: (f64, f64) = (480.0, 400.0);
/// Smallest range of contrasts.
const LEAST_CONTRAST: f64 = 0.2;

/// Exposure index and contrast of one strip.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SpeedAt {
    /// What the strip is called.
    pub name: String,
    /// The contrast measured.
    pub contrast: f64,
    /// The 95 % interval of the contrast.
    pub contrast_interval: Option<(f64, f64)>,
    /// The exposure index measured.
    pub exposure_index: f64,
    /// The 95 % interval of the exposure index.
    pub exposure_index_interval: Option<(f64, f64)>,
    /// Temperature of its bath in °C.
    pub celsius: f64,
}

/// One point of the curve of exposure index over contrast.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SpeedCurveAt {
    /// The contrast.
    pub contrast: f64,
    /// Exposure index on the curve.
    pub exposure_index: f64,
    /// Lower end of the 95 % interval.
    pub low: f64,
    /// Upper end of the 95 % interval.
    pub high: f64,
}

/// The contrast at which ISO 6 takes the speed, and the speed there.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct IsoSpeedMark {
    /// The contrast, in the measure of the figure, where the ISO condition is met.
    pub contrast: f64,
    /// The ISO speed as computed, not rounded to a standard value.
    pub speed: Option<f64>,
    /// The speed as it is written: the rounded value.
    pub rounded: Option<f64>,
}

/// The figure of a pairing's exposure index over contrast.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SpeedContrastFigure {
    /// The heading.
    pub title: String,
    /// A second line below it.
    pub subtitle: Option<String>,
    /// The measure of contrast, as "contrast index".
    pub measure: String,
    /// The reference temperature of the pairing in °C.
    pub reference_celsius: f64,
    /// The strips; whatever has no contrast or no exposure index is left out.
    pub strips: Vec<SpeedAt>,
    /// The curve by rising contrast; empty if there is none.
    pub curve: Vec<SpeedCurveAt>,
    /// The contrast condition of ISO 6.
    pub iso: Option<IsoSpeedMark>,
}

/// The contrast, if it can be one.
fn possible(contrast: f64) -> Option<f64> {
    (contrast.abs() <= MOST_CONTRAST).then_some(contrast)
}

/// The logarithm of an exposure index, if it can be one.
fn log_index(index: f64) -> Option<f64> {
    (INDICES.0..=INDICES.1).contains(&index).then(|| index.log10())
}

impl SpeedAt {
    /// The place in the plot: contrast, and log10 of the exposure index.
    fn at(&self) -> Option<(f64, f64)> {
        Some((possible(self.contrast)?, log_index(self.exposure_index)?))
    }

    /// The ends of each bar in the plot, where there is an interval.
    fn bars(&self) -> Vec<[(f64, f64); 2]> {
        let Some((x, y)) = self.at() else {
            return Vec::new();
        };
        let across = self.contrast_interval.filter(|i| i.0.is_finite() && i.1.is_finite());
        let across = across.map(|(low, high)| {
            let held = |c: f64| c.clamp(-MOST_CONTRAST, MOST_CONTRAST);
            [(held(low), y), (held(high), y)]
        });
        let up = self.exposure_index_interval.filter(|i| !i.0.is_nan() && !i.1.is_nan());
        let up = up.map(|(low, high)| {
            let held = |s: f64| s.clamp(INDICES.0, INDICES.1).log10();
            [(x, held(low)), (x, held(high))]
        });
        across.into_iter().chain(up).collect()
    }
}

impl SpeedContrastFigure {
    /// The figure as a scene, to be written as SVG or PNG.
    #[must_use]
    pub fn scene(&self) -> Scene {
        let (x, y) = self.ranges();
        let groups = Temperatures::of(self.drawn().map(|s| s.celsius), self.reference_celsius);
        let heading = Heading::new(&self.title, self.subtitle.as_deref());
        let legend = draw::legend(self, &groups);
        let sheet = Sheet::new(heading, legend, (SIZE, 28.0), x, y);
        let (x_ticks, y_ticks) = (Ticks::nice(x, 9), axis::ticks(y, SIZE.1));

        let mut scene = Scene::new(sheet.width, sheet.height, &self.title, &self.description());
        let plot = &sheet.plot;
        plot.draw_grid(&mut scene, &x_ticks, &y_ticks);
        scene.clipped(plot.area, |scene| {
            draw::curve(scene, plot, self);
            draw::iso(scene, plot, self);
            draw::strips(scene, plot, self, &groups);
        });
        sheet.draw_around(
            &mut scene,
            (&x_ticks, self.measure_name()),
            (&y_ticks, "exposure index"),
        );
        draw::names(&mut scene, plot, self);
        scene
    }

    /// The ranges across and up: of contrast, and of log10 of the exposure index.
    fn ranges(&self) -> ((f64, f64), (f64, f64)) {
        let mut points: Vec<(f64, f64)> = self.drawn().filter_map(SpeedAt::at).collect();
        points.extend(self.line().filter(|p| p.0.is_finite()));
        let iso = self.iso_mark();
        points.extend(iso.and_then(|(contrast, speed)| Some((contrast, speed?))));
        let contrasts = points.iter().map(|p| p.0).chain(iso.map(|(contrast, _)| contrast));
        let x = bounds(contrasts).unwrap_or((0.4, 0.8));
        let y = bounds(points.iter().map(|p| p.1)).unwrap_or((1.9, 2.3));
        let bars: Vec<(f64, f64)> = self.drawn().flat_map(SpeedAt::bars).flatten().collect();
        // An interval may widen an axis, but not flatten what is drawn on it.
        let widened = |(low, high): (f64, f64), ends: Option<(f64, f64)>, least: f64| {
            let room = 0.4 * (high - low).max(least);
            let (from, to) = ends.unwrap_or((low, high));
            (from.clamp(low - room, low), to.clamp(high, high + room))
        };
        let x = widened(x, bounds(bars.iter().map(|b| b.0)), LEAST_CONTRAST);
        let y = widened(y, bounds(bars.iter().map(|b| b.1)), axis::LEAST);
        (round_range(x, LEAST_CONTRAST, 0.2), axis::range(y))
    }

    /// The strips that have a contrast and an exposure index.
    fn drawn(&self) -> impl Iterator<Item = &SpeedAt> {
        self.strips.iter().filter(|s| s.at().is_some())
    }

    fn measure_name(&self) -> &str {
        match self.measure.trim() {
            "" => "contrast",
            name => name,
        }
    }

    /// The curve with gaps (as NaN) where it cannot be drawn.
    fn line(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.curve.iter().map(|p| {
            let at = possible(p.contrast).zip(log_index(p.exposure_index));
            at.unwrap_or((f64::NAN, f64::NAN))
        })
    }

    /// The ISO contrast and log10 of the ISO speed, where they can be.
    fn iso_mark(&self) -> Option<(f64, Option<f64>)> {
        let iso = self.iso?;
        Some((possible(iso.contrast)?, iso.speed.and_then(log_index)))
    }

    /// The figure in words.
    fn description(&self) -> String {
        let measure = self.measure_name();
        let mut words = format!("Exposure index over {measure}, logarithmic upwards.");
        for (n, strip) in self.drawn().enumerate() {
            let name = match strip.name.trim() {
                "" => format!("strip {}", n + 1),
                name => name.to_owned(),
            };
            let (index, contrast) = (number(strip.exposure_index, 0), number(strip.contrast, 2));
            words.push_str(&format!(" {name}: {index} at {contrast}."));
        }
        if let Some(iso) = self.iso.filter(|_| self.iso_mark().is_some()) {
            words.push_str(&format!(" ISO contrast at {}", number(iso.contrast, 2)));
            if let Some(speed) = iso.written() {
                words.push_str(&format!(", ISO speed {speed}"));
            }
            words.push('.');
        }
        words
    }
}

impl IsoSpeedMark {
    /// The speed in words: the rounded one where it is given.
    fn written(&self) -> Option<String> {
        let speed = self.speed.filter(|s| log_index(*s).is_some())?;
        Some(match self.rounded {
            Some(rounded) => rounded.to_string(),
            None => number(speed, 0),
        })
    }
}
