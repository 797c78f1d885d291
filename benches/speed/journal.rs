//! How fast a long journal is read and folded, and how fast an entry is added to it.

use std::hint::black_box;

use criterion::{BatchSize, Criterion, Throughput};
use jiff::civil::date;
use wedgebook::bath::journal::{Act, Column, Entry, Journal};

const LINES: u32 = 20_000;

/// A line of the journal with these cells; the others are empty.
fn line(cells: &[(&str, &str)]) -> String {
    let cell =
        |c: &Column| cells.iter().find(|(name, _)| *name == c.name()).map_or("", |(_, cell)| cell);
    Column::ALL.iter().map(cell).collect::<Vec<_>>().join(",")
}

/// A journal of [`LINES`] entries: film and replenishment, and a strip now and then.
fn long() -> String {
    let heading: Vec<&str> = Column::ALL.iter().map(|c| c.name()).collect();
    let mix = [("act", "mix"), ("litres", "1.5"), ("what", "Quillback 1+6"), ("dilution", "1+6")];
    let strip = [
        ("act", "strip"),
        ("strip", "C 7"),
        ("batch", "control"),
        ("pairing", "quillback.toml"),
        ("minutes", "9.25"),
        ("celsius", "20.5"),
        ("activity", "0.931"),
        ("activity_low", "0.902"),
        ("activity_high", "0.961"),
        ("contrast", "0.553"),
        ("contrast_off", "-0.031"),
        ("base_plus_fog", "0.298"),
        ("base_plus_fog_off", "0.004"),
        ("speed_log_h", "-2.114"),
        ("speed_gain_log_h", "0.02"),
        ("low_density", "0.41"),
        ("low_density_off", "-0.01"),
        ("high_density", "1.27"),
        ("high_density_off", "-0.06"),
        ("verdict", "out of spec: lengthen"),
    ];
    let replenish = [("act", "replenish"), ("added_ml", "62.5"), ("removed_ml", "62.5")];
    let film = [
        ("act", "film"),
        ("films", "2 × 120 + 6 × 4x5in"),
        ("area_m2", "0.179509"),
        ("note", "\"warm, 24 °C\""),
    ];
    let mut text = heading.join(",");
    for at in 0..LINES {
        let day = date(2025, 1, 1).checked_add(jiff::Span::new().days(at / 60)).unwrap();
        let cells: &[(&str, &str)] = match at % 10 {
            _ if at == 0 => &mix,
            0 => &strip,
            1..=4 => &replenish,
            _ => &film,
        };
        let day = day.to_string();
        text += "\n";
        text += &line(&[&[("date", day.as_str())], cells].concat());
    }
    text.push('\n');
    text
}

pub fn journal(c: &mut Criterion) {
    let text = long();
    let today = date(2026, 6, 30);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bath.csv");
    std::fs::write(&path, &text).unwrap();
    let mut group = c.benchmark_group("journal of 20,000 lines");
    group.sample_size(20).throughput(Throughput::Elements(u64::from(LINES)));
    group.bench_function("parse and fold", |b| {
        b.iter(|| {
            let journal = Journal::parse("bath.csv", black_box(text.as_bytes()), today).unwrap();
            assert_eq!(journal.entries.len(), LINES as usize);
            journal.balance()
        });
    });
    group.bench_function("read the file and fold", |b| {
        b.iter(|| Journal::read(black_box(&path)).unwrap().balance());
    });
    let note = Entry::new(date(2026, 1, 1), Act::Note, Some("clear".to_owned()));
    group.throughput(Throughput::Elements(1));
    group.bench_function("add an entry", |b| {
        b.iter_batched(
            || std::fs::write(&path, &text).unwrap(),
            |()| Journal::append(&path, &note).unwrap(),
            BatchSize::PerIteration,
        );
    });
    group.finish();
}
