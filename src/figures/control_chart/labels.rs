//! Labels inside of a panel: broken rules, changes of batch, provisional limits of earlier stretches.

use super::draw::{LABEL, SIGNAL_RADIUS, Sizes};
use super::layout::Panel;
use super::panel::{changes, edges};
use crate::bath::control::{Chart, ChartSignal, Rule};
use crate::figures::chart::Room;
use crate::figures::draw::{
    CAP_HEIGHT, Colour, GREY, INK, Paint, Path, Rect, Scene, Text, WHITE, shortened,
};

/// Most labels of broken rules that are tried for; beyond that nobody reads them.
const MOST: usize = 40;
const SIZE: f64 = 10.5;
const WIDEST: f64 = 130.0;

/// The points at which rules begin to fire, each with the gravest of them and its
/// short name; the gravest of all come first.
fn onsets(chart: &Chart) -> Vec<(usize, Rule, String)> {
    let mut onsets = Vec::new();
    let mut before: &[ChartSignal] = &[];
    for now in chart.signals().chunk_by(|a, b| a.index == b.index) {
        let went_on = |rule: Rule| {
            let follows = before.first().is_some_and(|b| b.index + 1 == now[0].index);
            follows && before.iter().any(|b| b.rule == rule)
        };
        let new: Vec<Rule> = now.iter().map(|s| s.rule).filter(|r| !went_on(*r)).collect();
        if let Some(gravest) = new.first() {
            let more = match new.len() {
                1 => String::new(),
                n => format!(" +{}", n - 1),
            };
            onsets.push((now[0].index, *gravest, format!("{}{more}", gravest.short())));
        }
        before = now;
    }
    onsets.sort_by_key(|(index, rule, _)| (*rule, *index));
    onsets
}

/// Writes the labels where they hide nothing. `line` is the line of the strips, thinned out.
pub(super) fn draw(
    scene: &mut Scene,
    chart: &Chart,
    panel: &Panel,
    (line, average): (&[(f64, f64)], &[(f64, f64)]),
    sizes: &Sizes,
) {
    let plot = &panel.plot;
    let mut room = Room::new(plot.area);
    room.take_line(line.iter().copied());
    room.take_line(average.iter().copied());
    for [from, to] in edges(chart, panel).into_iter().flat_map(|e| e.lines) {
        room.take_line([from, to]);
    }
    for signal in chart.signals().chunk_by(|a, b| a.index == b.index) {
        room.take_mark(panel.at[signal[0].index], sizes.signal.max(sizes.out));
    }
    if let Some(radius) = sizes.dot {
        panel.at.iter().for_each(|at| room.take_mark(*at, radius));
    }
    let top = plot.area.y + 9.0;
    let changes = changes(chart, panel);
    for (x, _, _) in &changes {
        room.take_line([(*x, plot.area.y), (*x, plot.area.bottom())]);
    }
    for (x, to, tied) in changes {
        let words = if tied { format!("batch {to}") } else { format!("batch {to}, new limits") };
        let words = shortened(&words, LABEL, WIDEST);
        write(scene, room.place(&words, LABEL, (x, top), 0.0), GREY);
    }
    let stretches = chart.stretches();
    for (edge, stretch) in edges(chart, panel).iter().zip(stretches).rev().skip(1) {
        let provisional = stretch.control.as_ref().is_ok_and(|c| c.provisional);
        if let Some([from, to]) = edge.lines.first().filter(|_| provisional) {
            let middle = ((from.0 + to.0) / 2.0, from.1);
            write(scene, room.place("provisional", SIZE, middle, 0.0), GREY);
        }
    }
    for (index, _, name) in onsets(chart).into_iter().take(MOST) {
        write(scene, room.place(&name, SIZE, panel.at[index], SIGNAL_RADIUS), INK);
    }
}

/// Writes a label, if it has a place, on white: the grid and the hairlines of events may pass below.
fn write(scene: &mut Scene, text: Option<Text>, colour: Colour) {
    let Some(text) = text else { return };
    let height = CAP_HEIGHT * text.size;
    let ground = Rect {
        x: text.at.0 - 1.5,
        y: text.at.1 - height - 1.5,
        width: text.width() + 3.0,
        height: height + 3.0,
    };
    scene.shape(Path::rect(ground), Paint::filled(WHITE));
    scene.text(text.coloured(colour));
}
