//! A journal that another program has, one with an area that cannot be meant, and one of a clock ahead.

use crate::desk::{Desk, data};
use std::time::{Duration, Instant};

#[test]
fn a_locked_journal_is_waited_for_aloud_and_not_for_ever() {
    let desk = Desk::empty();
    assert_eq!(desk.run(&["bath", "mix", "b.csv", "--litres", "1", "--date", "2026-11-02"]).0, 0);
    let before = desk.read("b.csv");
    let journal = std::fs::File::options().write(true).open(desk.path().join("b.csv")).unwrap();
    journal.lock().unwrap();
    let began = Instant::now();
    let (status, out, err) = desk.run(&["bath", "note", "b.csv", "x", "--wait", "2.5"]);
    assert_eq!((status, out.as_str()), (2, ""));
    assert_eq!(
        err,
        "wedgebook: note: b.csv: another program has it locked; waiting\nwedgebook: b.csv: another program has it locked, and 2.5 seconds were waited for it; close it there, or wait longer\n"
    );
    assert!(began.elapsed() >= Duration::from_millis(2400));
    // Not at all, and reading too.
    assert_eq!(desk.run(&["bath", "log", "b.csv", "--wait", "0"]).0, 2);
    assert_eq!(desk.read("b.csv"), before);
    journal.unlock().unwrap();
    assert_eq!(desk.run(&["bath", "note", "b.csv", "x", "--wait", "0"]).0, 0);
}

#[test]
fn an_area_that_cannot_be_meant_is_asked_about() {
    let desk = Desk::with_pairing();
    let journal = std::fs::read_to_string(data("bath.csv")).unwrap();
    let (before, after) = journal.rsplit_once("0.336").unwrap();
    desk.write("b.csv", &format!("{before}28{after}"));
    let line = before.lines().count();
    let args =
        ["adjust", "pairing.toml", "--scene-stops", "7", "--bath", "b.csv", "--date", "2026-11-17"];
    super::refused(
        &desk,
        &args,
        &format!(
            "b.csv:{line}, column \"area_m2\": 28 m² is not the area of these films, 0.336 m²; correct it in the journal, or use --anyway to go on all the same"
        ),
    );
    let (status, _, err) = desk.run(&[&args[..], &["--anyway"]].concat());
    assert!(status < 2 && err.contains("28 m² is not the area of these films"), "{err}");
    let (_, _, err) = desk.run(&["bath", "status", "b.csv", "--date", "2026-11-17"]);
    assert!(err.contains("note: b.csv"), "{err}");
}

#[test]
fn a_clock_ahead_does_not_lock_the_journal() {
    let desk = Desk::empty();
    assert_eq!(desk.run(&["bath", "mix", "b.csv", "--litres", "1", "--date", "2026-01-02"]).0, 0);
    let today = wedgebook::bath::journal::today();
    let write = |day: jiff::civil::Date| {
        let there = desk.read("b.csv");
        let columns = there.lines().next().unwrap().matches(',').count();
        desk.write("b.csv", &format!("{there}{day},discard{}\n", ",".repeat(columns - 1)));
    };
    let before = desk.read("b.csv");
    write(today.tomorrow().unwrap());
    assert_eq!(desk.run(&["bath", "log", "b.csv"]).0, 0);
    let (status, _, err) = desk.run(&["bath", "note", "b.csv", "x", "--late"]);
    assert_eq!(status, 0, "{err}");
    desk.write("b.csv", &before);
    write(today.tomorrow().unwrap().tomorrow().unwrap());
    assert_eq!(desk.run(&["bath", "log", "b.csv"]).0, 2);
}
