//! Counts how often the intervals of every measure hold the truth, and how wide they are, on invented
//! materials of foreign shape.
//!
//! `cargo run --release --example atlas` prints the tables of `docs/atlas.md`. `WEDGEBOOK_RUNS` and
//! `WEDGEBOOK_SEED` change the extent; `WEDGEBOOK_ONLY` names one part: films, papers or pairings;
//! `WEDGEBOOK_CSV` names a file for all cells with their bias, rms and widths.

#[path = "mod.rs"]
mod atlas;
#[path = "../emulsions/mod.rs"]
mod emulsions;
#[path = "../tally.rs"]
mod tally;

use atlas::{Cell, Extent, cells, films, pairings, papers, table};
use tally::asked;

fn main() -> std::io::Result<()> {
    let runs = asked("WEDGEBOOK_RUNS", 500);
    let extent = Extent { runs, known: runs.min(60), seed: asked("WEDGEBOOK_SEED", 1) };
    let only = std::env::var("WEDGEBOOK_ONLY").unwrap_or_default();
    let wanted = |part: &str| only.is_empty() || only == part;
    println!("{}", table::head(extent));
    let mut all: Vec<Cell> = Vec::new();
    let mut part = |title: &str, found: Vec<Cell>| {
        println!("\n## {title}\n{}", table::markdown(&found));
        all.extend(found);
    };
    if wanted("films") {
        part("Films", films::all().flat_map(|c| cells(&c, extent)).collect());
    }
    if wanted("papers") {
        part("Papers", papers::all().flat_map(|c| cells(&c, extent)).collect());
    }
    if wanted("pairings") {
        let extent = Extent { runs: runs / 2, known: extent.known / 3, ..extent };
        // A calibration and its control strips are eight strips.
        part("Pairings", pairings::all().flat_map(|c| cells(&c, extent)).collect());
    }
    if let Ok(path) = std::env::var("WEDGEBOOK_CSV") {
        std::fs::write(path, table::csv(&all))?;
    }
    let judged: Vec<&Cell> = all.iter().filter(|c| table::judged(c)).collect();
    let missed = |c: &&&Cell| table::misses(c.tally.coverage(), f64::from(c.tally.n));
    let narrow = judged.iter().filter(|c| c.ratio() <= table::WIDEST).count();
    let with_width = judged.iter().filter(|c| c.ratio().is_finite()).count();
    println!(
        "\n## What misses\n\n{} of {} cells lie within {:?} or miss it by no more than chance (two standard deviations). {narrow} of {with_width} are at most {} times as wide as with the true shape known.\n",
        judged.len() - judged.iter().filter(missed).count(),
        judged.len(),
        table::AIM,
        table::WIDEST,
    );
    println!("{}", table::reasons(&all));
    Ok(())
}
