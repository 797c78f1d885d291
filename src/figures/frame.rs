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
/// Distance of the names of the sides from the frame, in page units: beyond the places.
const BESIDE: f64 = 24.0;

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
            let middle = (0.5 * (low.0 + high.0), 0.5 * (low.1 + high.1));
            // Below an area beside the frame; in it, on the side that has more room.
            let (at, anchor) = match (reading.place.area.contains(middle), middle.0 < page.middle.0)
            {
                (false, _) => ((middle.0, high.1 + 20.0 / unit), Anchor::Middle),
                (true, true) => ((high.0 + 4.0 / unit, middle.1), Anchor::Start),
                (true, false) => ((low.0 - 4.0 / unit, middle.1), Anchor::End),
            };
            page.label(scene, words, at, anchor, SIZE);
        }
        page.sides(scene, reading);
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

    /// The names of the frame's sides beside it; those at the left and the right of the picture stand upright.
    fn sides(&self, scene: &mut Scene, reading: &FrameReading) {
        let (length, width) = reading.place.size;
        let off = BESIDE / self.unit / reading.place.pixels_per_mm();
        for side in Side::ALL {
            let (x, y) = match side {
                Side::Left => (-off, 0.5 * width),
                Side::Right => (length + off, 0.5 * width),
                Side::Lower => (0.5 * length, -off),
                Side::Upper => (0.5 * length, width + off),
            };
            let at = reading.place.point(x, y);
            let is_beside = (at.0 - self.middle.0).abs() > (at.1 - self.middle.1).abs();
            if !is_beside {
                self.label(scene, &side.to_string(), at, Anchor::Middle, SIZE);
                continue;
            }
            let (x, y) = self.at(at);
            let text = Text::new(side.to_string(), (x + 0.35 * SIZE, y), SIZE)
                .anchored(Anchor::Middle)
                .rotated(90.0)
                .coloured(VERMILLION);
            let (breadth, height) = (1.3 * SIZE, text.width() + 4.0);
            let ground = Rect { x: x - 0.5 * breadth, y: y - 0.5 * height, width: breadth, height };
            scene.shape(Path::rect(ground), Paint::tinted(WHITE, 0.8));
            scene.text(text);
        }
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
