//! A chart on its page: heading, panels over one axis, legend and notes below.

use super::heading::Heading;
use super::legend::{Legend, key};
use super::panel::Panel;
use super::plot::{MAJOR_LENGTH, Plot};
use super::scale::{Scale, Ticks};
use crate::figures::draw::{GREY, Rect, Scene, Text, wrapped};

/// Width of a page: it prints in its own size on A4 paper with margins of 10 mm.
pub const WIDTH: f64 = 716.0;
/// Width of a page for a narrow screen, whose letters are then read without magnifying.
const NARROW: f64 = 430.0;
/// Least width of a plot on such a page: labels right of it widen the page.
const LEAST_PLOT: f64 = 250.0;
/// Greatest height of a plot of equal scales on such a page: it is seen whole in a third of a telephone's screen.
const LOW_PLOT: f64 = 190.0;
/// From the left edge of the page to a plot.
pub const LEFT: f64 = 72.0;
/// From the left edge of the page to heading and legend.
const MARGIN: f64 = 22.0;
/// Least room right of a plot: the last label of an axis may stand out.
const RIGHT: f64 = 26.0;
const TOP_AXIS: f64 = 54.0;
const BOTTOM_AXIS: f64 = 62.0;
/// The same for an axis without a title.
const DATE_AXIS: f64 = 54.0;
const BETWEEN: f64 = 16.0;
const NOTE: f64 = 11.5;
const NOTE_LINE: f64 = 15.0;
/// Most lines of notes; on a narrow page they are shorter.
const MOST_NOTES: usize = 13;
const MOST_NARROW_NOTES: usize = 22;

/// An axis: its range, its ticks, what it is called.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Axis {
    /// The values at its two ends.
    pub range: (f64, f64),
    /// Its ticks.
    pub ticks: Ticks,
    /// Its name, with the unit.
    pub title: String,
}

impl Axis {
    /// An axis.
    #[must_use]
    pub fn new(range: (f64, f64), ticks: Ticks, title: impl Into<String>) -> Self {
        Self { range, ticks, title: title.into() }
    }
}

/// A chart of one panel or several, all over one axis.
#[derive(Default)]
pub struct Chart {
    /// What the chart shows.
    pub title: String,
    /// A second line below it.
    pub subtitle: Option<String>,
    /// The chart in words, for those who cannot see it.
    pub description: String,
    /// The panels from the top.
    pub panels: Vec<Panel>,
    /// The axis below the panels.
    pub x: Axis,
    /// A second scale of the axis, above the first panel; its range is that of the axis below.
    pub top: Option<Axis>,
    /// Words below the ticks of the axis, as years below months.
    pub second_row: Vec<(f64, String)>,
    /// Whether a slope of 1 stands at 45°, and then the greatest height of the plot.
    pub equal_scales: Option<f64>,
    /// What has to be known, below the legend.
    pub notes: Vec<String>,
    /// Whether it is for a narrow screen: the page is less wide, its letters are as large as ever, and labels of
    /// ticks that would touch are left out.
    pub narrow: bool,
    /// Whether it has the usual width alone: its labels were placed for that.
    pub only_wide: bool,
}

/// Width of the plots of panels on a page, where their scales are not equal.
#[must_use]
pub fn plot_width(panels: &[Panel]) -> f64 {
    WIDTH - LEFT - gutter(panels)
}

/// Room right of the plots, for the labels of all of them.
fn gutter(panels: &[Panel]) -> f64 {
    panels.iter().map(|p| p.margin.width() + 16.0).fold(RIGHT, f64::max)
}

impl Chart {
    /// The chart as a scene, to be written as SVG or PNG.
    #[must_use]
    pub fn scene(&self) -> Scene {
        let width = self.width();
        let (plots, foot) = self.plots();
        let legend =
            Legend { entries: self.panels.iter().flat_map(|p| p.entries.clone()).collect() };
        let legend = legend.in_columns(width - 2.0 * MARGIN);
        let notes = self.note_lines(width - 2.0 * MARGIN);
        let legend_height = Legend::height_of(&legend);
        let gap = if notes.is_empty() || legend.is_empty() { 0.0 } else { 10.0 };
        let below = legend_height + gap + notes.len() as f64 * NOTE_LINE;
        let mut scene =
            Scene::new(width, (foot + below + 20.0).ceil(), &self.title, &self.description);
        self.heading().draw(&mut scene);
        let ticks = |axis: &Axis, scale: &Scale| match self.narrow {
            true => axis.ticks.thinned(scale),
            false => axis.ticks.clone(),
        };
        for (n, (panel, plot)) in self.panels.iter().zip(&plots).enumerate() {
            let along = ticks(&self.x, &plot.x);
            plot.draw_grid(&mut scene, &along, &panel.y.ticks);
            panel.draw(&mut scene, plot);
            if let Some(top) = self.top.as_ref().filter(|_| n == 0) {
                let scale = Scale { domain: top.range, page: (plot.area.x, plot.area.right()) };
                plot.draw_top_axis(&mut scene, &scale, &ticks(top, &scale), &top.title);
            }
            if n + 1 == plots.len() {
                plot.draw_bottom_axis(&mut scene, &along, &self.x.title);
                self.draw_second_row(&mut scene, plot);
            }
            plot.draw_left_axis(&mut scene, &panel.y.ticks, &panel.y.title);
        }
        Legend::draw_columns(&legend, &mut scene, (MARGIN, foot), width - 2.0 * MARGIN);
        for (n, note) in notes.iter().enumerate() {
            let y = foot + legend_height + gap + (n as f64 + 0.8) * NOTE_LINE;
            scene.text(Text::new(note, (MARGIN, y), NOTE).coloured(GREY));
        }
        scene
    }

    /// The same chart for a narrow screen, where it can be had.
    #[must_use]
    pub fn narrowed(mut self) -> Self {
        self.narrow = !self.only_wide;
        self
    }

    /// Width of the page.
    fn width(&self) -> f64 {
        match self.narrow {
            true => NARROW.max(LEFT + LEAST_PLOT + gutter(&self.panels)),
            false => WIDTH,
        }
    }

    fn heading(&self) -> Heading {
        Heading::new(&self.title, self.subtitle.as_deref())
    }

    /// The plots of the panels, and where the legend begins.
    fn plots(&self) -> (Vec<Plot>, f64) {
        let across = self.width() - LEFT - gutter(&self.panels);
        let above = if self.top.is_some() { TOP_AXIS } else { BETWEEN };
        let mut y = self.heading().height() + above;
        let mut plots = Vec::new();
        for panel in &self.panels {
            y += panel.height_above();
            let (width, height) = match self.equal_scales {
                Some(most) => {
                    let most = if self.narrow { most.min(LOW_PLOT) } else { most };
                    let span = |r: (f64, f64)| r.1 - r.0;
                    let (dx, dy) = (span(self.x.range), span(panel.y.range));
                    let unit = (across / dx).min(most / dy);
                    (unit * dx, unit * dy)
                }
                None => (across, panel.height),
            };
            let area = Rect { x: LEFT, y, width, height };
            plots.push(Plot::new(area, self.x.range, panel.y.range));
            y = area.bottom() + BETWEEN;
        }
        let axis = if self.x.title.is_empty() { DATE_AXIS } else { BOTTOM_AXIS };
        (plots, if self.panels.is_empty() { y + 16.0 } else { y - BETWEEN + axis })
    }

    fn draw_second_row(&self, scene: &mut Scene, plot: &Plot) {
        let baseline = plot.area.bottom() + MAJOR_LENGTH + 28.0;
        for (at, words) in &self.second_row {
            let text = Text::new(words, (plot.x.at(*at), baseline), NOTE).middle();
            scene.text(text.coloured(GREY));
        }
    }

    fn note_lines(&self, width: f64) -> Vec<String> {
        let mut lines: Vec<String> =
            self.notes.iter().flat_map(|note| wrapped(note, NOTE, width)).collect();
        let most = if self.narrow { MOST_NARROW_NOTES } else { MOST_NOTES };
        if lines.len() > most {
            let left = lines.len() - (most - 1);
            lines.truncate(most - 1);
            lines.push(format!("and {left} more lines of notes"));
        }
        lines
    }

    /// Adds an entry that says so where there is nothing else in the legend.
    pub fn or_say(&mut self, words: &str) {
        if self.panels.is_empty() {
            self.notes.push(words.to_owned());
        } else if self.panels.iter().all(|p| p.entries.is_empty()) {
            self.panels[0].entry(key(words));
        }
    }
}
