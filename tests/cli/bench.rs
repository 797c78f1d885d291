//! `bench` as a person meets it: what it writes, and what it refuses.

use crate::desk::Desk;
use serde_json::Value;

const DAY: [&str; 2] = ["--date", "2026-11-17"];

fn desk() -> Desk {
    let desk = Desk::with_pairing();
    desk.copy_all();
    desk
}

/// The answer that a page has in it.
fn embedded(html: &str) -> Value {
    let (_, rest) = html.split_once("type=\"application/json\"").unwrap();
    let (_, rest) = rest.split_once('>').unwrap();
    serde_json::from_str(rest.split_once("</script>").unwrap().0).unwrap()
}

#[test]
fn a_page_has_the_answer_of_adjust_and_the_law_of_drift() {
    let desk = desk();
    let args = ["bench", "pairing.toml", "--scene-stops", "7", "-t", "70F", "--out", "bench.html"];
    let (status, out, err) = desk.run(&args);
    assert_eq!((status, err.as_str()), (0, ""));
    let html = desk.read("bench.html");
    assert!(html.len() < 120_000, "{}", html.len());
    let page = embedded(&html);
    let json = desk.json(&[&args[..], &["--json"]].concat());
    assert_eq!(page, json);
    let adjust =
        desk.json(&["adjust", "pairing.toml", "--scene-stops", "7", "-t", "70F", "--json"]);
    for key in ["minutes", "effective_minutes", "contrast", "exposure_index", "celsius"] {
        assert_eq!(page[key], adjust[key], "{key}");
    }
    assert_eq!(page["unit"], "fahrenheit");
    assert!(out.contains("develop for"), "{out}");
    assert!(page["law"]["activation_energy_kj_per_mol"]["value"].as_f64().unwrap() > 20.0);
    // Nothing is fetched: no address stands in it, and the policy allows nothing but its own script.
    for address in ["http:", "https:", "src=", "url(", "@import", "fetch(", "XMLHttp"] {
        assert!(!html.contains(address), "{address}");
    }
    assert!(html.contains("default-src 'none'; script-src 'sha256-"));
    assert!(!html.contains("unsafe"));
}

#[test]
fn a_plan_gives_the_steps_and_the_bath() {
    let desk = desk();
    let args = ["bench", "--plan", "data/session.toml", "--out", "bench.html"];
    let (status, out, err) = desk.run(&[&args[..], &DAY].concat());
    assert_eq!(status, 0, "{err}");
    assert!(out.starts_with("bath: correct by time"), "{out}");
    let page = embedded(&desk.read("bench.html"));
    let session = desk.json(&[&["session", "data/session.toml", "--json"][..], &DAY].concat());
    let steps = page["steps"].as_array().unwrap();
    let named: Vec<&str> = steps.iter().map(|s| s["step"].as_str().unwrap()).collect();
    assert_eq!(named, ["stop", "fix", "wash", "wetting_agent", "dry"]);
    let sheet = session["steps"].as_array().unwrap();
    for step in steps {
        let of_sheet = sheet.iter().find(|s| s["step"] == step["step"]).unwrap();
        assert_eq!(step["seconds"], of_sheet["seconds"]);
    }
    assert_eq!(page["batches"].as_array().unwrap().len(), 2);
    assert_eq!(page["standing"], session["standing"]);
}

#[test]
fn a_class_night_has_the_tanks_of_its_sheet() {
    let desk = desk();
    let args = ["bench", "--plan", "data/class-night.toml", "--out", "night.html"];
    let (status, out, err) = desk.run(&[&args[..], &DAY].concat());
    assert_eq!(status, 0, "{err}");
    assert!(out.contains("tank 2 of 3: Ben (1 × 135-36), Ada (2 × 135-36)"), "{out}");
    assert!(out.contains("developer: fresh (before: class bath)"), "{out}");
    let page = embedded(&desk.read("night.html"));
    let json = desk.json(&[&args[..], &["--json"], &DAY].concat());
    assert_eq!(page, json);
    let sheet = desk.json(&[&["session", "data/class-night.toml", "--json"][..], &DAY].concat());
    let (tanks, of_sheet) = (page["tanks"].as_array().unwrap(), sheet["tanks"].as_array().unwrap());
    assert_eq!(tanks.len(), of_sheet.len());
    for (tank, of_sheet) in tanks.iter().zip(of_sheet) {
        let minutes = tank["minutes"]["value"].as_f64().unwrap();
        let seconds = of_sheet["seconds"].as_f64().unwrap();
        assert!((60.0 * minutes - seconds).abs() <= 7.5, "{minutes} {seconds}");
        assert_eq!(tank["celsius"], of_sheet["celsius"]);
        assert_eq!(tank["developer"], of_sheet["developer"]);
        assert!(tank["law"]["activation_energy_kj_per_mol"]["value"].as_f64().unwrap() > 20.0);
    }
    // Films that share a tank: the contrast that the time between theirs gives.
    let shared = of_sheet[1]["who"][0]["contrast"]["value"].as_f64().unwrap();
    assert!((tanks[1]["contrast"].as_f64().unwrap() - shared).abs() < 2e-3);
    let steps = page["steps"].as_array().unwrap();
    let named: Vec<&str> = steps.iter().map(|s| s["step"].as_str().unwrap()).collect();
    assert_eq!(named, ["stop", "fix", "wash", "wetting_agent", "dry"]);
    let entering = page["entering"][0].as_str().unwrap();
    assert!(entering.starts_with("wedgebook session data/class-night.toml --enter"), "{entering}");
    // A bath that is not to be used has a page that says so, and no time.
    desk.run(&["bath", "discard", "data/bath.csv", "--date", "2026-11-18"]);
    let args = ["bench", "--plan", "data/class-night.toml", "--out", "none.html"];
    let (status, _, _) = desk.run(&[&args[..], &["--date", "2026-11-18"]].concat());
    assert_eq!(status, 1);
    assert!(!desk.read("none.html").contains("<script"));
}

#[test]
fn a_bath_that_is_not_to_be_used_has_a_page_that_says_so() {
    let desk = desk();
    let day = ["--date", "2026-11-18"];
    let (status, _, err) = desk.run(&[&["bath", "discard", "data/bath.csv"][..], &day].concat());
    assert_eq!(status, 0, "{err}");
    for by in [&["pairing.toml", "--bath", "data/bath.csv"][..], &["--plan", "data/session.toml"]] {
        let out = if by.len() == 3 { "one.html" } else { "two.html" };
        let args = [&["bench"][..], by, &day, &["--out", out]].concat();
        let (status, text, _) = desk.run(&args);
        assert_eq!(status, 1, "{text}");
        let html = desk.read(out);
        assert!(text.starts_with("bath: discarded") && html.contains("discarded"), "{html}");
        assert!(!html.contains("<script") && !html.contains("<button"), "{html}");
    }
}

#[test]
fn no_time_makes_no_page() {
    let desk = desk();
    let args = ["bench", "pairing.toml", "--contrast", "1.4", "--out", "bench.html"];
    let (status, out, err) = desk.run(&args);
    assert_eq!(status, 1, "{out}{err}");
    assert!(out.contains("cannot be reached") && err.contains("--extrapolate"), "{out}{err}");
    assert!(!desk.has("bench.html"));
}

#[test]
fn nothing_of_the_user_is_replaced() {
    let desk = desk();
    desk.write("own.html", "<!DOCTYPE html>\n<html><title>My own page</title></html>\n");
    desk.write("page.txt", "");
    std::fs::create_dir(desk.path().join("folder.html")).unwrap();
    let before = desk.all();
    for (out, words) in [
        ("own.html", "an HTML page is in this file"),
        ("pairing.toml", "this file is read"),
        ("page.txt", "its extension is .txt; a page for the bench is written as .html"),
        ("folder.html", "this is a folder"),
        ("none/bench.html", "there is no folder none"),
    ] {
        let (status, text, err) = desk.run(&["bench", "pairing.toml", "--out", out]);
        assert_eq!((status, text.as_str()), (2, ""), "{out}: {err}");
        assert!(err.contains(words), "{out}: {err}");
    }
    assert_eq!(desk.all(), before);
    // A page of an earlier day may be replaced.
    for _ in 0..2 {
        assert_eq!(desk.run(&["bench", "pairing.toml", "--out", "bench.html"]).0, 0);
    }
}

#[test]
fn what_contradicts_is_refused() {
    let desk = desk();
    for (args, words) in [
        (&["pairing.toml", "--plan", "data/session.toml"][..], "cannot be used with"),
        (&["--plan", "data/session.toml", "-t", "20"], "cannot be used with"),
        (&["--plan", "data/session.toml", "--bath", "data/bath.csv"], "cannot be used with"),
        (&["--plan", "data/class-night.toml", "-t", "20"], "cannot be used with"),
        (&["--plan", "none.toml"], "none.toml"),
        (&["none.toml"], "none.toml"),
        (&["pairing.toml", "--date", "2026-11-17"], "give --bath JOURNAL"),
    ] {
        let all = [&["bench"][..], args, &["--out", "bench.html"]].concat();
        let (status, out, err) = desk.run(&all);
        assert_eq!((status, out.as_str()), (2, ""), "{args:?}");
        assert!(err.contains(words), "{args:?}: {err}");
        assert!(!desk.has("bench.html"), "{args:?}");
    }
}

#[test]
fn a_journal_is_one_word_of_the_command_that_enters() {
    let desk = desk();
    std::fs::rename(desk.path().join("data/bath.csv"), desk.path().join("it's my bath.csv"))
        .unwrap();
    let args = ["bench", "pairing.toml", "--bath", "it's my bath.csv", "--out", "bench.html"];
    let (status, _, err) = desk.run(&[&args[..], &DAY].concat());
    assert_eq!(status, 0, "{err}");
    let page = embedded(&desk.read("bench.html"));
    let begin = page["entering"][0].as_str().unwrap();
    assert!(begin.starts_with("wedgebook bath film 'it'\\''s my bath.csv' --date "), "{begin}");
}
