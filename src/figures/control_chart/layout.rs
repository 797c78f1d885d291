//! Where everything stands on the sheet.

use super::ControlChartFigure;
use super::events::Events;
use super::legend::{self, Row};
use crate::bath::control::Chart;
use crate::figures::chart::{Entry, Heading, Plot, Ticks, bounds, day_number, round_range};
use crate::figures::draw::Rect;

pub(super) const LEFT: f64 = 66.0;
const WIDTH: f64 = 660.0;
/// Room beside the panels for the names of the lines.
const GUTTER: f64 = 176.0;
/// Above a panel, for its name.
pub(super) const HEAD: f64 = 26.0;
const BETWEEN: f64 = 12.0;
/// Below the last panel, for the dates.
const AXIS: f64 = 50.0;
const BOTTOM: f64 = 18.0;
pub(super) const MOST_DATES: usize = 11;
/// Fewest days that the axis spans.
const LEAST_DAYS: f64 = 4.0;

/// Height of a panel, by their number.
const fn panel_height(count: usize) -> f64 {
    match count {
        0 | 1 => 300.0,
        2 => 220.0,
        3 => 170.0,
        4 => 145.0,
        _ => 118.0,
    }
}

/// One panel.
pub(super) struct Panel {
    pub plot: Plot,
    pub y_ticks: Ticks,
    /// Positions of the chart's points on the page.
    pub at: Vec<(f64, f64)>,
    /// Baseline of its head.
    pub head: f64,
}

/// The sheet.
pub(super) struct Page {
    pub width: f64,
    pub height: f64,
    pub panels: Vec<Panel>,
    /// Where the legend begins.
    pub foot: f64,
    /// The legend's entries in rows.
    pub legend: Vec<Row>,
}

/// The days that the axis spans, as day numbers.
pub(super) fn days(figure: &ControlChartFigure) -> (f64, f64) {
    let ends = |chart: &Chart| {
        let points = chart.points();
        [points[0].date, points[points.len() - 1].date]
    };
    let dates = figure.charts.iter().flat_map(ends);
    let all = dates.chain(figure.marks.iter().map(|m| m.date));
    let (first, last) = bounds(all.map(day_number)).unwrap_or((0.0, 0.0));
    let span = last + 1.0 - first;
    let room = (LEAST_DAYS - span).max(0.02 * span) / 2.0;
    (first - room, last + 1.0 + room)
}

/// Where the points of a chart stand on the axis of days: those of one day share it out evenly.
fn places(chart: &Chart) -> Vec<f64> {
    let mut places = Vec::with_capacity(chart.points().len());
    for day in chart.points().chunk_by(|a, b| a.date == b.date) {
        let (start, share) = (day_number(day[0].date), 1.0 / day.len() as f64);
        places.extend((0..day.len()).map(|n| start + (n as f64 + 0.5) * share));
    }
    places
}

/// The range of values that a panel shows.
fn range(chart: &Chart) -> (f64, f64) {
    let limits = chart.stretches().iter().flat_map(|s| {
        let control = s.control.as_ref().ok();
        let tolerance = s.tolerance.as_ref();
        let own = [control.map(|c| c.lower), control.map(|c| c.upper)];
        let laid_down = tolerance.map_or([None; 3], |t| [t.lower(), t.upper(), Some(t.aim)]);
        own.into_iter().chain(laid_down).flatten()
    });
    let values = chart.points().iter().map(|p| p.value);
    let (low, high) = bounds(values.chain(limits)).unwrap_or((0.0, 1.0));
    let unit = 10f64.powi(-(chart.plan().decimals as i32));
    let least = (4.0 * unit).max(1e-6 * low.abs().max(high.abs()));
    round_range((low, high), least, 0.0)
}

impl Page {
    pub fn new(
        figure: &ControlChartFigure,
        heading: &Heading,
        days: (f64, f64),
        events: &Events,
        (entries, notes): (&[Entry], &[String]),
    ) -> Self {
        let mut y = heading.height() + 4.0;
        let height = panel_height(figure.charts.len());
        let mut panels = Vec::with_capacity(figure.charts.len());
        for (n, chart) in figure.charts.iter().enumerate() {
            let head = y + 0.65 * HEAD;
            let lane = if n == 0 { events.lane() } else { 0.0 };
            let area = Rect { x: LEFT, y: y + HEAD + lane, width: WIDTH, height };
            let plot = Plot::new(area, days, range(chart));
            let values = chart.points().iter().map(|p| p.value);
            let at = places(chart).into_iter().zip(values);
            panels.push(Panel {
                at: at.map(|p| plot.at(p)).collect(),
                y_ticks: Ticks::nice(plot.y.domain, (height / 24.0) as usize),
                plot,
                head,
            });
            y = area.bottom() + BETWEEN;
        }
        let foot = if panels.is_empty() { y + 16.0 } else { y - BETWEEN + AXIS };
        let width = LEFT + WIDTH + GUTTER;
        let legend = legend::rows(entries, width - LEFT - 20.0);
        let below = legend::height(&legend, notes.len());
        Self { width, height: (foot + below + BOTTOM).ceil(), panels, foot, legend }
    }

    /// Where a day stands on the page.
    pub fn across(days: (f64, f64), day: f64) -> f64 {
        LEFT + (day - days.0) / (days.1 - days.0) * WIDTH
    }

    /// Width that the words below the panels may take.
    pub const fn text_width() -> f64 {
        WIDTH + GUTTER - 20.0
    }

    /// Right end of what may be written beside or above a panel.
    pub const fn right() -> f64 {
        LEFT + WIDTH + GUTTER - 8.0
    }
}
