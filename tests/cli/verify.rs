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

/// A text without its line breaks.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_slow_bath_gets_a_longer_time() {
    let desk = Desk::with_pairing();
    let (status, out, err) = verify(&desk, &data("control.csv"), &["--plot", "control.svg"]);
    assert_eq!((status, err.as_str()), (1, ""));
    assert!(out.starts_with("Control strip 2026-11-17: out of spec, develop 11:30\n"), "{out}");
    assert!(out.contains("in spec                no: contrast is below its limit\n"), "{out}");
    assert!(out.contains("time restores the aim  yes\n"), "{out}");
    assert!(out.contains("lengthen: the bath has 0.78 of its strength"), "{out}");
    assert!(
        one_line(&out).contains("common practice, no source"),
        "assumed limits are labelled: {out}"
    );
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
    for q in ["base_plus_fog", "speed_gain_log_h", "contrast"] {
        assert!(v["deviations"][q]["value"].is_f64(), "{q}");
    }
    assert_eq!(v["in_spec"], false);
    assert_eq!(v["time_can_restore"], true);
    assert_eq!(v["action"], "lengthen");
    assert_eq!(v["limits"]["contrast"]["upper"], 0.05);
    assert_eq!(v["limits"]["source"], "assumed");
    assert_eq!((&v["change"]["kind"], &v["reason"]), (&"none".into(), &"slow".into()));
    assert!(v["notes"].is_array());
    // One shape for one strip and for many: the keys of the last strip, and a list of all.
    let [only] = v["strips"].as_array().unwrap().as_slice() else { panic!("{v}") };
    for key in ["strip", "activity", "deviations", "watched", "action", "minutes_to_restore"] {
        assert_eq!(only[key], v[key], "{key}");
    }
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
    assert!(out.contains("time restores the aim  no: base plus fog is off by +0.0"), "{out}");
    assert!(out.contains("  what to do             replace: "), "{out}");
    assert!(out.contains("caution: before you throw a bath away"), "{out}");
}

#[test]
fn limits_are_the_pairings_own_or_published() {
    let desk = Desk::with_pairing();
    let pairing = desk.read("pairing.toml");
    let with = |section: &str| pairing.replacen("[aims]", &format!("{section}\n[aims]"), 1);
    desk.write("pairing.toml", &with("[limits]\ncontrast = 0.10\n"));
    let (status, out, _) = verify(&desk, &data("control.csv"), &[]);
    assert_eq!(status, 0, "{out}");
    assert!(out.contains("limits: those of the pairing") && out.contains("±0.10"), "{out}");
    desk.write("pairing.toml", &with("[limits]\ncontrast = -1\n"));
    let (status, _, err) = verify(&desk, &data("control.csv"), &[]);
    assert_eq!(status, 2);
    assert!(err.contains("pairing.toml: [limits] contrast: -1 is not a distance of a limit from its aim: it must be above 0 and at most 1"), "{err}");
    desk.write("pairing.toml", &with("[limits]\nspeed_log_h = 1e308\n"));
    let (status, _, err) = verify(&desk, &data("control.csv"), &[]);
    assert_eq!(status, 2);
    assert!(
        err.contains("pairing.toml: [limits] speed_log_h: 1e308 is not a distance of a limit"),
        "{err}"
    );
    desk.write("pairing.toml", &with("[limits]\nfog = 1\n"));
    let (status, _, err) = verify(&desk, &data("control.csv"), &[]);
    assert_eq!(status, 2);
    assert!(err.contains("unknown field `fog`"), "{err}");
    desk.write("pairing.toml", &pairing);
    let (_, out, _) = verify(&desk, &data("control.csv"), &["--limits", "radiography"]);
    assert!(one_line(&out).contains("made for radiography, not for pictorial film"), "{out}");
    assert!(out.contains("mid density") && out.contains("to +0.03"), "{out}");
}

#[test]
fn limits_come_from_the_baths_history() {
    let desk = Desk::with_pairing();
    let control = data("control.csv");
    let (status, out, err) =
        verify(&desk, &control, &["--limits", "history", "--bath", &data("bath.csv")]);
    assert_eq!(status, 1, "{err}");
    assert!(
        one_line(&out).contains(
            "three standard deviations of its first 11 strips, provisional, about the aim"
        ),
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
fn what_cannot_be_verified_is_refused() {
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
    let (status, _, err) = desk.run(&["verify", "pairing.toml", &control, "--relative"]);
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
    assert!(err.contains("no bath lowers the density of the base"), "{err}");
    desk.write("undated.csv", "log_exposure,density\n-3,0.29\n-2,0.44\n-1,0.9\n0,1.3\n");
    let (status, _, err) = verify(&desk, "undated.csv", &[]);
    assert_eq!(status, 2);
    assert!(
        err.contains(
            "the minutes of its development are not known: use --minutes, or a column \"minutes\""
        ),
        "{err}"
    );
}

#[test]
fn of_several_strips_the_last_is_that_of_the_bath() {
    let desk = Desk::with_pairing();
    let all = data("controls.csv");
    let (status, out, err) = verify(&desk, &all, &["--plot", "last.svg"]);
    assert_eq!((status, err.as_str()), (1, ""));
    assert!(out.contains("The last of 32 control strips, 6 out of spec."), "{out}");
    // One figure: the same as that of the last strip alone.
    assert_eq!(verify(&desk, &data("control.csv"), &["--plot", "alone.svg"]).0, 1);
    assert_eq!(desk.read("last.svg"), desk.read("alone.svg"));
    assert!(!desk.has("last-2.svg"));
    let (_, many, _) = verify(&desk, &all, &["--json"]);
    let (_, one, _) = verify(&desk, &data("control.csv"), &["--json"]);
    let (many, one): (Value, Value) =
        (serde_json::from_str(&many).unwrap(), serde_json::from_str(&one).unwrap());
    let strips = many["strips"].as_array().unwrap();
    assert_eq!(strips.len(), 32);
    assert_eq!(strips.last(), one["strips"].as_array().unwrap().last());
    let keys = |v: &Value| v.as_object().unwrap().keys().cloned().collect::<Vec<_>>();
    assert_eq!(keys(&many), keys(&one));
    for key in keys(&one).iter().filter(|k| *k != "strips" && *k != "notes") {
        assert_eq!(many[key], one[key], "{key}");
    }
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
    assert!(
        out.contains("  2026-11-17  control strip 2026-11-17: out of spec: lengthen\n"),
        "{out}"
    );
    assert!(out.contains("lengthen: the bath has 0.78"), "{out}");
    let journal = desk.read("bath.csv");
    let row = journal.lines().last().unwrap();
    assert!(row.replace('"', "").starts_with("2026-11-17,strip,"), "{row}");
    assert!(row.contains(",two,pairing.toml,9,") && row.contains("out of spec: lengthen"), "{row}");
    // Nothing is entered of a strip that cannot be verified.
    args.extend(["--minutes", "3"]);
    assert_eq!(desk.run(&args).0, 2);
    assert_eq!(desk.read("bath.csv"), journal);
}
