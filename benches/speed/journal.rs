//! How fast a long journal is read and folded, and how fast an entry is added to it.

use std::fmt::Write;
use std::hint::black_box;

use criterion::{BatchSize, Criterion, Throughput};
use jiff::civil::date;
use wedgebook::bath::journal::{Act, Column, Entry, Journal};

const LINES: u32 = 20_000;

/// A journal of [`LINES`] entries: film and replenishment, and a strip now and then.
fn long() -> String {
    let heading: Vec<&str> = Column::ALL.iter().map(|c| c.name()).collect();
    let mut text = heading.join(",");
    text.push_str("\n2025-01-01,mix,1.5,Quillback 1+6,1+6");
    text.push_str(&",".repeat(24));
    for line in 1..LINES {
        let day = date(2025, 1, 1).checked_add(jiff::Span::new().days(line / 60)).unwrap();
        let row = match line % 10 {
            0 => {
                "strip,,,,,,,,C 7,control,quillback.toml,9.25,20.5,0.931,0.902,0.961,0.553,-0.031,0.298,0.004,-2.114,0.02,0.41,-0.01,1.27,-0.06,,out of spec: lengthen"
            }
            1..=4 => "replenish,,,,,,62.5,62.5,,,,,,,,,,,,,,,,,,,,",
            _ => "film,,,,2 × 120 + 6 × 4x5in,0.179509,,,,,,,,,,,,,,,,,,,,,\"warm, 24 °C\",",
        };
        write!(text, "\n{day},{row}").unwrap();
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
