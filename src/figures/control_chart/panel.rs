//! One panel: its head, its limits, its strips.

use super::draw::{
    AVERAGE, CENTRE, CHANGE, DOT, LIMIT, OUT, OUT_RADIUS, SIGNAL, SIGNAL_RADIUS, STRIPS, Sizes,
    TOLERANCE,
};
use super::layout::{Page, Panel};
use super::{gutter, labels};
use crate::bath::control::{Chart, ChartSignal, Rule, Standing, Stretch};
use crate::figures::chart::thin;
use crate::figures::chart::{DateTicks, Marker};
use crate::figures::draw::{GREY, Path, Scene, Stroke, Text, shortened, text_width};
use crate::words::number;

const NAME: f64 = 13.5;
const NAME_WIDTH: f64 = 220.0;
const STATE: f64 = 11.5;

/// The horizontal lines of one stretch, on the page.
pub(super) struct Edge {
    /// All of them: the control limits first, the centre last.
    pub lines: Vec<[(f64, f64); 2]>,
    limits: usize,
    tolerances: usize,
}

/// The lines of every stretch: from halfway after the last point before it to halfway before the
/// first one after it.
pub(super) fn edges(chart: &Chart, panel: &Panel) -> Vec<Edge> {
    let area = panel.plot.area;
    let halfway = |n: usize| (panel.at[n - 1].0 + panel.at[n].0) / 2.0;
    let of = |stretch: &Stretch| {
        let (start, end) = (stretch.points.start, stretch.points.end);
        let from = if start == 0 { area.x } else { halfway(start) };
        let to = if end == panel.at.len() { area.right() } else { halfway(end) };
        let (control, tolerance) = (stretch.control.as_ref().ok(), stretch.tolerance);
        let limits: Vec<f64> = control.map_or(Vec::new(), |c| vec![c.upper, c.lower]);
        let tolerances: Vec<f64> =
            tolerance.iter().flat_map(|t| [t.upper(), t.lower()].into_iter().flatten()).collect();
        let centre = control.map(|c| c.centre).or(tolerance.map(|t| t.aim));
        let counts = (limits.len(), tolerances.len());
        let all = limits.into_iter().chain(tolerances).chain(centre);
        let line = |v: f64| [(from, panel.plot.y.at(v)), (to, panel.plot.y.at(v))];
        Edge { lines: all.map(line).collect(), limits: counts.0, tolerances: counts.1 }
    };
    chart.stretches().iter().map(of).collect()
}

/// Where batches of strips change: position across, the new batch, and whether it is tied.
pub(super) fn changes<'a>(chart: &'a Chart, panel: &Panel) -> Vec<(f64, &'a str, bool)> {
    let place = |at: usize| match at {
        0 => panel.at[0].0,
        n => (panel.at[n - 1].0 + panel.at[n].0) / 2.0,
    };
    let changes = chart.changes().iter();
    changes.map(|c| (place(c.at), c.to.as_str(), c.crossover.is_ok())).collect()
}

/// The head, the grid and the frame with its axis.
pub(super) fn draw(scene: &mut Scene, chart: &Chart, panel: &Panel, dates: &DateTicks) {
    let (plot, plan) = (&panel.plot, chart.plan());
    let name = shortened(&plan.name, NAME, NAME_WIDTH);
    let left = plot.area.x;
    let mut used = text_width(&name, NAME) + 14.0;
    scene.text(Text::new(name, (left, panel.head), NAME));
    let last = format!("last {}", number(chart.last().value, plan.decimals));
    let text = Text::new(&last, (left + used, panel.head), STATE).coloured(GREY);
    used += text.width() + 14.0;
    scene.text(text);
    let mark = (left + used + 4.0, panel.head - 0.36 * STATE);
    match chart.standing() {
        Ok(Standing::Out) => scene.shape(Marker::Diamond.path([mark], OUT_RADIUS), OUT),
        Ok(Standing::Watch) => scene.shape(Marker::Circle.path([mark], SIGNAL_RADIUS), SIGNAL),
        Ok(Standing::Steady) | Err(_) => used -= 14.0,
    }
    used += 14.0;
    let state = chart.state().to_string();
    let state = shortened(&state, STATE, Page::right() - left - used);
    scene.text(Text::new(state, (left + used, panel.head), STATE));

    plot.draw_grid(scene, &dates.ticks, &panel.y_ticks);
    plot.draw_left_axis(scene, &panel.y_ticks, "");
    gutter::draw(scene, chart, plot);
}

/// Limits, strips, weighted average, and what breaks a rule.
pub(super) fn draw_data(scene: &mut Scene, chart: &Chart, panel: &Panel) {
    let plot = &panel.plot;
    let points = chart.points();
    let sizes = Sizes::of(plot.area.width / points.len() as f64);
    let mut line = Vec::new();
    let mut average = Vec::new();
    for stretch in chart.stretches() {
        let gap = (f64::NAN, f64::NAN);
        let places = stretch.points.clone();
        line.extend(thin::line(panel.at[places.clone()].iter().copied()));
        line.push(gap);
        let averages = places.filter_map(|n| {
            let z = points[n].average?;
            Some((panel.at[n].0, plot.y.at(z)))
        });
        average.extend(thin::line(averages));
        average.push(gap);
    }
    scene.clipped(plot.area, |scene| {
        draw_limits(scene, chart, panel);
        scene.shape(Path::line(line.iter().copied()), STRIPS);
        scene.shape(Path::line(average.iter().copied()), AVERAGE);
        if let Some(radius) = sizes.dot {
            scene.shape(Marker::Circle.path(panel.at.iter().copied(), radius), DOT);
        }
    });
    plot.draw_frame(scene);
    draw_signals(scene, chart, panel, &sizes);
    labels::draw(scene, chart, panel, (&line, &average), &sizes);
}

fn draw_limits(scene: &mut Scene, chart: &Chart, panel: &Panel) {
    let mut paths: [(Path, Stroke); 3] = [LIMIT, TOLERANCE, CENTRE].map(|s| (Path::default(), s));
    for edge in edges(chart, panel) {
        for (n, line) in edge.lines.into_iter().enumerate() {
            let kind = match n {
                n if n < edge.limits => 0,
                n if n < edge.limits + edge.tolerances => 1,
                _ => 2,
            };
            paths[kind].0.add_line(line);
        }
    }
    for (path, stroke) in paths {
        scene.shape(path, stroke);
    }
    let area = panel.plot.area;
    let mut lines = Path::default();
    for (x, _, _) in changes(chart, panel) {
        lines.add_line([(x, area.y), (x, area.bottom())]);
    }
    scene.shape(lines, CHANGE);
}

/// Every strip that breaks a rule, those beyond a limit or a tolerance on top.
fn draw_signals(scene: &mut Scene, chart: &Chart, panel: &Panel, sizes: &Sizes) {
    let beyond =
        |r: Rule| matches!(r, Rule::AboveTolerance | Rule::BelowTolerance | Rule::BeyondThree);
    let places = chart.signals().chunk_by(|a, b| a.index == b.index);
    let (out, other): (Vec<_>, Vec<_>) = places.partition(|s| s.iter().any(|s| beyond(s.rule)));
    let at = |of: Vec<&[ChartSignal]>| thin::marks(of.into_iter().map(|s| panel.at[s[0].index]));
    let rings = Marker::Circle.path(at(other), sizes.signal);
    scene.shape(rings, sizes.signal_paint);
    scene.shape(Marker::Diamond.path(at(out), sizes.out), sizes.out_paint);
}
