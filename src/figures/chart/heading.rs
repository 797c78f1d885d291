//! The heading of a chart: a title and, below it, a second line.

use crate::figures::draw::{GREY, Scene, Text, shortened, text_width};

const TITLE: f64 = 19.0;
/// Size of a title that would be wider than the page.
const SMALLEST_TITLE: f64 = 14.0;
const SUBTITLE: f64 = 13.5;
const LEFT: f64 = 22.0;
const RIGHT: f64 = 20.0;

/// What stands above a chart, at the left.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Heading {
    title: String,
    subtitle: Option<String>,
}

impl Heading {
    /// A title with or without a second line.
    #[must_use]
    pub fn new(title: &str, subtitle: Option<&str>) -> Self {
        Self { title: title.to_owned(), subtitle: subtitle.map(str::to_owned) }
    }

    /// From the top of the page to where the chart may begin.
    #[must_use]
    pub fn height(&self) -> f64 {
        if self.subtitle.is_some() { 68.0 } else { 46.0 }
    }

    /// Writes the heading: a long title smaller, and shortened to the width of the page.
    pub fn draw(&self, scene: &mut Scene) {
        let room = scene.width() - LEFT - RIGHT;
        let size = (TITLE * room / text_width(&self.title, TITLE)).clamp(SMALLEST_TITLE, TITLE);
        let title = shortened(&self.title, size, room);
        scene.text(Text::new(title, (LEFT, 38.0), size));
        if let Some(subtitle) = &self.subtitle {
            let subtitle = shortened(subtitle, SUBTITLE, room);
            scene.text(Text::new(subtitle, (LEFT, 60.0), SUBTITLE).coloured(GREY));
        }
    }
}
