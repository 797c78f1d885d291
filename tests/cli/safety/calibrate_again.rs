//! Calibrating onto a pairing keeps what a person set in it.

use super::refused;
use crate::desk::{Desk, data};

/// A desk with a pairing that a person has edited: aims, limits, a name, a note and four comments.
fn edited() -> Desk {
    let desk = Desk::empty();
    desk.copy("family.csv");
    let (status, _, err) = desk.run(&[
        "calibrate",
        "family.csv",
        "--log-exposure-clear",
        "0",
        "--out",
        "p.toml",
        "--name",
        "Tuesday class",
        "--note",
        "two litres",
        "--paper-range",
        "90",
    ]);
    assert_eq!(status, 0, "{err}");
    let text = desk
        .read("p.toml")
        .replace("scene_stops", "# scenes by the river\nscene_stops")
        .replacen(
            "[[strip]]",
            "[limits]\ncontrast = 0.04 # strict\nbase_plus_fog = 0.03\nspeed_log_h = 0.1\n\n# thin negatives\n[[strip]]",
            1,
        );
    desk.write("p.toml", &(text + "# to be done again in autumn\n"));
    desk
}

const AGAIN: [&str; 6] =
    ["calibrate", "family.csv", "--log-exposure-clear", "0", "--out", "p.toml"];

#[test]
fn what_a_person_set_is_kept() {
    let desk = edited();
    let before = desk.read("p.toml");
    let (status, out, err) = desk.run(&AGAIN);
    assert_eq!((status, err.as_str()), (0, ""));
    assert_eq!(desk.read("p.toml"), before, "nothing is new, so nothing changes");
    for line in [
        "Compared with the pairing that was in this file",
        "kept  name                         Tuesday class  Tuesday class",
        "kept  [aims.printing] paper_range  90             90",
        "kept  [limits] contrast            0.04           0.04",
        "kept  lines of comment             4              4",
    ] {
        assert!(out.contains(line), "{line:?} in\n{out}");
    }
}

#[test]
fn what_is_given_now_is_changed_and_said() {
    let desk = edited();
    let args = [&AGAIN[..], &["--flare", "0.3", "--reference", "68F", "--json"]].concat();
    let answer = desk.json(&args);
    let of = |place: &str| {
        let changes = answer["changes"].as_array().unwrap();
        changes.iter().find(|c| c["place"] == place).unwrap_or(&serde_json::Value::Null).clone()
    };
    let flare = of("[aims.printing] flare");
    assert_eq!(
        (&flare["change"], &flare["before"], &flare["now"]),
        (&"changed".into(), &serde_json::Value::Null, &0.3.into())
    );
    assert_eq!(of("reference_celsius"), serde_json::Value::Null, "68 °F are 20 °C, as before");
    let text = desk.read("p.toml");
    for line in
        ["flare = 0.3", "# scenes by the river", "contrast = 0.04 # strict", "# thin negatives"]
    {
        assert!(text.contains(line), "{line}");
    }
}

#[test]
fn strips_that_come_and_go_are_named() {
    let desk = edited();
    let rows = desk.read("family.csv");
    let fewer: String = rows
        .lines()
        .filter(|row| !row.starts_with("F,"))
        .map(|row| format!("{}\n", row.replace("B,0,,0.", "B,0,,0.0")))
        .collect();
    desk.write("family.csv", &fewer);
    let (status, out, err) = desk.run(&AGAIN);
    assert_eq!(status, 0, "{err}");
    assert!(out.contains("left out  strip F"), "{out}");
    assert!(out.contains("changed   strip B"), "{out}");
}

#[test]
fn replace_keeps_nothing() {
    let desk = edited();
    let (status, out, err) = desk.run(&[&AGAIN[..], &["--replace"]].concat());
    assert_eq!((status, err.as_str()), (0, ""));
    assert!(!out.contains("Compared with"), "{out}");
    let text = desk.read("p.toml");
    for gone in
        ["Tuesday", "two litres", "[limits]", "river", "thin neg", "autumn", "paper_range = "]
    {
        assert!(!text.contains(gone), "{gone} in\n{text}");
    }
}

#[test]
fn a_pairing_that_cannot_be_kept_is_refused() {
    let desk = edited();
    let text = desk.read("p.toml");
    desk.write("p.toml", &text.replace("paper_range = 90.0", "paper_range = 900.0"));
    let why = "p.toml: [aims.printing] paper_range: 900 is not a paper's ISO range: it must be between 20 and 250";
    refused(&desk, &AGAIN, &format!("{why}; use --replace to keep nothing of this file"));
    desk.write("p.toml", &text.replace("paper_range", "paper_rangee"));
    let before = desk.all();
    let (status, out, err) = desk.run(&AGAIN);
    assert_eq!((status, out.as_str()), (2, ""));
    assert!(err.starts_with("wedgebook: p.toml:") && err.contains("paper_rangee"), "{err}");
    assert!(err.ends_with("; use --replace to keep nothing of this file\n"), "{err}");
    assert_eq!(desk.all(), before);
    let (status, _, err) = desk.run(&[&AGAIN[..], &["--replace"]].concat());
    assert_eq!(status, 0, "{err}");
}

#[test]
fn strips_of_another_film_do_not_replace_a_pairing() {
    let desk = edited();
    let rows = std::fs::read_to_string(data("family.csv")).unwrap();
    desk.write("family.csv", &rows.replace(",Larkfold,", ",Harrowmere,"));
    refused(
        &desk,
        &AGAIN,
        "p.toml: the pairing is of the film Larkfold, and the strips are of the film Harrowmere; write to another file, or use --replace to keep nothing of this file",
    );
}
