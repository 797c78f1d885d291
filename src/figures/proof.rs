//! The contact proof's time: density of the print through clear film over the time of exposure.

use super::chart::{Axis, Chart, Label, Layer, Marker, Panel, Ticks, key};
use super::curves::{BAND, CURVE, OPEN, steps};
use super::draw::{Anchor, GREY, INK, Paint, Stroke, Text, VERMILLION, WHITE};
use crate::elementary::log10;
use crate::printing::PaperStrip;
use crate::printing::proof::{Exposure, ShortestBlack, TestStrip};
use crate::words::number;

const HEIGHT: f64 = 380.0;
/// Width of the plot, about.
const WIDTH: f64 = 540.0;
/// Closest that two labels of times may stand, in page units.
const APART: f64 = 30.0;

const END: Stroke = Stroke::solid(GREY, 1.1).dashed(&[6.0, 3.5]);
const BLACK: Stroke = Stroke::solid(INK, 1.1).dashed(&[2.0, 2.5]);
const TIME: Stroke = Stroke::solid(VERMILLION, 2.0);
const SHADE: Paint = Paint::tinted(VERMILLION, 0.16);
const FOUND: Paint =
    Paint { fill: Some((VERMILLION, 1.0)), stroke: Some(Stroke::solid(WHITE, 1.2)) };

/// What the time of a proof comes from.
#[derive(Clone, Copy, Debug)]
pub enum ProofCurve<'a> {
    /// A test strip with its readings.
    Strip(&'a TestStrip, &'a [Exposure]),
    /// A strip of the paper, and log10 of seconds less its log exposure.
    Paper(&'a PaperStrip, f64),
}

/// The figure of a test strip, or of a paper's curve in seconds, with the shortest time that prints
/// black. `scaled` says that the proof itself is exposed otherwise than the test was.
#[must_use]
pub fn proof(from: ProofCurve<'_>, found: Option<&ShortestBlack>, scaled: bool) -> Chart {
    let mut panel = Panel::of_height(HEIGHT);
    let subtitle =
        show_curve(&mut panel, from) + if scaled { "; as tested, before scaling" } else { "" };
    if let Some(found) = found {
        show_found(&mut panel, found);
    }
    let (from, to) = panel.across().unwrap_or((0.0, 1.5));
    let lacking = (0.9 - (to - from)).max(0.0) / 2.0;
    let x = (from - 0.08 - lacking, to + 0.08 + lacking);
    let (lowest, highest) = panel.up().unwrap_or((0.0, 2.0));
    let bottom = (lowest.min(0.0) * 10.0).floor() / 10.0;
    let y = (bottom, (((highest + 0.12) * 10.0).ceil() / 10.0).max(bottom + 1.0));
    panel.y = Axis::new(y, Ticks::every(y, 0.5, 5), "reflection density");
    let mut chart = Chart {
        title: "Contact proof: print density against exposure time".to_owned(),
        subtitle: Some(subtitle),
        description: description(found),
        x: Axis::new(x, seconds_ticks(x, WIDTH), "exposure (seconds)"),
        panels: vec![panel],
        ..Chart::default()
    };
    chart.or_say("no readings");
    chart
}

/// Adds readings and curve; says what they are of.
fn show_curve(panel: &mut Panel, from: ProofCurve<'_>) -> String {
    let entry = key("curve of the paper");
    match from {
        ProofCurve::Strip(strip, readings) => {
            let at = |e: &Exposure| (e.seconds > 0.0).then(|| (log10(e.seconds), e.density));
            let points = readings.iter().filter_map(at).collect();
            panel.show(key("reading"), [Layer::Points(points, Marker::Circle, 4.2, OPEN)]);
            if let (Some(first), Some(last)) = (strip.points().next(), strip.points().last()) {
                let line = steps((first.0, last.0)).map(|x| (x, strip.density(x)));
                panel.show(entry, [Layer::Line(line.collect(), CURVE)]);
            }
            "test strip through clear film".to_owned()
        }
        ProofCurve::Paper(paper, shift) => {
            if let Ok(analysed) = &paper.result {
                let (fit, curve) = (&analysed.fit, analysed.fit.curve.as_ref());
                let at = |x: f64| {
                    let (d, sd) = curve.density_and_sd(x);
                    let half = fit.quantile * sd;
                    ((x + shift, d), (x + shift, d - half, d + half))
                };
                let (line, band) = steps(curve.range()).map(at).unzip();
                panel.show(entry, [Layer::Band(band, BAND), Layer::Line(line, CURVE)]);
            }
            let name = paper.strip.labels.film.as_deref().unwrap_or("the paper");
            format!("{name}, setting {}, through clear film", paper.setting())
        }
    }
}

/// Adds the levels of the paper, the time found with its interval, and their values.
fn show_found(panel: &mut Panel, found: &ShortestBlack) {
    let (d_max, black) = (found.d_max.value, found.density);
    panel.show(key("maximum density"), [Layer::Across(vec![d_max], END)]);
    let entry = key("counts as black").with_detail("0.90 of net Dmax (ISO 6846)");
    panel.show(entry, [Layer::Across(vec![black], BLACK)]);
    for (name, d) in [("Dmax", d_max), ("black", black)] {
        panel.label(Label::new(d, format!("{name} {}", number(d, 2))).coloured(GREY));
    }
    let time = found.seconds;
    let [at, low, high] = [time.value, time.low, time.high].map(|s| log10(s.max(1e-3)));
    let entry = key(format!("shortest black {}", written(time.value)));
    let interval = format!("{} to {}", written(time.low), written(time.high));
    // From the foot of the plot, however far down that is, to the level of black.
    let (foot, top) = (-99.0, 99.0);
    let upright = Layer::free(move |plot, scene| {
        let foot = plot.y.domain.0;
        scene.shape(plot.line([(at, foot), (at, black)]), TIME);
    });
    panel.show_at(
        entry.with_detail(interval),
        [(0, Layer::Band(vec![(low, foot, top), (high, foot, top)], SHADE))],
    );
    panel.sample_of_last(&Layer::Upright(Vec::new(), TIME));
    let mark = Layer::Points(vec![(at, black)], Marker::Diamond, 5.0, FOUND);
    panel.show_at(None, [(3, upright), (7, mark)]);
    let words = written(time.value);
    panel.over(move |plot, scene| {
        let (x, y) = (plot.x.at(at), plot.area.bottom() - 14.0);
        let text = Text::new(&words, (x + 5.0, y), 12.5);
        let fits = x + 5.0 + text.width() < plot.area.right();
        scene.text(if fits {
            text
        } else {
            Text::new(&words, (x - 5.0, y), 12.5).anchored(Anchor::End)
        });
    });
}

fn description(found: Option<&ShortestBlack>) -> String {
    let words = "Reflection density through clear film over seconds of exposure.";
    match found {
        Some(f) => format!(
            "{words} Maximum density {}. Counts as black from {}. Shortest time that gives it: {}.",
            number(f.d_max.value, 2),
            number(f.density, 2),
            written(f.seconds.value)
        ),
        None => words.to_owned(),
    }
}

/// A time in words, to three digits or so.
fn written(seconds: f64) -> String {
    let decimals = match seconds {
        s if s < 10.0 => 2,
        s if s < 100.0 => 1,
        _ => 0,
    };
    format!("{} s", number(seconds, decimals))
}

/// Ticks at round times, as far as their labels have room: every halving or so.
fn seconds_ticks((from, to): (f64, f64), width: f64) -> Ticks {
    let unit = width / (to - from);
    let steps: &[f64] = if 0.3 * unit >= APART {
        &[1.0, 2.0, 3.0, 5.0, 7.0]
    } else if 0.45 * unit >= APART {
        &[1.0, 3.0]
    } else {
        &[1.0]
    };
    let decades = from.floor() as i32..=to.ceil() as i32;
    let inside = |x: &f64| (from..=to).contains(x);
    let mut major: Vec<(f64, String)> = Vec::new();
    for decade in decades.clone() {
        for step in steps {
            let x = log10(*step) + f64::from(decade);
            let clear = major.last().is_none_or(|(last, _)| (x - last) * unit >= APART);
            if inside(&x) && clear {
                let decimals = usize::try_from(-decade).unwrap_or(0);
                major.push((x, number(step * 10_f64.powi(decade), decimals)));
            }
        }
    }
    let minor = decades
        .flat_map(|d| (1..=9).map(move |k| log10(f64::from(k)) + f64::from(d)))
        .filter(inside)
        .collect();
    Ticks::named(major, minor)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_have_round_labels() {
        let ticks = seconds_ticks((0.4, 1.6), 500.0);
        let labels: Vec<String> = ticks.major.iter().map(|v| ticks.label(*v)).collect();
        assert_eq!(labels, ["3", "5", "7", "10", "20", "30"]);
        let wide = seconds_ticks((-1.2, 5.0), 500.0);
        let labels: Vec<String> = wide.major.iter().map(|v| wide.label(*v)).collect();
        assert_eq!(labels[..3], ["0.1", "0.3", "1"]);
    }
}
