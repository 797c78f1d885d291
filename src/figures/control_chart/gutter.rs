//! The names of the lines, right of a panel: those of the last stretch.

use super::draw::LABEL;
use crate::bath::control::Chart;
use crate::figures::chart::{Plot, spread};
use crate::figures::draw::{GREY, INK, Path, RULE, Scene, Stroke, Text};
use crate::words::number;

const LINE_HEIGHT: f64 = 13.5;
/// From the frame to the words, bridged by leaders.
const OFF: f64 = 16.0;
const LEADER: Stroke = Stroke::solid(RULE, 0.8);

/// The lines of the last stretch: where, what, and whether it is of the second rank.
fn names(chart: &Chart) -> Vec<(f64, String, bool)> {
    let stretch = chart.last_stretch();
    let decimals = chart.plan().decimals;
    let mut names = Vec::new();
    if let Ok(control) = &stretch.control {
        let kind = if control.provisional { "provisional limit" } else { "limit" };
        let fine = |v| number(v, decimals + 1);
        for at in [control.upper, control.lower] {
            names.push((at, format!("{kind} {}", fine(at)), false));
        }
        names.push((control.centre, format!("centre {}", fine(control.centre)), true));
    }
    if let Some(tolerance) = &stretch.tolerance {
        for at in [tolerance.upper(), tolerance.lower()].into_iter().flatten() {
            names.push((at, format!("tolerance {}", number(at, decimals)), false));
        }
        if stretch.control.is_err() {
            names.push((tolerance.aim, format!("aim {}", number(tolerance.aim, decimals)), true));
        }
    }
    names
}

/// Writes the names.
pub(super) fn draw(scene: &mut Scene, chart: &Chart, plot: &Plot) {
    let (names, area) = (names(chart), plot.area);
    let wanted: Vec<f64> = names.iter().map(|n| plot.y.at(n.0)).collect();
    let within = (area.y + LABEL / 2.0, area.bottom() - LABEL / 2.0);
    let Some(places) = spread(&wanted, LINE_HEIGHT, within) else {
        return;
    };
    let mut leaders = Path::default();
    for ((name, y), line) in names.iter().zip(places).zip(wanted) {
        let right = area.right();
        leaders.add_line([(right, line), (right + 4.0, line), (right + OFF - 3.0, y)]);
        let colour = if name.2 { GREY } else { INK };
        let text = Text::new(&name.1, (right + OFF, y), LABEL).centred();
        scene.text(text.coloured(colour));
    }
    scene.shape(leaders, LEADER);
}
