//! `compare` as a person meets it.

use crate::desk::{Desk, data};

#[test]
fn strips_side_by_side() {
    let desk = Desk::empty();
    let family = data("family.csv");
    let args = ["compare", &family, "--log-exposure-clear", "0"];
    let (status, out, err) = desk.run(&[&args[..], &["--plot", "all.svg"]].concat());
    assert_eq!(status, 0, "{err}");
    assert!(desk.read("all.svg").ends_with("</svg>\n"));
    assert!(out.lines().all(|l| l.chars().count() <= 80) && out.contains("against A"), "{out}");
    let json = desk.json(&[&args[..], &["--json"]].concat());
    let curve = desk.json(&["curve", &family, "--log-exposure-clear", "0", "--json"]);
    let row = |quantity: &str, name: &str| {
        let rows = json["compared"].as_array().unwrap();
        rows.iter().find(|r| r["quantity"] == quantity && r["name"] == name).unwrap().clone()
    };
    let value = |v: &serde_json::Value| v["value"].as_f64().unwrap();
    for (n, name) in ["A", "B", "C", "D", "E", "F"].into_iter().enumerate() {
        for quantity in ["base_plus_fog", "contrast_index", "gamma", "speed_point_log_h"] {
            let own = &curve["strips"][n][quantity];
            let row = row(quantity, name);
            assert_eq!(row["value"], *own, "{quantity} of {name}");
            if n > 0 {
                let first = &curve["strips"][0][quantity];
                let difference = value(own) - value(first);
                assert!((value(&row["difference"]) - difference).abs() < 1e-12);
            }
        }
    }
    // Contrast grows with time beyond doubt; strip F is the same time in a warmer bath.
    assert_eq!(row("contrast_index", "E")["beyond_doubt"], true);
    assert_eq!(row("base_plus_fog", "F")["beyond_doubt"], false);
}

#[test]
fn pairings_side_by_side() {
    let desk = Desk::with_pairing();
    let family = std::fs::read_to_string(data("family.csv")).unwrap();
    desk.write("other.csv", &family.replace("Larkfold", "Fenmoth"));
    let made = ["calibrate", "other.csv", "--log-exposure-clear", "0", "--out", "other.toml"];
    assert_eq!(desk.run(&made).0, 0);
    let args = ["compare", "pairing.toml", "other.toml", "--plot", "both.svg"];
    let (status, out, err) = desk.run(&args);
    assert_eq!(status, 0, "{err}");
    assert!(out.contains("Fenmoth in Quillback 1+6") && out.contains("× 1.00"), "{out}");
    assert!(!out.contains("  yes"), "the same strips do not differ: {out}");
    assert!(desk.read("both.svg").contains("Growth of contrast index compared"));
    let json = desk.json(&[&args[..], &["--json"]].concat());
    let adjust = desk.json(&["adjust", "pairing.toml", "--json"]);
    assert_eq!(json["compared"][0]["value"], adjust["minutes"]);
}

#[test]
fn what_cannot_be_compared_is_refused() {
    let desk = Desk::with_pairing();
    let strip = data("strip.csv");
    for (args, words) in [
        (&["pairing.toml"][..], "one pairing is nothing to compare"),
        (&[&strip], "one strip is nothing to compare"),
        (&["pairing.toml", &strip], "compare pairings with pairings"),
        (&["none.csv", &strip], "none.csv"),
    ] {
        let (status, out, err) = desk.run(&[&["compare"][..], args].concat());
        assert_eq!((status, out.as_str()), (2, ""), "{args:?}");
        assert!(err.contains(words), "{args:?}: {err}");
    }
}
