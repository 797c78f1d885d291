//! How long a figure takes, from analysed strips to the bytes of the file.

use super::strips;
use criterion::Criterion;
use std::hint::black_box;
use wedgebook::curve::Choice;
use wedgebook::figures::characteristic;
use wedgebook::measures::analyse;

pub fn figures(c: &mut Criterion) {
    let mut group = c.benchmark_group("figures");
    group.sample_size(20);
    for count in [1, 6] {
        let mut family = strips("family.csv", 0.0);
        family.truncate(count);
        let strips = analyse(family, Choice::Auto);
        group.bench_function(format!("characteristic svg, strips {count}"), |b| {
            b.iter(|| characteristic(black_box(&strips)).scene().to_svg());
        });
        group.bench_function(format!("characteristic png, strips {count}"), |b| {
            b.iter(|| characteristic(black_box(&strips)).scene().to_png());
        });
    }
}
