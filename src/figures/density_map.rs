//! The density map: frames drawn to scale, darker where they are denser, with contours, the places
//! read and the spots; several frames in small below what they have in common.

mod grid;
mod measured;
mod panel;
mod shades;

pub use grid::FieldGrid;

use super::chart::{Entry, Heading, Legend, Swatch, bounds};
use super::draw::{GREY, INK, Paint, Scene, Text};
use crate::figures::chart::Marker;
use crate::words::number;
use panel::Look;
use shades::Shades;

const LEFT: f64 = 74.0;
const RIGHT: f64 = 24.0;
const GAP: f64 = 30.0;
/// Length on the page of the longer side of the large panel.
const LARGE: f64 = 540.0;
/// The same of the small ones, and how many stand in a row.
const SMALL: (f64, usize) = (228.0, 3);
const LEGEND: f64 = 190.0;
/// More frames than this are only counted.
const MOST_FRAMES: usize = 24;

/// The frame that all panels show, in mm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MapFrame {
    /// Left and right side.
    pub along: (f64, f64),
    /// Lower and upper edge.
    pub across: (f64, f64),
}

/// A place that was read.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MapPlace {
    /// Along the film, in mm.
    pub x: f64,
    /// Across the film, in mm.
    pub y: f64,
    /// The density, or what it is above the frame's mean.
    pub value: f64,
    /// How far it departs from the smooth field, if it is a spot.
    pub spot: Option<f64>,
}

/// One panel.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MapPanel {
    /// What it is called.
    pub name: String,
    /// A few words beside the name.
    pub detail: String,
    /// Whether values are differences from the frame's mean.
    pub relative: bool,
    /// The smooth field over what was read.
    pub field: FieldGrid,
    /// The places read.
    pub places: Vec<MapPlace>,
}

/// The figure.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DensityMapFigure {
    /// The heading.
    pub title: String,
    /// A second line below it.
    pub subtitle: Option<String>,
    /// The frame.
    pub frame: MapFrame,
    /// The large panel: the only frame, or what several have in common.
    pub large: MapPanel,
    /// The frames, where there are several.
    pub small: Vec<MapPanel>,
}

impl DensityMapFigure {
    /// The figure as a scene, to be written as SVG or PNG.
    #[must_use]
    pub fn scene(&self) -> Scene {
        let heading = Heading::new(&self.title, self.subtitle.as_deref());
        let shown = &self.small[..self.small.len().min(MOST_FRAMES)];
        let panels = || std::iter::once(&self.large).chain(shown);
        let shades = Shades::of(panels().flat_map(|p| p.field.values.iter().copied()));
        let large = Look {
            unit: self.unit(LARGE),
            text: 11.5,
            heading: (!self.small.is_empty()).then_some(14.0),
            axes: true,
        };
        let small = Look { unit: self.unit(SMALL.0), text: 9.4, heading: Some(12.0), axes: false };
        let top = heading.height() + if self.small.is_empty() { 30.0 } else { 48.0 };
        let legend = self.legend(&shades, (large, small));
        let (width, height) = (self.length() * large.unit, self.width() * large.unit);
        let per_row = SMALL.1;
        let rows = shown.len().div_ceil(per_row);
        let small_size = (self.length() * small.unit + GAP, self.width() * small.unit + 34.0);
        let right = (LEFT + width + GAP + LEGEND)
            .max(LEFT + small_size.0 * per_row.min(shown.len()) as f64 - GAP);
        let bar_height = 16.0 * 3.0 + 224.0;
        let below = (top + height + 76.0).max(top + bar_height + 28.0 + legend.height());
        let bottom = below + 34.0 * f64::from(u8::from(rows > 0)) + small_size.1 * rows as f64;
        let mut scene = Scene::new(
            (right + RIGHT).ceil(),
            (bottom + 6.0).ceil(),
            &self.title,
            &self.description(),
        );
        heading.draw(&mut scene);
        panel::draw(&mut scene, (LEFT, top), (&self.frame, &self.large), &shades, large);
        let legend_at = LEFT + width + GAP;
        let titles: &[&str] =
            if self.large.relative { &["density above", "the frame's mean"] } else { &["density"] };
        let bar = shades.draw_bar(&mut scene, (legend_at, top), titles);
        let at = (legend_at, top + bar + 24.0);
        legend.draw(&mut scene, at, LEGEND);
        for (n, panel) in shown.iter().enumerate() {
            let corner = (
                LEFT + small_size.0 * (n % per_row) as f64,
                below + 34.0 + small_size.1 * (n / per_row) as f64,
            );
            panel::draw(&mut scene, corner, (&self.frame, panel), &shades, small);
        }
        if let more @ 1.. = self.small.len() - shown.len() {
            let words = format!("and {more} more frames");
            scene.text(Text::new(words, (LEFT, bottom - 4.0), 12.0).coloured(GREY));
        }
        scene
    }

    fn length(&self) -> f64 {
        positive(self.frame.along.1 - self.frame.along.0)
    }

    fn width(&self) -> f64 {
        positive(self.frame.across.1 - self.frame.across.0)
    }

    /// Page units per mm that give the longer side a length.
    fn unit(&self, length: f64) -> f64 {
        length / self.length().max(self.width())
    }

    fn has_spots(&self) -> bool {
        let spotted = |p: &MapPanel| p.places.iter().any(|place| place.spot.is_some());
        spotted(&self.large) || self.small.iter().any(spotted)
    }

    fn legend(&self, shades: &Shades, (large, small): (Look, Look)) -> Legend {
        let dot = vec![(Swatch::Mark(Marker::Circle, 1.8), Paint::filled(INK))];
        let line = vec![(Swatch::Line, panel::contour_paint())];
        let (of_places, of_contours) = self.labels(large, small);
        let places = if panel::has_dots(&self.large) {
            Entry::new("place read", dot)
        } else {
            Entry::new(format!("{} places read", self.large.places.len()), Vec::new())
        };
        let contours = format!("contour every {}", shades.step_in_words());
        let mut entries = vec![
            places.with_detail(of_places),
            Entry::new(contours, line).with_detail(of_contours),
        ];
        if self.has_spots() {
            let ring = vec![(Swatch::Mark(Marker::Circle, 6.0), panel::ring_paint())];
            entries.push(Entry::new("spot", ring).with_detail("left out of the field"));
        }
        Legend { entries }
    }

    /// What the numbers on the panels are, of places and of contours: a panel has the one or the other.
    fn labels(&self, large: Look, small: Look) -> (&'static str, &'static str) {
        let shown = |panel: &MapPanel, look| panel::has_readings(&self.frame, panel, look);
        let mut of_panels = std::iter::once(shown(&self.large, large))
            .chain(self.small.iter().map(|p| shown(p, small)));
        let first = of_panels.next().unwrap_or(true);
        match (first, of_panels.all(|other| other == first)) {
            (true, true) => ("with its reading", "of the smooth field"),
            (false, true) => ("without its reading", "with the field's density"),
            _ => ("with its reading, or", "with the field's density"),
        }
    }

    /// The figure in words.
    fn description(&self) -> String {
        let mut words =
            String::from("Map of density over the frame, darker where the film is denser.");
        for panel in std::iter::once(&self.large).chain(&self.small) {
            let name = if panel.name.is_empty() { "the frame" } else { &panel.name };
            if let Some((low, high)) = bounds(panel.field.values.iter().copied()) {
                let (low, high) = (number(low, 3), number(high, 3));
                words.push_str(&format!(" {name}: {low} to {high}."));
            }
            for place in &panel.places {
                if let Some(size) = place.spot {
                    let size = number(size, 3);
                    words.push_str(&format!(" Spot of {size} at {}, {} mm.", place.x, place.y));
                }
            }
        }
        words
    }
}

/// A length that can be drawn.
fn positive(length: f64) -> f64 {
    if length.is_finite() && length > 0.0 { length } else { 1.0 }
}
