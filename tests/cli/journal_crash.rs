//! The journal under several writers at once, and under writers that are killed.
//!
//! `WEDGEBOOK_CRASHES=1000 cargo test --release --test cli journal_crash -- --nocapture` kills a thousand.

use assert_cmd::cargo::cargo_bin;
use jiff::civil::date;
use rand::rngs::SmallRng;
use rand::{Rng, SeedableRng};
use std::collections::HashSet;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;
use wedgebook::bath::journal::{Act, Entry, Journal, Load, Numbered};

/// Names the journal to a process that is to write to it: `PATH|NAME|COUNT`.
const TASK: &str = "WEDGEBOOK_WRITER_TASK";

fn mixed() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bath.csv");
    let act = Act::Mix { litres: 1.0, what: None, dilution: None };
    Journal::append(&path, &Entry::new(date(2026, 3, 3), act, None)).unwrap();
    (folder, path)
}

/// The process that writes: so many notes, each told on stdout once it is made. A plain run of the
/// tests has nothing to write.
#[test]
fn writer() {
    let Ok(task) = std::env::var(TASK) else {
        return;
    };
    let [path, name, count] = task.split('|').collect::<Vec<_>>()[..] else {
        panic!("{task}");
    };
    for index in 0..count.parse::<u32>().unwrap() {
        let note = format!("{name}-{index} of °C, \"quoted\"");
        let entry = match name {
            "film" => numbered(index + 1),
            _ => Entry::new(date(2026, 3, 4), Act::Note, Some(note)),
        };
        Journal::append(Path::new(path), &entry).unwrap();
        // One call, so that a kill leaves a whole word or nothing of it.
        let mut out = std::io::stdout().lock();
        out.write_all(format!("\nmade {name}-{index};\n").as_bytes()).unwrap();
        out.flush().unwrap();
    }
}

/// A film by its number.
fn numbered(number: u32) -> Entry {
    let films = vec![Numbered { number, reel: Some(1), place: Some(2) }];
    let load = Load { films, minutes: Some(9.0), ..Load::default() };
    let act = Act::Film { films: "120".to_owned(), area_m2: 0.05, load: Some(Box::new(load)) };
    Entry::new(date(2026, 3, 4), act, None)
}

fn start(path: &Path, name: &str, count: u32) -> Child {
    Command::new(std::env::current_exe().unwrap())
        .args(["journal_crash::writer", "--exact", "--nocapture", "--test-threads=1"])
        .env(TASK, format!("{}|{name}|{count}", path.display()))
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// What a writer said that it made.
fn made(child: &mut Child) -> Vec<String> {
    let mut out = Vec::new();
    child.stdout.take().unwrap().read_to_end(&mut out).unwrap();
    let out = String::from_utf8(out).unwrap();
    let said = out.lines().filter_map(|l| l.strip_prefix("made ")?.strip_suffix(';'));
    said.map(str::to_owned).collect()
}

/// The names of the notes in a journal, which must all be there once.
fn noted(journal: &Journal) -> HashSet<String> {
    let notes = journal.entries.iter().filter_map(|entry| entry.note.as_deref());
    let names: Vec<String> = notes
        .map(|note| {
            let name = note.strip_suffix(" of °C, \"quoted\"");
            name.unwrap_or_else(|| panic!("torn: {note}")).to_owned()
        })
        .collect();
    let count = names.len();
    let names: HashSet<String> = names.into_iter().collect();
    assert_eq!(names.len(), count, "a note stands there twice");
    names
}

#[test]
fn eight_writers_at_once() {
    let (_folder, path) = mixed();
    let mut writers: Vec<Child> = (0..8).map(|w| start(&path, &format!("w{w}"), 100)).collect();
    for writer in &mut writers {
        assert_eq!(made(writer).len(), 100);
        assert!(writer.wait().unwrap().success());
    }
    let journal = Journal::read(&path).unwrap();
    assert_eq!(noted(&journal).len(), 800);
    assert_eq!((journal.torn, journal.notes.len()), (None, 0));
    assert!(!path.with_file_name("bath.csv.torn").exists());
}

/// Of eight that each take 300 ml from one litre, three get it.
#[test]
fn nobody_takes_what_another_took() {
    let (folder, path) = mixed();
    let take = |_| {
        Command::new(cargo_bin("wedgebook"))
            .args(
                "bath replenish bath.csv --added-ml 1 --removed-ml 300 --date 2026-03-04 --again"
                    .split(' '),
            )
            .current_dir(folder.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    };
    let takers: Vec<Child> = (0..8).map(take).collect();
    let mut statuses = Vec::new();
    for taker in takers {
        let output = taker.wait_with_output().unwrap();
        let refused = String::from_utf8(output.stderr).unwrap();
        let status = output.status.code().unwrap();
        assert_eq!(
            status == 2,
            refused.contains("300 ml is more than the bath has, 103 ml"),
            "{refused}"
        );
        statuses.push(status);
    }
    statuses.sort_unstable();
    assert_eq!(statuses, [0, 0, 0, 2, 2, 2, 2, 2]);
    assert_eq!(Journal::read(&path).unwrap().balance().litres, 0.103);
}

/// Eight first mixes at once make one journal of eight entries.
#[test]
fn a_journal_is_begun_once() {
    for _ in 0..5 {
        let folder = tempfile::tempdir().unwrap();
        let begin = |_| {
            Command::new(cargo_bin("wedgebook"))
                .args("bath mix bath.csv --litres 1 --date 2026-03-04 --again".split(' '))
                .current_dir(folder.path())
                .stdout(Stdio::null())
                .spawn()
                .unwrap()
        };
        let beginners: Vec<Child> = (0..8).map(begin).collect();
        for mut beginner in beginners {
            assert!(beginner.wait().unwrap().success());
        }
        let journal = Journal::read(&folder.path().join("bath.csv")).unwrap();
        assert_eq!(journal.entries.len(), 8);
    }
}

/// How many writers are killed: a few, or as many as `WEDGEBOOK_CRASHES` says.
fn crashes() -> u32 {
    std::env::var("WEDGEBOOK_CRASHES").map_or(40, |count| count.parse().unwrap())
}

/// A part of a line, as a machine that loses its power may leave it.
fn tear(path: &Path, rng: &mut SmallRng) -> String {
    let line = format!("2026-03-04,note{}\"power, lost\"{}", ",".repeat(26), ",".repeat(6));
    let part = &line[..rng.random_range(1..line.len())];
    let mut file = std::fs::File::options().append(true).open(path).unwrap();
    file.write_all(part.as_bytes()).unwrap();
    part.to_owned()
}

/// Writers are killed at random moments, two at a time, and every third time a torn line is left
/// besides: what was told as made is there, and nothing torn stays.
#[test]
fn killed_writers_lose_nothing() {
    let mut rng = SmallRng::seed_from_u64(20_260_303);
    let (mut left, mut told, mut untold, mut torn) = (crashes(), 0, 0, 0);
    while left > 0 {
        let (_folder, path) = mixed();
        let (mut acknowledged, mut parts) = (HashSet::new(), String::new());
        // A fresh journal now and then keeps the writers quick.
        for round in 0..left.min(50).div_ceil(2) {
            let mut pair: Vec<Child> =
                (0..2.min(left)).map(|w| start(&path, &format!("r{round}w{w}"), 10_000)).collect();
            for writer in &mut pair {
                std::thread::sleep(Duration::from_micros(rng.random_range(0..25_000)));
                writer.kill().unwrap();
                left -= 1;
            }
            for writer in &mut pair {
                acknowledged.extend(made(writer));
                assert!(!writer.wait().unwrap().success());
            }
            let journal = Journal::read(&path).unwrap();
            let noted = noted(&journal);
            assert!(
                noted.is_superset(&acknowledged),
                "lost: {:?}",
                acknowledged.difference(&noted)
            );
            if round % 3 == 0 {
                parts.push_str(&tear(&path, &mut rng));
                parts.push('\n');
                torn += 1;
                let mut writer = start(&path, &format!("r{round}after"), 1);
                acknowledged.extend(made(&mut writer));
                assert!(writer.wait().unwrap().success());
                assert_eq!(Journal::read(&path).unwrap().torn, None);
            }
        }
        let journal = Journal::read(&path).unwrap();
        assert_eq!((journal.torn.as_deref(), journal.notes.as_slice()), (None, &[][..]));
        let kept = std::fs::read_to_string(path.with_file_name("bath.csv.torn"));
        assert_eq!(kept.unwrap_or_default(), parts);
        let noted = noted(&journal);
        assert!(noted.is_superset(&acknowledged));
        told += acknowledged.len();
        untold += noted.len() - acknowledged.len();
    }
    println!(
        "{} writers killed: {told} entries told and there, {untold} there and not told, {torn} torn lines moved aside",
        crashes()
    );
    assert!(told > 0);
}

/// The program itself is killed at random moments; whoever had exit status 0 has an entry.
#[test]
fn a_killed_program_loses_nothing() {
    let mut rng = SmallRng::seed_from_u64(20_260_304);
    let (folder, path) = mixed();
    let mut told = HashSet::new();
    for run in 0..crashes() {
        let name = format!("run-{run}");
        let note = format!("{name} of °C, \"quoted\"");
        let mut child = Command::new(cargo_bin("wedgebook"))
            .args(["bath", "note", "bath.csv", &note, "--date", "2026-03-04"])
            .current_dir(folder.path())
            .stdout(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_micros(rng.random_range(0..12_000)));
        let _ = child.kill();
        if child.wait().unwrap().success() {
            told.insert(name);
        }
    }
    let journal = Journal::read(&path).unwrap();
    let noted = noted(&journal);
    assert!(noted.is_superset(&told), "lost: {:?}", told.difference(&noted));
    println!(
        "{} runs killed: {} had ended, {} had made their entry",
        crashes(),
        told.len(),
        noted.len()
    );
}

/// A journal from before films had numbers gets its columns whole or not at all, whenever its writer is
/// killed, and no film that was made is lost.
#[test]
fn a_killed_writer_leaves_an_old_journal_or_a_wide_one() {
    const OLD: &str = "date,act,litres,films,area_m2,strip,verdict,note\n\
        2026-03-03,mix,1,,,,,\n# a remark\n2026-03-03,strip,,,,a,in spec,\"good, clear\"\n";
    let mut rng = SmallRng::seed_from_u64(20_261_130);
    let (mut wide, mut old) = (0, 0);
    for _ in 0..crashes().min(200) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("bath.csv");
        std::fs::write(&path, OLD).unwrap();
        let mut writer = start(&path, "film", 10_000);
        std::thread::sleep(Duration::from_micros(rng.random_range(0..150_000)));
        writer.kill().unwrap();
        let told = made(&mut writer).len();
        assert!(!writer.wait().unwrap().success());
        let journal = Journal::read(&path).unwrap();
        let numbers: Vec<u32> =
            journal.entries.iter().flat_map(Entry::numbered).map(|film| film.number).collect();
        assert_eq!(numbers, (1..=numbers.len() as u32).collect::<Vec<_>>());
        assert!(numbers.len() >= told, "{told} were made, {numbers:?} are there");
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(text.contains("\n# a remark\n") && text.contains("\"good, clear\""), "{text}");
        match numbers.is_empty() {
            true => old += 1,
            false => wide += 1,
        }
        // The next film is entered all the same.
        let appended = Journal::append(&path, &numbered(journal.next_number())).unwrap();
        assert_eq!(appended.balance.films, numbers.len() as u64 + 1);
    }
    println!("{old} journals stayed as they were, {wide} are wide");
    assert!(wide > 0);
}
