//! The lines and marks of a panel, and how each is painted.

use crate::figures::chart::{DateTicks, Plot};
use crate::figures::draw::{
    Anchor, BLUE, GREEN, GREY, INK, Paint, RULE, Scene, Stroke, Text, VERMILLION, WHITE,
};

/// The line from strip to strip, and the dot of a strip.
pub(super) const STRIPS: Stroke = Stroke::solid(GREY, 0.9);
pub(super) const DOT: Paint = Paint::filled(INK);
pub(super) const AVERAGE: Stroke = Stroke::solid(BLUE, 1.7);
pub(super) const CENTRE: Stroke = Stroke::solid(INK, 0.8);
pub(super) const LIMIT: Stroke = Stroke::solid(INK, 1.1).dashed(&[7.0, 4.0]);
pub(super) const TOLERANCE: Stroke = Stroke::solid(GREEN, 1.5).dashed(&[2.0, 2.6]);
pub(super) const EVENT: Stroke = Stroke::solid(RULE, 0.8);
pub(super) const CHANGE: Stroke = Stroke::solid(GREY, 1.0).dashed(&[9.0, 3.0, 2.0, 3.0]);
/// A strip that breaks a rule.
pub(super) const SIGNAL: Stroke = Stroke::solid(VERMILLION, 1.5);
/// A strip beyond a limit or a tolerance.
pub(super) const OUT: Paint =
    Paint { fill: Some((VERMILLION, 1.0)), stroke: Some(Stroke::solid(WHITE, 0.8)) };
pub(super) const SIGNAL_RADIUS: f64 = 4.6;
pub(super) const OUT_RADIUS: f64 = 4.2;

/// How large marks are, by the distance of two strips.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sizes {
    /// Radius of a strip's dot; `None` where there is no room for dots.
    pub dot: Option<f64>,
    pub signal: f64,
    pub out: f64,
    pub signal_paint: Paint,
    pub out_paint: Paint,
}

impl Sizes {
    pub fn of(spacing: f64) -> Self {
        let thin = |width| Stroke { width, ..SIGNAL };
        let (dot, signal, out, ring) = match spacing {
            s if s >= 5.0 => (Some(2.3), SIGNAL_RADIUS, OUT_RADIUS, SIGNAL),
            s if s >= 2.5 => (Some(1.5), 3.4, 3.2, thin(1.2)),
            _ => (None, 2.0, 2.2, thin(0.9)),
        };
        // Outlines of crowded marks would wipe out their neighbours.
        let out_paint = if dot.is_some() { OUT } else { Paint::filled(VERMILLION) };
        Self { dot, signal, out, signal_paint: Paint::from(ring), out_paint }
    }
}

/// Size of labels in and beside the panels.
pub(super) const LABEL: f64 = 11.0;

/// Ticks and dates below the last panel, years below these.
pub(super) fn date_axis(scene: &mut Scene, plot: &Plot, dates: &DateTicks) {
    plot.draw_bottom_axis(scene, &dates.ticks, "");
    let baseline = plot.area.bottom() + 34.0;
    for (at, year) in &dates.years {
        let text = Text::new(year, (plot.x.at(*at), baseline), LABEL).anchored(Anchor::Middle);
        scene.text(text.coloured(GREY));
    }
}
