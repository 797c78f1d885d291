//! Control charts of 10 000 strips: one quantity, seven of them, their figure.

use criterion::Criterion;
use jiff::ToSpan;
use jiff::civil::date;
use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};
use rand_distr::StandardNormal;
use std::hint::black_box;
use wedgebook::bath::control::{Chart, Plan, RuleSet, Sample, constants, run_rules};
use wedgebook::bath::limits::Allowed;
use wedgebook::figures::{Mark, control_charts};

const STRIPS: usize = 10_000;

/// Strips of 27 years, with a year out of control.
fn strips(seed: u64) -> Vec<Sample> {
    let mut rng = StdRng::seed_from_u64(seed);
    let sample = |n: usize| {
        let off = if (6000..6360).contains(&n) { 2.5 } else { 0.0 };
        Sample {
            date: date(1999, 1, 4) + (n as i64).days(),
            value: 0.6 + 0.01 * (rng.sample::<f64, _>(StandardNormal) + off),
            batch: None,
        }
    };
    (0..STRIPS).map(sample).collect()
}

fn plan(n: usize) -> Plan {
    let allowed = Allowed::symmetric(0.04).unwrap();
    Plan::new(&format!("quantity {n}"), 3).with_tolerance(0.6, allowed)
}

pub fn control(c: &mut Criterion) {
    let mut group = c.benchmark_group("control");
    group.sample_size(10);
    constants(2).unwrap();
    let strips: Vec<Vec<Sample>> = (0..7).map(strips).collect();
    let z: Vec<f64> = strips[0].iter().map(|s| (s.value - 0.6) / 0.01).collect();
    group.bench_function("run rules over 10000 values", |b| {
        b.iter(|| run_rules(black_box(&z), RuleSet::Nelson).len());
    });
    group.bench_function("chart of 10000 strips", |b| {
        b.iter(|| Chart::new(plan(0), black_box(&strips[0])).unwrap());
    });
    let charts = || -> Vec<Chart> {
        let all = strips.iter().enumerate();
        all.map(|(n, s)| Chart::new(plan(n), s).unwrap()).collect()
    };
    let marks = (0..300).map(|n| Mark {
        date: date(1999, 1, 4) + (33 * n).days(),
        text: ["mixed", "replenished", "replenished"][n as usize % 3].to_owned(),
    });
    let (all, marks) = (charts(), marks.collect::<Vec<_>>());
    let figure = |charts: &[Chart]| control_charts("Quillback 1+6", charts, &marks).scene();
    group.bench_function("svg, 10000 strips", |b| {
        b.iter(|| figure(black_box(&all[..1])).to_svg());
    });
    group.bench_function("charts and svg, 7 times 10000 strips", |b| {
        b.iter(|| figure(&charts()).to_svg());
    });
    group.bench_function("png, 7 times 10000 strips", |b| {
        b.iter(|| figure(black_box(&all)).to_png());
    });
}
