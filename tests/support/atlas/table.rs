//! The atlas as tables.

use super::Cell;
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
            c.kind, c.condition, c.quantity, t.n, t.absent, t.coverage(), t.bias(), t.rms(), t.median_width(), known
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
    let missed = if AIM.contains(&c.tally.coverage()) { "" } else { "**" };
    let ratio = c.ratio();
    let width = if ratio.is_finite() { format!(" ×{ratio:.2}") } else { String::new() };
    format!("{missed}{:.3}{missed}{width}", c.tally.coverage())
}
