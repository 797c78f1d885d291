//! Whether equals are found to differ, and whether what differs is found.

use crate::emulsions::{Developer, Emulsion, Family, noise, seeded, tablet};
use crate::tally::asked;
use rand::rngs::SmallRng;
use std::fmt::Write;
use wedgebook::answers::StripsCompared;
use wedgebook::curve::Choice;
use wedgebook::readings::{ReadOptions, Strip, read_bytes};

/// A strip of the emulsion after `minutes`.
fn strip(emulsion: &Emulsion, minutes: f64, rng: &mut SmallRng) -> Strip {
    let film = emulsion.developed(&Developer::default(), minutes);
    let lowest = emulsion.speed_point() - 0.8;
    let mut text = format!("log_exposure,density,sigma\n,{},0.01\n", film.base + noise(rng, 0.01));
    for x in tablet(lowest, 0.15, 21) {
        writeln!(text, "{x},{},0.01", film.density(x) + noise(rng, 0.01)).unwrap();
    }
    let read = read_bytes("strip.csv", text.as_bytes(), &ReadOptions::default()).unwrap();
    read.strips.into_iter().next().unwrap()
}

/// Share of tables that say of any number that it differs beyond doubt.
fn found(tables: u32, [first, other]: [f64; 2], seed: u64) -> f64 {
    let mut rng = seeded(seed);
    let families = [Family::Grains, Family::Lopsided, Family::LongLine, Family::TwoLayers];
    let mut marked = 0;
    for n in 0..tables {
        let emulsion = Emulsion::random(families[n as usize % families.len()], &mut rng);
        let strips = [first, other].map(|minutes| strip(&emulsion, minutes, &mut rng));
        let compared = StripsCompared::of(strips.into(), Choice::Auto);
        let differences = compared.rows.iter().flat_map(|row| row.differences.iter().flatten());
        marked += u32::from(differences.into_iter().any(|(_, doubtless)| *doubtless));
    }
    f64::from(marked) / f64::from(tables)
}

#[test]
fn equals_seldom_differ_and_others_do() {
    let tables = asked("WEDGEBOOK_TABLES", 300);
    let equals = found(tables, [9.0, 9.0], 5);
    let others = found(tables, [9.0, 11.0], 6);
    println!("equals marked: {equals:.3}; 9 and 11 minutes marked: {others:.3}");
    let slack = 2.6 * (0.05_f64 * 0.95 / f64::from(tables)).sqrt();
    assert!(equals <= 0.05 + slack, "{equals}");
    assert!(others > 0.8, "{others}");
}
