//! `wedgebook leader`: growth of a leader's density, the best test time, and a bath's activity.

use crate::desk::{Desk, data};

const PIECE: [&str; 6] = ["--density", "1.18", "--minutes", "7", "-t", "20"];

/// The demonstration's leader with these options, as a document.
fn tested(desk: &Desk, options: &[&str]) -> serde_json::Value {
    let family = data("leader.csv");
    desk.json(&[&["leader", &family], options, &["--json"]].concat())
}

fn number(document: &serde_json::Value, path: &str) -> f64 {
    document.pointer(path).and_then(serde_json::Value::as_f64).unwrap_or(f64::NAN)
}

#[test]
fn a_family_shows_its_growth_and_the_best_time() {
    let desk = Desk::empty();
    let (status, out, err) = desk.run(&["leader", &data("leader.csv")]);
    assert_eq!((status, err.as_str()), (0, ""));
    assert!(out.starts_with("Leader test: develop for "), "{out}");
    assert!(out.contains("not its fog, and not the"), "{out}");
    assert!(out.contains("long times say little"), "{out}");
    assert!(out.contains("common practice, no source"), "{out}");
    let json = tested(&desk, &[]);
    assert_eq!(json["growth"]["form"], "first_order");
    assert_eq!(json["growth"]["base"], 0.26);
    // The best time is that of the narrowest expected interval of all times.
    let width = |time: &serde_json::Value| {
        number(time, "/expected_activity/high") - number(time, "/expected_activity/low")
    };
    let best = number(&json, "/test_time/minutes");
    let times = json["times"].as_array().unwrap();
    let narrowest = times.iter().min_by(|a, b| width(a).total_cmp(&width(b))).unwrap();
    assert_eq!(number(narrowest, "/minutes"), best);
    let (first, last) = (&times[0], &times[times.len() - 1]);
    assert!(width(first) > width(narrowest) && width(last) > width(narrowest));
    // A warmer bath needs less.
    assert!(number(&tested(&desk, &["-t", "24"]), "/test_time/minutes") < best);
}

#[test]
fn a_piece_shows_the_activity() {
    let desk = Desk::empty();
    let json = tested(&desk, &PIECE);
    let activity = number(&json, "/activity/value");
    let (low, high) = (number(&json, "/activity/low"), number(&json, "/activity/high"));
    assert!(low < activity && activity < high && high < 1.0, "{json}");
    let factor = number(&json, "/time_factor/value");
    assert!((factor * activity - 1.0).abs() < 1e-9, "{factor}");
    // A fresh bath gives the density of the family's own curve, and that shows an activity of 1.
    let fresh = format!("{}", number(&json, "/expected_density"));
    let again = tested(&desk, &["--density", &fresh, "--minutes", "7", "-t", "20"]);
    assert!((number(&again, "/activity/value") - 1.0).abs() < 1e-6, "{again}");
    // Twice the time in a bath of half the activity gives the same density.
    let half = tested(&desk, &["--density", &fresh, "--minutes", "14", "-t", "20"]);
    assert!((number(&half, "/activity/value") - 0.5).abs() < 1e-6, "{half}");
    // A second reading narrows the interval a little.
    let twice = tested(&desk, &[&PIECE[..], &["--density", "1.18"]].concat());
    let width = |d: &serde_json::Value| number(d, "/activity/high") / number(d, "/activity/low");
    assert!(width(&twice) < width(&json));
}

#[test]
fn another_temperature_widens_the_interval_and_a_note_says_so() {
    let desk = Desk::empty();
    let at = |t: &str| tested(&desk, &["--density", "1.18", "--minutes", "7", "-t", t]);
    let (near, far) = (at("20"), at("26"));
    let width = |d: &serde_json::Value| number(d, "/activity/high") / number(d, "/activity/low");
    assert!(width(&far) > 1.05 * width(&near), "{} {}", width(&far), width(&near));
    assert!(far["notes"].to_string().contains("6.0 °C from that of the family"), "{far}");
    assert!(!near["notes"].to_string().contains("from that of the family"), "{near}");
    assert!(number(&far, "/activity/value") < number(&near, "/activity/value"));
    let fahrenheit = at("78.8F");
    assert!(
        (number(&fahrenheit, "/activity/value") - number(&far, "/activity/value")).abs() < 1e-9
    );
}

#[test]
fn a_density_outside_the_family_is_a_no_with_one_end() {
    let desk = Desk::empty();
    let family = data("leader.csv");
    let dense = ["leader", &family, "--density", "2.6", "--minutes", "14", "-t", "20"];
    let (status, out, _) = desk.run(&dense);
    assert_eq!(status, 1);
    assert!(out.contains("the piece does not show the activity"), "{out}");
    assert!(out.contains("for a shorter time"), "{out}");
    let json = desk.json(&[&dense[..], &["--json"]].concat());
    assert!(json["activity"].is_null() && json["why"] == "above_family", "{json}");
    let thin = ["leader", &family, "--density", "0.27", "--minutes", "5", "-t", "20", "--json"];
    let json = desk.json(&thin);
    assert!(json["activity"].is_null() && json["why"] == "below_family", "{json}");
    assert!(number(&json, "/activity_at_most") < 0.6, "{json}");
}

#[test]
fn a_faulty_sheet_is_refused_with_its_place() {
    let desk = Desk::empty();
    let refused = |text: &str, wanted: &str| {
        desk.write("l.csv", text);
        let (status, out, err) = desk.run(&["leader", "l.csv"]);
        assert_eq!((status, out.as_str()), (2, ""), "{err}");
        assert!(err.contains(wanted), "{err}");
    };
    let head = "minutes,celsius,density\n2,20,0.6\n";
    refused(&format!("{head}4,20,1..1\n"), "l.csv:3, column \"density\"");
    refused(&format!("{head}4,,1.1\n"), "l.csv:3, column \"celsius\": the cell is empty");
    refused(&format!("{head}4,68,1.1\n"), "l.csv:3, column \"celsius\"");
    refused("minutes,density\n2,0.6\n", "no column \"celsius\" or \"fahrenheit\"");
    refused(&format!("{head}4,20,1.1\n"), "2 different developing times, and 3 at least");
    refused(&format!("{head}4,20,0.5\n8,20,0.4\n"), "does not grow");
    let films =
        "minutes,celsius,density,film\n2,20,0.6,Larkfold\n4,20,1.0,Quayside\n8,20,1.4,Larkfold\n";
    refused(films, "the pieces are of several films: Larkfold, Quayside");
    let named = "piece,minutes,celsius,density\nA,2,20,0.6\nA,3,20,0.6\n";
    refused(named, "has the time 3 here but 2 min in line 2");
    let (status, _, err) = desk.run(&["leader", &data("leader.csv"), "--density", "1.2"]);
    assert_eq!(status, 2);
    assert!(err.contains("--minutes <MIN>") && err.contains("--temperature <T>"), "{err}");
}

#[test]
fn sheets_semicolons_and_repeated_readings_are_read() {
    let desk = Desk::empty();
    let text = std::fs::read_to_string(data("leader.csv")).unwrap();
    desk.write("semi.csv", &text.replace(',', ";").replace('.', ","));
    let one = tested(&desk, &PIECE);
    let other = desk.json(&[&["leader", "semi.csv"], &PIECE[..], &["--json"]].concat());
    assert_eq!(one["activity"], other["activity"]);
    // Every piece read twice alike: the same pieces, read a little better.
    let again: String = text.lines().skip(1).map(|line| format!("{line}\n")).collect();
    desk.write("twice.csv", &format!("{text}{again}"));
    let twice = desk.json(&[&["leader", "twice.csv"], &PIECE[..], &["--json"]].concat());
    assert_eq!(twice["growth"]["pieces"], 7);
    let apart = number(&twice, "/activity/value") - number(&one, "/activity/value");
    assert!(apart.abs() < 0.01, "{apart}");
}
