//! The overlay of a frame: its cells or areas over the picture in grey, and which side is which.

use super::draw::{Anchor, Paint, Path, Rect, Scene, Stroke, Text, VERMILLION, WHITE};
use super::picture::{MarkedBox, overlay};
use crate::picture::Image;
use crate::picture::frame::{FrameReading, Side};
use crate::picture::place::{Point, Quad};

/// Size of the letters in page units.
const SIZE: f64 = 9.0;
/// Least distance of places that are written beside the frame, in page units.
const APART: f64 = 22.0;

/// The picture with the tablet's boxes, the outline of what was measured, and the sides by their names. Without areas
/// all cells are drawn, with places in mm beside them; else the areas with their words.
#[must_use]
pub fn frame_overlay(
    image: &Image,
    tablet: &[MarkedBox],
    reading: &FrameReading,
    areas: &[(Quad, String)],
    title: &str,
) -> Scene {
    let mut scene = overlay(image, tablet, title);
    let unit = scene.width() / image.width.max(1) as f64;
    let page = Page { unit, middle: reading.place.area.middle() };
    let whole = Rect { x: 0.0, y: 0.0, width: scene.width(), height: scene.height() };
    scene.clipped(whole, |scene| {
        scene.shape(page.path(&reading.place.area), Stroke::solid(VERMILLION, 1.6));
        if areas.is_empty() {
            for cell in &reading.cells {
                scene.shape(page.path(&cell.area), Stroke::solid(VERMILLION, 0.5));
            }
            page.places(scene, reading);
        } else {
            let (length, width) = reading.place.size;
            let margin = reading.margin;
            let measured = reading.place.part((margin, length - margin), (margin, width - margin));
            scene.shape(page.path(&measured), Stroke::solid(VERMILLION, 0.5));
        }
        for (area, words) in areas {
            scene.shape(page.path(area), Stroke::solid(VERMILLION, 1.6));
            let (low, high) = area.bounds();
            // On the side of the area that has more room.
            let is_left = 0.5 * (low.0 + high.0) < page.middle.0;
            let (x, anchor) = match is_left {
                true => (high.0 + 4.0 / unit, Anchor::Start),
                false => (low.0 - 4.0 / unit, Anchor::End),
            };
            page.label(scene, words, (x, 0.5 * (low.1 + high.1)), anchor, SIZE);
        }
        let (length, width) = reading.place.size;
        for side in Side::ALL {
            let beyond = 30.0 / unit / reading.place.pixels_per_mm();
            let (x, y) = match side {
                Side::Left => (-beyond, 0.5 * width),
                Side::Right => (length + beyond, 0.5 * width),
                Side::Lower => (0.5 * length, -beyond),
                Side::Upper => (0.5 * length, width + beyond),
            };
            let at = reading.place.point(x, y);
            // Names beside the frame begin or end there; names above and below stand in the middle.
            let (dx, dy) = (at.0 - page.middle.0, at.1 - page.middle.1);
            let anchor = match (dx.abs() > dy.abs(), dx > 0.0) {
                (false, _) => Anchor::Middle,
                (true, true) => Anchor::Start,
                (true, false) => Anchor::End,
            };
            page.label(scene, &side.to_string(), at, anchor, SIZE + 1.0);
        }
    });
    scene
}

/// From pixels of the picture to the page.
struct Page {
    unit: f64,
    middle: Point,
}

impl Page {
    fn at(&self, (x, y): Point) -> Point {
        // Whole numbers are the middles of pixels.
        ((x + 0.5) * self.unit, (y + 0.5) * self.unit)
    }

    fn path(&self, area: &Quad) -> Path {
        Path::polygon(area.0.map(|p| self.at(p)))
    }

    /// Words on a light ground, readable on black and on white.
    fn label(&self, scene: &mut Scene, words: &str, at: Point, anchor: Anchor, size: f64) {
        let (x, y) = self.at(at);
        let text = Text::new(words, (x, y + 0.35 * size), size).anchored(anchor);
        let width = text.width();
        let left = match anchor {
            Anchor::Start => x,
            Anchor::Middle => x - 0.5 * width,
            Anchor::End => x - width,
        };
        let ground =
            Rect { x: left - 2.0, y: y - 0.65 * size, width: width + 4.0, height: 1.3 * size };
        scene.shape(Path::rect(ground), Paint::tinted(WHITE, 0.8));
        scene.text(text.coloured(VERMILLION));
    }

    /// Places of columns and rows in mm, below and left of the frame.
    fn places(&self, scene: &mut Scene, reading: &FrameReading) {
        let FrameReading { place, columns, rows, cell, .. } = reading;
        let on_page = place.pixels_per_mm() * self.unit;
        let every = |mm: f64| (APART / (mm * on_page)).ceil().max(1.0) as usize;
        let off = 8.0 / on_page;
        for column in (0..*columns).step_by(every(cell.0)) {
            let x = reading.cells[column].x;
            let words = crate::words::trimmed(x, 1);
            self.label(scene, &words, place.point(x, -off), Anchor::Middle, SIZE - 2.0);
        }
        for row in (0..*rows).step_by(every(cell.1)) {
            let y = reading.cells[row * columns].y;
            let words = crate::words::trimmed(y, 1);
            self.label(scene, &words, place.point(-off, y), Anchor::Middle, SIZE - 2.0);
        }
    }
}
