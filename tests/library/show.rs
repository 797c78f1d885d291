//! The three faces of an answer, whatever it says: text of every width, JSON, printed pages.

use crate::page::{words, words_that_stand_free};
use jiff::civil::date;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use std::path::Path;
use wedgebook::answers::read::TakenWith;
use wedgebook::answers::session::{ClassNight, NightQuestion};
use wedgebook::answers::trace::{FaultQuestion, Judged, SharedFault, TraceQuestion, TracedFilm};
use wedgebook::answers::{
    AboutStrip, Adjust, AdjustQuestion, Answer, BathToday, Bench, BenchQuestion, Block, Column,
    ConvertQuestion, Converted, Curves, Description, DevelopedQuestion, DevelopedTable, EvenFrame,
    EvennessReport, Exposure, ExposureQuestion, Field, Fixing, FixingQuestion, Gather, Got, Laid,
    LeaderQuestion, LeaderTest, NegativeRead, Note, NoteKind, OneStripQuestion, OneStripToday,
    Papers, ReadQuestion, Section, SessionQuestion, SessionSheet, Started, StripsCompared, Table,
    TimesTable, Value, Wash, WashQuestion, WashedBy,
};
use wedgebook::bath::film::{Films, Format};
use wedgebook::bath::journal::Journal;
use wedgebook::curve::Choice;
use wedgebook::development::aim::{Printing, Target};
use wedgebook::development::convert::TimeLaw;
use wedgebook::development::drift::Reading;
use wedgebook::development::file::{Aims, PairingFile};
use wedgebook::development::leader::{Tested, read_leader};
use wedgebook::development::{Measure, OneStrip, Pairing};
use wedgebook::evenness::Options;
use wedgebook::figures::draw::{MILLIMETRE, Scene};
use wedgebook::measures::exposing::ExposedBy;
use wedgebook::picture::{Frames, Options as PictureOptions};
use wedgebook::readings::{ReadOptions, Strip, Tablet, read_files, read_frames};
use wedgebook::session::Plan;
use wedgebook::session::fixing::ClearingTest;
use wedgebook::show::{json, page, text};
use wedgebook::units::{Celsius, ExposureIndex, LogExposure, Minutes, TemperatureUnit};

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
    let plan = Plan::parse(Path::new("data/session.toml"), &plan).unwrap();
    let bytes = std::fs::read(data("bath.csv")).unwrap();
    let day = date(2026, 11, 17);
    let journal = Journal::parse("bath.csv", &bytes, day).unwrap();
    SessionSheet::of(SessionQuestion {
        first_number: Some(12),
        temperatures: &[],
        plan: &plan,
        file: &file,
        pairing: &pairing,
        journal: Some(&journal),
        date: day,
        extrapolate: false,
        anyway: false,
    })
    .unwrap()
}

/// The demonstration's leader, with a piece of this density.
fn leader(density: Option<f64>) -> Description {
    let family = read_leader(&data("leader.csv"), None).unwrap();
    let celsius = Celsius::new(21.5).unwrap();
    let minutes = Minutes::new(7.0).unwrap();
    let of = |density| Tested { densities: vec![density], reading_sd: 0.01, minutes, celsius };
    let unit = TemperatureUnit::Celsius;
    let piece = density.map(of);
    LeaderTest::of(LeaderQuestion { family: &family, piece, celsius: None, unit })
        .unwrap()
        .describe()
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

/// The demonstration's class night.
fn night() -> Description {
    let strips = read_files(&[data("family.csv")], &options(0.0)).unwrap().strips;
    let celsius = Celsius::new(20.0).unwrap();
    let name = "Larkfold in Quillback 1+6".to_owned();
    let file = PairingFile::new(name, celsius, None, Aims::default(), &strips);
    let pairing = Pairing::calibrate(strips, Choice::Auto, celsius).unwrap();
    let plan = std::fs::read_to_string(data("class-night.toml")).unwrap();
    let plan = Plan::parse(&data("class-night.toml"), &plan).unwrap();
    let bytes = std::fs::read(data("bath.csv")).unwrap();
    let day = date(2026, 11, 17);
    let journal = Journal::parse("bath.csv", &bytes, day).unwrap();
    ClassNight::of(NightQuestion {
        plan: &plan,
        pairings: vec![(&file, &pairing); plan.parts.len()],
        journals: vec![Some(&journal), None],
        date: day,
        extrapolate: false,
        anyway: false,
        first_number: None,
        temperatures: &[],
    })
    .unwrap()
    .describe()
}

fn class() -> Journal {
    let bytes = std::fs::read(data("class.csv")).unwrap();
    Journal::parse("class.csv", &bytes, date(2026, 11, 17)).unwrap()
}

fn traced(number: u32, log: Result<Vec<Reading>, String>) -> Description {
    let question = TraceQuestion { journal: &class(), number };
    TracedFilm::of(&question, |_| log).unwrap().describe()
}

fn shared(faulty: &[u32], good: &[u32]) -> Description {
    let judged = Judged { number: 2, is_faulty: true, found: "Uneven: its long edges".to_owned() };
    let judged = if good.is_empty() { Vec::new() } else { vec![judged] };
    SharedFault::of(&FaultQuestion { journal: &class(), faulty, good, judged: &judged })
        .unwrap()
        .describe()
}

/// Answers of the demonstration's data, and of what is odd.
/// The demonstration's picture of an even frame, or of a negative.
fn framed(picture: &str) -> Description {
    let open = |name: &str| wedgebook::picture::open(&data(name), PictureOptions::default());
    let (image, flat) = (open(picture).unwrap().image, open("mask.png").unwrap().image);
    let (tablet, _) = Tablet::read(&data("tablet.csv")).unwrap();
    let question = ReadQuestion {
        picture: picture.to_owned(),
        frames: Frames { picture: &image, flat: Some(&flat), dark: None },
        times: Vec::new(),
        tablet: &tablet,
        tablet_sigma: None,
        layout: None,
        step_mm: None,
        with: TakenWith::Camera,
        about: AboutStrip { name: "12".to_owned(), ..AboutStrip::default() },
    };
    match picture {
        "wall.png" => EvenFrame::of(question, "36x24".parse().ok()).unwrap().describe(),
        _ => NegativeRead::of(question, None).unwrap().describe(),
    }
}

fn answers() -> Vec<(&'static str, Description)> {
    let by =
        WashedBy::Changes { retained_ml: 60.0, total_ml: 600.0, changes: None, minutes_each: None };
    let running = WashedBy::Running { half_time: None, minutes: None };
    let wash = |by| Wash::of(WashQuestion { by, residual: None }).unwrap().describe();
    let frames = |name: &str| {
        let frames = read_frames(&data(name), None).unwrap();
        EvennessReport::of(frames, Options::default()).unwrap().describe()
    };
    let strips = |name: &str, clear| read_files(&[data(name)], &options(clear)).unwrap().strips;
    vec![
        ("curve", Curves::of(strips("strip.csv", 0.0), Choice::Auto).describe()),
        ("curves", Curves::of(strips("family.csv", 0.0), Choice::Auto).describe()),
        ("paper", Papers::of(strips("paper.csv", 2.0), Choice::Auto, None).describe()),
        ("fix", fixing(Some(50.0), vec![(6, Format::Roll135x36)]).describe()),
        ("fix, spent", fixing(Some(40.0), Vec::new()).describe()),
        ("fix, unknown", fixing(None, Vec::new()).describe()),
        ("wash", wash(running)),
        ("wash in changes", wash(by)),
        ("evenness", frames("evenness.csv")),
        ("an even frame", framed("wall.png")),
        ("a negative", framed("ferry.png")),
        ("leader", leader(None)),
        ("leader, a piece", leader(Some(1.18))),
        ("leader, no activity", leader(Some(2.9))),
        ("session", session(7).describe()),
        ("compare", StripsCompared::of(strips("family.csv", 0.0), Choice::Auto).describe()),
        ("a long session", session(60).describe()),
        ("a class night", night()),
        ("a film by number", traced(14, Ok(Vec::new()))),
        ("a film with a log that is lost", traced(13, Err("there is no file".to_owned()))),
        ("what faulty films share", shared(&[14, 16, 18, 20, 22, 24], &[])),
        ("what few films share", shared(&[2, 4], &[1, 3, 5])),
        ("what many films share", shared(&[1, 2, 3, 4, 5, 6, 7, 8, 9, 10], &[])),
    ]
    .into_iter()
    .chain(daily(&strips))
    .collect()
}

/// Answers of every day.
fn daily(strips: &impl Fn(&str, f64) -> Vec<Strip>) -> Vec<(&'static str, Description)> {
    let celsius = |c: f64| Celsius::new(c).unwrap();
    let minutes = Minutes::new(9.0).unwrap();
    let unit = TemperatureUnit::Fahrenheit;
    let pairing =
        Pairing::calibrate(strips("family.csv", 0.0), Choice::Auto, celsius(20.0)).unwrap();
    let one = OneStrip::of(strips("family.csv", 0.0).swap_remove(2)).unwrap();
    let printing = Printing::default();
    let (measure, target) = (Measure::default(), Target::normal_scene(&printing).unwrap());
    let asked = |exposed_at: f64| AdjustQuestion {
        name: "Larkfold in Quillback 1+6",
        pairing: &pairing,
        measure,
        target: target.clone(),
        agitation: Some("rotary"),
        exposed_at: ExposureIndex::new(exposed_at).ok(),
        celsius: celsius(21.5),
        unit,
        bath: BathToday::Given(0.9),
        extrapolate: false,
        anyway: false,
        scene_stops: &[5.0, 6.0, 7.0, 8.0, 9.0, 10.0],
        printing,
        paper: None,
    };
    let of_session = session(7);
    let bench = |exposed_at: f64| {
        let date = date(2026, 11, 17);
        let entering = vec!["enter".to_owned()];
        let session = Some(&of_session);
        Bench::of(BenchQuestion { adjust: asked(exposed_at), date, session, entering }).describe()
    };
    let adjust = |exposed_at: f64| Adjust::of(asked(exposed_at));
    let developed = DevelopedQuestion {
        name: "Larkfold in Quillback 1+6",
        pairing: &pairing,
        measure,
        minutes,
        agitation: None,
        celsius: celsius(22.0),
        unit,
        bath: BathToday::Given(1.0),
        extrapolate: false,
        anyway: false,
        printing,
    };
    let convert = ConvertQuestion {
        minutes,
        from: celsius(20.0),
        to: celsius(21.3),
        law: TimeLaw::ASSUMED,
        unit,
    };
    let one = OneStripQuestion {
        name: "Larkfold in Quillback 1+6",
        one: &one,
        measure,
        target: target.clone(),
        asked: false,
        celsius: celsius(21.5),
        unit,
        bath: BathToday::Given(1.0),
        anyway: false,
        printing,
    };
    let index = ExposureIndex::new(100.0).unwrap();
    let exposure = ExposureQuestion { by: ExposedBy::Camera { index }, filter: 0.3 };
    let started = Started {
        folder: "darkroom".to_owned(),
        files: vec![("strip.csv".to_owned(), "readings of one strip", Laid::New)],
    };
    vec![
        ("adjust", adjust(125.0).describe()),
        ("adjust, shadows lost", adjust(250.0).describe()),
        ("adjust, no time", adjust(1600.0).describe()),
        ("adjust, a table", TimesTable { adjust: adjust(125.0) }.describe()),
        ("adjust, a known time", Got::of(developed.clone()).describe()),
        ("adjust, a table of it", DevelopedTable::of(&developed).describe()),
        ("adjust, one strip", OneStripToday::of(one).describe()),
        ("bench", bench(125.0)),
        ("bench, no time", bench(1600.0)),
        ("convert", Converted::of(convert).describe()),
        ("exposure", Exposure::of(exposure).describe()),
        ("start", started.describe()),
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
    let of_fields = |fields: &[Field]| -> Vec<String> {
        let named = fields.iter().filter(|f| f.value != Value::Empty);
        named.map(|f| f.key.to_string()).collect()
    };
    for block in blocks {
        match block {
            Block::Field(field) => into.extend(of_fields(std::slice::from_ref(field))),
            Block::Line { fields, .. } => into.extend(of_fields(fields)),
            Block::Data { key, value } if *value != Value::Empty => into.push(key.to_string()),
            Block::Data { .. } => {}
            Block::Section(section) => {
                into.extend(of_fields(&section.heading));
                into.extend(section.key.iter().map(ToString::to_string));
                keys(&section.blocks, into);
            }
            Block::Sections { key, items } => {
                into.push(key.to_string());
                for section in items {
                    into.extend(of_fields(&section.heading));
                    keys(&section.blocks, into);
                }
            }
            Block::Table(table) => {
                into.extend(table.key.iter().map(ToString::to_string));
                let filled = |k: &usize| table.rows.iter().any(|row| row.cells[*k] != Value::Empty);
                let listed = (0..table.columns.len()).filter(|_| table.key.is_some());
                into.extend(listed.filter(filled).map(|k| table.columns[k].key.to_string()));
            }
            Block::Twofold { programs, .. } => keys(programs, into),
        }
    }
}

/// All notes, those of sections too. People see those for programs as well, if in other places.
fn notes(description: &Description) -> Vec<Note> {
    let mut all = Vec::new();
    description.clone().complete_notes(&mut |note| all.push(note.clone()));
    all
}

/// The notes without those that are only laid out for people.
fn notes_for_programs(description: &Description) -> Vec<Note> {
    let mut own = description.clone();
    for block in &mut own.blocks {
        if let Block::Twofold { people, .. } = block {
            people.clear();
        }
    }
    notes(&own)
}

/// Every object's keys of a document.
fn keys_of(value: &serde_json::Value, into: &mut Vec<String>) {
    match value {
        serde_json::Value::Object(object) => {
            for (key, value) in object {
                into.push(key.clone());
                keys_of(value, into);
            }
        }
        serde_json::Value::Array(list) => list.iter().for_each(|v| keys_of(v, into)),
        _ => {}
    }
}

/// The words of all pages, in the order in which they are written.
fn on_pages(pages: &[Scene]) -> String {
    let texts = pages.iter().flat_map(|page| words(&page.to_svg()));
    texts.map(|w| bare(&w.text)).collect()
}

/// Text: no line over the width, and every value and note is there.
fn check_text(name: &str, description: &Description, width: usize) {
    let written = text::render(description, width);
    for line in written.lines() {
        let wide = textwrap::core::display_width(line);
        assert!(wide <= width.max(24), "{name} at {width}: {wide}: {line}");
        assert_eq!(line.trim_end(), line, "{name} at {width}");
    }
    let all = bare(&written);
    for note in notes(description).iter().filter(|n| n.kind != NoteKind::ForPrograms) {
        assert!(all.contains(&bare(&note.for_people())), "{name} at {width}: {}", note.words);
    }
    // Where columns are narrow, their words are broken and stand between those of others.
    if width >= 80 {
        let mut fields = Vec::new();
        seen(&description.blocks, &mut fields);
        for (label, value) in fields {
            assert!(has_words(&all, &label), "{name} at {width}: {label} in\n{written}");
            assert!(has_words(&all, &value), "{name} at {width}: {label}: {value} in\n{written}");
        }
    }
}

/// JSON: it is read again, every key is there, and every note.
fn check_json(name: &str, description: &Description) {
    let read = |text: &str| serde_json::from_str::<serde_json::Value>(text).unwrap();
    let document = read(&json::render(description));
    assert!(document == read(&json::value(description).to_string()), "{name}");
    let (mut wanted, mut found) = (Vec::new(), Vec::new());
    keys(&description.blocks, &mut wanted);
    keys_of(&document, &mut found);
    for key in wanted {
        assert!(found.contains(&key), "{name}: {key}");
    }
    let mut texts = Vec::new();
    strings(&document, &mut texts);
    for note in notes_for_programs(description) {
        assert!(texts.contains(&note.for_programs()), "{name}: {}", note.words);
    }
}

fn strings(value: &serde_json::Value, into: &mut Vec<String>) {
    match value {
        serde_json::Value::String(text) => into.push(text.clone()),
        serde_json::Value::Array(list) => list.iter().for_each(|v| strings(v, into)),
        serde_json::Value::Object(object) => object.values().for_each(|v| strings(v, into)),
        _ => {}
    }
}

/// Pages: every text stands free on its page in type of seven points or more, and every value and note
/// is there.
fn check_pages(name: &str, description: &Description) -> Vec<Scene> {
    let pages = page::render(description);
    assert!(!pages.is_empty(), "{name}");
    for (n, scene) in pages.iter().enumerate() {
        let all = words_that_stand_free(scene, &format!("{name}, page {}", n + 1));
        let smallest = all.iter().map(|w| w.size).fold(f64::INFINITY, f64::min);
        assert!(smallest >= SEVEN_POINTS - 0.01, "{name}: {smallest}");
    }
    let all = on_pages(&pages);
    let mut fields = Vec::new();
    seen(&description.blocks, &mut fields);
    for (label, value) in fields {
        assert!(has_words(&all, &label), "{name}: {label}");
        assert!(has_words(&all, &value), "{name}: {label}: {value}");
    }
    for note in notes(description).iter().filter(|n| n.kind != NoteKind::ForPrograms) {
        assert!(has_words(&all, &note.for_people()), "{name}: {}", note.words);
    }
    pages
}

#[test]
fn every_answer_on_every_face() {
    for (name, description) in answers() {
        for width in [24, 30, 40, 52, 60, 72, 80, 100, 160] {
            check_text(name, &description, width);
        }
        check_json(name, &description);
        check_pages(name, &description);
    }
}

/// The squares of a page: boxes to tick.
fn boxes(scene: &Scene) -> usize {
    let svg = scene.to_svg();
    let document = roxmltree::Document::parse(&svg).unwrap();
    let paths = document.descendants().filter_map(|n| n.attribute("d"));
    let is_box = |d: &&str| {
        let n = crate::page::numbers(d);
        n.len() == 8 && (n[2] - n[0] - (n[5] - n[3])).abs() < 0.02
    };
    paths.filter(is_box).count()
}

#[test]
fn the_page_of_a_session() {
    let pages = check_pages("session", &session(7).describe());
    assert_eq!(pages.len(), 2, "what has no room on the first page stands on the second");
    // Four solutions, two batches of seven steps, four entries, ten films.
    assert_eq!(pages.iter().map(boxes).sum::<usize>(), 4 + 2 * 7 + 4 + 10);
    let first = words(&pages[0].to_svg());
    let time = first.iter().find(|w| w.text == "13:30").expect("the time");
    assert!(time.size > 10.0 * MILLIMETRE, "it is seen from afar");
    assert!(first.iter().any(|w| w.text.starts_with("exposure index 136")));
    assert!(first.iter().any(|w| w.text.contains("2026-11-17")));
    for page in &pages {
        let svg = page.to_svg();
        assert!(svg.contains("width=\"210.00mm\" height=\"297.00mm\""));
        let document = roxmltree::Document::parse(&svg).unwrap();
        for colour in document.descendants().filter_map(|n| n.attribute("fill")) {
            assert!(["none", "#000000", "#ffffff"].contains(&colour), "{colour}");
        }
        assert!(svg.contains("page 1 of 2") != svg.contains("page 2 of 2"));
    }
    assert_eq!(page::render(&session(7).describe()), pages, "the same pages every time");
    // A table that goes on has its headings again.
    let long = page::render(&session(60).describe());
    let headed = |page: &Scene| words(&page.to_svg()).iter().any(|w| w.text == "replenish");
    let named = |page: &Scene| words(&page.to_svg()).iter().any(|w| w.text == "entry");
    assert!(long.len() > 2 && long.iter().filter(|p| headed(p)).all(named));
}

fn phrase() -> impl Strategy<Value = String> {
    "[A-Za-z0-9äß°−(,;:.]{1,9}( [A-Za-z0-9äß°−(,;:.]{1,20}){0,9}"
}

fn value() -> impl Strategy<Value = Value> {
    prop_oneof![
        Just(Value::Missing),
        any::<bool>().prop_map(Value::Flag),
        any::<i32>().prop_map(Value::from),
        (-1e6..1e6_f64, 0_usize..5).prop_map(|(v, n)| Value::number(v, n).unit(" ml")),
        phrase().prop_map(Value::Text),
        phrase().prop_map(|words| Value::term("code", words)),
        phrase().prop_map(|words| Value::from(7).worded(words)),
    ]
}

fn fields() -> impl Strategy<Value = Vec<Block>> {
    let field = (phrase(), value(), proptest::bool::weighted(0.2));
    proptest::collection::vec(field, 0..6).prop_map(|all| {
        let named = all.into_iter().enumerate();
        let field = |(n, (label, value, leads)): (usize, (String, Value, bool))| {
            Field { leads, ..Field::new(format!("field_{n}"), label, value) }.into()
        };
        named.map(field).collect()
    })
}

fn table() -> impl Strategy<Value = Table> {
    (1_usize..7, 0_usize..30, 0_usize..12, proptest::option::of(phrase())).prop_flat_map(
        |(columns, rows, boxes, title)| {
            let labels = proptest::collection::vec(phrase(), columns);
            let cells =
                proptest::collection::vec(proptest::collection::vec(value(), columns), rows);
            (labels, cells).prop_map(move |(labels, cells)| {
                let named = labels.into_iter().enumerate();
                let columns = named.map(|(n, l)| Column::new(format!("column_{n}"), l)).collect();
                let mut table = Table { boxes, title: title.clone(), ..Table::new(columns) };
                table.key = Some("rows".into());
                cells.into_iter().for_each(|row| table.row(row));
                table
            })
        },
    )
}

prop_compose! {
    fn description()(
        title in phrase(),
        subtitle in proptest::option::of(phrase()),
        own in fields(),
        part in (phrase(), fields(), proptest::collection::vec(phrase(), 0..3)),
        table in table(),
        remarks in proptest::collection::vec(phrase(), 0..40),
        cautions in proptest::collection::vec(phrase(), 0..4),
    ) -> Description {
        let mut all = Description::new(title);
        all.subtitle = subtitle;
        own.into_iter().for_each(|block| all.add(block));
        let (title, blocks, notes) = part;
        let notes = notes.into_iter().map(Note::remark).collect();
        let mut section = Section { notes: Some(notes), ..Section::titled(title).keyed("part") };
        blocks.into_iter().for_each(|block| section.add(block));
        all.add(section);
        all.add(table);
        all.notes(remarks);
        cautions.into_iter().for_each(|words| all.caution(words));
        all
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 150,
        rng_seed: RngSeed::Fixed(20_261_117),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn whatever_is_described_stands_on_every_face(all in description(), width in 24_usize..140) {
        check_text("generated", &all, width);
        check_json("generated", &all);
        check_pages("generated", &all);
    }
}
