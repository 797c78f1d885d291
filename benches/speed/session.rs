//! A session: from the text of its plan to the sheet, and to its page.

use criterion::Criterion;
use std::hint::black_box;
use wedgebook::bath::journal::Journal;
use wedgebook::curve::Choice;
use wedgebook::development::Pairing;
use wedgebook::development::file::{Aims, PairingFile};
use wedgebook::figures::{CheckColumn, CheckTable, Checklist, Headline};
use wedgebook::session::cautions::CAUTIONS;
use wedgebook::session::{Plan, Session, Sheet, latest_strip};
use wedgebook::units::Celsius;

/// A page with as much on it as the command's own.
fn page(sheet: &Sheet) -> Checklist {
    let column =
        |heading: &str| CheckColumn { heading: heading.to_owned(), is_number: heading == "s" };
    let steps = sheet.steps.iter().map(|s| {
        let (name, how) = (s.kind.name().to_owned(), s.how.clone());
        vec![name, s.seconds.to_string(), how, s.source.clone()]
    });
    let batches = sheet.batches.iter().map(|b| {
        let begins = b.steps.iter().map(|s| s.from.to_string());
        let films = b.films.to_string();
        std::iter::once(films).chain(begins).collect()
    });
    let times = sheet.steps.iter().map(|_| column("s"));
    Checklist {
        title: sheet.title.clone(),
        details: vec![sheet.pairing.clone()],
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
        headline: Some(Headline {
            number: sheet.developing.seconds.to_string(),
            words: sheet.notes.iter().take(3).cloned().collect(),
        }),
        tables: vec![
            CheckTable {
                heading: "steps".to_owned(),
                columns: ["step", "s", "how", "from"].map(column).to_vec(),
                boxes: sheet.batches.len(),
                rows: steps.collect(),
            },
            CheckTable {
                heading: "batches".to_owned(),
                columns: std::iter::once(column("films")).chain(times).collect(),
                boxes: 1,
                rows: batches.collect(),
            },
        ],
        notes: sheet.notes.clone(),
    }
}

pub fn session(c: &mut Criterion) {
    let mut group = c.benchmark_group("session");
    group.sample_size(20);
    let strips = super::strips("family.csv", 0.0);
    let celsius = Celsius::new(20.0).unwrap();
    let file = PairingFile::new("Larkfold".to_owned(), celsius, None, Aims::default(), &strips);
    let pairing = Pairing::calibrate(strips, Choice::Auto, celsius).unwrap();
    let bytes = std::fs::read(super::data("bath.csv")).unwrap();
    let today = jiff::civil::date(2026, 12, 1);
    let path = super::data("session.toml");
    let text = std::fs::read_to_string(&path).unwrap();
    let sheet = || {
        let plan = Plan::parse(&path, black_box(&text)).unwrap();
        let journal = Journal::parse("bath.csv", &bytes, today).unwrap();
        let session = Session {
            plan: &plan,
            file: &file,
            pairing: &pairing,
            activity: latest_strip(&journal),
            journal: Some(&journal),
            extrapolate: false,
        };
        session.sheet().unwrap()
    };
    group.bench_function("sheet", |b| b.iter(sheet));
    group.bench_function("sheet and page, svg", |b| {
        b.iter(|| page(&sheet()).scene().to_svg());
    });
    group.bench_function("sheet and page, png", |b| {
        b.iter(|| page(&sheet()).scene().to_png());
    });
}
