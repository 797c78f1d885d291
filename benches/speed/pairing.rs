//! A family of six strips: calibrating, adjusting, the development surface.

use criterion::Criterion;
use std::hint::black_box;
use wedgebook::curve::Choice;
use wedgebook::development::{Measure, Pairing, Wanted};
use wedgebook::units::Celsius;

pub fn pairing(c: &mut Criterion) {
    let mut group = c.benchmark_group("pairing");
    let strips = super::strips("family.csv", 0.0);
    let celsius = Celsius::new(20.0).unwrap();
    let calibrated = || Pairing::calibrate(strips.clone(), Choice::Auto, celsius).unwrap();
    group.bench_function("calibrate six strips", |b| b.iter(calibrated));
    group.bench_function("development surface of six strips", |b| {
        b.iter_batched(
            calibrated,
            |p| p.surface().map(|s| s.residual_sd),
            criterion::BatchSize::SmallInput,
        );
    });
    let pairing = calibrated();
    let wanted = Wanted {
        measure: Measure::ContrastIndex,
        contrast: 0.58,
        celsius,
        activity: 1.0,
        extrapolate: false,
    };
    group.bench_function("adjust a pairing", |b| {
        b.iter(|| pairing.adjust(black_box(&wanted)).unwrap().minutes)
    });
}
