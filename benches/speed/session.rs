//! A session: from the text of its plan to the sheet, and to its pages.

use criterion::Criterion;
use std::hint::black_box;
use wedgebook::answers::{Answer, SessionQuestion, SessionSheet};
use wedgebook::bath::journal::Journal;
use wedgebook::curve::Choice;
use wedgebook::development::Pairing;
use wedgebook::development::file::{Aims, PairingFile};
use wedgebook::session::Plan;
use wedgebook::show::page;
use wedgebook::units::Celsius;

pub fn session(c: &mut Criterion) {
    let mut group = c.benchmark_group("session");
    group.sample_size(20);
    let strips = super::strips("family.csv", 0.0);
    let celsius = Celsius::new(20.0).unwrap();
    let file = PairingFile::new("Larkfold".to_owned(), celsius, None, Aims::default(), &strips);
    let pairing = Pairing::calibrate(strips, Choice::Auto, celsius).unwrap();
    let bytes = std::fs::read(super::data("bath.csv")).unwrap();
    let date = jiff::civil::date(2026, 12, 1);
    let path = super::data("session.toml");
    let text = std::fs::read_to_string(&path).unwrap();
    let sheet = || {
        let plan = Plan::parse(&path, black_box(&text)).unwrap();
        let journal = Journal::parse("bath.csv", &bytes, date).unwrap();
        SessionSheet::of(SessionQuestion {
            first_number: None,
            temperatures: &[],
            plan: &plan,
            file: &file,
            pairing: &pairing,
            journal: Some(&journal),
            date,
            extrapolate: false,
            anyway: false,
        })
        .unwrap()
    };
    group.bench_function("sheet", |b| b.iter(sheet));
    let pages = sheet().describe();
    group.bench_function("pages, svg", |b| {
        b.iter(|| page::render(&pages).iter().map(|p| p.to_svg().len()).sum::<usize>());
    });
    group.bench_function("pages, png", |b| {
        b.iter(|| page::render(&pages).iter().map(|p| p.to_png().unwrap().len()).sum::<usize>());
    });
}
