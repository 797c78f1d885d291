//! Papers, a proof, tone reproduction with all its tries, and their figures.

use super::{family, strips};
use criterion::Criterion;
use std::hint::black_box;
use wedgebook::curve::Choice;
use wedgebook::figures::paper_curves;
use wedgebook::printing::proof::{Exposure, TestStrip, White};
use wedgebook::printing::tone::{Camera, Film, GREY, PrintFor, PrintSetup, Printed};
use wedgebook::printing::{Settings, analyse_papers};

pub fn printing(c: &mut Criterion) {
    let mut group = c.benchmark_group("printing");
    let paper = strips("paper.csv", 2.0);
    let one = || analyse_papers(vec![paper[2].clone()], Choice::Auto);
    group.bench_function("paper, one strip", |b| b.iter(one));
    let papers = analyse_papers(paper.clone(), Choice::Auto);
    group.bench_function("paper, figure of six strips", |b| {
        b.iter(|| paper_curves(black_box(&papers)).scene().to_svg());
    });
    let settings = Settings::of(&papers);
    group.bench_function("setting for a range", |b| {
        b.iter(|| settings.for_range(black_box(95.0)).unwrap());
    });
    let readings = [3.0, 4.0, 5.6, 8.0, 11.0, 16.0, 22.0, 32.0]
        .into_iter()
        .zip([1.02, 1.28, 1.53, 1.77, 1.95, 2.05, 2.05, 2.07]);
    let exposures: Vec<Exposure> =
        readings.map(|(seconds, density)| Exposure { seconds, density }).collect();
    let strip = TestStrip::new(&exposures, White::ASSUMED, 0.01).unwrap();
    group.bench_function("proof from a test strip", |b| {
        b.iter(|| black_box(&strip).shortest_black().unwrap());
    });
    let pairing = family();
    let bench = PrintSetup {
        camera: Camera { stops: 7.0, flare: 0.4, grey: GREY, correction: 0.0 },
        film: Film { pairing: &pairing, theta: 11.0, exposure_index: None },
        printed: Printed { callier: 1.0, print_for: PrintFor::Middle, correction: 0.0 },
        papers: &papers,
        paper: 2,
    };
    group.bench_function("tone, the print of a scene", |b| {
        b.iter(|| bench.chain().unwrap().reproduction());
    });
    group.bench_function("tone, every change tried", |b| b.iter(|| bench.remedies()));
}
