//! The four-quadrant diagram of tone reproduction: scene to negative to print, after L. A. Jones.
//!
//! Neighbouring quadrants share an axis, so that a tone can be followed round the diagram by straight
//! lines: from the scene down to the film's exposure, left to the negative, up to the print, and
//! right to where that print stands over the scene.

mod draw;
mod layout;

use super::draw::Scene;
use crate::units::{Density, LogExposure};
use crate::words::number;

/// One tone on its way.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct TonePoint {
    /// log10 of the scene's luminance, relative to the metered tone.
    pub luminance: f64,
    /// log10 of the film's exposure.
    pub film_exposure: f64,
    /// Density of the negative.
    pub negative: f64,
    /// Density of the print.
    pub print: f64,
}

/// A tone that is followed round the diagram.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Traced {
    /// What it is called.
    pub name: String,
    /// Where it goes.
    pub tone: TonePoint,
}

/// The diagram. Whatever cannot be drawn is left out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ToneFigure {
    /// The heading.
    pub title: String,
    /// A second line below it.
    pub subtitle: Option<String>,
    /// Whether the film's exposures are in lux seconds.
    pub absolute: bool,
    /// The tones of the scene, from dark to bright.
    pub tones: Vec<TonePoint>,
    /// The film's curve: log exposure and density, also beyond the scene.
    pub film: Vec<(f64, f64)>,
    /// The paper's curve: density of the negative that it lies behind, and density of the print.
    pub paper: Vec<(f64, f64)>,
    /// log10 of the paper's exposure through no negative, and what a density of 1 takes from it.
    pub paper_exposure: (f64, f64),
    /// Print densities of the paper's highlight and shadow point.
    pub limits: Option<(f64, f64)>,
    /// The tones that are followed.
    pub traced: Vec<Traced>,
    /// The tone that the 1:1 line goes through.
    pub one_to_one: Option<TonePoint>,
    /// The overall gradient.
    pub gradient: Option<f64>,
    /// What is lost at the ends of the scene, in words.
    pub lost: Vec<String>,
}

impl TonePoint {
    fn is_drawable(&self) -> bool {
        let densities = [self.negative, self.print];
        let exposures = [self.luminance, self.film_exposure];
        densities.iter().all(|d| Density::new(*d).is_ok())
            && exposures.iter().all(|x| LogExposure::new(*x).is_ok())
    }
}

impl ToneFigure {
    /// The figure as a scene, to be written as SVG or PNG.
    #[must_use]
    pub fn scene(&self) -> Scene {
        let legend = draw::legend(self);
        let layout = layout::Layout::new(self, &legend);
        let mut scene = Scene::new(layout.width, layout.height, &self.title, &self.description());
        layout.draw_below(&mut scene);
        for quadrant in draw::QUADRANTS {
            let plot = layout.plot(quadrant);
            scene.clipped(plot.area, |scene| draw::quadrant(scene, plot, self, quadrant));
        }
        draw::traces(&mut scene, &layout, self);
        layout.draw_around(&mut scene, self, &legend);
        scene
    }

    fn drawn(&self) -> impl Iterator<Item = &TonePoint> {
        self.tones.iter().filter(|t| t.is_drawable())
    }

    fn traced(&self) -> impl Iterator<Item = &Traced> {
        self.traced.iter().filter(|t| t.tone.is_drawable())
    }

    fn limits(&self) -> Option<(f64, f64)> {
        let ok = |d: f64| Density::new(d).is_ok();
        self.limits.filter(|l| ok(l.0) && ok(l.1))
    }

    /// A curve with gaps (as NaN) where its points cannot be drawn.
    fn curve(points: &[(f64, f64)]) -> impl Iterator<Item = (f64, f64)> + '_ {
        points.iter().map(|&(x, y)| {
            let held = |v: f64| LogExposure::new(v).is_ok();
            if held(x) && held(y) { (x, y) } else { (f64::NAN, f64::NAN) }
        })
    }

    fn description(&self) -> String {
        let mut words = "Tone reproduction in four quadrants: camera, film, paper, and the print over the scene.".to_owned();
        for traced in self.traced() {
            let t = &traced.tone;
            words.push_str(&format!(
                " {}: log luminance {}, negative {}, print {}.",
                traced.name.trim(),
                number(t.luminance, 2),
                number(t.negative, 2),
                number(t.print, 2)
            ));
        }
        if let Some(gradient) = self.gradient.filter(|g| g.abs() < 1e3) {
            words.push_str(&format!(" Overall gradient {}.", number(gradient, 2)));
        }
        for lost in &self.lost {
            words.push_str(&format!(" {lost}."));
        }
        words
    }
}
