//! Verifying a bath from a control strip, and following its journal.

use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use std::path::{Path, PathBuf};
use wedgebook::bath::control::Basis;
use wedgebook::bath::forecast::{Assumptions, Bath};
use wedgebook::bath::history::{BathHistory, Charted, chart};
use wedgebook::bath::journal::Journal;
use wedgebook::bath::verify::{ControlStrip, Verifier, pairing_limits};
use wedgebook::curve::Choice;
use wedgebook::development::{Expectation, Measure, Pairing};
use wedgebook::measures::analyse;
use wedgebook::readings::{ReadOptions, read_files};
use wedgebook::units::{Celsius, LogExposure};

fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data").join(name)
}

fn verify(c: &mut Criterion) {
    let options =
        ReadOptions { log_exposure_clear: LogExposure::new(0.0).ok(), ..ReadOptions::default() };
    let read = |name| read_files(&[data(name)], &options).unwrap().strips;
    let reference = Celsius::new(20.0).unwrap();
    let pairing = Pairing::calibrate(read("family.csv"), Choice::Auto, reference).unwrap();
    let control = analyse(read("control.csv"), Choice::Auto);
    let analysis = &control[0];
    let strip = ControlStrip {
        analysis,
        minutes: analysis.strip.minutes.unwrap(),
        celsius: analysis.strip.celsius.unwrap(),
    };
    let verifier = Verifier {
        pairing: &pairing,
        measure: Measure::ContrastIndex,
        limits: pairing_limits(None).unwrap(),
    };
    c.bench_function("verify one strip", |b| {
        b.iter(|| verifier.verify(black_box(&strip)).unwrap());
    });
    c.bench_function("condition the expectation on a family", |b| {
        b.iter(|| Expectation::near(black_box(&pairing), 9.0));
    });
}

fn year(c: &mut Criterion) {
    let journal = Journal::read(&data("bath.csv")).unwrap();
    let limits = pairing_limits(None).unwrap();
    c.bench_function("chart the activity of a year", |b| {
        b.iter(|| {
            let entries = black_box(&journal.entries);
            chart(entries, Charted::Activity, &limits, Basis::FirstStrips).unwrap()
        });
    });
    c.bench_function("follow a bath for a year", |b| {
        b.iter(|| {
            let life = BathHistory::of(black_box(&journal.entries)).unwrap();
            let now = life.events.last().unwrap().day;
            Bath::follow(&life.events, &Assumptions::default(), now).unwrap()
        });
    });
}

criterion_group!(benches, verify, year);
criterion_main!(benches);
