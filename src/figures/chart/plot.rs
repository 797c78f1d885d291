//! The plot area: data to page, grid, frame, axes, lines, bands and marks.

use super::marker::Marker;
use super::scale::{Scale, Ticks};
use crate::figures::draw::{
    Anchor, GREY, GRID, INK, Path, RULE, Rect, Scene, Stroke, Text, shortened, text_width,
};

/// Font size of tick labels.
pub const TICK_TEXT: f64 = 12.0;
/// Font size of axis titles.
pub const TITLE_TEXT: f64 = 13.0;

pub(super) const MAJOR_LENGTH: f64 = 6.0;
const MINOR_LENGTH: f64 = 3.0;
const LABEL_GAP: f64 = 4.0;

/// An area of the page with a scale each way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plot {
    /// The area inside the frame.
    pub area: Rect,
    /// Across, left to right.
    pub x: Scale,
    /// Up, bottom to top.
    pub y: Scale,
}

impl Plot {
    /// A plot that fills an area with the two ranges.
    #[must_use]
    pub fn new(area: Rect, x: (f64, f64), y: (f64, f64)) -> Self {
        let across = Scale { domain: x, page: (area.x, area.right()) };
        let up = Scale { domain: y, page: (area.bottom(), area.y) };
        Self { area, x: across, y: up }
    }

    /// A plot with the same `unit` of page length for 1 across and 1 up, so that a slope of 1
    /// stands at 45°. Its size follows from the ranges.
    #[must_use]
    pub fn with_equal_scales(corner: (f64, f64), unit: f64, x: (f64, f64), y: (f64, f64)) -> Self {
        let (width, height) = ((x.1 - x.0) * unit, (y.1 - y.0) * unit);
        Self::new(Rect { x: corner.0, y: corner.1, width, height }, x, y)
    }

    /// Page position of a point.
    #[must_use]
    pub fn at(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (self.x.at(x), self.y.at(y))
    }

    /// A line through points of the data.
    #[must_use]
    pub fn line(&self, points: impl IntoIterator<Item = (f64, f64)>) -> Path {
        Path::line(points.into_iter().map(|p| self.at(p)))
    }

    /// The area between two curves, from (x, low, high). A gap in any of the three divides it.
    #[must_use]
    pub fn band(&self, edges: &[(f64, f64, f64)]) -> Path {
        let mut path = Path::default();
        let whole = |e: &(f64, f64, f64)| e.0.is_finite() && e.1.is_finite() && e.2.is_finite();
        for piece in edges.split(|e| !whole(e)).filter(|piece| piece.len() > 1) {
            let above = piece.iter().map(|&(x, _, high)| self.at((x, high)));
            let below = piece.iter().rev().map(|&(x, low, _)| self.at((x, low)));
            path.add_polygon(above.chain(below));
        }
        path
    }

    /// Marks at points of the data.
    #[must_use]
    pub fn marks(&self, marker: Marker, points: &[(f64, f64)], radius: f64) -> Path {
        marker.path(points.iter().map(|&p| self.at(p)), radius)
    }

    /// Thin lines across the area at the major ticks.
    pub fn draw_grid(&self, scene: &mut Scene, x: &Ticks, y: &Ticks) {
        let mut lines = Path::default();
        for at in x.major.iter().map(|v| self.x.at(*v)) {
            lines.add_line([(at, self.area.y), (at, self.area.bottom())]);
        }
        for at in y.major.iter().map(|v| self.y.at(*v)) {
            lines.add_line([(self.area.x, at), (self.area.right(), at)]);
        }
        scene.shape(lines, Stroke::solid(GRID, 0.9));
    }

    /// The border of the area.
    pub fn draw_frame(&self, scene: &mut Scene) {
        scene.shape(Path::rect(self.area), Stroke::solid(RULE, 1.0));
    }

    /// Ticks, labels and title below the area.
    pub fn draw_bottom_axis(&self, scene: &mut Scene, ticks: &Ticks, title: &str) {
        let edge = self.area.bottom();
        draw_ticks(scene, ticks, |v, length| {
            let x = self.x.at(v);
            [(x, edge), (x, edge + length)]
        });
        let baseline = edge + MAJOR_LENGTH + LABEL_GAP + 0.75 * TICK_TEXT;
        let at = |v: f64| (self.x.at(v), baseline);
        draw_labels(scene, ticks, Anchor::Middle, at);
        self.draw_horizontal_title(scene, title, baseline + TITLE_TEXT + 8.0);
    }

    /// Ticks, labels and title above the area, on a scale of their own.
    pub fn draw_top_axis(&self, scene: &mut Scene, scale: &Scale, ticks: &Ticks, title: &str) {
        let edge = self.area.y;
        draw_ticks(scene, ticks, |v, length| {
            let x = scale.at(v);
            [(x, edge), (x, edge - length)]
        });
        let baseline = edge - MAJOR_LENGTH - LABEL_GAP;
        draw_labels(scene, ticks, Anchor::Middle, |v| (scale.at(v), baseline));
        self.draw_horizontal_title(scene, title, baseline - TICK_TEXT - 8.0);
    }

    /// Ticks, labels and title left of the area.
    pub fn draw_left_axis(&self, scene: &mut Scene, ticks: &Ticks, title: &str) {
        let edge = self.area.x;
        draw_ticks(scene, ticks, |v, length| {
            let y = self.y.at(v);
            [(edge, y), (edge - length, y)]
        });
        let end = edge - MAJOR_LENGTH - LABEL_GAP;
        draw_labels(scene, ticks, Anchor::End, |v| (end, self.y.at(v) + 0.36 * TICK_TEXT));
        let labels = ticks.major.iter().map(|v| text_width(&ticks.label(*v), TICK_TEXT));
        let widest = labels.fold(2.3 * TICK_TEXT, f64::max);
        let middle = (end - widest - 0.6 * TICK_TEXT, self.area.y + self.area.height / 2.0);
        let title = shortened(title, TITLE_TEXT, self.area.height);
        let text = Text::new(title, middle, TITLE_TEXT).anchored(Anchor::Middle).rotated(90.0);
        scene.text(text.coloured(GREY));
    }

    fn draw_horizontal_title(&self, scene: &mut Scene, title: &str, baseline: f64) {
        let middle = (self.area.x + self.area.width / 2.0, baseline);
        // It may be wider than the plot, as far as the page reaches on both sides.
        let room = 2.0 * middle.0.min(scene.width() - middle.0) - TITLE_TEXT;
        let title = shortened(title, TITLE_TEXT, room.max(self.area.width));
        let text = Text::new(title, middle, TITLE_TEXT).anchored(Anchor::Middle);
        scene.text(text.coloured(GREY));
    }
}

fn draw_ticks(scene: &mut Scene, ticks: &Ticks, tick: impl Fn(f64, f64) -> [(f64, f64); 2]) {
    let mut path = Path::default();
    for v in &ticks.major {
        path.add_line(tick(*v, MAJOR_LENGTH));
    }
    for v in &ticks.minor {
        path.add_line(tick(*v, MINOR_LENGTH));
    }
    scene.shape(path, Stroke::solid(RULE, 1.0));
}

fn draw_labels(scene: &mut Scene, ticks: &Ticks, anchor: Anchor, at: impl Fn(f64) -> (f64, f64)) {
    for v in &ticks.major {
        scene.text(Text::new(ticks.label(*v), at(*v), TICK_TEXT).anchored(anchor).coloured(INK));
    }
}
