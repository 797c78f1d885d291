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
    refused(&format!("{head}4,20,1.1\n"), "2 developing times, and 3 different ones at least");
    refused(&format!("{head}4,20,0.5\n8,20,0.4\n"), "does not grow");
    let films =
        "minutes,celsius,density,film\n2,20,0.6,Larkfold\n4,20,1.0,Quayside\n8,20,1.4,Larkfold\n";
    refused(films, "the pieces are of several films: Larkfold, Quayside");
    let named = "piece,minutes,celsius,density\nA,2,20,0.6\nA,3,20,0.6\n";
    refused(named, "has the time \"3\" here but 2 min in line 2");
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

/// A journal with a bath of the demonstration's developer.
fn mixed() -> Desk {
    let desk = Desk::empty();
    desk.copy("leader.csv");
    let mix = ["bath", "mix", "bath.csv", "--litres", "1", "--what", "Quillback 1+6"];
    assert_eq!(desk.run(&[&mix[..], &["--date", "2026-11-02"]].concat()).0, 0);
    desk
}

const ENTER: [&str; 4] = ["bath", "leader", "bath.csv", "leader.csv"];
const DAY: [&str; 2] = ["--date", "2026-11-09"];

#[test]
fn a_piece_is_entered_as_evidence_of_the_activity_alone() {
    let desk = mixed();
    let named = ["--piece", "L9"];
    let (status, out, err) = desk.run(&[&ENTER[..], &PIECE, &DAY, &named].concat());
    assert_eq!((status, err.as_str()), (0, ""));
    assert!(
        out.contains("Leader test: activity 0.90 (") && out.contains("entered in bath.csv"),
        "{out}"
    );
    let (_, log, _) = desk.run(&["bath", "log", "bath.csv"]);
    assert!(log.contains("leader piece L9: activity 0.90 ("), "{log}");
    let status = ["bath", "status", "bath.csv", "--date", "2026-11-10"];
    let (_, out, _) = desk.run(&status);
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.starts_with("bath: judged by leader only: a piece of leader (L9)"), "{out}");
    assert!(flat.contains("it shows neither fog nor speed"), "{out}");
    let json = desk.json(&[&status[..], &["--json"]].concat());
    assert_eq!(json["standing"]["state"], "leader_only");
    assert_eq!(json["standing"]["cause"], "leader");
    assert_eq!(json["standing"]["leader"]["name"], "L9");
    assert_eq!(
        (&json["last_strip"], &json["in_control"]),
        (&serde_json::Value::Null, &serde_json::Value::Null)
    );
    assert_eq!(
        (json["balance"]["strips"].as_u64(), json["balance"]["leaders"].as_u64()),
        (Some(0), Some(1))
    );
    // The activity of the bath is about that of the piece, and no surer than mixing and the piece allow.
    let piece = tested(&desk, &PIECE);
    let (value, low) = (number(&json, "/activity/value"), number(&json, "/activity/low"));
    assert!((value - number(&piece, "/activity/value")).abs() < 0.08, "{value}");
    assert!(value - low > 0.03, "{value} {low}");
    let forecast = ["bath", "forecast", "bath.csv", "--date", "2026-11-10"];
    let (_, out, _) = desk.run(&forecast);
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("1 piece of leader of this bath, 0 of earlier ones"), "{out}");
    let document = desk.json(&[&forecast[..], &["--json"]].concat());
    assert_eq!(
        (&document["strips"]["present"], &document["leaders"]["present"]),
        (&0.into(), &1.into())
    );
    // It is on no control chart.
    let (status, out, _) = desk.run(&["bath", "chart", "bath.csv", "--date", "2026-11-10"]);
    assert!(status == 0 && out.contains("activity: no control strip has it"), "{out}");
}

#[test]
fn a_leader_never_lifts_what_a_strip_said_of_fog() {
    let desk = Desk::with_pairing();
    desk.copy("leader.csv");
    let journal = "date,act,litres,strip,activity,activity_low,activity_high,high_density,pairing,minutes,celsius,verdict,note\n\
                   2026-11-02,mix,1,,,,,,,,,,\n2026-11-05,strip,,A,0.98,0.96,1.00,,,,,out of spec: replace,\n";
    desk.write("bath.csv", journal);
    let fresh = ["--density", "1.26", "--minutes", "7", "-t", "20"];
    let (status, _, err) = desk.run(&[&ENTER[..], &fresh, &DAY].concat());
    assert_eq!((status, err.as_str()), (0, ""));
    let status = ["bath", "status", "bath.csv", "--date", "2026-11-10", "--json"];
    let json = desk.json(&status);
    assert_eq!(json["standing"]["state"], "do_not_use");
    assert!(number(&json, "/standing/leader/activity") > 0.9, "{json}");
    // Taken back, the bath is as before.
    assert_eq!(desk.run(&["bath", "undo", "bath.csv"]).0, 0);
    let json = desk.json(&status);
    assert!(json["standing"]["leader"].is_null(), "{json}");
    assert!(desk.read("bath.csv").contains("struck out"), "{}", desk.read("bath.csv"));
}

#[test]
fn an_entry_that_cannot_be_is_refused_and_nothing_is_lost() {
    let desk = mixed();
    let before = desk.read("bath.csv");
    let refused = |options: &[&str], wanted: &str| {
        let (status, _, err) = desk.run(&[&ENTER[..], options, &DAY].concat());
        assert!(status > 0 && err.contains(wanted), "{status} {err}");
        assert_eq!(desk.read("bath.csv"), before);
    };
    refused(&[], "give --density, --minutes and --temperature");
    refused(&["--density", "2.6", "--minutes", "14", "-t", "20"], "nothing is entered");
    refused(&["--density", "1.18", "--minutes", "7", "-t", "40"], "use --sure to enter it");
    let other = desk.read("leader.csv").replace("Quillback", "Sandpiper");
    desk.write("other.csv", &other);
    let args = [&["bath", "leader", "bath.csv", "other.csv"], &PIECE[..], &DAY].concat();
    let (status, _, err) = desk.run(&args);
    assert!(
        status == 2 && err.contains("the leader family of Sandpiper 1+6; use --anyway"),
        "{err}"
    );
    assert_eq!(desk.run(&[&args[..], &["--anyway"]].concat()).0, 0);
    let (status, _, err) =
        desk.run(&[&["bath", "leader", "none.csv", "leader.csv"], &PIECE[..]].concat());
    assert!(status == 2 && err.contains("wedgebook bath mix none.csv"), "{err}");
}

#[test]
fn a_leader_by_hand_in_the_journal_is_read() {
    let desk = Desk::empty();
    let head = "date,act,litres,activity,activity_low,activity_high\n2026-11-02,mix,1,,,\n";
    desk.write("bath.csv", &format!("{head}2026-11-05,leader,,0.9,,\n"));
    let status = ["bath", "status", "bath.csv", "--date", "2026-11-06", "--json"];
    let json = desk.json(&status);
    assert_eq!(json["standing"]["state"], "leader_only");
    assert!(number(&json, "/activity/value") < 1.0, "{json}");
    desk.write("bath.csv", &format!("{head}2026-11-05,leader,,,,\n"));
    let (status, _, err) = desk.run(&status);
    assert!(status == 2 && err.contains("bath.csv:3, column \"activity\""), "{err}");
    desk.write("bath.csv", &format!("{head}2026-11-05,leader,,0.9,0.95,1\n"));
    let (status, _, err) = desk.run(&["bath", "log", "bath.csv"]);
    assert!(status == 2 && err.contains("bath.csv:3"), "{err}");
}
