//! A quick atlas: some of its cells, counted again with few materials, against `docs/atlas.csv`, which the
//! whole one wrote. No interval may cover less than it did, and none may be wider.

#[path = "../support/atlas/mod.rs"]
mod cells;

use crate::tally::asked;
use cells::{Cell, Extent, films, pairings, papers, table};
use std::collections::HashMap;

/// A row of the table.
struct Row {
    covered: f64,
    intervals: f64,
    width: f64,
}

fn whole() -> HashMap<(String, String, String), Row> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/atlas.csv");
    let mut reader = csv::Reader::from_path(path).unwrap();
    reader
        .records()
        .map(|record| {
            let record = record.unwrap();
            let number = |k: usize| record[k].parse().unwrap();
            let row = Row { intervals: number(3), covered: number(5), width: number(8) };
            ((record[0].to_owned(), record[1].to_owned(), record[2].to_owned()), row)
        })
        .collect()
}

/// Standard deviations of a share that chance alone does not reach in a few hundred cells.
const CHANCE: f64 = 4.2;

/// Cells whose shares are far below the whole table's, or whose intervals are wider.
fn worse(found: &[Cell]) -> Vec<String> {
    let whole = whole();
    let mut worse = Vec::new();
    for cell in found.iter().filter(|c| table::judged(c)) {
        let key = (cell.kind.clone(), cell.condition.to_owned(), cell.quantity.to_owned());
        let before = &whole[&key];
        let share = before.covered.min(0.98);
        // Few misses tell a share near 1 only roughly.
        let variance = share * (1.0 - share).max(0.05);
        let chance =
            CHANCE * (variance / f64::from(cell.tally.n) + variance / before.intervals).sqrt();
        if cell.tally.coverage() < share - chance {
            worse
                .push(format!("{key:?} covers {:.3} instead of {share:.3}", cell.tally.coverage()));
        }
        // Where a quantity is often absent, the few that have it differ from run to run.
        let seldom = cell.tally.absent > cell.tally.n / 4;
        if !seldom && cell.tally.median_width() > 1.15 * before.width {
            worse.push(format!(
                "{key:?} is {:.4} wide instead of {:.4}",
                cell.tally.median_width(),
                before.width
            ));
        }
    }
    worse
}

fn extent() -> Extent {
    Extent { runs: asked("WEDGEBOOK_RUNS", 200), known: 0, seed: 2 }
}

#[test]
fn films_are_covered_as_the_atlas_says() {
    let quick = ["21 steps", "7 steps", "noise 0.005+1%", "one misread"];
    let cases = films::all().filter(|c| quick.contains(&c.condition.name));
    let found: Vec<Cell> = cases.flat_map(|c| cells::cells(&c, extent())).collect();
    assert!(found.len() > 400, "{}", found.len());
    assert_eq!(worse(&found), Vec::<String>::new());
}

#[test]
fn papers_are_covered_as_the_atlas_says() {
    let quick = ["21 steps", "noise 0.005+1%, stated", "11 steps"];
    let cases = papers::all().filter(|c| quick.contains(&c.condition.name));
    let found: Vec<Cell> = cases.flat_map(|c| cells::cells(&c, extent())).collect();
    assert!(found.len() > 100, "{}", found.len());
    assert_eq!(worse(&found), Vec::<String>::new());
}

#[test]
fn pairings_are_covered_as_the_atlas_says() {
    let quick = ["two temperatures", "noise 0.005+1%"];
    let cases = pairings::all().filter(|c| quick.contains(&c.name));
    let extent = Extent { runs: extent().runs / 3, ..extent() };
    let found: Vec<Cell> = cases.flat_map(|c| cells::cells(&c, extent)).collect();
    assert_eq!(worse(&found), Vec::<String>::new());
    // A strip of a good bath is called changed at most five times in a hundred, under either noise.
    let good = found.iter().filter(|c| c.quantity == "good bath unchanged");
    let (right, all) = good.fold((0.0, 0.0), |(right, all), c| {
        let n = f64::from(c.tally.n);
        (right + n * c.tally.coverage(), all + n)
    });
    assert!(all > 400.0 && right >= 0.95 * all, "{right} of {all}");
}

/// Every cell of the table that misses its aim by more than chance is named with its reason.
#[test]
fn what_misses_has_its_reason() {
    let unnamed: Vec<String> = whole()
        .into_iter()
        .filter(|(_, row)| table::misses(row.covered, row.intervals))
        .filter(|((kind, condition, quantity), row)| {
            table::reason(kind, condition, quantity, row.covered).is_none()
        })
        .map(|(key, row)| format!("{key:?} {:.3}", row.covered))
        .collect();
    assert_eq!(unnamed, Vec::<String>::new());
}
