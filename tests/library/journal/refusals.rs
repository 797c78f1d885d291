//! Every entry and row that cannot be, with its message.

use super::{Desk, discard, faults, film, mix, note, replenish, strip};
use jiff::civil::date;
use wedgebook::bath::journal::{Act, Entry, Journal, StripResult};

const HEAD: &str = "date,act,litres,area_m2,added_ml,removed_ml,strip,celsius,activity,activity_low,activity_high,verdict,note\n";
const MIX: &str = "2026-03-03,mix,1.5,,,,,,,,,,\n";

/// The faults of a bath of 1.5 litres with these rows, each after its `bath.csv:`.
fn rows(rows: &str) -> String {
    faults(format!("{HEAD}{MIX}{rows}")).replace("bath.csv:", "")
}

#[test]
fn rows_that_cannot_be() {
    for (row, message) in [
        (
            "4.3.26,note,,,,,,,,,,,x",
            "3, column \"date\": \"4.3.26\" is not a date; write year-month-day, as 2026-03-04",
        ),
        (
            ",note,,,,,,,,,,,x",
            "3, column \"date\": \"\" is not a date; write year-month-day, as 2026-03-04",
        ),
        (
            "2026-02-30,note,,,,,,,,,,,x",
            "3, column \"date\": \"2026-02-30\" is not a date; write year-month-day, as 2026-03-04",
        ),
        (
            "2026-03-02,note,,,,,,,,,,,x",
            "3, column \"date\": 2026-03-02 is before the entry before it, 2026-03-03; entries stand in the order of their dates: correct the date",
        ),
        (
            "2026-07-02,note,,,,,,,,,,,x",
            "3, column \"date\": 2026-07-02 is later than today, 2026-06-30; correct the date, or this computer's clock",
        ),
        (
            "2026-03-04,flim,,0.1,,,,,,,,,",
            "3, column \"act\": unknown entry type \"flim\"; did you mean \"film\"?",
        ),
        (
            "2026-03-04,replenished,,,9,,,,,,,,",
            "3, column \"act\": unknown entry type \"replenished\"; did you mean \"replenish\"?",
        ),
        (
            "2026-03-04,stir,,,,,,,,,,,",
            "3, column \"act\": unknown entry type \"stir\"; did you mean \"strip\"?",
        ),
        (
            "2026-03-04,agitated,,,,,,,,,,,",
            "3, column \"act\": unknown entry type \"agitated\"; write mix, film, replenish, strip, note or discard",
        ),
        (
            "2026-03-04,mix,,,,,,,,,,,",
            "3, column \"litres\": mix needs it; write a volume in litres, as 1.5",
        ),
        (
            "2026-03-04,mix,0,,,,,,,,,,",
            "3, column \"litres\": 0 is not a volume in litres: it must be above 0 and at most 10000; check what was typed",
        ),
        (
            "2026-03-04,mix,-2,,,,,,,,,,",
            "3, column \"litres\": -2 is not a volume in litres: it must be above 0 and at most 10000; check what was typed",
        ),
        (
            "2026-03-04,mix,1.5 l,,,,,,,,,,",
            "3, column \"litres\": \"1.5 l\" is not a number; write a volume in litres, as 1.5",
        ),
        (
            "2026-03-04,mix,\"1,5\",,,,,,,,,,",
            "3, column \"litres\": \"1,5\" has a decimal comma; write a point, or separate the columns with ; or tabs",
        ),
        (
            "2026-03-04,film,,,,,,,,,,,",
            "3, column \"area_m2\": film needs it; write an area in m², as 0.056",
        ),
        (
            "2026-03-04,film,,NaN,,,,,,,,,",
            "3, column \"area_m2\": \"NaN\" is not a number; write an area in m², as 0.056",
        ),
        (
            "2026-03-04,film,,1e999,,,,,,,,,",
            "3, column \"area_m2\": inf is not an area in m²: it must be above 0 and at most 10000; check what was typed",
        ),
        (
            "2026-03-04,film,,0,,,,,,,,,",
            "3, column \"area_m2\": 0 is not an area in m²: it must be above 0 and at most 10000; check what was typed",
        ),
        (
            "2026-03-04,replenish,,,0,,,,,,,,",
            "3, column \"added_ml\": 0 is not a volume in ml: it must be above 0 and at most 10000000; check what was typed",
        ),
        (
            "2026-03-04,replenish,,,10,-1,,,,,,,",
            "3, column \"removed_ml\": -1 is not a volume in ml: it must be between 0 and 10000000; check what was typed",
        ),
        (
            "2026-03-04,replenish,,,10,1501,,,,,,,",
            "3, column \"removed_ml\": 1501 ml is more than the bath has, 1500 ml; check this entry and those before it",
        ),
        (
            "2026-03-04,strip,,,,,,,,,,in spec,",
            "3, column \"strip\": strip needs it; write the strip's name",
        ),
        (
            "2026-03-04,strip,,,,,C,68,,,,in spec,",
            "3, column \"celsius\": 68 is not a temperature of a bath in °C: it must be between 0 and 60; check what was typed",
        ),
        (
            "2026-03-04,strip,,,,,C,20,0.9,0.95,1,in spec,",
            "3, column \"activity\": 0.9 lies outside its own interval, 0.95 to 1; check the three",
        ),
        ("2026-03-04,note,,,,,,,,,,,", "3, column \"note\": note needs it; write a remark"),
        (
            "2026-03-04,note,x",
            "3: 3 cells for 13 columns; leave an empty cell empty, but keep its separator",
        ),
        (
            "2026-03-04,note,,,,,,,,,,,x,y",
            "3: 14 cells for 13 columns; put a text with a comma in quotation marks; if these are decimal commas, separate the columns with ; or tabs",
        ),
        (
            "2026-03-04,note,,,,,,,,,,,\"x",
            "3: a quotation mark opened here is not closed; close it, or double it where it belongs to the text",
        ),
        (
            "2026-03-04,note,,,,,,,,,,,\u{1}",
            "3: the line has bytes that are no text; remove them, or put back a copy of the journal",
        ),
    ] {
        assert_eq!(rows(&format!("{row}\n")), message, "{row}");
    }
}

#[test]
fn what_may_not_follow() {
    let discarded = "2026-03-04,discard,,,,,,,,,,,\n";
    for (after, message) in [
        (
            "2026-03-05,film,,0.1,,,,,,,,,",
            "4, column \"act\": film after the bath was discarded on 2026-03-04; only a mix or a note may follow",
        ),
        (
            "2026-03-05,discard,,,,,,,,,,,",
            "4, column \"act\": discard after the bath was discarded on 2026-03-04; only a mix or a note may follow",
        ),
    ] {
        assert_eq!(rows(&format!("{discarded}{after}\n")), message);
    }
    let unmixed =
        faults(format!("{HEAD}2026-03-05,note,,,,,,,,,,,x\n2026-03-05,film,,0.1,,,,,,,,,\n"));
    assert_eq!(
        unmixed,
        "bath.csv:3, column \"act\": film before any mix: there is no bath yet; enter the mix first"
    );
}

/// All rows that are wrong by themselves are told in one go; what follows from a wrong row is not.
#[test]
fn all_faulty_rows_are_told() {
    let text = format!(
        "{HEAD}2026-03-03,mix,lots,,,,,,,,,,\n2026-08-03,film,,0.1,,,,,,,,,\n2026-03-05,film,,x,,,,,,,,,\n2026-03-06,replenish,,,10,9999,,,,,,,\n2026-03-04,note,,,,,,,,,,,a\n"
    );
    assert_eq!(
        faults(text).lines().collect::<Vec<_>>(),
        [
            "bath.csv:2, column \"litres\": \"lots\" is not a number; write a volume in litres, as 1.5",
            "bath.csv:3, column \"date\": 2026-08-03 is later than today, 2026-06-30; correct the date, or this computer's clock",
            "bath.csv:4, column \"date\": 2026-03-05 is before the entry before it, 2026-08-03; entries stand in the order of their dates: correct the date",
            "bath.csv:4, column \"area_m2\": \"x\" is not a number; write an area in m², as 0.056",
            "bath.csv:6, column \"date\": 2026-03-04 is before the entry before it, 2026-03-06; entries stand in the order of their dates: correct the date",
        ]
    );
    let many = format!("{HEAD}{}", "x,note,,,,,,,,,,,a\n".repeat(25));
    assert!(faults(many).ends_with("\nand 5 more"));
}

#[test]
fn files_that_are_no_journals() {
    for (bytes, message) in [
        (&b""[..], "bath.csv: the journal is empty; begin it with a mix"),
        (
            b"log_exposure,density\n-1,0.5\n",
            "bath.csv:1: not a journal: its first row names no column date and no column act; found log_exposure and density",
        ),
        (b"date,act,Date\n", "bath.csv:1: two columns are named \"date\"; keep one"),
        (b"\xFF\xFEd\0a\0t\0e\0", "bath.csv: this is UTF-16; save it as CSV in UTF-8"),
        (
            b"date,act\r2026-03-03,mix\r",
            "bath.csv: its lines end in an old way (CR alone); save it again as CSV",
        ),
    ] {
        assert_eq!(faults(bytes), message);
        if !bytes.is_empty() {
            let desk = Desk::with(bytes);
            let refused = desk.refused("mix bath.csv --litres 1 --date 2026-03-03");
            assert_eq!(refused, format!("wedgebook: {message}"));
        }
    }
}

#[test]
fn what_is_typed_is_held_to_the_same() {
    let desk = Desk::mixed();
    desk.done("note bath.csv x --date 2026-03-05");
    for (args, message) in [
        (
            "film bath.csv --rolls 1 --date 2026-03-04",
            "column \"date\": 2026-03-04 is before the entry before it, 2026-03-05; entries stand in the order of their dates: correct the date, or use --late to put it in its place by date",
        ),
        (
            "replenish bath.csv --added-ml 1 --removed-ml 1500.1 --date 2026-03-05",
            "column \"removed_ml\": 1500.1 ml is more than the bath has, 1500 ml; check this entry and those before it",
        ),
        (
            "note bath.csv \u{7} --date 2026-03-05",
            "column \"note\": \" \" has a line break or a control character; write it on one line",
        ),
    ] {
        let expected = format!("wedgebook: bath.csv, new entry, {message}");
        assert_eq!(desk.refused(args), expected);
    }
    assert!(
        desk.refused("note bath.csv x --date 2126-03-05")
            .contains("2126-03-05 is later than today")
    );
    for (args, message) in [
        (
            "film bath.csv --rolls 1 --date 5.3.26",
            "'5.3.26' for '--date <YYYY-MM-DD>': write year-month-day, as 2026-03-04",
        ),
        (
            "film bath.csv --rolls 120",
            "'120' for '--rolls <N|FORMAT=N>': write how many of them, as 120=2",
        ),
        (
            "film bath.csv --rolls 0",
            "\"0\" is not a number of films: write a whole number from 1 to 10000",
        ),
        ("film bath.csv --rolls 120=-1", "\"-1\" is not a number of films"),
        ("film bath.csv --rolls 4x5in=2", "4x5in is a sheet, not a roll"),
        ("film bath.csv --sheets 120=2", "120 is a roll, not a sheet"),
        ("film bath.csv --sheets 4x5=2", "add the unit, as in 4x5in, 9x12cm or 90x120mm"),
        ("film bath.csv --area-m2 nan", "\"nan\" is not an area in m²: write a number above 0"),
        ("film bath.csv --area-m2 0", "\"0\" is not an area in m²: write a number above 0"),
        ("film bath.csv --area-m2 1 --rolls 1", "cannot be used with"),
        ("film bath.csv", "required arguments were not provided"),
        (
            "replenish bath.csv --added-ml -5",
            "\"-5\" is not a volume in ml: write a number above 0",
        ),
        (
            "mix bath.csv --litres 1.2.3",
            "\"1.2.3\" is not a volume in litres: write a number above 0",
        ),
        ("note bath.csv", "required arguments were not provided"),
        ("flim bath.csv", "a similar subcommand exists: 'film'"),
    ] {
        let refused = desk.refused(args);
        assert!(refused.contains(message), "{args}: {refused}");
    }
    assert_eq!(desk.journal().entries.len(), 2);
}

/// The library holds its callers to the same, and makes no file for what can never be.
#[test]
fn entries_of_a_program_are_checked_too() {
    let desk = Desk::new();
    let path = desk.path("bath.csv");
    let message = |entry: &Entry| {
        let error = Journal::append(&path, entry).unwrap_err().to_string();
        error.split("new entry, ").last().unwrap().to_owned()
    };
    assert!(
        message(&mix(3, f64::NAN)).starts_with("column \"litres\": NaN is not a volume in litres")
    );
    assert!(
        message(&film(3, "3 × 120", 0.1))
            .contains("no such journal; check the path, or begin it with a mix")
    );
    assert!(!path.exists());
    Journal::append(&path, &mix(3, 1.0)).unwrap();
    assert!(message(&film(3, "", f64::INFINITY)).contains("inf is not an area in m²"));
    assert!(message(&replenish(3, 1.0, f64::NAN)).contains("NaN is not a volume in ml"));
    assert!(message(&note(3, "  ")).contains("note needs it; write a remark"));
    assert!(message(&note(3, "a\nb")).contains("write it on one line"));
    let mut unnamed = strip(3);
    unnamed.act = Act::Strip(Box::<StripResult>::default());
    let both = Journal::append(&path, &unnamed).unwrap_err().to_string();
    let lines: Vec<&str> = both.lines().filter_map(|l| l.split("new entry, ").last()).collect();
    assert_eq!(
        lines,
        [
            "column \"strip\": strip needs it; write the strip's name",
            "column \"verdict\": strip needs it; write a verdict in words, as in spec",
        ]
    );
    let old = Entry::new(date(2026, 3, 2), Act::Note, Some("late".to_owned()));
    assert!(message(&old).contains("2026-03-02 is before the entry before it"));
    Journal::append(&path, &discard(3)).unwrap();
    assert!(message(&strip(3)).contains("strip after the bath was discarded on 2026-03-03"));
    Journal::append(&path, &note(3, "gone")).unwrap();
    assert_eq!(desk.journal().entries.len(), 3);
}

#[test]
fn a_value_without_a_column_is_not_dropped() {
    let desk = Desk::with("date,act,litres\n2026-03-03,mix,1\n");
    assert_eq!(
        desk.refused("note bath.csv x --date 2026-03-04"),
        "wedgebook: bath.csv, new entry, column \"note\": the journal has no such column; add its name to the end of the first row, and a separator to the end of every other row"
    );
    desk.done("discard bath.csv --date 2026-03-04");
}

#[test]
fn a_letter_that_the_file_cannot_hold() {
    let desk = Desk::with(b"date,act,litres,what,note\n2026-03-03,mix,1,Quillback 1+6 20 \xB0C,\n");
    assert_eq!(
        desk.refused("note bath.csv ∆t --date 2026-03-04"),
        "wedgebook: bath.csv, new entry, column \"note\": the file is not UTF-8 and has no letter '∆'; save it as CSV in UTF-8"
    );
}

/// A journal with a faulty row takes no entries until it is mended.
#[test]
fn a_faulty_journal_takes_no_entries() {
    let desk = Desk::with("date,act,litres,note\n2026-03-03,mix,-1,\n");
    assert!(
        desk.refused("note bath.csv x --date 2026-03-04")
            .contains("bath.csv:2, column \"litres\": -1 is not")
    );
}

#[test]
fn places_that_are_no_files() {
    let desk = Desk::new();
    std::fs::create_dir(desk.path("bath.csv")).unwrap();
    let run = desk.bath(&["mix", "bath.csv", "--litres", "1"]);
    assert_eq!(
        (run.status, run.err.trim_end()),
        (2, "wedgebook: bath.csv: this is a directory; name the journal in it")
    );
    let run = desk.bath(&["mix", "none/bath.csv", "--litres", "1"]);
    assert_eq!(
        (run.status, run.err.trim_end()),
        (2, "wedgebook: none/bath.csv: its folder does not exist; check the path")
    );
    if cfg!(unix) {
        let run = desk.bath(&["mix", "/dev/full", "--litres", "1"]);
        assert_eq!(
            (run.status, run.err.trim_end()),
            (2, "wedgebook: /dev/full: it cannot be written (it is not an ordinary file)")
        );
    }
}
