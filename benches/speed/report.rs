//! A report of six strips: their fits, their figure, their tables, the page.

use criterion::Criterion;
use jiff::civil::date;
use std::hint::black_box;
use wedgebook::answers::Curves;
use wedgebook::answers::report::{Report, ReportPart};
use wedgebook::curve::Choice;
use wedgebook::show::report::render;

pub fn report(c: &mut Criterion) {
    let mut group = c.benchmark_group("report");
    let strips = super::strips("family.csv", 0.0);
    assert_eq!(strips.len(), 6);
    let part = |strips| ReportPart::of_curves(&Curves::of(strips, Choice::Auto));
    let page = |part| {
        let title = "Larkfold in Quillback 1+6".to_owned();
        render(&Report { title, date: date(2026, 11, 17), parts: vec![part] }).len()
    };
    group.bench_function("six strips, fits and page", |b| {
        b.iter(|| page(part(black_box(strips.clone()))));
    });
    group.bench_function("six strips, figure and page", |b| {
        b.iter_batched(|| part(strips.clone()), page, criterion::BatchSize::LargeInput);
    });
}
