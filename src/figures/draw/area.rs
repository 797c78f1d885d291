//! A scene on a plotters drawing area: a window, a canvas, whatever plotters can draw on.

use plotters::coord::Shift;
use plotters::drawing::{DrawingArea, DrawingAreaErrorKind};
use plotters::element::{PathElement, Polygon};
use plotters::prelude::DrawingBackend;
use plotters::style::{Color, RGBAColor, RGBColor, ShapeStyle};

use super::paint::{Colour, Paint, WHITE};
use super::path::{Path, Rect};
use super::scene::{Mark, Scene};
use crate::elementary::hypot;

type Points = Vec<(f64, f64)>;

/// What a drawing area reports when it cannot be drawn on.
pub type AreaError<DB> = DrawingAreaErrorKind<<DB as DrawingBackend>::ErrorType>;

impl Scene {
    /// Draws the picture on a plotters drawing area, as large as it fits there, on white. Letters
    /// are drawn as outlines of the embedded font, so that no backend needs one.
    ///
    /// # Errors
    /// Whatever the backend of the area reports.
    pub fn draw_on<DB: DrawingBackend>(
        &self,
        area: &DrawingArea<DB, Shift>,
    ) -> Result<(), AreaError<DB>> {
        let (width, height) = area.dim_in_pixel();
        let scale = (f64::from(width) / self.width).min(f64::from(height) / self.height);
        let canvas = Canvas { area, scale };
        let whole = Rect { x: 0.0, y: 0.0, width: self.width, height: self.height };
        canvas.fill(&Path::rect(whole).pieces(), WHITE, 1.0)?;
        let mut clip = whole;
        for mark in &self.marks {
            match mark {
                Mark::Shape(path, paint) => canvas.shape(path, paint, &clip)?,
                Mark::Text(text) => {
                    let letters = text.outline().pieces();
                    canvas.fill(&letters, text.colour, 1.0)?;
                }
                Mark::Clip(to) => clip = to.unwrap_or(whole),
            }
        }
        Ok(())
    }
}

/// A drawing area with its pixels to the page unit.
struct Canvas<'a, DB: DrawingBackend> {
    area: &'a DrawingArea<DB, Shift>,
    scale: f64,
}

impl<DB: DrawingBackend> Canvas<'_, DB> {
    fn pixels(&self, points: &[(f64, f64)]) -> Vec<(i32, i32)> {
        let at = |v: f64| (v * self.scale).round() as i32;
        points.iter().map(|p| (at(p.0), at(p.1))).collect()
    }

    fn shape(&self, path: &Path, paint: &Paint, clip: &Rect) -> Result<(), AreaError<DB>> {
        let pieces = path.pieces();
        if let Some((colour, opacity)) = paint.fill {
            let inside: Vec<Points> = pieces.iter().map(|p| clipped_polygon(p, clip)).collect();
            self.fill(&inside, colour, opacity)?;
        }
        let Some(stroke) = paint.stroke else { return Ok(()) };
        let style = ShapeStyle {
            color: rgba(stroke.colour, 1.0),
            filled: false,
            stroke_width: (stroke.width * self.scale).round().max(1.0) as u32,
        };
        for line in pieces.iter().flat_map(|p| dashed(p, stroke.dash)) {
            for line in clipped_line(&line, clip) {
                self.area.draw(&PathElement::new(self.pixels(&line), style))?;
            }
        }
        Ok(())
    }

    /// Fills outlines; one that runs the other way inside of another is a hole in it.
    fn fill(&self, pieces: &[Points], colour: Colour, opacity: f64) -> Result<(), AreaError<DB>> {
        for outline in with_holes(pieces) {
            let points = self.pixels(&outline);
            self.area.draw(&Polygon::new(points, rgba(colour, opacity).filled()))?;
        }
        Ok(())
    }
}

fn rgba(colour: Colour, opacity: f64) -> RGBAColor {
    RGBColor(colour.red, colour.green, colour.blue).mix(opacity)
}

/// Twice the area, with the sign of the direction.
fn signed_area(piece: &[(f64, f64)]) -> f64 {
    let next = piece.iter().cycle().skip(1);
    piece.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum()
}

fn holds(piece: &[(f64, f64)], (x, y): (f64, f64)) -> bool {
    let next = piece.iter().cycle().skip(1);
    let crossed = piece
        .iter()
        .zip(next)
        .filter(|(a, b)| (a.1 > y) != (b.1 > y) && x < a.0 + (y - a.1) / (b.1 - a.1) * (b.0 - a.0));
    crossed.count() % 2 == 1
}

/// Outlines of which each has its holes joined to it, by a line there and back.
fn with_holes(pieces: &[Points]) -> Vec<Points> {
    let mut sorted: Vec<&Points> = pieces.iter().filter(|p| p.len() > 2).collect();
    sorted.sort_by(|a, b| signed_area(b).abs().total_cmp(&signed_area(a).abs()));
    let mut joined: Vec<(&Points, Points)> = Vec::new();
    for piece in sorted {
        let direction = signed_area(piece);
        let around = joined
            .iter_mut()
            .rev()
            .find(|(outer, _)| signed_area(outer) * direction < 0.0 && holds(outer, piece[0]));
        match around {
            Some((_, outline)) => {
                let back = outline[0];
                outline.push(back);
                outline.extend(piece.iter().chain(piece.first()));
                outline.push(back);
            }
            None => joined.push((piece, piece.clone())),
        }
    }
    joined.into_iter().map(|(_, outline)| outline).collect()
}

/// A line in its dashes.
fn dashed(line: &[(f64, f64)], dash: &[f64]) -> Vec<Points> {
    if line.len() < 2 || !dash.iter().all(|length| *length > 0.0) || dash.is_empty() {
        return vec![line.to_vec()];
    }
    let mut pieces = vec![vec![line[0]]];
    let (mut k, mut left) = (0, dash[0]);
    for ends in line.windows(2) {
        let (mut from, to) = (ends[0], ends[1]);
        loop {
            let length = hypot(to.0 - from.0, to.1 - from.1);
            let share = (left / length).min(1.0);
            from = (from.0 + share * (to.0 - from.0), from.1 + share * (to.1 - from.1));
            if k % 2 == 0 {
                pieces.last_mut().into_iter().for_each(|piece| piece.push(from));
            }
            if length <= left {
                left -= length;
                break;
            }
            k += 1;
            left = dash[k % dash.len()];
            if k % 2 == 0 {
                pieces.push(vec![from]);
            }
        }
    }
    pieces.retain(|piece| piece.len() > 1);
    pieces
}

/// What of a line lies inside of a rectangle.
fn clipped_line(line: &[(f64, f64)], r: &Rect) -> Vec<Points> {
    let mut pieces: Vec<Points> = Vec::new();
    for ends in line.windows(2) {
        let (a, b) = (ends[0], ends[1]);
        let Some((start, end)) = r.share_of([a, b]) else { continue };
        let at = |t: f64| (a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1));
        match pieces.last_mut() {
            Some(piece) if start == 0.0 && piece.last() == Some(&a) => piece.push(at(end)),
            _ => pieces.push(vec![at(start), at(end)]),
        }
    }
    pieces
}

/// What of a polygon lies inside of a rectangle.
fn clipped_polygon(polygon: &[(f64, f64)], r: &Rect) -> Points {
    type Inside = Box<dyn Fn((f64, f64)) -> f64>;
    let (x, y, right, bottom) = (r.x, r.y, r.right(), r.bottom());
    let sides: [Inside; 4] = [
        Box::new(move |p| p.0 - x),
        Box::new(move |p| right - p.0),
        Box::new(move |p| p.1 - y),
        Box::new(move |p| bottom - p.1),
    ];
    sides.iter().fold(polygon.to_vec(), |points, inside| {
        let next = points.iter().cycle().skip(1);
        let mut kept = Vec::with_capacity(points.len() + 2);
        for (&a, &b) in points.iter().zip(next) {
            let (da, db) = (inside(a), inside(b));
            if da >= 0.0 {
                kept.push(a);
            }
            if (da >= 0.0) != (db >= 0.0) {
                let t = da / (da - db);
                kept.push((a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1)));
            }
        }
        kept
    })
}
