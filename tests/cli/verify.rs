//! `verify` and `bath strip` as a person meets them.

use crate::desk::{Desk, data};
use serde_json::Value;

const CLEAR: [&str; 2] = ["--log-exposure-clear", "0"];

fn verify(desk: &Desk, readings: &str, more: &[&str]) -> (i32, String, String) {
    let mut args = vec!["verify", "pairing.toml", readings];
    args.extend(CLEAR);
    args.extend(more);
    desk.run(&args)
}

/// The demonstration's control strip with `change` done to each density.
fn changed(desk: &Desk, name: &str, change: impl Fn(f64) -> f64) {
    let text = std::fs::read_to_string(data("control.csv")).unwrap();
    let mut lines = text.lines();
    let mut out = format!("{}\n", lines.next().unwrap());
    for line in lines {
        let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        cells[3] = format!("{:.3}", change(cells[3].parse().unwrap()));
        out.push_str(&format!("{}\n", cells.join(",")));
    }
    desk.write(name, &out);
}

#[test]
fn a_slow_bath_is_told_its_time() {
    let desk = Desk::with_pairing();
    let (status, out, err) = verify(&desk, &data("control.csv"), &["--plot", "control.svg"]);
    assert_eq!((status, err.as_str()), (1, ""));
    assert!(out.contains("time restores it  yes: 11."), "{out}");
    assert!(out.contains("  lengthen          contrast is below its limit"), "{out}");
    assert!(out.contains("common practice, no source"), "assumed limits are labelled: {out}");
    assert!(desk.read("control.svg").ends_with("</svg>\n"));
}

#[test]
fn the_json_document_keeps_its_shape() {
    let desk = Desk::with_pairing();
    let (status, out, _) = verify(&desk, &data("control.csv"), &["--json"]);
    assert_eq!(status, 1);
    let v: Value = serde_json::from_str(&out).unwrap();
    for q in ["activity", "minutes_to_restore"] {
        let (low, value, high) = (&v[q]["low"], &v[q]["value"], &v[q]["high"]);
        assert!(low.as_f64() < value.as_f64() && value.as_f64() < high.as_f64(), "{q}");
    }
    for q in ["base_plus_fog", "speed_log_h", "contrast"] {
        assert!(v["deviations"][q]["value"].is_f64(), "{q}");
    }
    assert_eq!(v["in_spec"], false);
    assert_eq!(v["time_can_restore"], true);
    assert_eq!(v["action"], "lengthen");
    assert_eq!(v["limits"]["contrast"]["upper"], 0.05);
    assert_eq!(v["change"]["kind"], "none");
    assert!(v["notes"].is_array());
    // Minutes over activity, and no other rule.
    let minutes = v["minutes_to_restore"]["value"].as_f64().unwrap();
    assert!((minutes * v["activity"]["value"].as_f64().unwrap() - 9.0).abs() < 1e-9);
}

#[test]
fn fog_is_beyond_time_and_disposal_is_spoken_of() {
    let desk = Desk::with_pairing();
    changed(&desk, "fogged.csv", |d| d + 0.09);
    let (status, out, _) = verify(&desk, "fogged.csv", &[]);
    assert_eq!(status, 1);
    assert!(out.contains("time restores it  no: base plus fog is +0.0"), "{out}");
    assert!(out.contains("  replace "), "{out}");
    assert!(out.contains("the maker's safety sheet and the local rules for disposal"), "{out}");
}

#[test]
fn limits_are_the_pairings_own_or_published() {
    let desk = Desk::with_pairing();
    let pairing = desk.read("pairing.toml");
    let with = |section: &str| pairing.replacen("[aims]", &format!("{section}\n[aims]"), 1);
    desk.write("pairing.toml", &with("[limits]\ncontrast = 0.10\n"));
    let (status, out, _) = verify(&desk, &data("control.csv"), &[]);
    assert_eq!(status, 0, "{out}");
    assert!(out.contains("limits: the pairing's own") && out.contains("±0.10"), "{out}");
    desk.write("pairing.toml", &with("[limits]\ncontrast = -1\n"));
    let (status, _, err) = verify(&desk, &data("control.csv"), &[]);
    assert_eq!(status, 2);
    assert!(err.contains("pairing.toml: [limits] contrast: -1 is no distance"), "{err}");
    desk.write("pairing.toml", &with("[limits]\nfog = 1\n"));
    let (status, _, err) = verify(&desk, &data("control.csv"), &[]);
    assert_eq!(status, 2);
    assert!(err.contains("unknown field `fog`"), "{err}");
    desk.write("pairing.toml", &pairing);
    let (_, out, _) = verify(&desk, &data("control.csv"), &["--limits", "radiography"]);
    assert!(out.contains("made for radiography, not for pictorial film"), "{out}");
    assert!(out.contains("mid density") && out.contains("up to +0.03"), "{out}");
}

#[test]
fn limits_come_from_the_baths_history() {
    let desk = Desk::with_pairing();
    let control = data("control.csv");
    let (status, out, err) =
        verify(&desk, &control, &["--limits", "history", "--bath", &data("bath.csv")]);
    assert_eq!(status, 1, "{err}");
    assert!(
        out.contains("three standard deviations of its first 20 strips, about the aim"),
        "{out}"
    );
    assert!(out.lines().any(|l| l.contains("contrast index") && l.contains("below")), "{out}");
    let (status, _, err) = verify(&desk, &control, &["--limits", "history"]);
    assert_eq!(status, 2);
    assert!(err.contains("give --bath JOURNAL.csv"), "{err}");
    desk.write("young.csv", "date,act,litres\n2026-03-03,mix,1.5\n");
    let (status, _, err) = verify(&desk, &control, &["--limits", "history", "--bath", "young.csv"]);
    assert_eq!(status, 2);
    assert!(err.contains("young.csv: limits from its history:"), "{err}");
}

#[test]
fn what_cannot_be_verified_is_told() {
    let desk = Desk::with_pairing();
    let control = data("control.csv");
    let (status, _, err) = verify(&desk, &control, &["--minutes", "8"]);
    assert_eq!(status, 2);
    assert!(err.contains("its column \"minutes\" says 9 and --minutes says 8"), "{err}");
    let (status, _, err) = verify(&desk, &control, &["--temperature", "24"]);
    assert_eq!(status, 2);
    assert!(err.contains("--temperature says 24"), "{err}");
    // The same development, written otherwise.
    assert_eq!(verify(&desk, &control, &["--minutes", "9:00", "--temperature", "68F"]).0, 1);
    let (status, _, err) = verify(&desk, &control, &["--minutes", "0"]);
    assert_eq!(status, 2);
    assert!(err.contains("\"0\" is not a development time") && err.contains("as 9:30"), "{err}");
    let (status, _, err) = desk.run(&["verify", "pairing.toml", &control]);
    assert_eq!(status, 2);
    assert!(err.contains("relative") && err.contains("--log-exposure-clear"), "{err}");
    // Another film: its curve has a step in it that the pairing's film cannot have.
    changed(&desk, "other.csv", |d| if d > 0.6 { d + 0.2 } else { d });
    let (status, out, err) = verify(&desk, "other.csv", &[]);
    assert_eq!((status, out.as_str()), (2, ""));
    assert!(err.contains("the strip is not of this pairing"), "{err}");
    assert_eq!(err.lines().count(), 1, "{err}");
    // A base that is too clear.
    changed(&desk, "clear.csv", |d| d - 0.15);
    let (status, _, err) = verify(&desk, "clear.csv", &[]);
    assert_eq!(status, 2);
    assert!(err.contains("no bath takes density from the base"), "{err}");
    desk.write("undated.csv", "log_exposure,density\n-3,0.29\n-2,0.44\n-1,0.9\n0,1.3\n");
    let (status, _, err) = verify(&desk, "undated.csv", &[]);
    assert_eq!(status, 2);
    assert!(
        err.contains("its minutes are not known: give --minutes, or a column \"minutes\""),
        "{err}"
    );
}

#[test]
fn a_few_readings_are_enough() {
    let desk = Desk::with_pairing();
    desk.write("few.csv", "log_exposure,density\n,0.29\n-2,0.44\n-1.25,0.82\n-0.5,1.24\n");
    let (status, out, _) =
        verify(&desk, "few.csv", &["--minutes", "9", "--temperature", "20", "--json"]);
    assert_eq!(status, 0, "{out}");
    let v: Value = serde_json::from_str(&out).unwrap();
    let a = v["activity"]["value"].as_f64().unwrap();
    assert!((0.9..1.1).contains(&a), "{a}");
    assert!(v["deviations"]["contrast"]["value"].is_f64(), "from the surface: {out}");
}

#[test]
fn a_strip_is_entered_in_the_journal() {
    let desk = Desk::with_pairing();
    let control = data("control.csv");
    let mix = ["bath", "mix", "bath.csv", "--litres", "5", "--date", "2026-11-01"];
    assert_eq!(desk.run(&mix).0, 0);
    let mut args = vec!["bath", "strip", "bath.csv", "pairing.toml", &control, "--batch", "two"];
    args.extend(CLEAR);
    let (status, out, err) = desk.run(&args);
    assert_eq!((status, err.as_str()), (1, ""));
    assert!(out.starts_with("2026-11-17  control strip 2026-11-17\n"), "{out}");
    assert!(out.contains("lengthen"), "{out}");
    let journal = desk.read("bath.csv");
    let row = journal.lines().last().unwrap();
    assert!(row.replace('"', "").starts_with("2026-11-17,strip,"), "{row}");
    assert!(row.contains(",two,pairing.toml,9,") && row.contains("out of spec: lengthen"), "{row}");
    // Nothing is entered of a strip that cannot be verified.
    args.extend(["--minutes", "3"]);
    assert_eq!(desk.run(&args).0, 2);
    assert_eq!(desk.read("bath.csv"), journal);
}
