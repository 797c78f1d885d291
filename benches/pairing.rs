//! A family of six strips: calibrating, adjusting, the development surface.

use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use std::path::Path;
use wedgebook::curve::Choice;
use wedgebook::development::{Measure, Pairing, Wanted};
use wedgebook::readings::{ReadOptions, read_files};
use wedgebook::units::{Celsius, LogExposure};

fn pairing(c: &mut Criterion) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/family.csv");
    let options =
        ReadOptions { log_exposure_clear: LogExposure::new(0.0).ok(), ..ReadOptions::default() };
    let strips = read_files(&[path], &options).unwrap().strips;
    let celsius = Celsius::new(20.0).unwrap();
    let calibrated = || Pairing::calibrate(strips.clone(), Choice::Auto, celsius).unwrap();
    c.bench_function("calibrate six strips", |b| b.iter(calibrated));
    c.bench_function("development surface of six strips", |b| {
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
    c.bench_function("adjust a pairing", |b| {
        b.iter(|| pairing.adjust(black_box(&wanted)).unwrap().minutes)
    });
}

criterion_group!(benches, pairing);
criterion_main!(benches);
