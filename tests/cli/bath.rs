//! `bath status`, `chart`, `forecast` and `adjust --bath` as a person meets them, on the
//! demonstration's year of a bath.

use crate::desk::Desk;
use serde_json::Value;
use std::fmt::Write as _;

/// A desk with the demonstration's pairing and journal on it.
fn desk_with_bath() -> Desk {
    let desk = Desk::with_pairing();
    desk.copy("bath.csv");
    desk
}

fn bath(desk: &Desk, args: &[&str]) -> (i32, String, String) {
    let mut all = vec!["bath"];
    all.extend(args);
    desk.run(&all)
}

fn json(desk: &Desk, args: &[&str]) -> Value {
    let mut all = vec!["bath"];
    all.extend(args);
    all.push("--json");
    desk.json(&all)
}

/// A text without its line breaks.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The day that the demonstration ends on.
const LAST: [&str; 2] = ["--date", "2026-11-17"];

#[test]
fn the_year_is_summed_up() {
    let desk = desk_with_bath();
    let (status, out, err) = bath(&desk, &["status", "bath.csv", LAST[0], LAST[1]]);
    assert_eq!((status, err.as_str()), (1, ""));
    assert!(out.starts_with("bath: correct by time: control strip 2026-11-17"), "{out}");
    assert!(out.contains("\nQuillback 1+6 (bath.csv on 2026-11-17)\n"), "{out}");
    assert!(out.contains("5 litres, 107 films"), "{out}");
    assert!(out.contains("activity 0.783, out of spec: lengthen (2026-11-17)"), "{out}");
    let contrast = out.lines().find(|l| l.trim_start().starts_with("contrast  ")).unwrap();
    assert!(contrast.contains("out     below the tolerance, and 4 more rules"), "{out}");
    assert!(contrast.ends_with("2026-07-28"), "{out}");
    assert!(out.contains("  develop today              15:30  (15:00 to 16:00)\n"), "{out}");
    let v = json(&desk, &["status", "bath.csv", LAST[0], LAST[1]]);
    let a = |k: &str| v["activity"][k].as_f64().unwrap();
    // The simulated bath really stands at 0.80 then.
    assert!(a("low") < a("value") && a("value") < a("high"));
    assert!((0.77..0.84).contains(&a("value")), "{}", a("value"));
    assert_eq!((&v["films"], &v["age_days"]), (&Value::from(107), &Value::from(182)));
    assert_eq!(v["in_control"], false);
    assert_eq!(
        (&v["standing"]["state"], &v["bath"]),
        (&"correct_by_time".into(), &"bath.csv".into())
    );
    assert!(v["signals"].as_array().unwrap().iter().any(|s| s["rule"] == "below_tolerance"));
    // Minutes over activity, as adjust has them.
    let minutes = v["minutes_today"]["value"].as_f64().unwrap();
    assert!((minutes * a("value") - 12.49).abs() < 0.02, "{minutes}");
}

#[test]
fn a_day_that_is_past_is_seen_as_it_was() {
    let desk = desk_with_bath();
    let fresh = json(&desk, &["status", "bath.csv", "--date", "2025-11-18"]);
    assert_eq!(fresh["age_days"], 0);
    // A strip of 1.006 and five films after it, of which nothing is known yet but what is assumed.
    let a = |k: &str| fresh["activity"][k].as_f64().unwrap();
    assert!(a("low") < 0.99 && 0.99 < a("high") && a("value") < 1.0, "{fresh}");
    let (status, out, _) = bath(&desk, &["status", "bath.csv", "--date", "2025-11-01"]);
    assert_eq!(status, 1);
    assert!(out.starts_with("bath: unknown: nothing was mixed up to this day\n"), "{out}");
    let v = json(&desk, &["status", "bath.csv", "--date", "2025-11-01"]);
    assert!(v["in_control"].is_null() && v["activity"].is_null(), "{v}");
    let (status, _, err) = bath(&desk, &["status", "bath.csv", "--date", "2999-01-01"]);
    assert_eq!(status, 2);
    assert!(err.contains("still to come"), "{err}");
}

#[test]
fn the_accident_shows_on_the_chart() {
    let desk = desk_with_bath();
    let (status, out, _) = bath(&desk, &["chart", "bath.csv", LAST[0], LAST[1]]);
    assert_eq!(status, 0);
    assert_eq!(out.lines().filter(|l| l.contains(" strips  ")).count(), 8, "{out}");
    let sum = "  sum            too low for some time: the sum of what lies below the";
    assert!(out.contains(sum), "labels on the figure are explained: {out}");
    assert!(out.contains('▁'), "{out}");
    let v = json(&desk, &["chart", "bath.csv", "--only", "base-plus-fog", LAST[0], LAST[1]]);
    let charts = v["charts"].as_array().unwrap();
    assert_eq!(charts.len(), 1);
    let signals = charts[0]["signals"].as_array().unwrap();
    let beyond = |s: &&Value| s["date"] == "2026-05-19";
    let rules: Vec<&str> =
        signals.iter().filter(beyond).filter_map(|s| s["rule"].as_str()).collect();
    assert!(rules.contains(&"above_tolerance"), "{rules:?}");
    assert!(rules.contains(&"beyond_three"), "{rules:?}");
    assert!(
        signals.iter().all(|s| s["date"] == "2026-05-19"),
        "a fresh bath has nothing of the old one's: {signals:?}"
    );
    assert_eq!(charts[0]["quantity"], "base_plus_fog");
    let (_, plain, _) = bath(&desk, &["chart", "bath.csv", "--ascii"]);
    assert!(out.contains('▁') && !plain.contains('▁'), "{plain}");
}

#[test]
fn a_new_bath_is_not_out_since_a_day_before_its_mix() {
    let desk = desk_with_bath();
    let days = |rows: &str| rows.replace("2026-11-17", "2026-11-19");
    desk.copy("control.csv");
    desk.write("new.csv", &days(&desk.read("control.csv")));
    let mix = ["mix", "bath.csv", "--litres", "5", "--date", "2026-11-18"];
    assert_eq!(bath(&desk, &mix).0, 0);
    let strip = ["strip", "bath.csv", "pairing.toml", "new.csv", "--log-exposure-clear", "0"];
    assert_eq!(bath(&desk, &strip).0, 1);
    let v = json(&desk, &["status", "bath.csv", "--date", "2026-11-19"]);
    let charts = v["charts"].as_array().unwrap();
    assert!(charts.iter().any(|c| c["state"] == "out"), "{v}");
    assert!(charts.iter().all(|c| c["since"].is_null()), "{v}");
    let (_, out, _) = bath(&desk, &["chart", "bath.csv", "--date", "2026-11-19"]);
    assert!(out.contains("out:") && !one_line(&out).contains("(since 2026-1"), "{out}");
}

#[test]
fn the_end_is_foreseen() {
    let desk = desk_with_bath();
    let args = ["forecast", "bath.csv", "--lowest-activity", "0.7", LAST[0], LAST[1]];
    let v = json(&desk, &args);
    let left = &v["films_left"];
    let (low, median, high) = (&left["low"], &left["value"], &left["high"]);
    assert!(low.as_u64() < median.as_u64() && median.as_u64() < high.as_u64(), "{left}");
    // ln(0.80/0.70) at 0.0025 of ln a a film and 0.0035 a week: about 39 films at four a week.
    assert!((30..60).contains(&median.as_u64().unwrap()), "{left}");
    let per_film = v["coefficients"]["by_use"]["quantity"].clone();
    let inside = per_film["low"].as_f64() < Some(0.22) && Some(0.22) < per_film["high"].as_f64();
    assert!(inside, "the simulated bath loses 0.22 of ln a per m² and litre: {per_film}");
    assert!(v["until"]["value"].as_str() < v["until_by_age"]["value"].as_str(), "{v}");
    assert!(v["replenishment_ml_per_film"]["value"].as_f64() > Some(20.0), "{v}");
    let (status, out, _) =
        bath(&desk, &["forecast", "bath.csv", "--lowest-activity", "0.9", LAST[0], LAST[1]]);
    assert_eq!(status, 1, "the bath is below that: {out}");
    assert!(
        out.contains("  films left                                0 (0 to 0) of 135-36"),
        "{out}"
    );
    let (status, out, _) =
        bath(&desk, &["forecast", "bath.csv", "--longest-min", "18", LAST[0], LAST[1]]);
    assert_eq!(status, 0);
    assert!(one_line(&out).contains("then takes 18:00 instead of 12:30"), "{out}");
}

#[test]
fn without_strips_it_says_what_it_would_need() {
    let desk = desk_with_bath();
    desk.write(
        "young.csv",
        "date,act,litres,films,area_m2\n2026-03-03,mix,1.5,,\n2026-03-10,film,,3 x 135-36,0.168\n",
    );
    let (status, out, err) = bath(&desk, &["forecast", "young.csv"]);
    assert_eq!((status, err.as_str()), (0, ""));
    assert!(
        one_line(&out)
            .contains("films left: no control strip has been read yet: read one now, and"),
        "{out}"
    );
    let v = json(&desk, &["forecast", "young.csv"]);
    assert!(
        v["films_left"].is_null() && v["notes"][0].as_str().unwrap().contains("read one now"),
        "{v}"
    );
    let (_, out, _) = bath(&desk, &["status", "young.csv"]);
    assert!(out.contains("  activity now   none\n  in control     not known\n"), "{out}");
    assert!(json(&desk, &["status", "young.csv"])["in_control"].is_null());
    let (status, _, err) = desk.run(&["adjust", "pairing.toml", "--bath", "young.csv"]);
    assert_eq!(status, 2);
    assert!(err.contains("young.csv: no control strip has been read yet"), "{err}");
}

#[test]
fn adjust_takes_the_activity_from_the_journal() {
    let desk = desk_with_bath();
    let run = |more: &[&str]| {
        let mut args = vec!["adjust", "pairing.toml", "--json"];
        args.extend(more);
        let (status, out, err) = desk.run(&args);
        assert_eq!(status, 0, "{err}");
        serde_json::from_str::<Value>(&out).unwrap()
    };
    let (fresh, worn) = (run(&[]), run(&["--bath", "bath.csv"]));
    let minutes = |v: &Value| v["minutes"]["value"].as_f64().unwrap();
    let width = |v: &Value| {
        let end = |k: &str| v["minutes"][k].as_f64().unwrap();
        (end("high") / end("low")).ln()
    };
    let a = worn["activity"].as_f64().unwrap();
    assert!((minutes(&worn) * a - minutes(&fresh)).abs() < 1e-6);
    assert!(width(&worn) > width(&fresh), "the activity's own interval counts");
    let (status, _, err) =
        desk.run(&["adjust", "pairing.toml", "--bath", "bath.csv", "--activity", "0.9"]);
    assert_eq!(status, 2);
    assert!(err.contains("cannot be used with"), "{err}");
}

#[test]
fn a_bath_that_is_gone_has_no_film_left() {
    let desk = desk_with_bath();
    let (status, _, err) = bath(&desk, &["discard", "bath.csv", "--date", "2026-11-18"]);
    assert_eq!(status, 0, "{err}");
    let (status, out, _) = bath(&desk, &["status", "bath.csv"]);
    assert_eq!(status, 1);
    assert!(out.starts_with("bath: discarded: the bath was thrown away on 2026-11-18\n"), "{out}");
    let (status, out, _) = bath(&desk, &["forecast", "bath.csv"]);
    assert_eq!(status, 1);
    assert!(out.contains("films left: there is no bath"), "{out}");
    let v = json(&desk, &["forecast", "bath.csv"]);
    assert!(v["films_left"].is_null() && v["until"].is_null(), "{v}");
    let (status, _, err) = bath(&desk, &["status", "none.csv"]);
    assert_eq!(status, 2);
    let words = "none.csv: no such journal; check the path, or begin it with a mix: wedgebook bath mix none.csv --litres N";
    assert!(err.contains(words), "{err}");
}

#[test]
fn a_journal_of_ten_years_is_read() {
    let desk = desk_with_bath();
    let mut text = String::from(
        "date,act,litres,area_m2,added_ml,strip,activity,activity_low,activity_high,contrast_off,verdict\n2016-01-01,mix,5,,,,,,,,\n",
    );
    let start = jiff::civil::date(2016, 1, 1);
    let mut rows = 1;
    for day in 0..3650_i64 {
        let date = start.saturating_add(jiff::Span::new().days(day));
        let wave = 0.9 + 0.02 * ((day * 7919 % 101) as f64 / 50.0 - 1.0);
        let _ = writeln!(
            text,
            "{date},film,,0.05,,,,,,,\n{date},replenish,,,60,,,,,,\n{date},strip,,,,s{day},{wave:.3},{:.3},{:.3},{:.3},in spec",
            wave - 0.01,
            wave + 0.01,
            0.02 * (wave - 0.9)
        );
        rows += 3;
    }
    desk.write("old.csv", &text);
    let (status, out, err) = bath(&desk, &["status", "old.csv", "--json", "--date", "2025-12-29"]);
    assert!(status < 2, "{err}");
    let v: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(v["balance"]["strips"], 3650, "of {rows} rows");
    assert!((v["activity"]["value"].as_f64().unwrap() - 0.9).abs() < 0.03);
}

/// A bath that falls from its first strip on, by its first `strips`, and perhaps mixed anew.
fn falling(strips: usize, fresh: bool) -> (Value, String) {
    let desk = Desk::empty();
    let mut rows = "date,act,litres,strip,pairing,minutes,celsius,activity,verdict\n2026-01-01,mix,1.5,,,,,,\n".to_owned();
    for (n, activity) in [0.99, 0.98, 0.93, 0.89, 0.82].iter().enumerate().take(strips) {
        rows += &format!("2026-01-{:02},strip,,s{n},p.toml,9,20,{activity},in spec\n", n + 2);
    }
    if fresh {
        rows += "2026-01-08,mix,1.5,,,,,,\n";
    }
    desk.write("f.csv", &rows);
    let args = ["chart", "f.csv", "--date", "2026-01-09", "--only", "activity"];
    let text = bath(&desk, &args).1;
    (json(&desk, &args)["charts"][0]["in_control"].clone(), one_line(&text))
}

#[test]
fn a_falling_bath_is_out_with_few_strips() {
    let (first, text) = falling(1, false);
    assert_eq!(first, true);
    assert!(text.contains("1.0972 assumed none") && text.contains("is assumed"), "{text}");
    let (last, text) = falling(5, false);
    assert_eq!(last, false);
    assert!(text.contains("the last 5 strips fall by 0.0430 from strip to strip"), "{text}");
    let (anew, text) = falling(5, true);
    assert_eq!(anew, Value::Null);
    assert!(text.contains("no strip of this bath"), "{text}");
}
