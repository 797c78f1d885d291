//! The three faces of an answer, whatever it says: text of every width, JSON, printed pages.

use crate::page::{words, words_that_stand_free};
use jiff::civil::date;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use std::path::Path;
use wedgebook::answers::{
    Answer, Block, Column, Curves, Description, EvennessReport, Field, Fixing, FixingQuestion,
    Gather, Note, NoteKind, Papers, Section, SessionQuestion, SessionSheet, Table, Value, Wash,
    WashQuestion, WashedBy,
};
use wedgebook::bath::film::{Films, Format};
use wedgebook::bath::journal::Journal;
use wedgebook::curve::Choice;
use wedgebook::development::Pairing;
use wedgebook::development::file::{Aims, PairingFile};
use wedgebook::evenness::Options;
use wedgebook::figures::draw::{MILLIMETRE, Scene};
use wedgebook::readings::{ReadOptions, read_files, read_frames};
use wedgebook::session::Plan;
use wedgebook::session::fixing::ClearingTest;
use wedgebook::show::{json, page, text};
use wedgebook::units::{Celsius, LogExposure};

/// Seven points in page units of 1/96 inch.
const SEVEN_POINTS: f64 = 7.0 * 96.0 / 72.0;

fn data(name: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data").join(name)
}

fn options(clear: f64) -> ReadOptions {
    ReadOptions { log_exposure_clear: LogExposure::new(clear).ok(), ..ReadOptions::default() }
}

/// The sheet of a session: that of the demonstration with `count` films of 135-36.
fn session(count: u32) -> SessionSheet {
    let strips = read_files(&[data("family.csv")], &options(0.0)).unwrap().strips;
    let celsius = Celsius::new(20.0).unwrap();
    let name = "Larkfold in Quillback 1+6".to_owned();
    let file = PairingFile::new(name, celsius, None, Aims::default(), &strips);
    let pairing = Pairing::calibrate(strips, Choice::Auto, celsius).unwrap();
    let plan = std::fs::read_to_string(data("session.toml")).unwrap();
    let plan = plan.replace("count = 7", &format!("count = {count}"));
    let plan = Plan::parse(&data("session.toml"), &plan).unwrap();
    let bytes = std::fs::read(data("bath.csv")).unwrap();
    let day = date(2026, 11, 17);
    let journal = Journal::parse("bath.csv", &bytes, day).unwrap();
    SessionSheet::of(SessionQuestion {
        plan: &plan,
        file: &file,
        pairing: &pairing,
        journal: Some(&journal),
        date: day,
        extrapolate: false,
    })
    .unwrap()
}

fn fixing(fresh_seconds: Option<f64>, films: Vec<(u32, Format)>) -> Fixing {
    Fixing::of(FixingQuestion {
        test: ClearingTest { seconds: 85.5, fresh_seconds },
        factor: None,
        films: Films(films),
        ml_per_roll: None,
        in_hand_ml: Some(500.0),
    })
}

/// Answers of the demonstration's data, and of what is odd.
fn answers() -> Vec<(&'static str, Description)> {
    let by = WashedBy::Changes {
        retained_ml: 60.0,
        total_ml: 600.0,
        changes: None,
        minutes_each: None,
    };
    let running = WashedBy::Running { half_time: None, minutes: None };
    let wash = |by| Wash::of(WashQuestion { by, residual: None }).unwrap().describe();
    let frames = |name: &str| {
        let frames = read_frames(&data(name), None).unwrap();
        EvennessReport::of(frames, Options::default()).unwrap().describe()
    };
    let strips = |name: &str, clear| read_files(&[data(name)], &options(clear)).unwrap().strips;
    vec![
        ("curve", Curves::of(strips("strip.csv", 0.0), Choice::Auto).describe()),
        ("paper", Papers::of(strips("paper.csv", 2.0), Choice::Auto, None).describe()),
        ("fix", fixing(Some(50.0), vec![(6, Format::Roll135x36)]).describe()),
        ("fix, spent", fixing(Some(40.0), Vec::new()).describe()),
        ("fix, unknown", fixing(None, Vec::new()).describe()),
        ("wash", wash(running)),
        ("wash in changes", wash(by)),
        ("evenness", frames("evenness.csv")),
        ("session", session(7).describe()),
        ("a long session", session(60).describe()),
    ]
}

/// The words without any space, as lines, columns and pages break them.
fn bare(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

/// Whether the words stand in a text whose lines may be broken anywhere and share it with other columns:
/// each word of them is there.
fn has_words(all: &str, wanted: &str) -> bool {
    wanted.split_whitespace().all(|word| all.contains(&bare(word)))
}

/// Every field and cell that people see.
fn seen(blocks: &[Block], into: &mut Vec<(String, String)>) {
    for block in blocks {
        match block {
            Block::Field(field) => {
                into.push((field.label.to_string(), field.value.for_people()));
            }
            Block::Section(section) => {
                into.extend(section.title.iter().map(|t| (t.clone(), String::new())));
                seen(&section.blocks, into);
            }
            Block::Sections { items, .. } => {
                for section in items {
                    into.extend(section.title.iter().map(|t| (t.clone(), String::new())));
                    seen(&section.blocks, into);
                }
            }
            Block::Table(table) => {
                for row in &table.rows {
                    let cells = table.columns.iter().zip(&row.cells);
                    for (column, cell) in cells.filter(|(column, _)| !column.for_programs) {
                        if *cell != Value::Empty {
                            into.push((column.label.to_string(), cell.for_people()));
                        }
                    }
                }
            }
            Block::Twofold { people, .. } => seen(people, into),
            Block::Line { words, .. } => into.push((words.clone(), String::new())),
            Block::Data { .. } => {}
        }
    }
}

/// Every key that programs read.
fn keys(blocks: &[Block], into: &mut Vec<String>) {
    let mut fields = |fields: &[Field]| into.extend(fields.iter().map(|f| f.key.to_string()));
    for block in blocks {
        match block {
            Block::Field(field) => fields(std::slice::from_ref(field)),
            Block::Line { fields: own, .. } => fields(own),
            Block::Data { key, .. } => into.push(key.to_string()),
            Block::Section(section) => {
                fields(&section.heading);
                into.extend(section.key.iter().map(ToString::to_string));
                keys(&section.blocks, into);
            }
            Block::Sections { key, items } => {
                into.push(key.to_string());
                for section in items {
                    into.extend(section.heading.iter().map(|f| f.key.to_string()));
                    keys(&section.blocks, into);
                }
            }
            Block::Table(table) if table.key.is_some() && !table.rows.is_empty() => {
                for (k, column) in table.columns.iter().enumerate() {
                    if table.rows.iter().any(|row| row.cells[k] != Value::Empty) {
                        into.push(column.key.to_string());
                    }
                }
            }
            Block::Table(_) => {}
            Block::Twofold { programs, .. } => keys(programs, into),
        }
        fields = |_: &[Field]| {};
    }
}

fn notes(description: &Description) -> Vec<&Note> {
    fn of(blocks: &[Block]) -> Vec<&Note> {
        let section = |s: &'_ Section| -> Vec<*const Note> {
            s.notes.iter().flatten().map(std::ptr::from_ref).collect()
        };
        let _ = section;
        blocks
            .iter()
            .flat_map(|block| match block {
                Block::Section(s) => {
                    s.notes.iter().flatten().chain(of(&s.blocks)).collect::<Vec<_>>()
                }
                Block::Sections { items, .. } => items
                    .iter()
                    .flat_map(|s| s.notes.iter().flatten().chain(of(&s.blocks)))
                    .collect(),
                Block::Twofold { people, .. } => of(people),
                _ => Vec::new(),
            })
            .collect()
    }
    description.notes.iter().chain(of(&description.blocks)).collect()
}
