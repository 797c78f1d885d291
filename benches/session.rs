//! A session: from the text of its plan to the sheet, and to its page.

use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use std::path::Path;
use wedgebook::bath::journal::Journal;
use wedgebook::curve::Choice;
use wedgebook::development::Pairing;
use wedgebook::development::file::{Aims, PairingFile};
use wedgebook::figures::{CheckColumn, CheckTable, Checklist, Headline};
use wedgebook::readings::{ReadOptions, read_files};
use wedgebook::session::cautions::CAUTIONS;
use wedgebook::session::{Plan, Session, Sheet, latest_strip};
use wedgebook::units::{Celsius, LogExposure};

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

fn session(c: &mut Criterion) {
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("data");
    let options =
        ReadOptions { log_exposure_clear: LogExposure::new(0.0).ok(), ..ReadOptions::default() };
    let strips = read_files(&[data.join("family.csv")], &options).unwrap().strips;
    let celsius = Celsius::new(20.0).unwrap();
    let file = PairingFile::new("Larkfold".to_owned(), celsius, None, Aims::default(), &strips);
    let pairing = Pairing::calibrate(strips, Choice::Auto, celsius).unwrap();
    let bytes = std::fs::read(data.join("bath.csv")).unwrap();
    let today = jiff::civil::date(2026, 12, 1);
    let path = data.join("session.toml");
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
    c.bench_function("sheet of a session", |b| b.iter(sheet));
    c.bench_function("sheet and page, svg", |b| {
        b.iter(|| page(&sheet()).scene().to_svg());
    });
    c.bench_function("sheet and page, png", |b| {
        b.iter(|| page(&sheet()).scene().to_png());
    });
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = session
}
criterion_main!(benches);
