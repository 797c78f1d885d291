//! Dates as people and spreadsheets write them, and a journal that keeps its own way of writing.

use super::refused;
use crate::desk::Desk;

/// A journal that a spreadsheet saved in another locale.
const ELSEWHERE: &[u8] = b"date;act;litres;films;area_m2;note\r\n\
    03.03.2026;mix;1,5;;;\r\n05.03.2026;film;;3 x 135-36;;\"f\xFCr Anna\"\r\n";

#[test]
fn a_journal_keeps_its_way_of_writing() {
    let desk = Desk::empty();
    desk.write_bytes("b.csv", ELSEWHERE);
    let (status, out, err) =
        desk.run(&["bath", "film", "b.csv", "--rolls", "2", "--date", "9 March 2026"]);
    assert_eq!(status, 0, "{err}");
    assert!(out.starts_with("2026-03-09  2 × 135-36, 0.112 m²\n"), "{out}");
    assert!(out.contains("5 films and 0.28 m²"), "{out}");
    assert!(err.contains("b.csv:3: the row has no area: area from nominal dimensions"), "{err}");
    let row = b"09.03.2026;film;;2 \xD7 135-36;0,112;\r\n";
    assert_eq!(desk.bytes("b.csv"), [ELSEWHERE, row].concat());
}

#[test]
fn strokes_are_read_where_the_file_decides() {
    let desk = Desk::empty();
    let journal = |first: &str, second: &str| {
        format!("date,act,litres,note\n{first},mix,1,\n{second},note,,clear\n")
    };
    desk.write("b.csv", &journal("10/03/2026", "13/03/2026"));
    let v = desk.json(&["bath", "log", "b.csv", "--json"]);
    assert_eq!(v["entries"][0]["date"], "2026-03-10");
    assert_eq!(desk.run(&["bath", "note", "b.csv", "x", "--date", "14.03.2026"]).0, 0);
    assert!(
        desk.read("b.csv").contains("\n14/03/2026,note,,x\n")
            || desk.read("b.csv").contains("\"14/03/2026\",note,,\"x\"\n")
    );
    desk.write("b.csv", &journal("03/10/2026", "03/13/2026"));
    let v = desk.json(&["bath", "log", "b.csv", "--json"]);
    assert_eq!(v["entries"][0]["date"], "2026-03-10");
    desk.write("b.csv", &journal("10/03/2026", "11/03/2026"));
    refused(
        &desk,
        &["bath", "log", "b.csv"],
        "b.csv:2, column \"date\": \"10/03/2026\" is 10 March 2026 or 3 October 2026, and nothing shows which; write year-month-day, as 2026-03-10\nb.csv:3, column \"date\": \"11/03/2026\" is 11 March 2026 or 3 November 2026, and nothing shows which; write year-month-day, as 2026-03-11",
    );
}

#[test]
fn a_date_that_is_none_is_never_today() {
    let desk = Desk::with_pairing();
    desk.copy("control.csv");
    let text = desk.read("control.csv");
    assert_eq!(desk.run(&["bath", "mix", "b.csv", "--litres", "5", "--date", "2026-03-03"]).0, 0);
    let enter = ["bath", "strip", "b.csv", "pairing.toml", "c.csv", "--log-exposure-clear", "0"];
    let dated =
        |date: &str| desk.write("c.csv", &text.replace(",2026-11-17\n", &format!(",{date}\n")));
    for (date, why) in [
        ("spring", "is not a date; write year-month-day, as 2026-03-04"),
        (
            "10/03/2026",
            "is 10 March 2026 or 3 October 2026, and nothing shows which; write year-month-day, as 2026-03-10",
        ),
    ] {
        dated(date);
        let message = format!("c.csv:2, column \"date\": \"{date}\" {why}");
        refused(&desk, &enter, &message);
    }
    dated("17 Nov 2026");
    let (status, _, err) = desk.run(&enter);
    assert_eq!((status, err.as_str()), (1, ""));
    let v = desk.json(&["bath", "log", "b.csv", "--json"]);
    assert_eq!(v["entries"][1]["date"], "2026-11-17");
    let (status, _, err) = desk.run(&["bath", "note", "b.csv", "x", "--date", "10/03/2026"]);
    assert_eq!(status, 2);
    assert!(
        err.contains("it is 10 March 2026 or 3 October 2026, and nothing shows which"),
        "{err}"
    );
}

#[test]
fn what_is_unlikely_is_asked_about() {
    let desk = Desk::empty();
    let mix = ["bath", "mix", "b.csv", "--litres", "1500", "--date", "2026-03-03"];
    refused(
        &desk,
        &mix,
        "b.csv, new entry, column \"litres\": 1500 litres is more than most baths have, 100 litres; check what was typed, or use --sure to enter it",
    );
    assert_eq!(desk.run(&[mix.as_slice(), &["--sure"]].concat()).0, 0);
    let mix = ["bath", "mix", "t.csv", "--litres", "1.5", "--date", "2026-03-03"];
    assert_eq!(desk.run(&mix).0, 0);
    for (args, message) in [
        (
            vec!["film", "t.csv", "--rolls", "10000"],
            "column \"area_m2\": 560 m² is a lot of film for one entry and a bath of 1.5 litres: more than 3 m² a litre",
        ),
        (
            vec!["replenish", "t.csv", "--added-ml", "3500", "--removed-ml", "0"],
            "column \"added_ml\": 3500 ml is more than twice the bath's volume, 1.5 litres",
        ),
    ] {
        let args = [&["bath"], args.as_slice(), &["--date", "2026-03-05"]].concat();
        let message =
            format!("t.csv, new entry, {message}; check what was typed, or use --sure to enter it");
        refused(&desk, &args, &message);
        assert_eq!(desk.run(&[args.as_slice(), &["--sure"]].concat()).0, 0);
    }
    // What a file has is read: somebody was sure of it.
    assert_eq!(desk.run(&["bath", "log", "t.csv"]).0, 0);
}

#[test]
fn a_developer_of_forty_degrees_is_asked_about() {
    let desk = Desk::with_pairing();
    desk.copy("control.csv");
    assert_eq!(desk.run(&["bath", "mix", "b.csv", "--litres", "5", "--date", "2026-03-03"]).0, 0);
    let text = desk.read("control.csv").replace(",9,20,", ",9,40,");
    desk.write("c.csv", &text);
    refused(
        &desk,
        &["bath", "strip", "b.csv", "pairing.toml", "c.csv", "--log-exposure-clear", "0"],
        "b.csv, new entry, column \"celsius\": 40 °C is no usual temperature of a developer, 12 to 32 °C; check what was typed, or use --sure to enter it",
    );
}

#[test]
fn a_row_by_format_alone_gets_its_area() {
    let desk = Desk::empty();
    let rows = "date,act,litres,films,area_m2\n2026-03-03,mix,1.5,,\n2026-03-05,film,,3 x 135-36,\n2026-03-06,film,,2 × 120 + 4x5in,\n";
    desk.write("b.csv", rows);
    let v = desk.json(&["bath", "log", "b.csv", "--json"]);
    assert_eq!(v["entries"][1]["area_m2"], 0.168);
    assert_eq!(v["entries"][2]["area_m2"], 0.114993);
    desk.write("b.csv", &rows.replace("3 x 135-36", "three rolls"));
    refused(
        &desk,
        &["bath", "log", "b.csv"],
        "b.csv:3, column \"area_m2\": film needs it; write an area in m², as 0.056, or name the films by their format, as 3 x 135-36",
    );
}
