//! Evenness: six frames of fifteen readings from the file's bytes to text's numbers and to the map,
//! and one frame read densely.

use criterion::Criterion;
use std::fmt::Write;
use std::hint::black_box;
use std::process::Command;
use wedgebook::evenness::{Options, causes, measure};
use wedgebook::readings::frames_of_bytes;

/// One frame read every 1.5 mm, with surge along the edges and a fixed pattern for noise.
fn dense() -> String {
    let mut text = String::from("x_mm,y_mm,density\n");
    for row in 0..16 {
        for column in 0..24 {
            let (x, y) = (0.75 + 1.5 * f64::from(column), 0.75 + 1.5 * f64::from(row));
            let noise = 0.005 * (f64::from(row * 24 + column) * 2.399).sin();
            let density = 0.8 + 0.05 * (-y / 3.0).exp() + 0.03 * ((y - 24.0) / 3.0).exp() + noise;
            let _ = writeln!(text, "{x},{y},{density:.3}");
        }
    }
    text
}

pub fn evenness(c: &mut Criterion) {
    let path = super::data("evenness.csv");
    let roll = std::fs::read(&path).unwrap();
    let whole = |bytes: &[u8]| {
        let frames = frames_of_bytes("roll.csv", bytes, None).unwrap();
        let options = Options::default();
        let evenness = measure(&frames, &options).unwrap();
        let findings = evenness.findings(&options.printing);
        causes(&findings, false).len()
    };
    let mut group = c.benchmark_group("evenness");
    group.bench_function("six frames of 15 readings", |b| {
        b.iter(|| whole(black_box(&roll)));
    });
    let dense = dense();
    group.sample_size(10);
    group.bench_function("one frame of 384 readings", |b| {
        b.iter(|| whole(black_box(dense.as_bytes())));
    });
    group.bench_function("the command on six frames", |b| {
        b.iter(|| {
            let run =
                Command::new(env!("CARGO_BIN_EXE_wedgebook")).arg("evenness").arg(&path).output();
            assert_eq!(run.unwrap().status.code(), Some(1));
        });
    });
    group.finish();
}
