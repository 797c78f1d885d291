//! How fast readings files are read: a large table in two styles of text.

use std::fmt::Write;
use std::hint::black_box;

use criterion::{Criterion, Throughput};
use wedgebook::readings::{ReadOptions, read_bytes};

const STRIPS: u32 = 10_000;
const STEPS: u32 = 22;

/// A table of [`STRIPS`] strips with [`STEPS`] rows each.
fn table(separator: char, decimal_comma: bool) -> String {
    let number = |value: f64| {
        let text = format!("{value:.3}");
        if decimal_comma { text.replace('.', ",") } else { text }
    };
    let heading = ["strip", "step", "log_exposure", "density", "minutes", "celsius", "film"];
    let mut text = heading.join(&separator.to_string());
    text.push('\n');
    for strip in 1..=STRIPS {
        for step in 1..=STEPS {
            let x = 0.15 * f64::from(step) - 3.0;
            let density = 0.2 + 1.8 / (1.0 + (-3.0 * (x + 1.2)).exp());
            let s = separator;
            let (x, density) = (number(x), number(density));
            writeln!(text, "strip {strip}{s}{step}{s}{x}{s}{density}{s}7:30{s}20{s}Grey 100")
                .unwrap();
        }
    }
    text
}

pub fn readings(c: &mut Criterion) {
    let options = ReadOptions::default();
    let mut group = c.benchmark_group("readings");
    group.sample_size(10).throughput(Throughput::Elements(u64::from(STRIPS * STEPS)));
    for (name, separator, decimal_comma) in
        [("comma", ',', false), ("semicolon, decimal comma", ';', true)]
    {
        let text = table(separator, decimal_comma);
        group.bench_function(name, |b| {
            b.iter(|| {
                let readings =
                    read_bytes("large.csv", black_box(text.as_bytes()), &options).unwrap();
                assert_eq!(readings.strips.len(), STRIPS as usize);
                readings
            });
        });
    }
    group.finish();
}
