//! A page: what is drawn on it, in order, and what it is called.

use super::font;
use super::paint::Paint;
use super::path::{Path, Rect};
use super::text::{Text, printable};

/// Page units in a millimetre.
pub const MILLIMETRE: f64 = 96.0 / 25.4;

/// One thing on the page.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Mark {
    Shape(Path, Paint),
    Text(Text),
    /// Until the next `Clip`, nothing is drawn outside the rectangle.
    Clip(Option<Rect>),
}

/// A picture in page units (1 unit = 1/96 inch), to be written as SVG or PNG.
///
/// ```
/// use wedgebook::figures::draw::{BLUE, Path, Scene, Stroke, Text};
///
/// let mut scene = Scene::new(120.0, 80.0, "A line", "One slanted line with a label.");
/// scene.shape(Path::line([(10.0, 70.0), (110.0, 20.0)]), Stroke::solid(BLUE, 2.0));
/// scene.text(Text::new("slope 0.5", (12.0, 20.0), 12.0));
/// assert!(scene.to_svg().contains("M10.00 70.00L110.00 20.00"));
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    pub(super) width: f64,
    pub(super) height: f64,
    /// Width and height on paper in millimetres, where the page has a paper size.
    pub(super) millimetres: Option<(f64, f64)>,
    pub(super) title: String,
    pub(super) description: String,
    pub(super) marks: Vec<Mark>,
}

impl Scene {
    /// An empty white page with a title and a description in words for those who cannot see it.
    #[must_use]
    pub fn new(width: f64, height: f64, title: &str, description: &str) -> Self {
        Self {
            width,
            height,
            millimetres: None,
            title: printable(title).into_owned(),
            description: printable(description).into_owned(),
            marks: Vec::new(),
        }
    }

    /// An empty white page of a paper size: the SVG says its width and height in millimetres, so
    /// that it prints on that paper.
    #[must_use]
    pub fn on_paper((width, height): (f64, f64), title: &str, description: &str) -> Self {
        Self {
            millimetres: Some((width, height)),
            ..Self::new(width * MILLIMETRE, height * MILLIMETRE, title, description)
        }
    }

    /// Width in page units.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.width
    }

    /// Height in page units.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.height
    }

    /// The characters of its words that neither the embedded font nor one of the system has. A PNG
    /// shows boxes in their places; a viewer of the SVG may have a font for them.
    #[must_use]
    pub fn without_font(&self) -> String {
        let mut missing: Vec<char> = Vec::new();
        for mark in &self.marks {
            if let Mark::Text(text) = mark {
                missing.extend(font::without_font(&text.content));
            }
        }
        missing.sort_unstable();
        missing.dedup();
        missing.into_iter().collect()
    }

    /// Draws a path.
    pub fn shape(&mut self, path: Path, paint: impl Into<Paint>) {
        if !path.is_empty() {
            self.marks.push(Mark::Shape(path, paint.into()));
        }
    }

    /// Writes a line of text.
    pub fn text(&mut self, text: Text) {
        if text.is_drawable() {
            self.marks.push(Mark::Text(text));
        }
    }

    /// Draws with everything outside a rectangle cut off.
    pub fn clipped(&mut self, to: Rect, draw: impl FnOnce(&mut Self)) {
        self.marks.push(Mark::Clip(Some(to)));
        draw(self);
        self.marks.push(Mark::Clip(None));
    }
}
