//! One panel: its head, its limits, its strips.

use super::notes::onsets;
use crate::bath::control::{Chart, ChartSignal, Rule, Standing, Stretch};
use crate::figures::chart::{
    Axis, Label, Layer, Marker, NAME_COLOUR, Panel, Ticks, bounds, day_number, key, round_range,
};
use crate::figures::draw::{
    BLUE, GREEN, GREY, INK, Paint, Scene, Stroke, Text, VERMILLION, shortened, text_width,
};
use crate::words::{counted, number};

const NAME: f64 = 13.0;
const NAME_WIDTH: f64 = 180.0;
const STATE: f64 = 11.5;
/// Width of a plot and right end of what is written above it, about.
const WIDTH: f64 = 520.0;
const RIGHT: f64 = 700.0;
/// Most labels of broken rules that are tried for; beyond that nobody reads them.
const MOST: usize = 40;

/// The line from strip to strip.
const STRIPS: Stroke = Stroke::solid(GREY, 0.9);
const AVERAGE: Stroke = Stroke::solid(BLUE, 1.7);
const CENTRE: Stroke = Stroke::solid(INK, 0.8);
const LIMIT: Stroke = Stroke::solid(INK, 1.1).dashed(&[7.0, 4.0]);
const TOLERANCE: Stroke = Stroke::solid(GREEN, 1.5).dashed(&[2.0, 2.6]);
const CHANGE: Stroke = Stroke::solid(GREY, 1.0).dashed(&[9.0, 3.0, 2.0, 3.0]);
/// A strip that breaks a rule, and one beyond a limit or a tolerance.
const SIGNAL: Stroke = Stroke::solid(VERMILLION, 1.5);
const OUT: Paint = Paint::dot(VERMILLION);
const SIGNAL_RADIUS: f64 = 4.6;
const OUT_RADIUS: f64 = 4.2;

/// A break in a line.
const GAP: (f64, f64) = (f64::NAN, f64::NAN);

fn is_beyond(rule: Rule) -> bool {
    matches!(rule, Rule::AboveTolerance | Rule::BelowTolerance | Rule::BeyondThree)
}

/// Where the points of a chart stand on the axis of days: those of one day share it out evenly.
fn places(chart: &Chart) -> Vec<(f64, f64)> {
    let mut places = Vec::with_capacity(chart.points().len());
    for day in chart.points().chunk_by(|a, b| a.date == b.date) {
        let (start, share) = (day_number(day[0].date), 1.0 / day.len() as f64);
        let at = |n: usize| start + (n as f64 + 0.5) * share;
        places.extend(day.iter().enumerate().map(|(n, p)| (at(n), p.value)));
    }
    places
}

/// The panel of one chart; `listed` are the words that the legend has already.
pub(super) fn of(chart: &Chart, height: f64, listed: &mut Vec<&'static str>) -> Panel {
    let mut panel = Panel::of_height(height);
    let at = places(chart);
    let mut entry = |words: &'static str, shown: bool| {
        let new = shown && !listed.contains(&words);
        new.then(|| {
            listed.push(words);
            key(words)
        })
    };
    show_levels(&mut panel, chart, &at, &mut entry);
    // Where batches of strips change.
    let changes = chart.changes().iter();
    let changes: Vec<_> = changes.map(|c| (halfway(&at, c.at), c)).collect();
    panel.show(
        entry("new batch of strips", !changes.is_empty()),
        [Layer::Upright(changes.iter().map(|c| c.0).collect(), CHANGE)],
    );
    show_strips(&mut panel, chart, &at, &mut entry);
    let range = range(chart);
    panel.y = Axis::new(range, Ticks::nice(range, (height / 22.0).max(3.0) as usize), "");
    let from_top = |units: f64| range.1 - units / height * (range.1 - range.0);
    for (x, change) in changes {
        let new = if change.crossover.is_ok() { "" } else { ", new limits" };
        let down = (1..(height / 9.0) as u32).map(|n| (x, from_top(9.0 * f64::from(n))));
        let words = format!("batch {}{new}", change.to);
        panel.name_of_several(&words, down.collect(), 0.0, NAME_COLOUR);
    }
    let stretches = chart.stretches();
    for stretch in stretches.iter().rev().skip(1) {
        if let Some(control) = stretch.control.as_ref().ok().filter(|c| c.provisional) {
            let (from, to) = ends(&at, stretch);
            let middle = (0.5 * (from.max(at[0].0) + to.min(at[at.len() - 1].0)), control.upper);
            panel.name("provisional", middle, 0.0, NAME_COLOUR);
        }
    }
    for (index, rule, more) in onsets(chart).into_iter().take(MOST) {
        let more = if more > 0 { format!(" +{more}") } else { String::new() };
        panel.name(&format!("{}{more}", rule.short()), at[index], SIGNAL_RADIUS, INK);
    }
    label_levels(&mut panel, chart);
    panel
}

/// Between a point and the one before it.
fn halfway(at: &[(f64, f64)], n: usize) -> f64 {
    if n == 0 { at[0].0 } else { (at[n - 1].0 + at[n].0) / 2.0 }
}

/// The ends of a stretch: halfway after the last point before it, and before the first one after it.
fn ends(at: &[(f64, f64)], stretch: &Stretch) -> (f64, f64) {
    // Far enough for the edges of any plot.
    const FAR: f64 = 1e7;
    let (start, end) = (stretch.points.start, stretch.points.end);
    let from = if start == 0 { at[0].0 - FAR } else { halfway(at, start) };
    let to = if end == at.len() { at[end - 1].0 + FAR } else { halfway(at, end) };
    (from, to)
}

/// Limits, tolerances and centres of every stretch.
fn show_levels(
    panel: &mut Panel,
    chart: &Chart,
    at: &[(f64, f64)],
    entry: &mut impl FnMut(&'static str, bool) -> Option<crate::figures::chart::Entry>,
) {
    let (mut limits, mut tolerances, mut centres) = (Vec::new(), Vec::new(), Vec::new());
    for stretch in chart.stretches() {
        let (from, to) = ends(at, stretch);
        let (control, tolerance) = (stretch.control.as_ref().ok(), stretch.tolerance.as_ref());
        let line = |v: f64| [(from, v), (to, v), GAP];
        limits.extend(control.iter().flat_map(|c| [c.upper, c.lower]).flat_map(line));
        let own = tolerance.iter().flat_map(|t| [t.upper(), t.lower()]).flatten();
        tolerances.extend(own.flat_map(line));
        let centre = control.map(|c| c.centre).or(tolerance.map(|t| t.aim));
        centres.extend(centre.into_iter().flat_map(line));
    }
    let kinds = [
        ("centre or aim", centres, CENTRE),
        ("control limits", limits, LIMIT),
        ("tolerance", tolerances, TOLERANCE),
    ];
    for (words, lines, stroke) in kinds {
        let entry = entry(words, !lines.is_empty());
        panel.show_at(entry, [(2, Layer::Line(lines, stroke))]);
    }
}

/// The strips, their weighted average, and what breaks a rule.
fn show_strips(
    panel: &mut Panel,
    chart: &Chart,
    at: &[(f64, f64)],
    entry: &mut impl FnMut(&'static str, bool) -> Option<crate::figures::chart::Entry>,
) {
    let points = chart.points();
    let (mut line, mut average) = (Vec::new(), Vec::new());
    for stretch in chart.stretches() {
        line.extend(at[stretch.points.clone()].iter().copied().chain([GAP]));
        let averages = stretch.points.clone().filter_map(|n| Some((at[n].0, points[n].average?)));
        average.extend(averages.chain([GAP]));
    }
    // Marks are smaller where strips are crowded, and dots have no room there.
    let (dot, signal, out, ring) = match WIDTH / points.len() as f64 {
        s if s >= 5.0 => (2.3, SIGNAL_RADIUS, OUT_RADIUS, SIGNAL.width),
        s if s >= 2.5 => (1.5, 3.4, 3.2, 1.2),
        _ => (0.0, 2.0, 2.2, 0.9),
    };
    let dots = if dot > 0.0 { at.to_vec() } else { Vec::new() };
    let strips = entry("control strips", true);
    panel.show(
        strips,
        [Layer::Line(line, STRIPS), Layer::Points(dots, Marker::Circle, dot, Paint::filled(INK))],
    );
    let has_average = points.iter().any(|p| p.average.is_some());
    let mut shown = entry("weighted average", has_average);
    if let Some(entry) = &mut shown {
        entry.details.push(format!("weight λ = {}", number(chart.plan().weight, 2)));
    }
    let average = if has_average { average } else { Vec::new() };
    panel.show(shown, [Layer::Line(average, AVERAGE)]);
    let groups = chart.signals().chunk_by(|a, b| a.index == b.index);
    let (beyond, others): (Vec<_>, Vec<_>) =
        groups.partition(|s| s.iter().any(|s| is_beyond(s.rule)));
    let place = |of: Vec<&[ChartSignal]>| -> Vec<(f64, f64)> {
        of.into_iter().map(|s| at[s[0].index]).collect()
    };
    let (beyond, others) = (place(beyond), place(others));
    let rings = Paint::from(Stroke { width: ring, ..SIGNAL });
    let shown = entry("breaks another rule", !others.is_empty());
    panel.show_at(shown, [(7, Layer::Points(others, Marker::Circle, signal, rings))]);
    // Outlines of crowded marks would wipe out their neighbours.
    let paint = if dot > 0.0 { OUT } else { Paint::filled(VERMILLION) };
    let shown = entry("beyond a limit or tolerance", !beyond.is_empty());
    panel.show_at(shown, [(8, Layer::Points(beyond, Marker::Diamond, out, paint))]);
}

/// The range of values that a panel shows.
fn range(chart: &Chart) -> (f64, f64) {
    let limits = chart.stretches().iter().flat_map(|s| {
        let control = s.control.as_ref().ok();
        let laid_down = s.tolerance.as_ref();
        let own = [control.map(|c| c.lower), control.map(|c| c.upper)];
        let laid_down = laid_down.map_or([None; 3], |t| [t.lower(), t.upper(), Some(t.aim)]);
        own.into_iter().chain(laid_down).flatten()
    });
    let values = chart.points().iter().map(|p| p.value);
    let (low, high) = bounds(values.chain(limits)).unwrap_or((0.0, 1.0));
    let unit = 10f64.powi(-(chart.plan().decimals as i32));
    let least = (4.0 * unit).max(1e-6 * low.abs().max(high.abs()));
    round_range((low, high), least, 0.0)
}

/// The names of the lines of the last stretch, right of the panel.
fn label_levels(panel: &mut Panel, chart: &Chart) {
    let stretch = chart.last_stretch();
    let decimals = chart.plan().decimals;
    if let Ok(control) = &stretch.control {
        let kind = if control.provisional { "provisional limit" } else { "limit" };
        let fine = |v| number(v, decimals + 1);
        for at in [control.upper, control.lower] {
            panel.label(Label::new(at, format!("{kind} {}", fine(at))));
        }
        let centre = format!("centre {}", fine(control.centre));
        panel.label(Label::new(control.centre, centre).coloured(GREY));
    }
    if let Some(tolerance) = &stretch.tolerance {
        for at in [tolerance.upper(), tolerance.lower()].into_iter().flatten() {
            panel.label(Label::new(at, format!("tolerance {}", number(at, decimals))));
        }
        if stretch.control.is_err() {
            let aim = format!("aim {}", number(tolerance.aim, decimals));
            panel.label(Label::new(tolerance.aim, aim).coloured(GREY));
        }
    }
}

/// How the bath stands at the last strip, with the short name of the gravest rule.
fn state(chart: &Chart) -> String {
    let word = match chart.standing() {
        Err(why) => return why.to_string(),
        Ok(Standing::Steady) => return "steady".to_owned(),
        Ok(Standing::Watch) => "watch",
        Ok(Standing::Out) => "out",
    };
    let since = chart.since().filter(|date| *date < chart.last().date);
    let since = since.map_or_else(String::new, |date| format!(" (signals since {date})"));
    let rules = chart.last_signals();
    let gravest = rules.first().map_or("", |s| s.rule.short());
    let more = match rules.len() {
        0 | 1 => String::new(),
        n => format!(" and {}", counted(n - 1, "more rule")),
    };
    format!("{word}: {gravest}{more}{since}")
}

/// What stands above a panel: its name, the last value, how the bath stands.
pub(super) struct Head {
    name: String,
    last: String,
    standing: Option<Standing>,
    state: String,
}

impl Head {
    pub fn of(chart: &Chart) -> Self {
        let plan = chart.plan();
        Self {
            name: shortened(&plan.name, NAME, NAME_WIDTH).into_owned(),
            last: format!("last {}", number(chart.last().value, plan.decimals)),
            standing: chart.standing().ok(),
            state: state(chart),
        }
    }

    /// Writes it on a baseline.
    pub fn draw(&self, scene: &mut Scene, (left, y): (f64, f64)) {
        scene.text(Text::new(&self.name, (left, y), NAME));
        let mut x = left + text_width(&self.name, NAME) + 14.0;
        let last = Text::new(&self.last, (x, y), STATE).coloured(GREY);
        x += last.width() + 14.0;
        scene.text(last);
        let mark = [(x + 4.0, y - 0.36 * STATE)];
        match self.standing {
            Some(Standing::Out) => scene.shape(Marker::Diamond.path(mark, OUT_RADIUS), OUT),
            Some(Standing::Watch) => {
                scene.shape(Marker::Circle.path(mark, SIGNAL_RADIUS), SIGNAL);
            }
            Some(Standing::Steady) | None => x -= 14.0,
        }
        x += 14.0;
        scene.text(Text::new(shortened(&self.state, STATE, RIGHT - x), (x, y), STATE));
    }
}
