//! A control strip over the curve that it should have, and the differences.

use super::chart::{Axis, Chart, Layer, Marker, Panel, Ticks, bounds, key, round_range};
use super::curves::{OPEN, READING};
use super::draw::{BLUE, GREY, Stroke, VERMILLION};
use crate::bath::verify::{Change, Step, Verification};
use crate::numerics::chance::NORMAL_95;
use crate::readings::ExposureScale;
use crate::words::{number, signed};

/// Heights of the two plots.
const STRIP: f64 = 330.0;
const DIFFERENCES: f64 = 170.0;
/// Left of the lowest exposure, in log exposure: room for the unexposed film, and its place there.
const ROOM: f64 = 0.22;
const UNEXPOSED: f64 = 0.15;

const AIM: Stroke = Stroke::solid(BLUE, 2.0);
const EXPLAINED: Stroke = Stroke::solid(VERMILLION, 1.8).dashed(&[7.0, 3.5]);
const BAR: Stroke = Stroke::solid(GREY, 1.0);

/// The figure of a control strip called `name`, verified against a pairing; `developed` says in what
/// and how.
#[must_use]
pub fn control_strip(
    name: &str,
    developed: &str,
    scale: ExposureScale,
    verification: &Verification,
) -> Chart {
    let v = verification;
    let exposures =
        bounds(v.steps.iter().map(|s| s.x)).or_else(|| bounds(v.curves.iter().map(|c| c.0)));
    let (low, high) = exposures.unwrap_or((-3.0, 0.0));
    let x = (low - ROOM, high + 0.1);
    let place = |s: &Step| if s.x.is_finite() { s.x } else { low - UNEXPOSED };
    let marks = |panel: &mut Panel, listed: bool, y: &dyn Fn(&Step) -> f64| {
        let kinds =
            [("reading", Marker::Circle, true), ("unexposed film", Marker::TriangleLeft, false)];
        for (words, marker, exposed) in kinds {
            let own = v.steps.iter().filter(|s| s.x.is_finite() == exposed);
            let points = own.map(|s| (place(s), y(s))).collect();
            let entry = Some(key(words)).filter(|_| listed);
            panel.show(entry, [Layer::Points(points, marker, READING, OPEN)]);
        }
    };
    let mut strip = Panel::of_height(STRIP);
    marks(&mut strip, true, &|s| s.density);
    let aim = v.curves.iter().map(|c| (c.0, c.1)).collect();
    strip.show(key("aim").with_detail("a bath as calibrated"), [Layer::Line(aim, AIM)]);
    let explained = v.curves.iter().map(|c| (c.0, c.2)).collect();
    let entry = key(format!("activity {}", number(v.activity.value, 2)));
    strip.show(entry.with_detail(besides(&v.change)), [Layer::Line(explained, EXPLAINED)]);
    let y = round_range(strip.up().unwrap_or((0.0, 1.0)), 0.5, 0.5);
    strip.y = Axis::new(y, Ticks::nice(y, 8), "density");

    let mut off = Panel::of_height(DIFFERENCES);
    off.show(None, [Layer::Across(vec![0.0], AIM)]);
    let bars = v.steps.iter().map(|s| {
        let (d, half) = (s.density - s.aim, NORMAL_95 * s.sd);
        [(place(s), d - half), (place(s), d + half)]
    });
    let bars: Vec<_> = bars.collect();
    off.keep_in_sight(bars.iter().flatten().copied());
    off.show(key("95 % interval of a reading"), [Layer::Bars(bars, BAR)]);
    let explained = v.curves.iter().map(|c| (c.0, c.2 - c.1)).collect();
    off.show(None, [Layer::Line(explained, EXPLAINED)]);
    marks(&mut off, false, &|s| s.density - s.aim);
    let y = round_range(off.up().unwrap_or((-0.1, 0.1)), 0.08, 0.0);
    off.y = Axis::new(y, Ticks::nice(y, 6), "density off its aim");
    Chart {
        title: format!("Control strip {name} over its aim"),
        subtitle: Some(format!("{developed}: {}", v.advice.action)),
        description: description(v),
        x: Axis::new(
            x,
            Ticks::nice(x, 9),
            match scale {
                ExposureScale::Absolute => "log exposure (lux·s)",
                ExposureScale::Relative => "relative log exposure",
            },
        ),
        panels: vec![strip, off],
        ..Chart::default()
    }
}

/// What else explains the strip, in a few words.
fn besides(change: &Change) -> String {
    match change {
        Change::Nothing => "explains the strip alone".to_owned(),
        Change::Shifted { fog, speed_gain } => {
            format!("with fog {}, speed {}", signed(fog.value, 2), signed(speed_gain.value, 2))
        }
        Change::Shape { .. } => "the nearest that the film has".to_owned(),
    }
}

/// The figure in words.
fn description(v: &Verification) -> String {
    let off = v.steps.iter().map(|s| s.density - s.aim);
    let farthest = off.fold(0.0, |m: f64, d| if d.abs() > m.abs() { d } else { m });
    format!(
        "A control strip of {} readings over the curve of a bath as calibrated. Activity {}; farthest off the aim by {} in density.",
        v.steps.len(),
        number(v.activity.value, 2),
        number(farthest, 2)
    )
}
