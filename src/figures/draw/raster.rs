//! A scene as antialiased pixels, encoded as PNG.

use png::{BitDepth, ColorType, DeflateCompression, Encoder, Filter, PixelDimensions, Unit};
use tiny_skia::{FillRule, LineJoin, Mask, PathBuilder, Pixmap, StrokeDash, Transform};

use super::paint::{Colour, Paint};
use super::path::{Path, Rect, Segment};
use super::scene::{Mark, Scene};
use super::text::Text;
use crate::figures::FigureError;

/// Pixels per page unit where nothing else is asked for: sharp on dense screens and in print.
pub const PIXELS_PER_UNIT: f64 = 2.0;

/// Page units per metre: 96 to the inch.
const UNITS_PER_METRE: f64 = 96.0 / 0.0254;

/// The most pixels of one picture (a square of 10 000), above which something else is meant.
const MOST_PIXELS: f64 = 1e8;

impl Scene {
    /// The picture as a PNG with [`PIXELS_PER_UNIT`] pixels to the page unit.
    ///
    /// # Errors
    /// As [`Scene::to_png_at`].
    pub fn to_png(&self) -> Result<Vec<u8>, FigureError> {
        self.to_png_at(PIXELS_PER_UNIT)
    }

    /// The picture as a PNG with a chosen number of pixels to the page unit.
    ///
    /// # Errors
    /// [`FigureError::PixelCount`] if the picture would have no pixels or more than 10⁸;
    /// [`FigureError::Encode`] if the encoder refuses.
    pub fn to_png_at(&self, pixels_per_unit: f64) -> Result<Vec<u8>, FigureError> {
        let (width, height) = (self.width * pixels_per_unit, self.height * pixels_per_unit);
        let refusal = FigureError::PixelCount { width, height };
        if !(width >= 1.0 && height >= 1.0 && width * height <= MOST_PIXELS) {
            return Err(refusal);
        }
        let (columns, rows) = (width.round() as u32, height.round() as u32);
        let pixmap = Pixmap::new(columns, rows).ok_or(refusal)?;
        let page = Transform::from_scale(pixels_per_unit as f32, pixels_per_unit as f32);
        let mut raster = Raster { pixmap, page, mask: None, clip: None };
        raster.pixmap.fill(tiny_skia::Color::WHITE);
        for mark in &self.marks {
            match mark {
                Mark::Shape(path, paint) => raster.shape(path, paint),
                Mark::Text(text) => raster.text(text),
                Mark::Clip(to) => raster.clip(*to),
            }
        }
        encode(&raster.pixmap, (UNITS_PER_METRE * pixels_per_unit).round() as u32, &self.title)
    }
}

struct Raster {
    pixmap: Pixmap,
    page: Transform,
    /// The mask made last, with its rectangle.
    mask: Option<(Rect, Mask)>,
    clip: Option<Rect>,
}

impl Raster {
    fn clip(&mut self, to: Option<Rect>) {
        self.clip = to;
        let Some(rect) = to else { return };
        if self.mask.as_ref().is_some_and(|(made_for, _)| *made_for == rect) {
            return;
        }
        let outline = skia_path(&Path::rect(rect));
        self.mask = Mask::new(self.pixmap.width(), self.pixmap.height()).map(|mut mask| {
            if let Some(outline) = outline {
                mask.fill_path(&outline, FillRule::Winding, true, self.page);
            }
            (rect, mask)
        });
    }

    fn shape(&mut self, path: &Path, paint: &Paint) {
        let Some(outline) = skia_path(path) else {
            return;
        };
        let mask = self.clip.and(self.mask.as_ref()).map(|(_, mask)| mask);
        if let Some((colour, opacity)) = paint.fill {
            let ink = skia_paint(colour, opacity);
            self.pixmap.fill_path(&outline, &ink, FillRule::Winding, self.page, mask);
        }
        if let Some(stroke) = paint.stroke {
            let dash: Vec<f32> = stroke.dash.iter().map(|d| *d as f32).collect();
            let pen = tiny_skia::Stroke {
                width: stroke.width as f32,
                line_join: LineJoin::Round,
                dash: StrokeDash::new(dash, 0.0),
                ..tiny_skia::Stroke::default()
            };
            let ink = skia_paint(stroke.colour, 1.0);
            self.pixmap.stroke_path(&outline, &ink, &pen, self.page, mask);
        }
    }

    fn text(&mut self, text: &Text) {
        self.shape(&text.outline(), &Paint::filled(text.colour));
    }
}

fn skia_paint(colour: Colour, opacity: f64) -> tiny_skia::Paint<'static> {
    let mut paint = tiny_skia::Paint::default();
    let alpha = (opacity.clamp(0.0, 1.0) * 255.0).round() as u8;
    paint.set_color_rgba8(colour.red, colour.green, colour.blue, alpha);
    paint.anti_alias = true;
    paint
}

fn skia_path(path: &Path) -> Option<tiny_skia::Path> {
    let mut builder = PathBuilder::new();
    for segment in path.segments() {
        match *segment {
            Segment::Move(x, y) => builder.move_to(x as f32, y as f32),
            Segment::Line(x, y) => builder.line_to(x as f32, y as f32),
            Segment::Cubic(x1, y1, x2, y2, x, y) => {
                let [x1, y1, x2, y2, x, y] = [x1, y1, x2, y2, x, y].map(|v| v as f32);
                builder.cubic_to(x1, y1, x2, y2, x, y);
            }
            Segment::Close => builder.close(),
        }
    }
    builder.finish()
}

fn encode(pixmap: &Pixmap, per_metre: u32, title: &str) -> Result<Vec<u8>, FigureError> {
    // The paper is opaque white, so every pixel is opaque and its colour needs no division.
    let pixels = pixmap.pixels();
    // A page in black and white has a third of the bytes.
    let is_grey = pixels.iter().all(|p| p.red() == p.green() && p.green() == p.blue());
    let (colours, data): (_, Vec<u8>) = if is_grey {
        let grey = pixels.iter().map(|p| p.red()).collect();
        (ColorType::Grayscale, grey)
    } else {
        let rgb = pixels.iter().flat_map(|p| [p.red(), p.green(), p.blue()]);
        (ColorType::Rgb, rgb.collect())
    };
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, pixmap.width(), pixmap.height());
    encoder.set_color(colours);
    encoder.set_depth(BitDepth::Eight);
    // Flat areas need no filter: figures are an eighth smaller than with one, and a fifth sooner drawn.
    encoder.set_filter(Filter::NoFilter);
    encoder.set_deflate_compression(DeflateCompression::Level(2));
    let unit = Unit::Meter;
    encoder.set_pixel_dims(Some(PixelDimensions { xppu: per_metre, yppu: per_metre, unit }));
    encoder.add_itxt_chunk("Title".to_owned(), title.to_owned())?;
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&data)?;
    writer.finish()?;
    Ok(bytes)
}
