//! Text from files that would act on a terminal or in a spreadsheet, numbers of a million digits, and files
//! without an end.

use super::refused;
use crate::desk::Desk;

/// A table of one strip with this name.
fn strip(name: &str) -> String {
    strip_of(name, 7, 1.0)
}

/// The same, developed for so many minutes, with so many times the contrast.
fn strip_of(name: &str, minutes: u32, contrast: f64) -> String {
    let row = |(x, d): (f64, f64)| {
        format!("{x},{:.2},{name},F{ACTS},{minutes},20\n", 0.2 + contrast * (d - 0.2))
    };
    let rows = [(-3.0, 0.2), (-2.5, 0.22), (-2.0, 0.3), (-1.5, 0.5), (-1.0, 0.8), (-0.5, 1.1)];
    let head = "log_exposure,density,strip,film,minutes,celsius\n".to_owned();
    head + &rows.map(row).concat()
}

/// DEL, a command of eight bits, and a turn of the direction of writing.
const ACTS: &str = "A\u{7f}B\u{9b}31mC\u{202e}D";

#[test]
fn no_terminal_is_commanded() {
    let desk = Desk::empty();
    desk.write("a.csv", &strip(ACTS));
    let (status, out, _) = desk.run(&["curve", "a.csv", "--plot", "a.svg"]);
    assert_eq!(status, 0);
    assert!(out.contains("strip A\u{fffd}B\u{fffd}31mC\u{fffd}D"), "{out}");
    let (_, json, _) = desk.run(&["curve", "a.csv", "--json"]);
    assert!(json.contains(r#""A\u007fB\u009b31mC\u202eD""#), "{json}");
    let back: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(back["strips"][0]["strip"], ACTS);
    assert!(roxmltree::Document::parse(&desk.read("a.svg")).is_ok());
    // In messages too, from a file and from what was typed.
    desk.write("b.csv", &format!("log_exposure,density\n-3,{ACTS}\n"));
    refused(
        &desk,
        &["curve", "b.csv"],
        "b.csv:2, column \"density\": \"A B 31mC D\" is not a number; write one density, as 0.62",
    );
    refused(&desk, &["curve", "\u{1b}[2J.csv"], "\u{fffd}[2J.csv: no such file; check the path");
}

#[test]
fn a_pairing_is_read_back_whatever_the_names() {
    let desk = Desk::empty();
    let of = |minutes, contrast| {
        let table = strip_of(&format!("{ACTS}{minutes}"), minutes, contrast);
        table.split_once('\n').map(|(head, rows)| (head.to_owned(), rows.to_owned())).unwrap()
    };
    let [(head, short), (_, middle), (_, long)] = [of(5, 0.8), of(9, 1.0), of(15, 1.2)];
    desk.write("f.csv", &format!("{head}\n{short}{middle}{long}"));
    let (status, _, err) = desk.run(&["calibrate", "f.csv", "--relative", "--out", "p.toml"]);
    assert_eq!(status, 0, "{err}");
    let (status, out, err) = desk.run(&["adjust", "p.toml", "--scene-stops", "7"]);
    assert!(status < 2 && !out.is_empty(), "{err}");
}

#[test]
fn no_spreadsheet_takes_a_name_for_a_formula() {
    let desk = Desk::empty();
    for name in ["=1+1", "+1", "-1", "@x"] {
        desk.write("a.csv", &strip(name));
        assert_eq!(desk.run(&["curve", "a.csv", "--csv", "out.csv"]).0, 0);
        let first = desk.read("out.csv").lines().nth(1).unwrap().to_owned();
        assert!(first.starts_with(&format!("'{name},-3.0000,")), "{first}");
    }
}

#[test]
fn a_long_number_is_not_echoed() {
    let desk = Desk::empty();
    desk.write("a.csv", &format!("log_exposure,density\n-3,{}\n", "9".repeat(1_000_000)));
    refused(
        &desk,
        &["curve", "a.csv"],
        &format!(
            "a.csv:2, column \"density\": {}… is not a density: it must be between -0.5 and 6; check the decimal point",
            "9".repeat(40)
        ),
    );
}

#[cfg(unix)]
#[test]
fn a_file_without_an_end_is_not_read_to_it() {
    let desk = Desk::with_pairing();
    for (args, reason) in [
        (&["drift", "pairing.toml", "/dev/zero"][..], "larger than 256 MB"),
        (&["proof", "/dev/zero"], "larger than 256 MB"),
        (&["adjust", "/dev/zero"], "it is larger than 32 MB"),
        (&["session", "/dev/zero"], "it is larger than 32 MB"),
        (&["bath", "status", "/dev/zero"], "it is not an ordinary file"),
    ] {
        let (status, out, err) = desk.run(args);
        assert_eq!((status, out.as_str()), (2, ""), "{args:?}: {err}");
        assert!(err.contains(reason) && err.lines().count() == 1, "{args:?}: {err}");
    }
}
