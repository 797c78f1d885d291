//! The aims: lines to the curve and down to the times, labels in the margin.

use super::ContrastTimeFigure;
use crate::figures::chart::{Plot, spread};
use crate::figures::draw::{
    Anchor, GREY, INK, Paint, Path, RULE, Scene, Stroke, Text, WHITE, shortened, text_width,
};
use crate::units::Minutes;
use crate::words::number;
use crate::words::rounded_clock;

/// The line of an aim.
pub(super) const LINE: Stroke = Stroke::solid(GREY, 0.9);
const DROP: Stroke = Stroke::solid(GREY, 0.9).dashed(&[2.5, 2.5]);
const LEADER: Stroke = Stroke::solid(RULE, 0.8);
const DOT: Paint = Paint { fill: Some((INK, 1.0)), stroke: Some(Stroke::solid(WHITE, 1.0)) };
const TEXT: f64 = 12.0;
const LINE_HEIGHT: f64 = 15.5;
const COLUMN_GAP: f64 = 9.0;
/// From the frame to the labels, bridged by leaders.
const OFF: f64 = 20.0;
const NAME_WIDTH: f64 = 120.0;

/// The time of an aim, if there is one.
fn time(minutes: Option<f64>) -> Option<f64> {
    minutes.filter(|m| Minutes::new(*m).is_ok())
}

/// For each aim the line across, and the one down if it has a time; in page units.
pub(super) fn lines<'a>(
    plot: &'a Plot,
    figure: &'a ContrastTimeFigure,
) -> impl Iterator<Item = [(f64, f64); 2]> + 'a {
    figure.drawn_aims().flat_map(move |aim| {
        let y = plot.y.at(aim.contrast);
        let across = [(plot.area.x, y), (plot.area.right(), y)];
        let down = time(aim.minutes).map(|m| {
            let x = plot.x.at(m);
            [(x, y), (x, plot.area.bottom())]
        });
        std::iter::once(across).chain(down)
    })
}

/// Draws the lines, and a dot where an aim meets its time.
pub(super) fn draw_lines(scene: &mut Scene, plot: &Plot, figure: &ContrastTimeFigure) {
    let (mut across, mut down, mut dots) = (Path::default(), Path::default(), Path::default());
    for [from, to] in lines(plot, figure) {
        let is_drop = from.0 == to.0;
        if is_drop {
            down.add_line([from, to]);
            dots.add_circle(from, 2.9);
        } else {
            across.add_line([from, to]);
        }
    }
    scene.shape(across, LINE);
    scene.shape(down, DROP);
    scene.shape(dots, DOT);
}

/// One line in the margin.
struct Label {
    contrast: f64,
    name: String,
    value: String,
    time: String,
}

/// The gap after a column, if there is one.
fn gap_after(width: f64) -> f64 {
    if width > 0.0 { COLUMN_GAP } else { 0.0 }
}

/// The labels in three columns: name, contrast, time.
pub(super) struct Labels {
    labels: Vec<Label>,
    name_width: f64,
    value_width: f64,
    time_width: f64,
}

impl Labels {
    pub fn of(figure: &ContrastTimeFigure) -> Self {
        let labels: Vec<Label> = figure
            .drawn_aims()
            .map(|aim| {
                let value = number(aim.contrast, 2);
                let name = aim.label.trim();
                let says_it = name.parse::<f64>().is_ok_and(|v| number(v, 2) == value);
                Label {
                    contrast: aim.contrast,
                    name: shortened(name, TEXT, NAME_WIDTH).into_owned(),
                    value: if says_it { String::new() } else { value },
                    time: aim.minutes.map_or_else(|| "not reached".to_owned(), rounded_clock),
                }
            })
            .collect();
        let widest = |of: fn(&Label) -> &str| {
            let widths = labels.iter().map(|l| text_width(of(l), TEXT));
            widths.fold(0.0, f64::max)
        };
        Self {
            name_width: widest(|l| &l.name),
            value_width: widest(|l| &l.value),
            time_width: widest(|l| &l.time),
            labels,
        }
    }

    /// From the frame to the end of the labels.
    pub fn width(&self) -> f64 {
        if self.labels.is_empty() {
            return 0.0;
        }
        OFF + self.time_end()
    }

    /// From the first column to the second.
    fn value_at(&self) -> f64 {
        self.name_width + gap_after(self.name_width)
    }

    /// From the first column to the end of the last.
    fn time_end(&self) -> f64 {
        self.value_at() + self.value_width + gap_after(self.value_width) + self.time_width
    }

    /// Writes the labels that fit, the others counted below them.
    pub fn draw(&self, scene: &mut Scene, plot: &Plot) {
        let area = plot.area;
        let within = (area.y + TEXT / 2.0, area.bottom() - TEXT / 2.0);
        let most = ((within.1 - within.0) / LINE_HEIGHT) as usize;
        let shown = &self.labels[..self.labels.len().min(most)];
        let wanted: Vec<f64> = shown.iter().map(|l| plot.y.at(l.contrast)).collect();
        let Some(places) = spread(&wanted, LINE_HEIGHT, within) else {
            return;
        };
        let mut leaders = Path::default();
        for ((label, y), line) in shown.iter().zip(places).zip(wanted) {
            let right = area.right();
            leaders.add_line([(right, line), (right + 5.0, line), (right + OFF - 4.0, y)]);
            self.write(scene, label, (right + OFF, y));
        }
        scene.shape(leaders, LEADER);
        let left = self.labels.len() - shown.len();
        if left > 0 {
            let at = (area.right() + OFF, area.bottom() + LINE_HEIGHT);
            let words = Text::new(format!("and {left} more"), at, TEXT);
            scene.text(words.coloured(GREY));
        }
    }

    fn write(&self, scene: &mut Scene, label: &Label, (x, y): (f64, f64)) {
        let value = (x + self.value_at(), y);
        let time = (x + self.time_end(), y);
        scene.text(Text::new(&label.name, (x, y), TEXT).centred());
        let words = Text::new(&label.value, value, TEXT).centred();
        scene.text(words.coloured(GREY));
        let words = Text::new(&label.time, time, TEXT).anchored(Anchor::End);
        scene.text(words.centred());
    }
}
