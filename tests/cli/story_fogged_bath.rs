//! A fogged bath before the Tuesday class: from the journal to the page, every answer leads with it.

use crate::desk::{Desk, data};
use serde_json::Value;

/// The bath is good, film goes in, and the next strip is fogged.
const JOURNAL: &str = "date,act,litres,what,films,area_m2,added_ml,removed_ml,strip,pairing,minutes,celsius,activity,activity_low,activity_high,verdict,note\n\
    2026-03-02,mix,1.5,Quillback 1+6,,,,,,,,,,,,,\n\
    2026-03-03,strip,,,,,,,first,pairing.toml,9,20,0.99,0.98,1,in spec,\n\
    2026-03-05,film,,,3 × 135-36,0.168,,,,,,,,,,,\n\
    2026-03-10,strip,,,,,,,second,pairing.toml,9,20,0.97,0.96,0.98,out of spec: replace,\n";

const PLAN: &str = r#"title = "Tuesday class"
pairing = "pairing.toml"
[[film]]
format = "135-36"
count = 6
[vessel]
solution_ml = 1000
holds = { "135-36" = 4 }
[bath]
journal = "bath.csv"
replenish_ml_per_roll = 90
[temperature]
celsius = 20
[fix]
clearing_seconds = 50
"#;

const TUESDAY: &str = "2026-03-10";

fn desk() -> Desk {
    let desk = Desk::with_pairing();
    desk.write("bath.csv", JOURNAL);
    desk.write("plan.toml", PLAN);
    desk
}

/// Every question about the bath, with what it gives: a key of its JSON.
fn questions() -> Vec<(Vec<String>, &'static str)> {
    let paper = data("paper.csv");
    let tone = ["tone", "pairing.toml", &paper, "--setting", "2", "--bath", "bath.csv"];
    let drift = ["drift", "pairing.toml", "0=21", "5=20.4", "--bath", "bath.csv"];
    let owned = |args: &[&str]| args.iter().map(|a| (*a).to_owned()).collect::<Vec<_>>();
    vec![
        (owned(&["adjust", "pairing.toml", "--bath", "bath.csv"]), "minutes"),
        (owned(&drift), "take_out_minutes"),
        (owned(&tone), "tones"),
        (owned(&["session", "plan.toml"]), "batches"),
        (owned(&["bath", "status", "bath.csv"]), "minutes_today"),
        (owned(&["bath", "forecast", "bath.csv"]), "films_left_today"),
        (owned(&["bath", "chart", "bath.csv"]), ""),
    ]
}

/// The arguments of a question with further ones, on a day.
fn on<'a>(question: &'a [String], day: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    let args = question.iter().map(String::as_str);
    args.chain(["--date", day]).chain(more.iter().copied()).collect()
}

const FOGGED: &str =
    "bath: do not use: control strip second of 2026-03-10 was out of spec: replace";

/// A text without its line breaks.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn before_the_strip_every_answer_is_free() {
    let desk = desk();
    for (question, given) in questions() {
        let (status, out, err) = desk.run(&on(&question, "2026-03-09", &[]));
        assert_eq!((status, err.as_str()), (0, ""), "{question:?} {out}");
        let words = "bath: good: control strip first of 2026-03-03 was in spec (6 days ago,";
        assert!(one_line(&out).starts_with(words), "{question:?} {out}");
        let v = desk.json(&on(&question, "2026-03-09", &["--json"]));
        assert_eq!(v["standing"]["state"], "good", "{question:?}");
        assert!(given.is_empty() || !v[given].is_null(), "{question:?} {v}");
    }
}

#[test]
fn a_fogged_bath_leads_every_answer() {
    let desk = desk();
    let before = desk.all();
    for (question, given) in questions() {
        let (status, out, err) = desk.run(&on(&question, TUESDAY, &[]));
        assert_eq!(status, 1, "{question:?} {out}");
        assert!(one_line(&out).starts_with(FOGGED), "{question:?} {out}");
        if !given.is_empty() {
            assert_eq!(err, "wedgebook: use --anyway to calculate all the same\n", "{question:?}");
            let words = one_line(&out);
            let reason = "not given, because the bath is not to be used (control strip second";
            assert_eq!(words.matches(reason).count(), 1, "{question:?} {out}");
        }
        let args = on(&question, TUESDAY, &["--json"]);
        assert_eq!(desk.run(&args).0, 1);
        let v = desk.json(&args);
        assert!(v[given].is_null(), "{question:?} {v}");
        let standing = &v["standing"];
        assert_eq!(
            (&standing["state"], &standing["strip"]),
            (&"do_not_use".into(), &"second".into())
        );
        assert_eq!(standing["age_days"], 0);
    }
    assert_eq!(desk.all(), before, "nothing was entered or written");
}

#[test]
fn the_page_and_the_card_lead_with_it() {
    let desk = desk();
    let session = ["session", "plan.toml", "--date", TUESDAY, "--page", "page.svg"];
    let (status, _, _) = desk.run(&session);
    assert_eq!(status, 1);
    let page = desk.read("page.svg");
    assert!(page.contains(">bath: do not use: ") && !page.contains(">develop<"), "{page}");
    let (status, _, _) = desk.run(&[&session[..], &["--anyway"]].concat());
    assert_eq!(status, 0);
    // On both pages, and above the title.
    for page in ["page.svg", "page-2.svg"] {
        let page = desk.read(page);
        let texts: Vec<&str> = page.split('>').filter(|t| t.contains("</text")).collect();
        assert!(texts[0].starts_with("bath: do not use: control strip second"), "{texts:?}");
    }
    assert!(desk.read("page.svg").contains(">develop<"));
    let adjust = on(&questions()[0].0, TUESDAY, &["--card", "card.svg"]).join("\n");
    let adjust: Vec<&str> = adjust.split('\n').collect();
    assert_eq!(desk.run(&adjust).0, 1);
    assert!(!desk.has("card.svg"), "no times, no card");
    assert_eq!(desk.run(&[&adjust[..], &["--anyway"]].concat()).0, 0);
    assert!(desk.read("card.svg").contains(">Bath: do not use: control strip second"));
}

#[test]
fn anyway_calculates_and_says_it_first() {
    let desk = desk();
    for (question, given) in questions().into_iter().filter(|(_, given)| !given.is_empty()) {
        let args = on(&question, TUESDAY, &["--anyway"]);
        let (status, out, err) = desk.run(&args);
        assert_eq!((status, err.as_str()), (0, ""), "{question:?} {out}");
        assert!(one_line(&out).starts_with(FOGGED), "{question:?} {out}");
        let v = desk.json(&[&args[..], &["--json"]].concat());
        assert!(!v[given].is_null(), "{question:?} {v}");
        assert_eq!(v["standing"]["state"], "do_not_use");
    }
}

#[test]
fn a_session_in_it_is_entered_only_on_purpose() {
    let desk = desk();
    let enter = ["session", "plan.toml", "--date", TUESDAY, "--enter"];
    let (status, out, _) = desk.run(&enter);
    assert!(status == 1 && one_line(&out).starts_with(FOGGED), "{out}");
    assert_eq!(desk.read("bath.csv"), JOURNAL);
    let (status, out, err) = desk.run(&[&enter[..], &["--anyway"]].concat());
    assert!(
        status == 0 && err.contains("further columns now") && err.lines().count() == 1,
        "{err}"
    );
    assert!(one_line(&out).starts_with(FOGGED) && out.contains("0.336 m² of film since"), "{out}");
    // Cells for the new columns, and nothing else, went into the rows that were there.
    let bare = |text: &str| text.replace(',', "");
    for (old, now) in JOURNAL.lines().zip(desk.read("bath.csv").lines()).skip(1) {
        assert_eq!(bare(now), bare(old));
    }
    assert_eq!(desk.read("bath.csv").lines().count(), JOURNAL.lines().count() + 4);
}

#[test]
fn a_bath_that_was_thrown_away_has_no_answer() {
    let desk = desk();
    let (status, _, err) =
        desk.run(&["bath", "discard", "bath.csv", "--date", "2026-03-11", "--note", "fogged"]);
    assert_eq!((status, err.as_str()), (0, ""));
    for (question, given) in questions() {
        let anyway: &[&str] = if given.is_empty() { &[] } else { &["--anyway"] };
        for more in [&[][..], anyway] {
            let (status, out, err) = desk.run(&on(&question, "2026-03-12", more));
            assert_eq!((status, err.as_str()), (1, ""), "{question:?} {out}");
            let words = "bath: discarded: the bath was thrown away on 2026-03-11 (fogged)\n";
            assert!(out.starts_with(words), "{question:?} {out}");
        }
        let v = desk.json(&on(&question, "2026-03-12", &["--json"]));
        assert_eq!(v["standing"]["state"], "discarded");
        assert!(v[given].is_null(), "{question:?} {v}");
    }
}

#[test]
fn a_new_mix_is_free_of_it() {
    let desk = desk();
    let mix = ["bath", "mix", "bath.csv", "--litres", "1.5", "--date", "2026-03-11"];
    assert_eq!(desk.run(&mix).0, 0);
    let day = "2026-03-12";
    for (question, given) in questions() {
        let (status, out, err) = desk.run(&on(&question, day, &[]));
        assert_eq!((status, err.as_str()), (0, ""), "{question:?} {out}");
        let words = "bath: unknown: no control strip was developed in this bath\n";
        assert!(out.starts_with(words), "{question:?} {out}");
        let v = desk.json(&on(&question, day, &["--json"]));
        assert_eq!(v["standing"]["state"], "unknown");
        assert!(v["standing"]["strip"].is_null(), "{v}");
        assert!(given.is_empty() || !v[given].is_null(), "{question:?} {v}");
    }
    // Nothing of the old bath judges the new one.
    let v: Value = desk.json(&["bath", "status", "bath.csv", "--date", day, "--json"]);
    assert!(v["in_control"].is_null() && v["last_strip"].is_null(), "{v}");
    assert_eq!(v["signals"], Value::Array(Vec::new()));
    let v = desk.json(&["bath", "chart", "bath.csv", "--date", day, "--json"]);
    let charts = v["charts"].as_array().unwrap();
    assert!(!charts.is_empty());
    assert!(charts.iter().all(|c| c["in_control"].is_null() && c["state"].is_null()), "{v}");
    // As of Tuesday it stays what it was.
    let then = ["bath", "status", "bath.csv", "--date", TUESDAY];
    let (status, out, _) = desk.run(&then);
    assert!(status == 1 && one_line(&out).starts_with(FOGGED), "{out}");
    let (status, out, _) = desk.run(&["session", "plan.toml", "--date", TUESDAY]);
    assert!(status == 1 && one_line(&out).starts_with(FOGGED), "{out}");
}

#[test]
fn an_old_strip_is_named_with_its_age() {
    let desk = desk();
    desk.write("bath.csv", &JOURNAL.replace("out of spec: replace", "in spec"));
    for (question, _) in questions() {
        let (_, out, _) = desk.run(&on(&question, "2026-04-10", &[]));
        let words = "control strip second of 2026-03-10 was in spec (31 days ago); this strip is old: develop a new one";
        assert!(one_line(&out).starts_with(&format!("bath: good: {words}")), "{question:?} {out}");
        let v = desk.json(&on(&question, "2026-04-10", &["--json"]));
        assert_eq!((&v["standing"]["old"], &v["standing"]["age_days"]), (&true.into(), &31.into()));
    }
}

/// From the readings on: a strip whose densities all lie 0.085 higher.
#[test]
fn a_fogged_strip_that_is_entered_is_not_forgotten() {
    let desk = Desk::with_pairing();
    desk.copy("control.csv");
    let fogged = |line: &str| {
        let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        if let Ok(density) = cells[3].parse::<f64>() {
            cells[3] = format!("{:.3}", density + 0.085);
        }
        cells.join(",")
    };
    let readings: Vec<String> = desk.read("control.csv").lines().map(fogged).collect();
    desk.write("fogged.csv", &readings.join("\n"));
    let mix = ["bath", "mix", "bath.csv", "--litres", "1.5", "--date", "2026-11-16"];
    assert_eq!(desk.run(&mix).0, 0);
    let strip =
        ["bath", "strip", "bath.csv", "pairing.toml", "fogged.csv", "--log-exposure-clear", "0"];
    let (status, out, err) = desk.run(&strip);
    assert_eq!((status, err.as_str()), (1, ""));
    assert!(out.contains("out of spec: replace"), "{out}");
    desk.write("plan.toml", PLAN);
    for (question, given) in questions() {
        let (status, out, _) = desk.run(&on(&question, "2026-11-17", &[]));
        let words = "bath: do not use: control strip 2026-11-17 was out of spec: replace (today)";
        assert!(status == 1 && one_line(&out).starts_with(words), "{question:?} {out}");
        assert!(desk.json(&on(&question, "2026-11-17", &["--json"]))[given].is_null());
    }
}
