//! The overlay of a picture: the boxes of the steps with their numbers, over the picture in grey.

use super::draw::{
    Anchor, BLUE, Colour, Paint, Path, Rect, Scene, Stroke, Text, VERMILLION, WHITE,
};
use crate::elementary::cbrt;
use crate::picture::Image;
use crate::picture::place::Quad;
use crate::picture::steps::INNER;

/// Cells across the picture: enough to see steps, few enough for a file of a moderate size.
const CELLS: usize = 320;
/// Shades of grey.
const SHADES: usize = 24;
/// Width of the page in page units.
const WIDTH: f64 = 960.0;

/// A box with what is written in it.
pub struct MarkedBox {
    /// Where it lies in the picture.
    pub area: Quad,
    /// Its number.
    pub number: String,
    /// What was read there, if anything.
    pub value: Option<String>,
    /// Whether it is of the tablet.
    pub is_tablet: bool,
}

/// The picture in coarse cells of grey with boxes over it; the inner part of each box is what was measured.
#[must_use]
pub fn overlay(image: &Image, boxes: &[MarkedBox], title: &str) -> Scene {
    let cell = image.width.div_ceil(CELLS).max(1);
    let unit = WIDTH / image.width.max(1) as f64;
    let height = image.height as f64 * unit;
    let numbers = boxes.len();
    let mut scene = Scene::new(
        WIDTH,
        height,
        title,
        &format!("The picture in grey with {numbers} numbered boxes where steps were measured."),
    );
    for (shade, cells) in shades(image, cell).into_iter().enumerate() {
        let mut path = Path::default();
        for (x, y, w, h) in cells {
            let (x, y) = (x as f64 * unit, y as f64 * unit);
            // A little over the next cell, so that no seam is seen.
            let (right, below) = (x + w as f64 * unit + 0.3, y + h as f64 * unit + 0.3);
            path.add_polygon([(x, y), (right, y), (right, below), (x, below)]);
        }
        let grey = (255 * shade / (SHADES - 1)) as u32;
        scene.shape(path, Paint::filled(Colour::hex(grey << 16 | grey << 8 | grey)));
    }
    let whole = Rect { x: 0.0, y: 0.0, width: WIDTH, height };
    scene.clipped(whole, |scene| {
        for marked in boxes {
            let colour = if marked.is_tablet { BLUE } else { VERMILLION };
            let inner = (0.5 - 0.5 * INNER, 0.5 + 0.5 * INNER);
            // Whole numbers are the middles of pixels.
            let on_page = |quad: Quad| quad.0.map(|(x, y)| ((x + 0.5) * unit, (y + 0.5) * unit));
            let part = marked.area.part(inner, inner);
            scene.shape(Path::polygon(on_page(marked.area)), Stroke::solid(colour, 0.8));
            scene.shape(Path::polygon(on_page(part)), Stroke::solid(colour, 1.6));
            let (x, y) = marked.area.middle();
            let (x, y) = ((x + 0.5) * unit, (y + 0.5) * unit);
            let size =
                (0.4 * marked.area.length().min(marked.area.breadth()) * unit).clamp(6.0, 14.0);
            let lines = [Some(&marked.number), marked.value.as_ref()];
            for (k, line) in lines.into_iter().flatten().enumerate() {
                let y = y + size * (0.3 + 1.1 * k as f64);
                let label = Text::new(line, (x, y), size).anchored(Anchor::Middle);
                // Readable on black and on white.
                let half = 0.3 * size * line.chars().count() as f64;
                scene.shape(
                    Path::rect(Rect {
                        x: x - half,
                        y: y - 0.8 * size,
                        width: 2.0 * half,
                        height: size,
                    }),
                    Paint::tinted(WHITE, 0.75),
                );
                scene.text(label.coloured(colour));
            }
        }
    });
    scene
}

/// Cells of each shade: column, row, width and height in pixels; neighbours of one shade in a row are one.
fn shades(image: &Image, cell: usize) -> Vec<Vec<(usize, usize, usize, usize)>> {
    let brightest = image.light.iter().copied().fold(f32::MIN_POSITIVE, f32::max);
    // A cube root, so that dense steps are seen.
    let shade = |x: usize, y: usize| {
        let (x, y) = ((x + cell / 2).min(image.width - 1), (y + cell / 2).min(image.height - 1));
        let share = cbrt(f64::from(image.at(x, y) / brightest).clamp(0.0, 1.0));
        (share * (SHADES - 1) as f64).round() as usize
    };
    let mut all = vec![Vec::new(); SHADES];
    for y in (0..image.height).step_by(cell) {
        let height = cell.min(image.height - y);
        let mut start = (0, shade(0, y));
        for x in (cell..image.width).step_by(cell) {
            let here = shade(x, y);
            if here != start.1 {
                all[start.1].push((start.0, y, x - start.0, height));
                start = (x, here);
            }
        }
        all[start.1].push((start.0, y, image.width - start.0, height));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn boxes_stand_over_the_picture() {
        let light = (0..64 * 40).map(|k| (k % 64) as f32 / 64.0).collect();
        let image = Image { width: 64, height: 40, light, clipped_from: 1.0 };
        let area = Quad([(10.0, 10.0), (10.0, 30.0), (30.0, 30.0), (30.0, 10.0)]);
        let value = Some("1.23".to_owned());
        let marked = MarkedBox { area, number: "7".into(), value, is_tablet: false };
        let scene = overlay(&image, &[marked], "strip");
        let svg = scene.to_svg();
        assert!(svg.contains(">7<") && svg.contains(">1.23<"), "{svg}");
        assert!(svg.contains("M157.50 157.50"), "ten and a half pixels of 15 units");
        let cells: usize = shades(&image, 1).iter().flatten().map(|(_, _, w, h)| w * h).sum();
        assert_eq!(cells, 64 * 40);
        #[cfg(feature = "raster")]
        assert!(scene.to_png().is_ok());
    }
}
