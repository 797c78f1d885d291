//! The session, from outside: batches that keep their limits, and sheets that add up.

use jiff::civil::date;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use std::path::Path;
use std::sync::OnceLock;
use wedgebook::bath::film::Format;
use wedgebook::bath::journal::{Act, Journal};
use wedgebook::curve::Choice;
use wedgebook::development::file::{Aims, PairingFile};
use wedgebook::development::{Measure, Pairing, Wanted};
use wedgebook::readings::{ReadOptions, read_files};
use wedgebook::session::plan::example;
use wedgebook::session::{
    ActivitySource, BathActivity, Limits, Plan, Room, Session, SessionError, Sheet, StepKind,
    batches, latest_strip,
};
use wedgebook::units::{Celsius, LogExposure};

fn formats() -> Vec<Format> {
    let sheet = |text: &str| text.parse::<Format>().unwrap();
    let mut all = Format::ROLLS.to_vec();
    all.extend([sheet("4x5in"), sheet("9x12cm")]);
    all
}

prop_compose! {
    fn room(format: Format)(reels in 1_u32..7, on_a_reel in 1_u32..3, least in 0_u32..5) -> Room {
        let on_a_reel = if format.is_sheet() { 1 } else { on_a_reel };
        Room { format, holds: reels * on_a_reel, on_a_reel, least_ml: f64::from(100 * least) }
    }
}

fn rooms() -> impl Strategy<Value = Vec<Room>> {
    formats().into_iter().map(room).collect::<Vec<_>>()
}

/// How full the vessel is in whole numbers: reels times the product of the other formats' reels.
fn is_overfull(films: &[(u32, Format)], rooms: &[Room]) -> bool {
    let of = |format| rooms.iter().find(|r| r.format == format).unwrap();
    let most = |format| u64::from(of(format).holds / of(format).on_a_reel);
    let all: u64 = films.iter().map(|(_, f)| most(*f)).product();
    let taken =
        films.iter().map(|(n, f)| u64::from(n.div_ceil(of(*f).on_a_reel)) * (all / most(*f)));
    taken.sum::<u64>() > all
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 400,
        rng_seed: RngSeed::Fixed(20_260_310),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// Whatever is done to a plan, it is read or refused in one line.
    #[test]
    fn a_spoilt_plan_is_read_or_refused(
        cut in 0_usize..400,
        length in 0_usize..40,
        put in "[-a-zé0-9\\[\\]\"'=.,{} \n#]{0,6}",
    ) {
        let whole: Vec<char> = BATH.chars().collect();
        let cut = cut.min(whole.len());
        let end = (cut + length).min(whole.len());
        let text: String = whole[..cut].iter().copied().chain(put.chars()).chain(whole[end..].iter().copied()).collect();
        match sheet_of(&text, Some(&journal("2026-01-05,mix,1.5,,,,,,,,,\n"))) {
            Ok(sheet) => prop_assert!(!sheet.batches.is_empty()),
            Err(SessionError::Plan(fault)) => {
                let message = fault.to_string();
                prop_assert!(message.starts_with("plan.toml:") && !message.contains('\n'), "{message}");
            }
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }

    #[test]
    fn no_batch_exceeds_its_limits_and_every_film_is_in_one(
        counts in proptest::collection::vec((0_u32..25, 0_usize..6), 1..7),
        rooms in rooms(),
        solution in 1_u32..30,
        area in 1_u32..40,
    ) {
        let all = formats();
        let films: Vec<(u32, Format)> = counts.iter().map(|(n, k)| (*n, all[*k])).collect();
        let limits = Limits {
            rooms: rooms.clone(),
            solution_ml: f64::from(100 * solution),
            area_m2: f64::from(area) / 100.0,
        };
        let needs = |f: Format| rooms.iter().find(|r| r.format == f).unwrap().least_ml;
        let Ok(made) = batches(&films, &limits) else {
            let hopeless = |(n, f): &(u32, Format)| *n > 0
                && (needs(*f) > limits.solution_ml || f.area_m2() > limits.area_m2 - 1e-6);
            prop_assert!(films.iter().any(hopeless), "{films:?}");
            return Ok(());
        };
        for batch in &made {
            prop_assert!(!batch.0.is_empty() && batch.0.iter().all(|(n, _)| *n > 0));
            prop_assert!(!is_overfull(&batch.0, &rooms), "{batch}");
            let ml: f64 = batch.0.iter().map(|(n, f)| f64::from(*n) * needs(*f)).sum();
            prop_assert!(ml <= limits.solution_ml, "{batch}: {ml} ml");
            prop_assert!(batch.area_m2() <= limits.area_m2 + 1e-6, "{batch}");
            let sheets = batch.0.iter().any(|(_, f)| f.is_sheet());
            prop_assert!(!sheets || batch.0.len() == 1, "{batch}");
        }
        for format in all {
            let count = |films: &[(u32, Format)]| -> u32 {
                films.iter().filter(|(_, f)| *f == format).map(|(n, _)| n).sum()
            };
            let found: u32 = made.iter().map(|b| count(&b.0)).sum();
            prop_assert_eq!(found, count(&films), "{}", format);
        }
        // No two batches of rolls could be one.
        let rolls: Vec<_> = made.iter().filter(|b| !b.0[0].1.is_sheet()).collect();
        for (n, one) in rolls.iter().enumerate() {
            for other in &rolls[..n] {
                let mut both = (*other).clone();
                for (more, format) in &one.0 {
                    match both.0.iter_mut().find(|(_, f)| f == format) {
                        Some((n, _)) => *n += more,
                        None => both.0.push((*more, *format)),
                    }
                }
                prop_assert!(!limits.takes(&both), "{one} and {other}");
            }
        }
    }
}

/// The demonstration's pairing.
fn demonstration() -> &'static (PairingFile, Pairing) {
    static PAIRING: OnceLock<(PairingFile, Pairing)> = OnceLock::new();
    PAIRING.get_or_init(|| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/family.csv");
        let options = ReadOptions {
            log_exposure_clear: LogExposure::new(0.0).ok(),
            ..ReadOptions::default()
        };
        let strips = read_files(&[path], &options).unwrap().strips;
        let celsius = Celsius::new(20.0).unwrap();
        let name = "Larkfold in Quillback 1+6".to_owned();
        let file = PairingFile::new(name, celsius, None, Aims::default(), &strips);
        let pairing = Pairing::calibrate(strips, Choice::Auto, celsius).unwrap();
        (file, pairing)
    })
}

const ONE_SHOT: &str = r#"
pairing = "pairing.toml"
[[film]]
format = "135-36"
count = 6
[aim]
contrast = 0.58
[vessel]
solution_ml = 1000
holds = { "135-36" = 4, "120" = 2 }
[one_shot]
dilution = "1+6"
stock_celsius = 15
[temperature]
celsius = 21
[fix]
clearing_seconds = 50
fresh_clearing_seconds = 40
in_hand_ml = 500
"#;

const BATH: &str = r#"
title = "Tuesday"
pairing = "pairing.toml"
[[film]]
format = "135-36"
count = 6
[aim]
contrast = 0.58
[vessel]
solution_ml = 1000
holds = { "135-36" = 4 }
[bath]
journal = "bath.csv"
replenish_ml_per_roll = 90
capacity_m2_per_litre = 0.5
[temperature]
celsius = 20
[fix]
clearing_seconds = 50
"#;

fn journal(rows: &str) -> Journal {
    let head = "date,act,litres,films,area_m2,added_ml,strip,activity,activity_low,activity_high,verdict,pairing\n";
    let text = format!("{head}{rows}");
    Journal::parse("bath.csv", text.as_bytes(), date(2026, 12, 31)).unwrap()
}

fn sheet_of(text: &str, journal: Option<&Journal>) -> Result<Sheet, SessionError> {
    let plan = Plan::parse(Path::new("plan.toml"), text)?;
    let (file, pairing) = demonstration();
    let session = Session {
        first_number: None,
        plan: &plan,
        file,
        pairing,
        journal,
        standing: None,
        activity: journal.and_then(latest_strip),
        extrapolate: false,
    };
    session.sheet()
}

fn minutes(contrast: f64, celsius: f64, activity: f64) -> f64 {
    let wanted = Wanted {
        measure: Measure::ContrastIndex,
        contrast,
        celsius: Celsius::new(celsius).unwrap(),
        activity,
        extrapolate: false,
    };
    demonstration().1.adjust(&wanted).unwrap().minutes.value
}

#[test]
fn a_developer_that_is_used_once() {
    let sheet = sheet_of(ONE_SHOT, None).unwrap();
    let films: Vec<String> = sheet.batches.iter().map(|b| b.films.to_string()).collect();
    assert_eq!(films, ["4 × 135-36", "2 × 135-36"]);
    let developer = &sheet.mixtures[0];
    let (_, stock, water) = developer.parts.unwrap();
    assert_eq!((developer.times, developer.total_ml), (2, 1000.0));
    assert!((stock - 1000.0 / 7.0).abs() < 1e-9 && (water - 6000.0 / 7.0).abs() < 1e-9);
    // One part at 15 °C and six at 22 °C have 21 °C.
    assert!((developer.water_celsius.unwrap() - 22.0).abs() < 1e-9);
    assert!((sheet.developing.minutes.value - minutes(0.58, 21.0, 1.0)).abs() < 1e-12);
    assert_eq!(sheet.developing.activity, BathActivity::ASSUMED);
    assert!((sheet.usage.share() - 6.0 * 0.056 / (0.25 * 2.0)).abs() < 1e-9);
    assert!(sheet.usage.capacity.assumed && sheet.batches.iter().all(|b| b.entries.is_empty()));
    assert_eq!(sheet.fixing.rolls_in_hand, Some(25.0));
    assert!((sheet.fixing.replenish_ml - 120.0).abs() < 1e-9);
    for assumed in ["capacity of 0.25", "activity 1", "nominal dimensions"] {
        assert!(sheet.notes.iter().any(|n| n.to_string().contains(assumed)), "{assumed}");
    }
}

#[test]
fn steps_follow_each_other() {
    let sheet = sheet_of(ONE_SHOT, None).unwrap();
    let seconds = |kind| sheet.steps.iter().find(|s| s.kind == kind).unwrap().seconds;
    assert_eq!(seconds(StepKind::Fix), 100);
    assert_eq!((seconds(StepKind::Stop), seconds(StepKind::Wash)), (30, 600));
    assert_eq!(seconds(StepKind::Develop), sheet.developing.seconds);
    assert!(
        (f64::from(sheet.developing.seconds) / 60.0 - sheet.developing.minutes.value).abs() < 0.13
    );
    let (first, second) = (&sheet.batches[0].steps, &sheet.batches[1].steps);
    for steps in [first, second] {
        assert!(steps.windows(2).all(|w| w[0].to == w[1].from));
    }
    assert_eq!((first[0].from, second[0].from), (0, first.last().unwrap().from));
    assert_eq!(sheet.seconds(), second.last().unwrap().from);
}

#[test]
fn a_bath_with_its_journal() {
    let bath = journal(
        "2026-01-05,mix,1.5,,,,,,,,,\n2026-01-06,strip,,,,,a,0.9,0.88,0.92,in spec,old/pairing.toml\n\
         2026-01-06,film,,2 × 135-36,0.112,,,,,,,\n2026-01-06,replenish,,,,90,,,,,,\n",
    );
    let sheet = sheet_of(BATH, Some(&bath)).unwrap();
    let d = &sheet.developing;
    assert!((d.minutes.value - minutes(0.58, 20.0, 0.9)).abs() < 1e-12);
    assert!(
        matches!(&d.activity.source, ActivitySource::Strip { area_since_m2, .. } if (area_since_m2 - 0.112).abs() < 1e-12)
    );
    // What is uncertain of the activity widens the interval.
    let stated = BATH.replace("[bath]", "[bath]\nactivity = 0.9");
    let narrow = sheet_of(&stated, Some(&bath)).unwrap().developing;
    assert_eq!(narrow.activity.source, ActivitySource::Plan);
    let half = |q: &wedgebook::measures::Quantity| (q.high / q.low).ln() / 2.0;
    let expected = half(&narrow.minutes).hypot((0.92_f64 / 0.88).ln() / 2.0);
    assert!((half(&d.minutes) - expected).abs() < 1e-12);
    // 90 ml made one of two rolls good; the session is replenished batch by batch.
    let usage = &sheet.usage;
    assert!((usage.before_m2 - 0.056).abs() < 1e-9 && (usage.capacity_m2 - 0.75).abs() < 1e-12);
    assert!((usage.most_m2 - 5.0 * 0.056).abs() < 1e-9);
    let entries: Vec<&Act> = sheet.batches.iter().flat_map(|b| &b.entries).collect();
    let [
        Act::Film { films, area_m2, .. },
        Act::Replenish { added_ml, removed_ml },
        Act::Film { .. },
        Act::Replenish { added_ml: second, .. },
    ] = entries[..]
    else {
        panic!("{entries:?}");
    };
    assert_eq!((films.as_str(), *area_m2), ("4 × 135-36", 0.224));
    assert_eq!((*added_ml, *removed_ml, *second), (360.0, 360.0, 180.0));
    assert!(!sheet.notes.iter().any(|n| n.to_string().contains("another pairing")));
}

#[test]
fn a_bath_beyond_its_capacity() {
    let worked = "2026-01-05,mix,1,,,,,,,,,\n2026-01-06,film,,,0.4,,,,,,,\n";
    let spent = sheet_of(BATH, Some(&journal(worked))).unwrap_err();
    assert!(
        matches!(&spent, SessionError::No(why) if why.to_string().contains("0.624 m²") && why.to_string().contains("0.500 m²")),
        "{spent}"
    );
    // A strip that tells what the bath still does goes before any capacity.
    let measured = format!("{worked}2026-01-07,strip,,,,,a,0.8,,,out of spec: replenish,x.toml\n");
    let sheet = sheet_of(BATH, Some(&journal(&measured))).unwrap();
    for told in ["beyond its capacity", "out of spec: replenish", "another pairing, x.toml"] {
        assert!(
            sheet.notes.iter().any(|n| n.to_string().contains(told)),
            "{told}: {:?}",
            sheet.notes
        );
    }
}

#[test]
fn a_bath_that_cannot_be_used() {
    let told = |rows: &str| sheet_of(BATH, Some(&journal(rows))).unwrap_err().to_string();
    assert!(
        told("2026-01-05,mix,1,,,,,,,,,\n2026-01-06,discard,,,,,,,,,,\n")
            .starts_with("bath.csv: the bath was discarded on 2026-01-06")
    );
    assert!(told("").contains("no bath is mixed"));
    let small = told("2026-01-05,mix,0.8,,,,,,,,,\n");
    assert!(small.starts_with("plan.toml:10: vessel.solution_ml: 1000 ml are more"), "{small}");
}

#[test]
fn too_warm_and_too_cold() {
    let at = |more: &str| ONE_SHOT.replace("celsius = 21\n", more);
    let as_it_is = sheet_of(&at("celsius = 25\n"), None).unwrap();
    assert_eq!(as_it_is.developing.celsius.get(), 25.0);
    assert!(as_it_is.notes.iter().any(|n| n.to_string().contains("above the range")));
    let wait =
        "outside = \"wait\"\nearlier_celsius = 28\nminutes_apart = 10\nsurroundings_celsius = 18\n";
    let waited = sheet_of(&at(&format!("celsius = 26\n{wait}")), None).unwrap();
    let w = waited.developing.wait.unwrap();
    // From 10 above the room to 8 in ten minutes; to 6 in ln(8/6)/ln(10/8)·10.
    assert!((w.minutes - 10.0 * (8.0_f64 / 6.0).ln() / (10.0_f64 / 8.0).ln()).abs() < 1e-9);
    assert_eq!((w.from, w.to, waited.developing.celsius.get()), (26.0, 24.0, 24.0));
    assert_eq!(w.seconds(), 13 * 60);
    // The tank is loaded meanwhile: film goes in after thirteen minutes, not after twenty-three.
    assert_eq!(waited.batches[0].steps[1].from, 13 * 60);
    let within = sheet_of(&at(&format!("celsius = 23\n{wait}")), None).unwrap();
    assert_eq!(within.developing.wait, None);
    let never = at(&format!("celsius = 26\n{wait}")).replace("= 18", "= 25");
    assert!(
        matches!(sheet_of(&never, None), Err(SessionError::No(why)) if why.to_string().contains("water bath"))
    );
    for (celsius, told) in [(40.0, "too hot"), (12.9, "too cold")] {
        let why = sheet_of(&at(&format!("celsius = {celsius}\n")), None).unwrap_err().to_string();
        assert!(
            why.starts_with("plan.toml:15: temperature.celsius: ") && why.contains(told),
            "{why}"
        );
    }
}

#[test]
fn the_answer_may_be_no() {
    let spent = ONE_SHOT.replace("clearing_seconds = 50", "clearing_seconds = 80");
    assert!(
        matches!(sheet_of(&spent, None), Err(SessionError::No(why)) if why.to_string().contains("the fixer is spent"))
    );
    let steep = ONE_SHOT.replace("0.58", "2");
    assert!(
        matches!(sheet_of(&steep, None), Err(SessionError::No(why)) if why.to_string().contains("cannot be reached"))
    );
}

/// Everything in the example, uncommented, is a key that the plan knows.
#[test]
fn the_example_knows_its_keys() {
    let text = example();
    let plan = Plan::parse(Path::new("session.toml"), &text).unwrap();
    assert_eq!(plan.pairing, Path::new("pairing.toml"));
    let own =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("data/session.toml"))
            .unwrap();
    let own = Plan::parse(Path::new("data/session.toml"), &own).unwrap();
    assert_eq!(own.pairing, Path::new("data/../pairing.toml"));
    assert_eq!((plan.films(), &plan.vessel, &plan.fix), (own.films(), &own.vessel, &own.fix));

    // One of two developers, one of two ways to wash, and so on: the others are left out.
    let (before, bath) = text.split_once("[bath]").unwrap();
    let (_, after) = bath.split_once("# [one_shot]").unwrap();
    let others = ["scene_stops", "outside = \"time\"", "method = \"running\"", "half_time_minutes"];
    let mut out = String::new();
    for line in format!("{before}[one_shot]{after}").lines() {
        let bare = line.strip_prefix("# ").unwrap_or(line);
        let word = bare.split(' ').next().unwrap_or_default();
        let is_key = bare[word.len()..].starts_with(" = ");
        if !others.iter().any(|other| bare.starts_with(other)) {
            out.push_str(if is_key { bare } else { line });
            out.push('\n');
        }
    }
    let all = Plan::parse(Path::new("all.toml"), &out).unwrap_or_else(|e| panic!("{e}\n{out}"));
    assert!(
        !all.load_minutes.assumed && !all.dry_minutes.assumed && all.start == Some(18 * 60 + 30)
    );
    assert!(
        !all.fix.factor.assumed && all.aim.contrast == Some(0.58) && !all.wash.residual.assumed
    );
}
