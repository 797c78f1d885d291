//! One frame of the map: the field in greys with contours, the places with their numbers, the spots.

use super::shades::Shades;
use super::{MapFrame, MapPanel};
use crate::elementary::hypot;
use crate::figures::chart::{Plot, Room, Ticks};
use crate::figures::draw::{
    Anchor, GREY, INK, Paint, Path, Rect, Scene, Stroke, Text, WHITE, shortened, text_width,
};
use crate::words::number;

const CONTOUR: Stroke = Stroke::solid(GREY, 0.8);
const OUTLINE: Stroke = Stroke::solid(INK, 1.2);
const RING: Stroke = Stroke::solid(INK, 1.8);
/// Behind numbers, so that no contour crosses them.
const BEHIND: Paint = Paint::tinted(WHITE, 0.7);
const HALO: Stroke = Stroke::solid(WHITE, 4.0);
/// A contour shorter than so many widths of its label has none.
const SHORT: f64 = 2.0;
/// Radius of a place's dot, and of the ring about a spot, on the large panel.
const DOT: f64 = 1.8;
const SPOT: f64 = 7.0;

/// The sizes of a panel's parts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Look {
    /// Page units per mm.
    pub unit: f64,
    /// Size of the numbers.
    pub text: f64,
    /// Size of the heading; none on the only panel.
    pub heading: Option<f64>,
    /// Whether the edges and the scales are named.
    pub axes: bool,
}

/// Whether the places have dots: more than this would hide the field.
pub(super) fn has_dots(panel: &MapPanel) -> bool {
    panel.places.len() <= 1500
}

/// Whether the numbers on a panel are the readings at the places, and not those of contours.
pub(super) fn has_readings(frame: &MapFrame, panel: &MapPanel, look: Look) -> bool {
    let plot = Plot::with_equal_scales((0.0, 0.0), look.unit, frame.along, frame.across);
    numbers_fit(&plot, panel, look)
}

/// Where a spot's ring stands, for the legend.
pub(super) fn ring(at: (f64, f64), scale: f64) -> Path {
    let mut path = Path::default();
    path.add_circle(at, SPOT * scale);
    path
}

/// The paint of that ring.
pub(super) fn ring_paint() -> Paint {
    RING.into()
}

/// The line of contours.
pub(super) fn contour_paint() -> Paint {
    CONTOUR.into()
}

/// Draws a panel with the frame's upper left corner at a position.
pub(super) fn draw(
    scene: &mut Scene,
    corner: (f64, f64),
    (frame, panel): (&MapFrame, &MapPanel),
    shades: &Shades,
    look: Look,
) {
    let plot = Plot::with_equal_scales(corner, look.unit, frame.along, frame.across);

    heading(scene, &plot, panel, look);
    for (level, paint) in shades.steps() {
        // The lowest step holds whatever lies below it.
        let first = shades.steps().next().is_some_and(|(lowest, _)| lowest == level);
        let level = if first { f64::MIN } else { level };
        let mut area = Path::default();
        for outline in panel.field.outlines(level) {
            area.add_polygon(outline.into_iter().map(|p| plot.at(p)));
        }
        scene.shape(area, paint);
    }
    let (mut room, mut free) = (Room::new(plot.area), Room::new(plot.area));
    let mut lines = Path::default();
    let contours: Vec<(f64, Vec<(f64, f64)>)> = shades
        .between()
        .iter()
        .flat_map(|level| {
            let lines = panel.field.contours(*level).into_iter();
            lines.map(|line| (*level, line.into_iter().map(|p| plot.at(p)).collect()))
        })
        .collect();
    for (_, line) in &contours {
        lines.add_line(line.iter().copied());
    }
    scene.shape(lines, CONTOUR);
    scene.shape(Path::rect(plot.area), OUTLINE);
    let scale = look.text / 11.5;
    let mut dots = Path::default();
    for place in &panel.places {
        let at = plot.at((place.x, place.y));
        if has_dots(panel) {
            dots.add_circle(at, DOT * scale.max(0.7));
            room.take_mark(at, DOT + 2.0);
        }
        if place.spot.is_some() {
            scene.shape(ring(at, scale), HALO);
            scene.shape(ring(at, scale), RING);
            room.take_mark(at, SPOT * scale + 2.0);
            free.take_mark(at, SPOT * scale + 2.0);
        }
    }
    scene.shape(dots, Paint::filled(INK));
    if numbers_fit(&plot, panel, look) {
        numbers(scene, &plot, panel, look);
    } else {
        // Dots are many and small: a spot's number may stand on them.
        for taken in spots(scene, &mut free, &plot, panel, look) {
            room.take(taken);
        }
        let signed = panel.places.iter().any(|p| p.value < 0.0);
        contour_labels(scene, &mut room, &contours, |level| shades.label(level, signed), look);
    }
    if look.axes {
        axes(scene, &plot, frame);
    }
}

fn heading(scene: &mut Scene, plot: &Plot, panel: &MapPanel, look: Look) {
    let Some(size) = look.heading else { return };
    let baseline = plot.area.y - if look.axes { 24.0 } else { 7.0 };
    let name = shortened(&panel.name, size, 0.6 * plot.area.width);
    let from = plot.area.x + text_width(&name, size) + 9.0;
    scene.text(Text::new(name, (plot.area.x, baseline), size));
    let detail = shortened(&panel.detail, size - 1.5, plot.area.right() - from);
    scene.text(Text::new(detail, (from, baseline), size - 1.5).coloured(GREY));
}

/// A place's number, as the panel writes it.
fn written(value: f64, relative: bool) -> String {
    let text = number(value, 2);
    if relative && value > 0.0 && text != "0.00" { format!("+{text}") } else { text }
}

/// Whether every place has room for its number, below it.
fn numbers_fit(plot: &Plot, panel: &MapPanel, look: Look) -> bool {
    let width = text_width("+0.00", look.text) + 4.0;
    let height = 2.2 * look.text;
    let at: Vec<(f64, f64)> = panel.places.iter().map(|p| plot.at((p.x, p.y))).collect();
    let apart = |a: &(f64, f64), b: &(f64, f64)| {
        (a.0 - b.0).abs() >= width || (a.1 - b.1).abs() >= height || a == b
    };
    let few = at.len() <= 150;
    few && at.iter().all(|a| at.iter().all(|b| apart(a, b)))
}

/// Writes the number of each place below its dot, or above where the frame ends; a spot's is that of
/// its own density.
fn numbers(scene: &mut Scene, plot: &Plot, panel: &MapPanel, look: Look) {
    let scale = look.text / 11.5;
    for place in &panel.places {
        let (x, y) = plot.at((place.x, place.y));
        let off = if place.spot.is_some() { SPOT * scale } else { DOT } + 3.0;
        let below = y + off + 0.75 * look.text;
        let baseline = if below + 2.0 < plot.area.bottom() { below } else { y - off };
        let text = written(place.value, panel.relative);
        let half = text_width(&text, look.text) / 2.0 + 2.0;
        let x = x.clamp(plot.area.x + half, (plot.area.right() - half).max(plot.area.x + half));
        let behind = Rect {
            x: x - half + 1.0,
            y: baseline - 0.8 * look.text,
            width: 2.0 * half - 2.0,
            height: 0.9 * look.text,
        };
        scene.shape(Path::rect(behind), BEHIND);
        scene.text(Text::new(text, (x, baseline), look.text).anchored(Anchor::Middle));
    }
}

/// Writes how far each spot departs, where numbers of all places have no room.
fn spots(
    scene: &mut Scene,
    room: &mut Room,
    plot: &Plot,
    panel: &MapPanel,
    look: Look,
) -> Vec<Rect> {
    let mut taken = Vec::new();
    let scale = look.text / 11.5;
    for place in &panel.places {
        let Some(size) = place.spot else { continue };
        let at = plot.at((place.x, place.y));
        let text = written(size, true);
        let width = text_width(&text, look.text);
        if let Some(text) = room.place(&text, look.text, at, SPOT * scale) {
            let behind = Rect {
                x: text.at.0 - 2.0,
                y: text.at.1 - 0.82 * look.text,
                width: width + 4.0,
                height: 1.06 * look.text,
            };
            scene.shape(Path::rect(behind), Paint::filled(WHITE));
            scene.text(text);
            taken.push(behind);
        }
    }
    taken
}

/// Writes the level on each contour that is long enough, near its middle.
fn contour_labels(
    scene: &mut Scene,
    room: &mut Room,
    contours: &[(f64, Vec<(f64, f64)>)],
    label: impl Fn(f64) -> String,
    look: Look,
) {
    let size = look.text - 1.0;
    for (level, line) in contours {
        let text = label(*level);
        let (width, height) = (text_width(&text, size) + 5.0, size + 1.0);
        let long = |pair: &[(f64, f64)]| hypot(pair[1].0 - pair[0].0, pair[1].1 - pair[0].1);
        if line.windows(2).map(long).sum::<f64>() < SHORT * width {
            continue;
        }
        let middle = line.len() / 2;
        let mut rank: Vec<usize> = (0..line.len()).collect();
        rank.sort_by_key(|k| k.abs_diff(middle));
        let free = rank.into_iter().find_map(|k| {
            let centre = line[k];
            let boxed =
                Rect { x: centre.0 - width / 2.0, y: centre.1 - height / 2.0, width, height };
            room.take_if_free(boxed).then_some((centre, boxed))
        });
        if let Some((centre, boxed)) = free {
            scene.shape(Path::rect(boxed), Paint::filled(WHITE));
            let text = Text::new(text, centre, size).anchored(Anchor::Middle);
            scene.text(text.centred());
        }
    }
}

/// The scales in mm, and the names of the edges.
fn axes(scene: &mut Scene, plot: &Plot, frame: &MapFrame) {
    let most = |length: f64, unit: f64| ((length * unit / 45.0) as usize).clamp(2, 12);
    let unit = plot.area.width / (frame.along.1 - frame.along.0);
    let x = Ticks::nice(frame.along, most(frame.along.1 - frame.along.0, unit));
    let y = Ticks::nice(frame.across, most(frame.across.1 - frame.across.0, unit));
    plot.draw_bottom_axis(scene, &x, "x, along the film (mm); frame numbers rise →");
    plot.draw_left_axis(scene, &y, "y, across the film (mm)");
    let middle = plot.area.x + plot.area.width / 2.0;
    let name = |words: &str, y: f64| {
        let words = shortened(words, 11.5, plot.area.width).into_owned();
        Text::new(words, (middle, y), 11.5).anchored(Anchor::Middle).coloured(GREY)
    };
    scene.text(name("upper edge", plot.area.y - 7.0));
    scene.text(name("lower edge, lowest in the bath", plot.area.bottom() + 62.0));
}
