//! Contrast over development time: the strips, the fitted growth of contrast, and the times that
//! the aims need.

mod aims;
mod draw;
mod extent;

use super::chart::{Heading, Plot, Sheet, Ticks};
use super::draw::Scene;
use super::temperatures::{Temperatures, degrees};
use crate::units::Minutes;
use crate::words::number;
use crate::words::rounded_clock;

/// Most that any measure of contrast can be; what is beyond is not drawn.
const MOST_CONTRAST: f64 = 10.0;
const SIZE: (f64, f64) = (500.0, 400.0);

/// The contrast of one strip.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ContrastAt {
    /// What the strip is called.
    pub name: String,
    /// Effective development: minutes at the reference temperature.
    pub minutes: f64,
    /// The contrast measured.
    pub contrast: f64,
    /// Lower end of its 95 % interval.
    pub low: f64,
    /// Upper end of its 95 % interval.
    pub high: f64,
    /// Temperature of its bath in °C.
    pub celsius: f64,
}

/// One point of the fitted curve. The curve is drawn straight between its points.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CurveAt {
    /// Effective development: minutes at the reference temperature.
    pub minutes: f64,
    /// Contrast on the curve.
    pub contrast: f64,
    /// Lower end of the 95 % interval.
    pub low: f64,
    /// Upper end of the 95 % interval.
    pub high: f64,
}

/// A contrast that is wanted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Aim {
    /// What it is called: "N", "N+1", or the contrast itself.
    pub label: String,
    /// The contrast.
    pub contrast: f64,
    /// Minutes at the reference temperature that give it; `None` where none do.
    pub minutes: Option<f64>,
}

/// The figure of a pairing's contrast over time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ContrastTimeFigure {
    /// The heading.
    pub title: String,
    /// A second line below it.
    pub subtitle: Option<String>,
    /// The measure of contrast, as "contrast index".
    pub measure: String,
    /// The temperature that the times are for, in °C.
    pub reference_celsius: f64,
    /// The strips; whatever has no time or no contrast is left out.
    pub strips: Vec<ContrastAt>,
    /// The fitted curve by rising time; empty if there is none.
    pub curve: Vec<CurveAt>,
    /// The aims.
    pub aims: Vec<Aim>,
    /// The contrast that endless development would approach.
    pub asymptote: Option<f64>,
}

/// The contrast, if it can be one.
fn possible(contrast: f64) -> Option<f64> {
    (contrast.abs() <= MOST_CONTRAST).then_some(contrast)
}

impl ContrastTimeFigure {
    /// The figure as a scene, to be written as SVG or PNG.
    #[must_use]
    pub fn scene(&self) -> Scene {
        let extent = extent::Extent::of(self);
        let groups = Temperatures::of(self.drawn().map(|s| s.celsius), self.reference_celsius);
        let heading = Heading::new(&self.title, self.subtitle.as_deref());
        let legend = draw::legend(self, &groups, &extent);
        let labels = aims::Labels::of(self);
        let gutter = labels.width() + 28.0;
        let sheet = Sheet::new(heading, legend, (SIZE, gutter), extent.x, extent.y);
        let (x, y) = (Ticks::nice(extent.x, 9), Ticks::nice(extent.y, 9));

        let mut scene = Scene::new(sheet.width, sheet.height, &self.title, &self.description());
        let plot: &Plot = &sheet.plot;
        plot.draw_grid(&mut scene, &x, &y);
        scene.clipped(plot.area, |scene| {
            draw::curve(scene, plot, self);
            aims::draw_lines(scene, plot, self);
            draw::strips(scene, plot, self, &groups);
        });
        let minutes = match degrees(self.reference_celsius).as_str() {
            "unknown temperature" => "effective development (minutes)".to_owned(),
            known => format!("effective development (minutes at {known})"),
        };
        sheet.draw_around(&mut scene, (&x, &minutes), (&y, self.measure_name()));
        labels.draw(&mut scene, plot);
        draw::names(&mut scene, plot, self);
        scene
    }

    /// The strips that have a time and a contrast.
    fn drawn(&self) -> impl Iterator<Item = &ContrastAt> + Clone {
        let drawable =
            |s: &&ContrastAt| Minutes::new(s.minutes).is_ok() && possible(s.contrast).is_some();
        self.strips.iter().filter(drawable)
    }

    /// The aims whose contrast can be one.
    fn drawn_aims(&self) -> impl Iterator<Item = &Aim> + Clone {
        self.aims.iter().filter(|aim| possible(aim.contrast).is_some())
    }

    fn measure_name(&self) -> &str {
        match self.measure.trim() {
            "" => "contrast",
            name => name,
        }
    }

    /// The curve with gaps (as NaN) where it cannot be drawn: time 0 is part of it.
    fn line(&self) -> impl Iterator<Item = (f64, f64)> + Clone + '_ {
        self.curve.iter().map(|p| {
            let timed = p.minutes == 0.0 || Minutes::new(p.minutes).is_ok();
            match possible(p.contrast).filter(|_| timed) {
                Some(contrast) => (p.minutes, contrast),
                None => (f64::NAN, f64::NAN),
            }
        })
    }

    /// The figure in words.
    fn description(&self) -> String {
        let measure = self.measure_name();
        let mut words = format!("Growth of {measure} with development time.");
        for (n, strip) in self.drawn().enumerate() {
            let name = match strip.name.trim() {
                "" => format!("strip {}", n + 1),
                name => name.to_owned(),
            };
            let (minutes, contrast) = (number(strip.minutes, 1), number(strip.contrast, 2));
            words.push_str(&format!(" {name}: {contrast} after {minutes} minutes."));
        }
        for aim in self.drawn_aims() {
            let (label, contrast) = (aim.label.trim(), number(aim.contrast, 2));
            let time = match aim.minutes.map(rounded_clock) {
                Some(time) => format!("needs {time}"),
                None => "is not reached".to_owned(),
            };
            words.push_str(&format!(" Aim {label}, {measure} {contrast}, {time}."));
        }
        words
    }
}
