//! Control charts of a bath: a sheet of panels, one a quantity, over one axis of dates.

mod draw;
mod events;
mod gutter;
mod labels;
mod layout;
mod legend;
mod panel;

use super::chart::{DateTicks, Heading};
use super::draw::{GREY, Scene, Text};
use crate::bath::control::Chart;
use crate::words::number;
use jiff::civil::Date;

/// Something that happened to the bath: "mixed", "replenished", "discarded".
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// When.
    pub date: Date,
    /// What, in a word or two.
    pub text: String,
}

/// The figure of a bath's control charts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ControlChartFigure {
    /// The heading.
    pub title: String,
    /// A second line below it.
    pub subtitle: Option<String>,
    /// The charts from the top, one panel each.
    pub charts: Vec<Chart>,
    /// What happened to the bath, in any order.
    pub marks: Vec<Mark>,
}

impl ControlChartFigure {
    /// The figure as a scene, to be written as SVG or PNG.
    ///
    /// Where strips stand closer than can be drawn, their line is thinned out to its extremes and
    /// loses its dots; every strip that breaks a rule keeps its mark. Labels are written where there
    /// is room for them, the gravest rules first.
    #[must_use]
    pub fn scene(&self) -> Scene {
        let heading = Heading::new(&self.title, self.subtitle.as_deref());
        let days = layout::days(self);
        let events = events::Events::of(self, days);
        let legend = legend::entries(self, &events);
        let notes = legend::notes(self);
        let page = layout::Page::new(self, &heading, days, &events, (&legend, &notes));

        let mut scene = Scene::new(page.width, page.height, &self.title, &self.description());
        heading.draw(&mut scene);
        let dates = DateTicks::new(days, layout::MOST_DATES);
        for (n, (chart, panel)) in self.charts.iter().zip(&page.panels).enumerate() {
            panel::draw(&mut scene, chart, panel, &dates);
            events.draw_lines(&mut scene, &panel.plot, n == 0);
            panel::draw_data(&mut scene, chart, panel);
            if n == 0 {
                events.draw_labels(&mut scene, &panel.plot);
            }
        }
        if let Some(last) = page.panels.last() {
            draw::date_axis(&mut scene, &last.plot, &dates);
        } else {
            let words = Text::new("no control strips to chart", (layout::LEFT, page.foot), 12.5);
            scene.text(words.coloured(GREY));
        }
        legend::draw(&mut scene, &page, (&legend, &notes));
        scene
    }

    /// The figure in words.
    fn description(&self) -> String {
        let mut words = String::from("Control charts.");
        for chart in &self.charts {
            let (plan, last) = (chart.plan(), chart.last());
            words.push_str(&format!(
                " {}: {} on {}, {}.",
                plan.name,
                number(last.value, plan.decimals),
                last.date,
                chart.state()
            ));
            words.push_str(&format!(
                " {} strips, {} signals.",
                chart.points().iter().map(|p| p.strips).sum::<usize>(),
                chart.signals().len()
            ));
        }
        words
    }
}
