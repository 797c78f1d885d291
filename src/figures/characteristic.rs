//! The characteristic curve: density over log exposure, on equal scales.
//!
//! One strip is drawn with everything that its measures rest on; several strips with what
//! distinguishes them.

mod marks;

use super::chart::{Axis, Chart, Label, Panel, Ticks};
use super::curves::{LISTED, Named, Shown, exposure_title, material, show_together};
use super::draw::GREY;
use crate::measures::{Measured, Quantity, StripAnalysis};
use crate::readings::Strip;
use crate::units::STOP;
use crate::words::{counted, degrees, number, trimmed};

/// Smallest ranges across, in log exposure, and up, in density.
const LEAST: (f64, f64) = (1.8, 1.2);
/// Room at the left edge for the marks of the unexposed film, in log exposure.
const UNEXPOSED_ROOM: f64 = 0.2;
/// Largest and narrowest plot in page units; the labels beside it take from its width.
const MOST: (f64, f64) = (560.0, 540.0);
const LEAST_WIDTH: f64 = 330.0;
/// Closest that two grid lines may stand.
const LEAST_GRID: f64 = 34.0;

/// The value of a measure, where it has one.
fn value(measure: &Measured) -> Option<f64> {
    measure.as_ref().ok().map(|q: &Quantity| q.value)
}

/// The figure of one strip's curve, or of several strips' curves.
#[must_use]
pub fn characteristic(strips: &[StripAnalysis]) -> Chart {
    let mut panel = Panel::default();
    match strips {
        [only] => marks::show(&mut panel, only),
        several => show_together(
            &mut panel,
            several.iter().map(named).collect(),
            "speed point",
            "unexposed film",
        ),
    }
    let unexposed = strips.iter().any(|a| !a.strip.unexposed.is_empty());
    let (mut left, right) = panel.across().unwrap_or((0.0, 0.0));
    let (lowest, highest) = panel.up().unwrap_or((0.1, 0.1));
    left -= if unexposed { UNEXPOSED_ROOM } else { 0.0 };
    let below = |v: f64| (v * 10.0).floor() / 10.0;
    let above = |v: f64| (v * 10.0).ceil() / 10.0;
    let bottom = if lowest < 0.02 { below(lowest - 0.04) } else { 0.0 };
    let y = (bottom, above(highest + 0.06).max(bottom + LEAST.1));
    let widened = |(from, to): (f64, f64), least: f64| {
        let lacking = (least - (to - from)).max(0.0);
        (from - lacking / 2.0, to + lacking / 2.0)
    };
    let x = widened((below(left - 0.06), above(right + 0.06)), LEAST.0);
    let unit = (MOST.0 / (x.1 - x.0)).min(MOST.1 / (y.1 - y.0));
    let x = widened(x, LEAST_WIDTH / unit);
    // One stop each way, or a coarser grid where the scale is small.
    let steps = [(0.3, 3), (0.6, 2), (1.5, 5), (3.0, 2)];
    let (step, parts) =
        steps.into_iter().find(|(step, _)| step * unit >= LEAST_GRID).unwrap_or((6.0, 2));
    panel.y = Axis::new(y, Ticks::every(y, step, parts), "density");
    let (title, subtitle) = heading(strips);
    let mut chart = Chart {
        title,
        subtitle,
        description: description(strips),
        top: Some(stops(strips, &panel, x, unit)),
        panels: vec![panel],
        x: Axis::new(
            x,
            Ticks::every(x, step, parts),
            exposure_title(strips.iter().map(|a| &a.strip)),
        ),
        equal_scales: Some(MOST.1),
        ..Chart::default()
    };
    chart.or_say("no strips");
    chart
}

/// What the figure shows, and of which strips.
fn heading(strips: &[StripAnalysis]) -> (String, Option<String>) {
    let curves = if strips.len() == 1 { "Characteristic curve" } else { "Characteristic curves" };
    let title = match material(strips.iter().map(|a| &a.strip)) {
        Some(material) => format!("{curves} of {material}"),
        None => curves.to_owned(),
    };
    let subtitle = match strips {
        [only] => {
            let parts = [development(&only.strip), only.strip.labels.date.clone()];
            let parts: Vec<String> = parts.into_iter().flatten().collect();
            let name = only.strip.name.clone();
            if parts.is_empty() { name } else { format!("{name}: {}", parts.join(", ")) }
        }
        several => counted(several.len(), "strip"),
    };
    (title, Some(subtitle))
}

/// "9 min, 20 °C", as far as it is known.
fn development(strip: &Strip) -> Option<String> {
    let minutes = strip.minutes.map(|m| format!("{} min", trimmed(m.get(), 2)));
    let celsius = strip.celsius.map(|c| degrees(c.get()));
    let parts: Vec<String> = minutes.into_iter().chain(celsius).collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

fn named(analysis: &StripAnalysis) -> Named {
    let measures = analysis.result.as_ref().ok().map(|analysed| &analysed.measures);
    let index = measures.and_then(|m| value(&m.contrast_index));
    Named {
        shown: Shown::of(analysis),
        name: analysis.strip.name.clone(),
        detail: index.map(|v| format!("contrast index {}", number(v, 2))),
        end: Some(development(&analysis.strip).unwrap_or_else(|| analysis.strip.name.clone())),
        points: speed_point(analysis).into_iter().collect(),
    }
}

/// (log exposure, density) of the speed point.
fn speed_point(analysis: &StripAnalysis) -> Option<(f64, f64)> {
    let analysed = analysis.result.as_ref().ok()?;
    let x = value(&analysed.measures.speed_point)?;
    Some((x, analysed.fit.curve.density(x)))
}

/// The second scale across, in stops: from the speed point, or from the lowest exposure.
fn stops(strips: &[StripAnalysis], panel: &Panel, x: (f64, f64), unit: f64) -> Axis {
    let with_speed = strips.iter().find_map(|a| Some((&a.strip.name, speed_point(a)?.0)));
    let (zero, title) = match (with_speed, panel.across()) {
        (Some((_, at)), _) if strips.len() == 1 => (at, "stops from the speed point".to_owned()),
        (Some((name, at)), _) => (at, format!("stops from the speed point of {name}")),
        (None, Some((lowest, _))) => (lowest, "stops from the lowest exposure".to_owned()),
        (None, None) => (x.0, "stops".to_owned()),
    };
    let range = ((x.0 - zero) / STOP, (x.1 - zero) / STOP);
    let fits = |step: &f64| step * STOP * unit >= LEAST_GRID;
    let step = [1.0, 2.0, 5.0, 10.0, 20.0].into_iter().find(fits).unwrap_or(50.0);
    Axis::new(range, Ticks::every(range, step, 1), title)
}

/// The figure in words.
fn description(strips: &[StripAnalysis]) -> String {
    let title = exposure_title(strips.iter().map(|a| &a.strip));
    let mut words = format!("Density over {title}, equal scales.");
    for analysis in strips.iter().take(LISTED) {
        let strip = &analysis.strip;
        words.push_str(&format!(
            " {}: {}",
            strip.name,
            counted(strip.readings.len() + strip.unexposed.len(), "reading")
        ));
        if let Ok(analysed) = &analysis.result {
            let m = &analysed.measures;
            let values = [
                ("base plus fog", &m.base_plus_fog),
                ("speed point at log exposure", &m.speed_point),
                ("contrast index", &m.contrast_index),
            ];
            for (name, measure) in values {
                if let Some(value) = value(measure) {
                    words.push_str(&format!(", {name} {}", number(value, 2)));
                }
            }
        }
        words.push('.');
    }
    let unlisted = strips.len().saturating_sub(LISTED);
    if unlisted > 0 {
        words.push_str(&format!(" And {unlisted} more strips."));
    }
    words
}

/// The label of base plus fog, right of the plot.
fn fog_label(fog: f64) -> Label {
    Label::new(fog, format!("fog {}", number(fog, 2))).coloured(GREY)
}
