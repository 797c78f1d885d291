//! Verifying a bath from a control strip, and following its journal.

use super::{data, family, strips};
use criterion::Criterion;
use std::hint::black_box;
use wedgebook::bath::control::Basis;
use wedgebook::bath::forecast::{Assumptions, Bath};
use wedgebook::bath::history::{BathHistory, chart};
use wedgebook::bath::journal::Journal;
use wedgebook::bath::verify::{ControlStrip, Verifier, pairing_limits};
use wedgebook::bath::watched::Watched;
use wedgebook::curve::Choice;
use wedgebook::development::{Expectation, Measure};
use wedgebook::measures::analyse;

pub fn verify(c: &mut Criterion) {
    let mut group = c.benchmark_group("verify");
    let pairing = family();
    let control = analyse(strips("control.csv", 0.0), Choice::Auto);
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
    group.bench_function("verify one strip", |b| {
        b.iter(|| verifier.verify(black_box(&strip)).unwrap());
    });
    group.bench_function("condition the expectation on a family", |b| {
        b.iter(|| Expectation::near(black_box(&pairing), 9.0));
    });
    let journal = Journal::read(&data("bath.csv")).unwrap();
    let limits = pairing_limits(None).unwrap();
    group.bench_function("chart the activity of a year", |b| {
        b.iter(|| {
            let entries = black_box(&journal.entries);
            chart(entries, Watched::Activity, &limits, Basis::FirstStrips).unwrap()
        });
    });
    group.bench_function("follow a bath for a year", |b| {
        b.iter(|| {
            let life = BathHistory::of(black_box(&journal.entries)).unwrap();
            let now = life.events.last().unwrap().day;
            Bath::follow(&life.events, &Assumptions::default(), now).unwrap()
        });
    });
}
