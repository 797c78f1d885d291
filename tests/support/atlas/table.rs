//! The atlas as tables.

#![allow(dead_code)]

use super::{Cell, Extent};
use std::fmt::Write;

/// What a 95 % interval is to hold.
pub const AIM: std::ops::RangeInclusive<f64> = 0.93..=0.98;
/// How many times wider it may be than one with the true shape known.
pub const WIDEST: f64 = 1.25;
/// Fewer intervals than this say little of their share.
const FEWEST: u32 = 50;

/// Whether a cell has enough intervals to be judged.
pub fn judged(cell: &Cell) -> bool {
    cell.tally.n >= FEWEST
}

/// The head of the printed tables.
pub fn head(extent: Extent) -> String {
    format!(
        "# Atlas

How often 95 % intervals hold the truth on invented materials whose curves have none of the shapes that are fitted, and how wide they are. Counted on {} with {} strips a cell (half as many calibrations) and the seed {}, by

    WEDGEBOOK_CSV=docs/atlas.csv cargo run --release --example atlas > docs/atlas.md

A cell gives the share of intervals that held the truth, and after × their median width over that of someone who knows the kind of material, the ranges its numbers are drawn from and the readings' standard deviations. No reading tells that a line is exactly straight: where the shape says much, that width cannot be had. **Bold**: outside 0.93 to 0.98 by more than chance. –: fewer than 50 intervals; a quantity that readings do not determine is absent with its reason. Bias, root mean square error and widths of every cell stand in `atlas.csv`. Invented materials: `tests/support/emulsions`.",
        wedgebook::bath::journal::today(),
        extent.runs,
        extent.seed
    )
}

/// Whether a share misses the aim by more than chance does with so many intervals.
pub fn misses(covered: f64, intervals: f64) -> bool {
    let chance = |share: f64| 2.0 * (share * (1.0 - share) / intervals).sqrt();
    intervals >= f64::from(FEWEST)
        && (covered < AIM.start() - chance(*AIM.start())
            || covered > AIM.end() + chance(*AIM.end()))
}

/// Why a cell misses the aim, where that is known.
pub fn reason(kind: &str, condition: &str, quantity: &str, covered: f64) -> Option<&'static str> {
    let low = covered < *AIM.start();
    let hyperbola =
        kind == "HyperbolicToe" || kind.ends_with("Line") || kind == "LongLine developed";
    let from_base =
        ["base plus fog", "speed point", "delta-X", "exposure index, log", "ISO speed, log"];
    let paper = ["Reflected", "Variable", "LongToe", "SharpToe", "Lopsided"].contains(&kind);
    let developed = kind.ends_with("developed");
    Some(match quantity {
        "gamma" if low && ["Lumpy", "TwoLayers", "ShortLine"].contains(&kind) => {
            "The greatest slope is that of a hump which raises the density by less than one reading's uncertainty, or of a line so short that toe and shoulder run into each other."
        }
        "gamma" if low && paper => {
            "The steepest part of a paper is shorter than two or three steps: smoothing lowers it."
        }
        "gamma" if !low => {
            "Where the slope is the same over a long part, the greatest of uncertain slopes lies above it; the interval allows for that. The slope of the straight line says more."
        }
        _ if condition == "no unexposed patch" && !low => {
            "A toe may fall below the lowest steps by 0.01 (one standard uncertainty); most fall by less."
        }
        _ if condition.starts_with("one temperature") && !low => {
            "The assumed temperature law is meant for all published developers; a developer in their middle is nearer to it."
        }
        "good bath unchanged" => {
            "A good strip is called changed at most five times in a hundred: this is no interval."
        }
        _ if condition == "noise 0.005+1%" && low && !from_base.contains(&quantity) => {
            "One strip hardly tells how its noise grows with density: state it with the density's standard uncertainty."
        }
        _ if low && hyperbola && from_base.contains(&quantity) => {
            "The foot of a hyperbola lies 0.004 to 0.008 below the lowest steps, which no step shows; one unexposed patch with an uncertainty of 0.010 cannot tell. Read several patches."
        }
        "straight line" if low => {
            "The ends of the line are found from the same readings: where noise decides them, the slope is a little off."
        }
        _ if low && ["ShortLine", "Lumpy", "NormalToe 0.020"].contains(&kind) => {
            "A corner or a step of slope that is finer than the tablet's steps."
        }
        _ if low && kind == "SharpToe" => {
            "A corner between two steps: the readings do not show where it is. Use finer steps."
        }
        _ if low && condition.ends_with("misread") || condition.ends_with("misreads") => {
            "A misread of the unexposed patch or of a step in the toe by little more than four standard uncertainties is not always told from a true reading."
        }
        "activation energy" | "minutes at 17.5 °C, log" if low => {
            "One strip at a second temperature decides the law; errors of its own development are its errors."
        }
        _ if low && (condition == "no unexposed patch" || quantity == "range R") => {
            "The toe goes on below the lowest step farther than the steps tell."
        }
        "contrast index" if low && kind == "Stretched" => {
            "Seen only where the strip reaches far enough: those strips are not like the others."
        }
        _ if !low && (developed || condition == "7 steps" || condition == "11 steps") => {
            "A part of the uncertainty that strips share, or that few steps leave open, is allowed for; these materials need less of it."
        }
        "fractional gradient" if !low => {
            "The form of the toe is allowed for; these toes have the form of the model."
        }
        "base plus fog" if !low => "Noise is taken as larger than it is in the toe.",
        _ => return None,
    })
}

/// The cells that miss, by reason.
pub fn reasons(cells: &[Cell]) -> String {
    let mut list: Vec<(&str, Vec<String>)> = Vec::new();
    for c in cells.iter().filter(|c| judged(c)) {
        let covered = c.tally.coverage();
        if !misses(covered, f64::from(c.tally.n)) {
            continue;
        }
        let why = reason(&c.kind, c.condition, c.quantity, covered).unwrap_or("Not known.");
        let cell = format!("{} of {}, {}: {covered:.2}", c.quantity, c.kind, c.condition);
        match list.iter_mut().find(|(known, _)| *known == why) {
            Some((_, cells)) => cells.push(cell),
            None => list.push((why, vec![cell])),
        }
    }
    let mut out = String::new();
    for (why, cells) in list {
        let _ = writeln!(out, "- {why} ({} cells: {}.)", cells.len(), cells.join("; "));
    }
    out
}

/// Every cell, one a row.
pub fn csv(cells: &[Cell]) -> String {
    let mut out = String::from(
        "kind,condition,quantity,intervals,absent,covered,bias,rms,median_width,width_of_known_shape\n",
    );
    for c in cells {
        let t = &c.tally;
        let known = super::median(&c.known);
        let _ = writeln!(
            out,
            "{},\"{}\",\"{}\",{},{},{:.3},{:.4},{:.4},{:.4},{:.4}",
            c.kind,
            c.condition,
            c.quantity,
            t.n,
            t.absent,
            t.coverage(),
            t.bias(),
            t.rms(),
            t.median_width(),
            known
        );
    }
    out
}

/// One table a condition: kinds by quantities, the share held and how many times as wide as with the
/// true shape known.
pub fn markdown(cells: &[Cell]) -> String {
    let mut out = String::new();
    let mut rest = cells;
    while let Some(first) = rest.first() {
        let many = rest.iter().take_while(|c| c.condition == first.condition).count();
        let (own, after) = rest.split_at(many);
        rest = after;
        let quantities: Vec<_> =
            own.iter().take_while(|c| c.kind == first.kind).map(|c| c.quantity).collect();
        let _ = writeln!(out, "\n### {}\n\n| | {} |", first.condition, quantities.join(" | "));
        let _ = writeln!(out, "|---{}|", "|---".repeat(quantities.len()));
        for row in own.chunks(quantities.len()) {
            let shown: Vec<String> = row.iter().map(cell).collect();
            let _ = writeln!(out, "| {} | {} |", row[0].kind, shown.join(" | "));
        }
    }
    out
}

fn cell(c: &Cell) -> String {
    if !judged(c) {
        return "–".to_owned();
    }
    let missed = if misses(c.tally.coverage(), f64::from(c.tally.n)) { "**" } else { "" };
    let ratio = c.ratio();
    let width = if ratio.is_finite() { format!(" ×{ratio:.2}") } else { String::new() };
    format!("{missed}{:.3}{missed}{width}", c.tally.coverage())
}
