//! Every reader on damaged input: no panic, and no case takes long.
//!
//! A case is a file of the corpus with a few changes: bytes flipped, pieces cut out, doubled or exchanged,
//! words put in that mean something to some reader, two files joined; in workbooks, one part so changed and
//! packed again. `WEDGEBOOK_CASES=1000000 cargo test --release --test library fuzz -- --nocapture` runs that
//! many a reader. What once failed stands in [`FAILED`] and is tried first.

use crate::desk::data;
use rand::rngs::SmallRng;
use rand::{Rng, SeedableRng};
use rayon::prelude::*;
use std::io::{Cursor, Read, Write};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::Mutex;
use std::time::{Duration, Instant};
use wedgebook::answers::{Answer, LeaderQuestion, LeaderTest};
use wedgebook::bath::count::{Rolls, Sheets};
use wedgebook::bath::film::Format;
use wedgebook::bath::journal::Journal;
use wedgebook::bath::trace::shared::{Case, cases, shared};
use wedgebook::bath::trace::{numbers, trace};
use wedgebook::curve::Choice;
use wedgebook::development::file::PairingFile;
use wedgebook::development::leader::{LeaderFamily, Tested, leader_of_bytes};
use wedgebook::development::temperatures_of_bytes;
use wedgebook::folder::Defaults;
use wedgebook::measures::analyse;
use wedgebook::picture::{Channel, Options};
use wedgebook::printing::proof::{negatives_of_bytes, test_strip_of_bytes};
use wedgebook::readings::{ReadOptions, frames_of_bytes, read_bytes};
use wedgebook::session::Plan;
use wedgebook::units::{
    Celsius, ClearingSeconds, DensityNoise, FrameSize, LogExposure, Minutes, Temperature,
    TemperatureUnit,
};

/// Reader and seed of cases that once failed.
const FAILED: [(&str, u64); 1] = [("workbooks", 1_280_022)];

/// No case is larger than some 100 kB, and none may take longer.
const LONGEST: Duration = Duration::from_secs(1);

/// Words that some reader takes for more than letters.
const WORDS: [&str; 44] = [
    ",",
    ";",
    "\t",
    "\n",
    "\r\n",
    "\r",
    "\"",
    "\"\"",
    "'",
    "=",
    "#",
    "-",
    "+",
    ".",
    "\u{feff}",
    "\0",
    "1e308",
    "-1e308",
    "1e-320",
    "nan",
    "inf",
    "9999999999999999999999",
    "0.0",
    "-0",
    "1,5",
    "12:60",
    "2026-02-30",
    "29.02.2025",
    "sep=,\n",
    "density",
    "log_exposure",
    "minutes",
    "celsius",
    "68F",
    "−3",
    "½",
    "é",
    "\u{9b}",
    "[",
    "]",
    "{",
    "}}",
    "BEGIN_DATA\n",
    "NUMBER_OF_SETS 99999999999\n",
];

/// A reader, and what it is given.
struct Reader {
    name: &'static str,
    corpus: Vec<Vec<u8>>,
    read: fn(&[u8]),
}

fn today() -> jiff::civil::Date {
    jiff::civil::date(2026, 11, 20)
}

fn readings(bytes: &[u8]) {
    if let Ok(read) = read_bytes("a.csv", bytes, &ReadOptions::default()) {
        // What is read is fitted and measured too, as long as there is not much of it.
        let few = read.strips.into_iter().take(2).filter(|s| s.readings.len() < 60).collect();
        drop(analyse(few, Choice::Auto));
    }
}

fn small_tables(bytes: &[u8]) {
    let _ = frames_of_bytes("a.csv", bytes, None);
    let _ = temperatures_of_bytes("a.csv", bytes);
    let _ = test_strip_of_bytes("a.csv", bytes, None, 0.01);
    let _ = negatives_of_bytes("a.csv", bytes);
    if let Ok(family) = leader_of_bytes("a.csv", bytes, None) {
        leader(&family);
    }
}

/// What is calibrated by a family that is read is shown without a fault, whatever it holds.
fn leader(family: &LeaderFamily) {
    let celsius = Celsius::new(21.0).unwrap();
    let minutes = Minutes::new(5.0).unwrap();
    let piece = Some(Tested { densities: vec![1.0], reading_sd: 0.01, minutes, celsius });
    let unit = TemperatureUnit::Celsius;
    if let Ok(test) = LeaderTest::of(LeaderQuestion { family, piece, celsius: None, unit }) {
        let _ = test.describe();
    }
}

fn journal(bytes: &[u8]) {
    if let Ok(journal) = Journal::parse("a.csv", bytes, today()) {
        let _ = journal.balance();
        let all = cases(&journal.entries);
        let (faulty, good): (Vec<&Case>, Vec<&Case>) =
            all.iter().take(40).partition(|case| case.number % 3 == 0);
        let _ = shared(&faulty, &good);
        for number in numbers(&journal.entries).into_iter().take(3) {
            let _ = trace("a.csv", &journal.entries, number);
        }
    }
}

fn pairing(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    if let Ok(file) = PairingFile::parse(Path::new("a.toml"), text) {
        let _ = file.check(Path::new("a.toml"));
        let _ = file.pairing(Path::new("a.toml"));
    }
}

fn plan(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    if let Ok(plan) = Plan::parse(Path::new("a.toml"), text) {
        let _ = plan.is_class_night();
        for part in 0..plan.parts.len().min(20) {
            let _ = plan.with_parts(&[part]).films();
        }
    }
}

fn defaults(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let _ = Defaults::parse(Path::new("a.toml"), text);
}

fn options(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    for word in text.lines() {
        let _ = word.parse::<Temperature>();
        let _ = word.parse::<DensityNoise>();
        let _ = word.parse::<Minutes>();
        let _ = word.parse::<ClearingSeconds>();
        let _ = word.parse::<FrameSize>();
        let _ = word.parse::<LogExposure>();
        let _ = word.parse::<Rolls>();
        let _ = word.parse::<Sheets>();
        let _ = word.parse::<Format>();
        let _ = wedgebook::units::day::day(word, None);
    }
}

fn picture(bytes: &[u8]) {
    for channel in [Channel::Red, Channel::Blue] {
        let options = Options { channel, linear: channel == Channel::Red };
        if let Ok(picture) = wedgebook::picture::read_bytes("a.tif", bytes, options) {
            let image = picture.image;
            assert_eq!(image.light.len(), image.width * image.height);
            assert!(image.light.iter().all(|v| v.is_finite()));
        }
    }
}

fn pictures() -> Vec<Vec<u8>> {
    let names = [
        "rgb-little.tif",
        "grey-big.tif",
        "bigtiff-big.tif",
        "deflate-predictor-little.tif",
        "lzw-predictor-big.tif",
        "packbits.tif",
        "strips.tif",
        "tiles-lzw.tif",
        "planar-tiles-lzw.tif",
        "planar-strips-deflate.tif",
        "white-is-zero.tif",
        "alpha.tif",
        "profile-srgb.tif",
        "profile-table-grey.tif",
        "half.tif",
        "raw-inside.tif",
        "gama.png",
        "profile.png",
        "cicp.png",
        "interlaced.png",
        "alpha-linear.png",
    ];
    corpus(&names.map(|name| format!("tests/library/picture/data/{name}")))
}

fn corpus(files: &[String]) -> Vec<Vec<u8>> {
    files.iter().map(|file| std::fs::read(file).unwrap()).collect()
}

fn fixture(name: &str) -> String {
    format!("{}/tests/library/readings/{name}", env!("CARGO_MANIFEST_DIR"))
}

/// Wide sheets, with titles above them and without.
fn wide() -> Vec<Vec<u8>> {
    let template = include_str!("../../src/folder/templates/wide-family.csv");
    let filled = |line: &str| match line.strip_suffix(",,,,,") {
        Some(head) => format!("{head},0.31,0.42 7 min,,0.56,0.7"),
        None => line.to_owned(),
    };
    let filled: String = template.lines().map(|line| filled(line) + "\n").collect();
    let titled = format!("Bath 3, March\n\n\"by\";me\n{}", filled.replace(',', ";"));
    let short = "log_exposure,A 7 min,B (9:30 min)\nbase,0.2,0.21\nsigma,0.01,0.02\n-2,0.3,\n-1.5,0.4,0.5\n-1,0.6,0.8\n-0.5,0.9,1.1\n0,1.2,1.5\n";
    vec![template.into(), filled.into(), titled.into(), short.into()]
}

fn pairing_text() -> Vec<u8> {
    let desk = crate::desk::Desk::with_pairing();
    desk.bytes("pairing.toml")
}

fn readers() -> Vec<Reader> {
    let tables = ["strip.csv", "strip-semicolon.csv", "camera-test.csv", "control.csv"].map(data);
    let small =
        ["evenness.csv", "temperatures.csv", "proof-strip.csv", "negatives.csv", "leader.csv"]
            .map(data);
    let workbooks = ["strip.ods", "faults.xlsx", "two_sheets.xlsx", "open_table.ods"].map(fixture);
    let words = "21.5\n70F\n0.005+1%\n9:30\n9,5\n0:55\n36x24\n-2.5\n135-36=6\n8x10in=4\n120\n2026-11-17\n17.11.2026\n3 March 2026\n";
    let reader = |name, corpus, read| Reader { name, corpus, read };
    vec![
        reader("tables", corpus(&tables), readings as fn(&[u8])),
        reader("wide tables", wide(), readings),
        reader("CGATS", corpus(&[fixture("control.txt")]), readings),
        reader("workbooks", corpus(&workbooks), readings),
        reader("small tables", corpus(&small), small_tables),
        reader("journal", corpus(&[data("bath.csv"), data("class.csv")]), journal),
        reader("pairing", vec![pairing_text()], pairing),
        reader("plan", corpus(&[data("session.toml"), data("class-night.toml")]), plan),
        reader("defaults", vec![b"[usual]\npairing = \"a\"\nbath = \"b\"\n[units]\ntemperature = \"F\"\n[readings]\nlog_exposure_clear = 0.85\ndensity_sigma = \"0.005+1%\"\nexposure_sigma = 0.03\n[scene]\nstops = 7\n[printing]\npaper_range = 105\nlight = \"condenser\"\ncallier = 1.3\nflare = 0.4\n".to_vec()], defaults),
        reader("pictures", pictures(), picture),
        reader("options", vec![words.as_bytes().to_vec()], options),
    ]
}

/// A place in `bytes` and one after it, mostly near.
fn piece(bytes: &[u8], rng: &mut SmallRng) -> std::ops::Range<usize> {
    let from = rng.random_range(0..=bytes.len());
    let most = if rng.random_range(0..4) == 0 { bytes.len() } else { 24 };
    from..(from + rng.random_range(0..=most)).min(bytes.len())
}

fn change(bytes: &mut Vec<u8>, other: &[u8], rng: &mut SmallRng) {
    let at = piece(bytes, rng);
    match rng.random_range(0..8) {
        0 => {
            if let Some(byte) = bytes.get_mut(at.start) {
                *byte ^= 1 << rng.random_range(0..8);
            }
        }
        1 => drop(bytes.drain(at)),
        2 => {
            let again = bytes[at.clone()].repeat(rng.random_range(1..4));
            bytes.splice(at.end..at.end, again);
        }
        3 | 4 => {
            let word = WORDS[rng.random_range(0..WORDS.len())];
            bytes.splice(at, word.bytes());
        }
        5 => {
            let from = piece(other, rng);
            bytes.splice(at, other[from].iter().copied());
        }
        6 => bytes.truncate(at.start),
        _ => {
            let word = WORDS[rng.random_range(0..WORDS.len())];
            bytes.splice(at.start..at.start, word.repeat(rng.random_range(1..200)).bytes());
        }
    }
    bytes.truncate(100_000);
}

/// One part of an archive changed, and all of it packed again; `None` for what is no archive.
fn repacked(bytes: &[u8], rng: &mut SmallRng) -> Option<Vec<u8>> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).ok()?;
    let chosen = rng.random_range(0..archive.len());
    let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for index in 0..archive.len() {
        let mut part = archive.by_index(index).ok()?;
        let mut text = Vec::new();
        part.read_to_end(&mut text).ok()?;
        let name = part.name().ok()?.into_owned();
        if index == chosen {
            for _ in 0..rng.random_range(1..4) {
                change(&mut text, b"<row r=\"1\"><c t=\"s\"/></row>", rng);
            }
        }
        let stored = zip::write::SimpleFileOptions::default()
            .compression_method(zip::CompressionMethod::Stored);
        writer.start_file(name, stored).ok()?;
        writer.write_all(&text).ok()?;
    }
    Some(writer.finish().ok()?.into_inner())
}

/// A number that some reader does not expect.
fn odd_number(rng: &mut SmallRng) -> u64 {
    const ODD: [u64; 16] =
        [0, 1, 2, 3, 4, 5, 7, 8, 16, 32, 255, 65_535, 65_536, 0x7fff_ffff, 0xffff_ffff, u64::MAX];
    ODD[rng.random_range(0..ODD.len())]
}

/// A TIFF with fields of its first directory changed; `None` for what is none.
fn tags_changed(bytes: &[u8], rng: &mut SmallRng) -> Option<Vec<u8>> {
    let big_end_first = match bytes.get(..2)? {
        b"II" => false,
        b"MM" => true,
        _ => return None,
    };
    let large = bytes.get(2..4)?.contains(&43);
    let number = |bytes: &[u8]| {
        let add = |sum: usize, byte: &u8| sum << 8 | usize::from(*byte);
        if big_end_first { bytes.iter().fold(0, add) } else { bytes.iter().rev().fold(0, add) }
    };
    let word = if large { 8 } else { 4 };
    let at = number(bytes.get(if large { 8..16 } else { 4..8 })?);
    let count_size = if large { 8 } else { 2 };
    let count = number(bytes.get(at..at + count_size)?);
    let mut bytes = bytes.to_vec();
    for _ in 0..rng.random_range(1..3) {
        let entry = at + count_size + rng.random_range(0..count) * (4 + 2 * word);
        // Tag, type, count or value.
        let (from, size) = [(0, 2), (2, 2), (4, word), (4 + word, word)]
            [[0, 1, 2, 3, 3, 3][rng.random_range(0..6)]];
        let size = if from > 4 && rng.random() { 2 } else { size };
        let mut new = odd_number(rng).to_le_bytes()[..size].to_vec();
        if big_end_first {
            new.reverse();
        }
        bytes.get_mut(entry + from..entry + from + size)?.copy_from_slice(&new);
    }
    Some(bytes)
}

/// A PNG with one part changed, and the check sums right again; `None` for what is none.
fn parts_changed(bytes: &[u8], rng: &mut SmallRng) -> Option<Vec<u8>> {
    let mut rest = bytes.strip_prefix(b"\x89PNG\r\n\x1a\n")?;
    let mut parts = Vec::new();
    while let Some((length, after)) = rest.split_first_chunk::<4>() {
        let end = 4 + u32::from_be_bytes(*length) as usize;
        parts.push((after.get(..4)?.to_vec(), after.get(4..end)?.to_vec()));
        rest = after.get(end + 4..)?;
    }
    let chosen = rng.random_range(0..parts.len());
    if rng.random_range(0..4) == 0 {
        let again = parts[chosen].clone();
        parts.insert(rng.random_range(0..parts.len()), again);
    }
    if rng.random() && !parts[chosen].1.is_empty() {
        let part = &mut parts[chosen].1;
        let at = rng.random_range(0..part.len());
        part[at] = odd_number(rng) as u8;
    } else {
        change(&mut parts[chosen].1, b"\0\0\0\x01", rng);
    }
    let mut file = bytes[..8].to_vec();
    for (name, data) in parts {
        file.extend((data.len() as u32).to_be_bytes());
        let from = file.len();
        file.extend(name);
        file.extend(data);
        let sum = check_sum(&file[from..]);
        file.extend(sum.to_be_bytes());
    }
    Some(file)
}

/// CRC-32 as PNG has it.
fn check_sum(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0, |sum, byte| {
        (0..8)
            .fold(sum ^ u32::from(*byte), |s, _| (s >> 1) ^ (0xedb8_8320 & (s & 1).wrapping_neg()))
    })
}

fn case(reader: &Reader, seed: u64) -> Vec<u8> {
    let mut rng = SmallRng::seed_from_u64(seed);
    let one = |rng: &mut SmallRng| &reader.corpus[rng.random_range(0..reader.corpus.len())];
    let mut bytes = one(&mut rng).clone();
    if reader.name == "workbooks"
        && rng.random_range(0..3) > 0
        && let Some(again) = repacked(&bytes, &mut rng)
    {
        return again;
    }
    if reader.name == "pictures"
        && rng.random_range(0..4) > 0
        && let Some(again) =
            tags_changed(&bytes, &mut rng).or_else(|| parts_changed(&bytes, &mut rng))
    {
        return again;
    }
    for _ in 0..rng.random_range(1..7) {
        let other = one(&mut rng).clone();
        change(&mut bytes, &other, &mut rng);
    }
    bytes
}

/// Cases that are being tried, and since when.
static TRIED: Mutex<Vec<(&str, u64, Instant)>> = Mutex::new(Vec::new());
/// A case that takes so long never ends.
const HOPELESS: Duration = Duration::from_secs(20);

/// Ends the tests when a case does not end, and names it.
fn watch() {
    loop {
        std::thread::sleep(Duration::from_secs(1));
        let tried = TRIED.lock().unwrap();
        if let Some((name, seed, _)) = tried.iter().find(|(.., began)| began.elapsed() > HOPELESS) {
            eprintln!("({name:?}, {seed}) does not end");
            std::process::exit(1);
        }
    }
}

/// Why a case fails, if it does.
fn failure(reader: &Reader, seed: u64) -> Option<String> {
    let bytes = case(reader, seed);
    let began = Instant::now();
    TRIED.lock().unwrap().push((reader.name, seed, began));
    let panicked = catch_unwind(AssertUnwindSafe(|| (reader.read)(&bytes))).is_err();
    let took = began.elapsed();
    TRIED.lock().unwrap().retain(|(name, tried, _)| (*name, *tried) != (reader.name, seed));
    let what = if panicked {
        "panics".to_owned()
    } else if took > LONGEST {
        format!("takes {took:?}")
    } else {
        return None;
    };
    Some(format!(
        "({:?}, {seed}) {what}: {}",
        reader.name,
        String::from_utf8_lossy(&bytes[..bytes.len().min(300)])
    ))
}

#[test]
fn no_reader_panics_or_takes_long() {
    let cases: u64 = std::env::var("WEDGEBOOK_CASES").map_or(2000, |n| n.parse().unwrap());
    let first: u64 = std::env::var("WEDGEBOOK_SEED").map_or(0, |n| n.parse().unwrap());
    let readers = readers();
    std::thread::spawn(watch);
    for (name, seed) in FAILED {
        let reader = readers.iter().find(|r| r.name == name).unwrap();
        assert_eq!(failure(reader, seed), None);
    }
    for reader in &readers {
        let began = Instant::now();
        // A pairing that is read is fitted whole, which takes its time.
        let cases = if reader.name == "pairing" { cases / 10 } else { cases };
        let failed: Vec<String> = (first..first + cases)
            .into_par_iter()
            .filter_map(|seed| failure(reader, seed))
            .collect();
        println!("{} cases of {}: {:.1?}", cases, reader.name, began.elapsed());
        assert!(
            failed.is_empty(),
            "{} fail:\n{}",
            failed.len(),
            failed[..failed.len().min(5)].join("\n")
        );
    }
}
