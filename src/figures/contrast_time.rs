//! Contrast and exposure index over development time: the strips, the fitted growth, and the times
//! that the aims need.

mod indices;
mod temperatures;

use super::chart::{
    Axis, Chart, Label, Layer, Marker, NAME_COLOUR, Panel, Ticks, bounds, key, round_range,
};
use super::curves::{BAND, CURVE};
use super::draw::{AMBER, GREY, INK, Paint, Path, Stroke};
use crate::development::aim::development_label;
use crate::development::file::PairingFile;
use crate::development::{Adjusted, Pairing, Wanted};
use crate::elementary::{exp, log10, pow};
use crate::measures::{Quantity, StripAnalysis};
use crate::words::{counted, degrees, number, rounded_clock, trimmed};
use indices::written;
use temperatures::Temperatures;

/// Points along a curve.
const POINTS: u32 = 120;
/// Heights of the plots.
const CONTRAST: f64 = 350.0;
const INDEX: f64 = 190.0;
/// Smallest ranges of times in minutes and of contrasts.
const LEAST: (f64, f64) = (4.0, 0.2);
/// An asymptote farther above the rest than this share of it does not widen the axis.
const ASYMPTOTE_SHARE: f64 = 0.6;
/// With more strips than this, names would only be in the way.
const MOST_NAMES: usize = 30;
/// Radius of a strip's mark.
const STRIP: f64 = 4.4;

const ASYMPTOTE: Stroke = Stroke::solid(GREY, 1.2).dashed(&[9.0, 4.5]);
const AIM: Stroke = Stroke::solid(GREY, 0.9);
const DROP: Stroke = Stroke::solid(GREY, 0.9).dashed(&[2.5, 2.5]);
const ISO: Stroke = Stroke::solid(AMBER, 1.3).dashed(&[9.0, 3.0, 2.0, 3.0]);

/// A contrast that is wanted, with its time.
struct Aim {
    label: String,
    contrast: f64,
    found: Option<Adjusted>,
}

impl Aim {
    fn minutes(&self) -> Option<f64> {
        Some(self.found.as_ref()?.minutes.value)
    }
}

/// One strip in the figure.
struct Developed<'a> {
    strip: &'a StripAnalysis,
    /// Effective development: minutes at the reference temperature.
    minutes: f64,
    celsius: f64,
    contrast: Option<Quantity>,
    exposure_index: Option<Quantity>,
}

/// The figure of a pairing: contrast over time with the aims of its file, and where exposures are in
/// lux seconds the exposure index over the same time.
#[must_use]
pub fn contrast_time(file: &PairingFile, pairing: &Pairing) -> Chart {
    let measure = file.aims.measure;
    let strips = developed(file, pairing);
    let aims = aims(file, pairing);
    let groups = Temperatures::of(strips.iter().map(|s| s.celsius), pairing.reference.get());
    let mut contrast = contrast_panel(file, pairing, &strips, &aims, &groups);
    let times = contrast.across().into_iter().flat_map(|(from, to)| [from, to]);
    let times = times.chain(aims.iter().filter_map(Aim::minutes));
    let x = round_range(bounds(times).unwrap_or((1.0, 15.0)), LEAST.0, 0.6);
    let iso = pairing.iso_speed().ok().filter(|_| pairing.absolute);
    let mut panels = Vec::new();
    if let Some(iso) = &iso {
        let upright = Layer::Upright(vec![iso.minutes.value], ISO);
        let standard =
            iso.standard.map(|s| format!("ISO {}/{}°", trimmed(s.arithmetic, 2), s.degrees));
        let entry = key(format!("contrast of ISO 6: {}", rounded_clock(iso.minutes.value)));
        let speed = format!("speed there {}", written(iso.speed.value));
        let speed = standard.map_or_else(|| speed.clone(), |s| format!("{speed}, {s}"));
        contrast.show(entry.with_detail(speed), [upright]);
    }
    panels.push(contrast);
    if pairing.absolute {
        let mut index = index_panel(pairing, &strips, &aims, &groups);
        if let Some(iso) = &iso {
            let (at, speed) = (iso.minutes.value, log10(iso.speed.value));
            let mark = Layer::Points(vec![(at, speed)], Marker::Diamond, 5.0, Paint::dot(AMBER));
            index.show(None, [Layer::Upright(vec![at], ISO), mark]);
            let label = Label::new(speed, "ISO speed").with(written(iso.speed.value), AMBER);
            index.label(Label { from: Some(at), ..label.coloured(AMBER) });
        }
        panels.push(index);
    }
    let name = measure.name();
    let capital: String = name.chars().take(1).flat_map(char::to_uppercase).collect();
    let both = if pairing.absolute { " and exposure index" } else { "" };
    let strips_in_words = counted(pairing.strips.len(), "strip");
    let mut chart = Chart {
        title: format!("{capital}{}{both} against development", &name[capital.len()..]),
        subtitle: Some(format!("{}, {strips_in_words}", file.name)),
        description: description(name, &strips, &aims),
        x: Axis::new(
            x,
            Ticks::nice(x, 9),
            format!("effective development (minutes at {})", degrees(pairing.reference.get())),
        ),
        panels,
        ..Chart::default()
    };
    chart.or_say("no strips");
    chart
}

fn developed<'a>(file: &PairingFile, pairing: &'a Pairing) -> Vec<Developed<'a>> {
    let of = |strip: &'a StripAnalysis| {
        let measures = &strip.result.as_ref().ok()?.measures;
        let (minutes, celsius) = (strip.strip.minutes?, strip.strip.celsius?);
        Some(Developed {
            strip,
            minutes: minutes.get() * pairing.law().rate(celsius),
            celsius: celsius.get(),
            contrast: file.aims.measure.of(measures).as_ref().ok().copied(),
            exposure_index: measures.iso.speed.as_ref().ok().copied(),
        })
    };
    pairing.strips.iter().filter_map(of).collect()
}

/// The aims of the file, each with its time at the reference temperature.
fn aims(file: &PairingFile, pairing: &Pairing) -> Vec<Aim> {
    let aim = |stops: &f64| {
        let contrast = file.aims.printing.contrast(*stops)?;
        let wanted = Wanted {
            measure: file.aims.measure,
            contrast,
            celsius: pairing.reference,
            activity: 1.0,
            extrapolate: false,
        };
        let label = development_label(*stops).unwrap_or_else(|| format!("{stops} stops"));
        Some(Aim { label, contrast, found: pairing.adjust(&wanted).ok() })
    };
    file.aims.scene_stops.iter().filter_map(aim).collect()
}

/// The farthest time of the aims, or `least`.
fn farthest(aims: &[Aim], least: f64) -> f64 {
    aims.iter().filter_map(Aim::minutes).fold(least, f64::max)
}

fn contrast_panel(
    file: &PairingFile,
    pairing: &Pairing,
    strips: &[Developed<'_>],
    aims: &[Aim],
    groups: &Temperatures,
) -> Panel {
    let mut panel = Panel::of_height(CONTRAST);
    let marks = strips.iter().filter_map(|s| Some((s.celsius, s.minutes, s.contrast?)));
    groups.show(&mut panel, marks, true);
    let growth = pairing.growth(file.aims.measure);
    if let Some(growth) = growth {
        let (low, high) = growth.range();
        let ends = (0.8 * low, farthest(aims, 1.2 * high));
        let value = |theta: f64| Some(growth.quantity(theta));
        show_curve(&mut panel, ends, value);
    }
    if strips.len() <= MOST_NAMES {
        for strip in strips {
            if let Some(q) = strip.contrast {
                let name = &strip.strip.strip.name;
                panel.name(name, (strip.minutes, q.value), STRIP, NAME_COLOUR);
            }
        }
    }
    show_aims(&mut panel, aims);
    let (low, high) = panel.up_with_intervals(LEAST.1).unwrap_or((0.4, 0.8));
    let mut range = (low.max(panel.up().map_or(0.0, |(low, _)| low.min(0.0))), high);
    if let Some(asymptote) = growth.filter(|g| g.ceiling_known).map(|g| exp(g.parameters[0])) {
        if asymptote <= high + ASYMPTOTE_SHARE * high.abs() {
            range = (low.min(asymptote), high.max(asymptote));
        }
        let range = round_range(range, LEAST.1, 0.4);
        let inside = (range.0..=range.1).contains(&asymptote);
        let entry = key(format!("asymptote {}", number(asymptote, 2)));
        let words = if inside { "approached, never reached" } else { "beyond the axis" };
        panel.show(entry.with_detail(words), [Layer::Across(vec![asymptote], ASYMPTOTE)]);
    }
    let range = round_range(range, LEAST.1, 0.4);
    panel.y = Axis::new(range, Ticks::nice(range, 9), file.aims.measure.name());
    panel
}

/// Adds a fitted curve with its interval, at equal steps of log time.
fn show_curve(panel: &mut Panel, (low, high): (f64, f64), value: impl Fn(f64) -> Option<Quantity>) {
    let at = |k: u32| low * pow(high / low, f64::from(k) / f64::from(POINTS));
    let points = (0..=POINTS).map(at).filter_map(|minutes| Some((minutes, value(minutes)?)));
    let (line, band) = points.map(|(x, q)| ((x, q.value), (x, q.low, q.high))).unzip();
    let layers = [Layer::Band(band, BAND), Layer::Line(line, CURVE)];
    let entry = key("fitted curve").with_detail("with its 95 % interval");
    panel.show(entry, layers);
}

/// The aims: lines to the curve and down to their times, labels in the margin.
fn show_aims(panel: &mut Panel, aims: &[Aim]) {
    let levels = aims.iter().map(|aim| aim.contrast).collect();
    let entry = key("aim, down to its time").with_detail("contrast and min:s at the right");
    panel.show(entry, [Layer::Across(levels, AIM)]);
    let met: Vec<(f64, f64)> =
        aims.iter().filter_map(|aim| Some((aim.minutes()?, aim.contrast))).collect();
    let drops = met.clone();
    panel.show(
        None,
        [
            Layer::free(move |plot, scene| {
                let mut path = Path::default();
                for (x, y) in drops.iter().map(|p| plot.at(*p)) {
                    path.add_line([(x, y), (x, plot.area.bottom())]);
                }
                scene.shape(path, DROP);
            }),
            Layer::Points(met, Marker::Circle, 2.9, Paint::dot(INK)),
        ],
    );
    for aim in aims {
        let time = aim.minutes().map_or_else(|| "not reached".to_owned(), rounded_clock);
        let label = Label::new(aim.contrast, &aim.label);
        panel.label(label.with(number(aim.contrast, 2), GREY).with(time, INK));
    }
}

/// The exposure index over the same time, on a scale of logarithms.
fn index_panel(
    pairing: &Pairing,
    strips: &[Developed<'_>],
    aims: &[Aim],
    groups: &Temperatures,
) -> Panel {
    let mut panel = Panel::of_height(INDEX);
    let logs = |q: Quantity| Quantity {
        value: log10(q.value),
        low: log10(q.low.max(1e-3)),
        high: log10(q.high.max(1e-3)),
    };
    let marks = strips.iter().filter_map(|s| Some((s.celsius, s.minutes, logs(s.exposure_index?))));
    groups.show(&mut panel, marks, false);
    let (low, high) = pairing.law().range();
    let value = |theta| pairing.exposure_index(theta).map(logs);
    show_curve(&mut panel, (low, farthest(aims, high)), value);
    // The entries of the upper panel stand for both.
    panel.forget_entries();
    let found: Vec<(f64, f64, &str)> = aims
        .iter()
        .filter_map(|aim| {
            let found = aim.found.as_ref()?;
            Some((found.minutes.value, found.exposure_index?.value, aim.label.as_str()))
        })
        .collect();
    for (_, index, label) in &found {
        panel.label(Label::new(log10(*index), *label).with(written(*index), INK));
    }
    let points = found.iter().map(|(x, index, _)| (*x, log10(*index))).collect();
    let uprights = found.iter().map(|(x, ..)| *x).collect();
    panel.show(
        None,
        [
            Layer::Upright(uprights, DROP),
            Layer::Points(points, Marker::Circle, 2.9, Paint::dot(INK)),
        ],
    );
    let range = indices::range(panel.up_with_intervals(0.4).unwrap_or((1.9, 2.3)));
    panel.y = Axis::new(range, indices::ticks(range, INDEX), "exposure index");
    panel
}

/// The figure in words.
fn description(measure: &str, strips: &[Developed<'_>], aims: &[Aim]) -> String {
    let mut words = format!("Growth of {measure} with development time.");
    for strip in strips {
        let Some(contrast) = strip.contrast else { continue };
        let index = strip
            .exposure_index
            .map_or_else(String::new, |q| format!(", exposure index {}", written(q.value)));
        words.push_str(&format!(
            " {}: {}{index} after {} minutes.",
            strip.strip.strip.name,
            number(contrast.value, 2),
            number(strip.minutes, 1)
        ));
    }
    for aim in aims {
        let time = match aim.minutes().map(rounded_clock) {
            Some(time) => format!("needs {time}"),
            None => "is not reached".to_owned(),
        };
        let contrast = number(aim.contrast, 2);
        words.push_str(&format!(" Aim {}, {measure} {contrast}, {time}.", aim.label));
    }
    words
}
