//! The growth of contrast of several pairings, one over the other.

use super::chart::{
    Axis, Chart, Label, Layer, Panel, SeriesStyle, Ticks, bounds, key, round_range,
};
use super::draw::{GREY, Paint, Stroke};
use crate::development::{Measure, Pairing};
use crate::elementary::pow;
use crate::words::{degrees, number};

/// Height of the plot.
const HEIGHT: f64 = 380.0;
/// Points along a curve.
const POINTS: u32 = 120;
/// Smallest ranges of times in minutes and of contrasts.
const LEAST: (f64, f64) = (4.0, 0.2);
/// How many bands can lie over one another and be told apart.
const MOST_BANDS: usize = 4;
const AIM: Stroke = Stroke::solid(GREY, 1.0).dashed(&[9.0, 4.5]);

/// Contrast over effective development, one curve a pairing with its strips, and the contrast that is
/// wanted.
#[must_use]
pub fn growths(pairings: &[(&str, &Pairing)], measure: Measure, contrast: f64) -> Chart {
    let mut panel = Panel::of_height(HEIGHT);
    for (n, (name, pairing)) in pairings.iter().enumerate() {
        let style = SeriesStyle::nth(n);
        let Some(growth) = pairing.growth(measure) else { continue };
        let strips = growth.points.iter().map(|p| (growth.theta(p), p.value)).collect();
        let (low, high) = growth.range();
        let at = |k: u32| low * pow(high / low, f64::from(k) / f64::from(POINTS));
        let values = (0..=POINTS).map(at).map(|theta| (theta, growth.quantity(theta)));
        let (line, band) = values.map(|(x, q)| ((x, q.value), (x, q.low, q.high))).unzip();
        panel.show_at(
            key(*name),
            [
                (5, Layer::Line(line, style.line(2.0))),
                (6, Layer::Points(strips, style.marker, 4.0, style.open_mark(1.3))),
            ],
        );
        if pairings.len() <= MOST_BANDS {
            panel.show(None, [Layer::Band(band, Paint::tinted(style.colour, 0.13))]);
        }
    }
    if pairings.len() <= MOST_BANDS {
        panel.sample("95 % interval", &Layer::Band(Vec::new(), Paint::tinted(GREY, 0.2)));
    }
    panel.show(key("aim"), [Layer::Across(vec![contrast], AIM)]);
    panel.label(Label::new(contrast, "aim").with(number(contrast, 2), GREY));
    let x = round_range(
        bounds(panel.across().into_iter().flat_map(|(a, b)| [a, b])).unwrap_or((1.0, 15.0)),
        LEAST.0,
        0.6,
    );
    let y = panel.up_with_intervals(LEAST.1).unwrap_or((0.4, 0.8));
    let y = round_range((y.0.min(contrast), y.1.max(contrast)), LEAST.1, 0.4);
    panel.y = Axis::new(y, Ticks::nice(y, 9), measure.name());
    let reference = pairings.first().map_or(20.0, |(_, p)| p.reference.get());
    let alike = pairings.iter().all(|(_, p)| p.reference.get() == reference);
    let minutes = match alike {
        true => format!("effective development (minutes at {})", degrees(reference)),
        false => "effective development (minutes at each pairing's reference)".to_owned(),
    };
    let names: Vec<&str> = pairings.iter().map(|(name, _)| *name).collect();
    let mut chart = Chart {
        title: format!("Growth of {} compared", measure.name()),
        subtitle: None,
        description: format!(
            "Growth of {} with development time for {}.",
            measure.name(),
            names.join(", ")
        ),
        x: Axis::new(x, Ticks::nice(x, 9), minutes),
        panels: vec![panel],
        ..Chart::default()
    };
    chart.or_say("no pairings");
    chart
}
