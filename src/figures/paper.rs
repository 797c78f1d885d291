//! The curve of a printing paper: reflection density over log exposure, on equal scales, with the
//! points of ISO 6846.

use super::chart::{Axis, Chart, Label, Layer, Marker, Panel, Ticks, interval_bar, key};
use super::curves::{LISTED, Named, Shown, exposure_title, show_together};
use super::draw::{GREY, INK, Paint, Path, Stroke, Text, WHITE};
use crate::measures::Measured;
use crate::printing::iso_6846::{HIGHLIGHT, SPEED};
use crate::printing::{PaperStrip, name};
use crate::words::{counted, number, speed_decimals};

/// Smallest ranges across and up.
const LEAST: (f64, f64) = (1.8, 1.6);
/// Largest plot in page units.
const MOST: (f64, f64) = (560.0, 480.0);
/// Room at the left edge for the marks of the unexposed paper, in log exposure.
const UNEXPOSED_ROOM: f64 = 0.15;
/// Room above the curves, in density; more where the bar of the range stands there.
const ABOVE: (f64, f64) = (0.12, 0.32);
/// From the top of the plot to the bar of the range.
const BAR: f64 = 26.0;
const POINT: f64 = 4.4;

const END: Stroke = Stroke::solid(GREY, 1.1).dashed(&[6.0, 3.5]);
const LEADER: Stroke = Stroke::solid(INK, 0.9).dashed(&[2.0, 2.5]);
const FILLED: Paint = Paint { fill: Some((INK, 1.0)), stroke: Some(Stroke::solid(WHITE, 1.2)) };

fn value<W>(measure: &Measured<W>) -> Option<f64> {
    measure.as_ref().ok().map(|q| q.value)
}

/// Highlight, speed and shadow point.
fn points(paper: &PaperStrip) -> [Option<(f64, f64)>; 3] {
    let Ok(analysed) = &paper.result else { return [None; 3] };
    let m = &analysed.measures;
    let net = |x: &Measured<_>, above: f64| Some((value(x)?, value(&m.d_min)? + above));
    let shadow = value(&m.shadow).zip(value(&m.shadow_density));
    [net(&m.highlight, HIGHLIGHT), net(&m.speed_point, SPEED), shadow]
}

fn range_r(paper: &PaperStrip) -> Option<f64> {
    value(&paper.result.as_ref().ok()?.measures.range_r)
}

fn named_setting(paper: &PaperStrip) -> String {
    match &paper.strip.labels.filter {
        Some(filter) => format!("setting {filter}"),
        None => paper.strip.name.clone(),
    }
}

/// The figure of one strip of paper, or of several.
#[must_use]
pub fn paper_curves(papers: &[PaperStrip]) -> Chart {
    let mut panel = Panel::default();
    match papers {
        [only] => show(&mut panel, only),
        several => {
            let named = |paper: &PaperStrip| Named {
                shown: Shown::of(paper),
                name: named_setting(paper),
                detail: range_r(paper).map(|r| format!("range R {}", number(r, 0))),
                // Papers of one name end at one density.
                end: None,
                points: {
                    let [highlight, _, shadow] = points(paper);
                    highlight.into_iter().chain(shadow).collect()
                },
            };
            let named = several.iter().map(named).collect();
            show_together(&mut panel, named, "highlight, shadow point", "unexposed paper");
        }
    }
    let (x, y) = ranges(&panel, papers);
    let unit = (MOST.0 / (x.1 - x.0)).min(MOST.1 / (y.1 - y.0));
    // Labels half a unit apart need some forty page units.
    let ticks = |range| {
        if 0.5 * unit < 40.0 { Ticks::nice(range, 6) } else { Ticks::every(range, 0.5, 5) }
    };
    panel.y = Axis::new(y, ticks(y), "reflection density");
    let title = match name(papers) {
        Some(name) if papers.len() == 1 => format!("Curve of the paper {name}"),
        Some(name) => format!("Curves of the paper {name}"),
        None => "Curves of a printing paper".to_owned(),
    };
    let date = papers.first().and_then(|p| p.strip.labels.date.clone());
    let settings = match papers {
        [] => None,
        [only] => Some(named_setting(only)),
        several => Some(counted(several.len(), "setting")),
    };
    let subtitle: Vec<String> = settings.into_iter().chain(date).collect();
    let exposure = exposure_title(papers.iter().map(|p| &p.strip));
    let mut chart = Chart {
        title,
        subtitle: (!subtitle.is_empty()).then(|| subtitle.join(", ")),
        description: description(papers, exposure),
        x: Axis::new(x, ticks(x), exposure),
        panels: vec![panel],
        equal_scales: Some(MOST.1),
        ..Chart::default()
    };
    chart.or_say("no strips");
    chart
}

/// Adds the one strip of a figure with all that its measures rest on.
fn show(panel: &mut Panel, paper: &PaperStrip) {
    Shown::of(paper).show_alone(panel, "unexposed paper");
    let Ok(analysed) = &paper.result else { return };
    let m = &analysed.measures;
    let ends = [("Dmin", value(&m.d_min)), ("Dmax", value(&m.d_max))];
    for (name, end) in ends {
        if let Some(end) = end {
            panel.label(Label::new(end, format!("{name} {}", number(end, 2))).coloured(GREY));
        }
    }
    let levels = ends.into_iter().filter_map(|(_, end)| end).collect();
    panel.show(key("minimum, maximum density"), [Layer::Across(levels, END)]);
    let all = points(paper);
    let kinds = [
        ("highlight point T", "0.04 above Dmin", Marker::TriangleUp),
        ("speed point m", "0.60 above Dmin", Marker::Diamond),
        ("shadow point S", "0.90 of net Dmax", Marker::Square),
    ];
    for (point, (name, detail, marker)) in all.into_iter().zip(kinds) {
        if let Some((x, y)) = point {
            let entry = key(format!("{name} {}", number(x, 2))).with_detail(detail);
            panel.show_at(entry, [(7, Layer::Points(vec![(x, y)], marker, POINT, FILLED))]);
        }
    }
    if let (Some(r), [Some(from), _, Some(to)]) = (value(&m.range_r), all) {
        show_range(panel, r, from, to);
    }
    if let Some(speed) = value(&m.speed_p) {
        panel.entry(key(format!("paper speed P {}", number(speed, speed_decimals(speed)))));
    }
}

/// Range R as a bar above the curve, between its two points.
fn show_range(panel: &mut Panel, r: f64, from: (f64, f64), to: (f64, f64)) {
    let bar = Stroke::solid(INK, 1.2);
    panel.show(
        None,
        [Layer::free(move |plot, scene| {
            let top = plot.area.y + BAR;
            for (x, y) in [from, to].map(|p| plot.at(p)) {
                scene.shape(Path::line([(x, y), (x, top)]), LEADER);
            }
            scene.shape(interval_bar((plot.x.at(from.0), top), (plot.x.at(to.0), top)), bar);
        })],
    );
    let words = format!("R {}", number(r, 0));
    panel.over(move |plot, scene| {
        let middle = (plot.x.at(0.5 * (from.0 + to.0)), plot.area.y + BAR - 6.0);
        scene.text(Text::new(&words, middle, 12.5).middle());
    });
    let entry = format!("range R {}", number(r, 0));
    panel.sample(&entry, &Layer::Across(Vec::new(), bar));
    panel.detail("100 × log exposure, T to S");
}

/// Ranges that show every strip with a small margin, ending on tenths.
fn ranges(panel: &Panel, papers: &[PaperStrip]) -> ((f64, f64), (f64, f64)) {
    let (mut left, right) = panel.across().unwrap_or((0.0, 0.0));
    let (lowest, highest) = panel.up().unwrap_or((0.0, 0.0));
    if papers.iter().any(|p| !p.strip.unexposed.is_empty()) {
        left -= UNEXPOSED_ROOM;
    }
    let room = if papers.len() == 1 { ABOVE.1 } else { ABOVE.0 };
    let below = |v: f64| (v * 10.0).floor() / 10.0;
    let above = |v: f64| (v * 10.0).ceil() / 10.0;
    let bottom = if lowest < 0.0 { below(lowest - 0.05) } else { 0.0 };
    let x = (below(left - 0.05), above(right + 0.05));
    let lacking = (LEAST.0 - (x.1 - x.0)).max(0.0) / 2.0;
    ((x.0 - lacking, x.1 + lacking), (bottom, above(highest + room).max(bottom + LEAST.1)))
}

/// The figure in words.
fn description(papers: &[PaperStrip], exposure: &str) -> String {
    let mut words = format!("Reflection density over {exposure}, equal scales.");
    for paper in papers.iter().take(LISTED) {
        let strip = &paper.strip;
        let readings = counted(strip.readings.len() + strip.unexposed.len(), "reading");
        words.push_str(&format!(" {}: {readings}", named_setting(paper)));
        if let Ok(analysed) = &paper.result {
            let m = &analysed.measures;
            let values = [
                ("minimum density", &m.d_min, 2),
                ("maximum density", &m.d_max, 2),
                ("range R", &m.range_r, 0),
                ("speed P", &m.speed_p, 0),
            ];
            for (name, measure, decimals) in values {
                if let Some(value) = value(measure) {
                    words.push_str(&format!(", {name} {}", number(value, decimals)));
                }
            }
        }
        words.push('.');
    }
    let unlisted = papers.len().saturating_sub(LISTED);
    if unlisted > 0 {
        words.push_str(&format!(" And {unlisted} more."));
    }
    words
}
