//! Control charts of a bath: a page of panels, one a quantity, over one axis of dates.

mod events;
mod notes;
mod panel;

use super::chart::{Axis, Chart as Page, DateTicks, Layer, bounds, day_number, plot_width};
use super::draw::{RULE, Stroke};
use crate::bath::control::Chart;
use crate::words::number;
use events::Events;
use jiff::civil::Date;
use std::rc::Rc;

const MOST_DATES: usize = 9;
/// Fewest days that the axis spans.
const LEAST_DAYS: f64 = 4.0;
/// Above a panel, for its name.
const HEAD: f64 = 22.0;

/// Something that happened to the bath: "mixed", "replenished", "discarded".
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// When.
    pub date: Date,
    /// What, in one word or two.
    pub text: String,
}

/// Height of a panel, by their number: seven of them print on one page.
const fn panel_height(count: usize) -> f64 {
    match count {
        0 | 1 => 300.0,
        2 => 220.0,
        3 => 170.0,
        4 => 140.0,
        5 => 104.0,
        6 => 84.0,
        _ => 68.0,
    }
}

/// The control charts `of` a bath, one panel each, with what happened to it, in any order.
///
/// Where strips stand closer than can be drawn, their line is thinned out to its extremes and loses its
/// dots; every strip that breaks a rule keeps its mark. Labels are written where there is room for
/// them, the gravest rules first.
#[must_use]
pub fn control_charts(of: &str, charts: &[Chart], marks: &[Mark]) -> Page {
    let days = days(charts, marks);
    let height = panel_height(charts.len());
    let mut listed = Vec::new();
    let mut panels: Vec<_> =
        charts.iter().map(|chart| panel::of(chart, height, &mut listed)).collect();
    let width = plot_width(&panels);
    let room = super::chart::WIDTH - super::chart::LEFT - width;
    let events = Rc::new(Events::of(marks, days, width, room));
    for (n, (panel, chart)) in panels.iter_mut().zip(charts).enumerate() {
        let (first, lane) = (n == 0, if n == 0 { events.lane() } else { 0.0 });
        let own = Rc::clone(&events);
        let lines = Layer::free(move |plot, scene| own.draw_lines(scene, plot, first));
        panel.show_at(None, [(1, lines)]);
        let (own, head) = (Rc::clone(&events), panel::Head::of(chart));
        panel.above(HEAD + lane, move |plot, scene| {
            head.draw(scene, (plot.area.x, plot.area.y - lane - 8.0));
            if first {
                own.draw_ticks_above(scene, plot);
                own.draw_labels(scene, plot);
            }
        });
    }
    if let (Some(words), Some(last)) = (events.words(), panels.last_mut()) {
        last.sample(&words, &Layer::Line(Vec::new(), Stroke::solid(RULE, 0.8)));
    }
    let dates = DateTicks::new(days, MOST_DATES);
    let span = bounds(charts.iter().flat_map(|c| c.points()).map(|p| day_number(p.date)));
    let subtitle = span.and_then(|_| {
        let all = || charts.iter().flat_map(|c| c.points()).map(|p| p.date);
        Some(format!("control strips of {} to {}", all().min()?, all().max()?))
    });
    let mut page = Page {
        only_wide: true,
        title: format!("Control charts of {of}"),
        subtitle,
        description: description(charts),
        x: Axis::new(days, dates.ticks, ""),
        second_row: dates.years,
        notes: notes::notes(charts),
        panels,
        ..Page::default()
    };
    page.or_say("no control strips to chart");
    page
}

/// The days that the axis spans, as day numbers.
fn days(charts: &[Chart], marks: &[Mark]) -> (f64, f64) {
    let dates = charts.iter().flat_map(|c| c.points()).map(|p| p.date);
    let all = dates.chain(marks.iter().map(|m| m.date));
    let (first, last) = bounds(all.map(day_number)).unwrap_or((0.0, 0.0));
    let span = last + 1.0 - first;
    let room = (LEAST_DAYS - span).max(0.02 * span) / 2.0;
    (first - room, last + 1.0 + room)
}

/// The figure in words.
fn description(charts: &[Chart]) -> String {
    let mut words = String::from("Control charts.");
    for chart in charts {
        let (plan, last) = (chart.plan(), chart.last());
        words.push_str(&format!(
            " {}: {} on {}, {}. {} strips, {} signals.",
            plan.name,
            number(last.value, plan.decimals),
            last.date,
            chart.state(),
            chart.points().iter().map(|p| p.strips).sum::<usize>(),
            chart.signals().len()
        ));
    }
    words
}
