//! `calibrate`, `adjust` and `drift` as a person meets them.

use crate::desk::{Desk, data};

#[test]
fn from_the_family_to_the_card() {
    let desk = Desk::with_pairing();
    let (status, out, _) = desk.run(&[
        "calibrate",
        &data("family.csv"),
        "--log-exposure-clear",
        "0",
        "--out",
        "p.toml",
        "--plot",
        "p.svg",
    ]);
    assert_eq!(status, 0);
    assert!(out.contains("125/22°") && out.contains("7 stops (N)"), "{out}");
    for figure in ["p.svg", "p-strips.svg"] {
        assert!(desk.read(figure).ends_with("</svg>\n"), "{figure}");
    }
    let (status, out, _) = desk.run(&[
        "adjust",
        "p.toml",
        "--scene-stops",
        "7",
        "--temperature",
        "21.5",
        "--card",
        "card.svg",
    ]);
    assert_eq!(status, 0);
    assert!(
        out.contains("develop for            11:00 (10:30 to 11:15)")
            && out.contains("exposure index"),
        "{out}"
    );
    assert!(desk.read("card.svg").contains("mm\""), "the card has a size on paper");
    let (status, out, _) =
        desk.run(&["drift", "p.toml", &data("temperatures.csv"), "--contrast", "0.56"]);
    assert_eq!(status, 0);
    assert!(
        out.contains("still to develop") && out.contains("if it had stayed at 23.5 °C"),
        "{out}"
    );
}

#[test]
fn json_keeps_its_keys() {
    let desk = Desk::with_pairing();
    let adjust = desk.json(&["adjust", "pairing.toml", "--contrast", "0.56", "--json"]);
    let keys: Vec<&str> = adjust.as_object().unwrap().keys().map(String::as_str).collect();
    assert_eq!(
        keys,
        [
            "minutes",
            "exposure_index",
            "contrast",
            "measure",
            "scene_stops",
            "paper_range_r",
            "celsius",
            "activity",
            "effective_minutes",
            "extrapolated",
            "expected",
            "notes"
        ]
    );
    let drift =
        desk.json(&["drift", "pairing.toml", "0=22", "3=21", "--contrast", "0.56", "--json"]);
    for key in ["effective_minutes", "target_effective_minutes", "remaining_minutes", "at_celsius"]
    {
        assert!(!drift[key].is_null(), "{key}");
    }
    let pairing = &desk.json(&[
        "calibrate",
        &data("family.csv"),
        "--log-exposure-clear",
        "0",
        "--out",
        "x.toml",
        "--json",
    ])["pairing"];
    for key in [
        "reference_celsius",
        "contrast_time",
        "surface",
        "temperature",
        "iso",
        "times",
        "strips",
        "notes",
    ] {
        assert!(!pairing[key].is_null(), "{key}");
    }
    assert_eq!(pairing["temperature"]["assumed"], false);
    assert_eq!(pairing["strips"].as_array().unwrap().len(), 6);
}

#[test]
fn temperatures_and_times_in_their_units() {
    let desk = Desk::with_pairing();
    let minutes = |args: &[&str]| desk.json(args)["minutes"]["value"].as_f64().unwrap();
    let plain = minutes(&["adjust", "pairing.toml", "--contrast", "0.56", "--json"]);
    for celsius in ["20", "20C", "20,0", "68F", "68 °F"] {
        let found = minutes(&[
            "adjust",
            "pairing.toml",
            "--contrast",
            "0.56",
            "--json",
            "--temperature",
            celsius,
        ]);
        assert!((found - plain).abs() < 1e-9, "{celsius}");
    }
    let (status, _, err) =
        desk.run(&["adjust", "pairing.toml", "--contrast", "0.56", "--temperature", "68"]);
    assert_eq!(status, 2);
    let message = "68 °C is too hot for a bath; if it is 68 °F, which is 20.0 °C, write 68F";
    assert!(err.contains(message), "{err}");
    // The former name of the option is answered with the present one.
    let (status, _, err) = desk.run(&["adjust", "pairing.toml", "--celsius", "20"]);
    assert_eq!(status, 2);
    assert!(err.contains("'--celsius") && err.contains("'--temperature'"), "{err}");
    // 7:30 is 7.5, and a clock may pass midnight.
    let left = |args: &[&str]| desk.json(args)["remaining_minutes"]["value"].as_f64().unwrap();
    let typed = left(&["drift", "pairing.toml", "0=20", "7:30=20", "--contrast", "0.6", "--json"]);
    assert!(
        (left(&["drift", "pairing.toml", "0=20", "7.5=20", "--contrast", "0.6", "--json"]) - typed)
            .abs()
            < 1e-12
    );
    desk.write("clock.csv", "time,celsius\n23:58,20\n00:05:30,20\n");
    desk.write(
        "logger.csv",
        "\u{feff}# tray thermometer\r\nfahrenheit;time\r\n68,0;23:58\r\n20,0C;00:05:30\r\n",
    );
    for log in ["clock.csv", "logger.csv"] {
        let args = ["drift", "pairing.toml", log, "--contrast", "0.6", "--json"];
        assert!((left(&args) - typed).abs() < 1e-9, "{log}");
    }
}

#[test]
fn the_answer_may_be_no() {
    let desk = Desk::with_pairing();
    let (status, out, err) = desk.run(&["adjust", "pairing.toml", "--contrast", "1.5"]);
    assert_eq!(status, 1);
    assert!(out.contains("contrast index 1.50 cannot be reached: the nearest within"), "{out}");
    assert!(err.contains("--extrapolate"), "{err}");
    let (status, out, err) = desk.run(&[
        "adjust",
        "pairing.toml",
        "--contrast",
        "0.56",
        "--temperature",
        "30",
        "--json",
    ]);
    assert_eq!(status, 1);
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert!(json["minutes"].is_null());
    assert!(
        json["notes"][0].as_str().unwrap().contains(
            "30 °C is more than 4 °C outside the calibrated temperatures (20 °C to 24 °C)"
        ),
        "{out}"
    );
    assert!(err.contains("--extrapolate"), "{err}");
    let (status, out, _) = desk.run(&[
        "adjust",
        "pairing.toml",
        "--contrast",
        "0.56",
        "--temperature",
        "30",
        "--extrapolate",
    ]);
    assert_eq!(status, 0);
    assert!(out.contains("note: outside the calibrated temperatures"), "{out}");
    let (status, out, _) =
        desk.run(&["drift", "pairing.toml", "0=20", "30=20", "--contrast", "0.5"]);
    assert_eq!(status, 1);
    assert!(out.contains("too much by"), "{out}");
}

#[test]
fn wrong_usage_is_told_in_one_line() {
    let desk = Desk::with_pairing();
    let whole = desk.read("pairing.toml");
    desk.write("cut.toml", &whole[..whole.len() / 2]);
    desk.write("newer.toml", &whole.replace("format = 2", "format = 9"));
    desk.write(
        "odd.toml",
        &whole.replacen("celsius = 20.0\nabsolute", "celsius = 200.0\nabsolute", 1),
    );
    desk.write("falling.csv", "minutes,celsius\n3,20\n2,20\n");
    for (args, message) in [
        (&["adjust", "none.toml"][..], "none.toml: no such file; name the file of a pairing"),
        (
            &["adjust", "newer.toml"],
            "newer.toml: this pairing has format 9 and this program reads up to 2; use the version that wrote it, or a later one",
        ),
        (
            &["adjust", "odd.toml"],
            "odd.toml: strip \"A\": 200 is not a temperature of a bath in °C: it must be between 0 and 60",
        ),
        (
            &["drift", "pairing.toml", "falling.csv"],
            "falling.csv:3, column \"minutes\": times must rise, and \"2\" does not come after the time before it; correct the time, or put the rows in order",
        ),
        (
            &["drift", "pairing.toml", "3=20", "2=20"],
            "times must rise, and 2 min does not come after 3 min",
        ),
        (
            &["drift", "pairing.toml", "3=20", "falling.csv"],
            "give one file, or pairs MINUTES=T as 0=23.5",
        ),
    ] {
        let (status, out, err) = desk.run(args);
        assert_eq!(
            (status, err.trim_end(), out.as_str()),
            (2, format!("wedgebook: {message}").as_str(), "")
        );
    }
    for (pair, message) in [
        ("0=warm", "\"warm\" is not a temperature: write 20, 20C or 68F"),
        ("x=20", "\"x\" is not a time since development began in minutes: write a number"),
        ("0=70", "write 70F"),
    ] {
        let (status, _, err) = desk.run(&["drift", "pairing.toml", pair]);
        assert_eq!(status, 2);
        assert!(err.contains(message), "{err}");
    }
    let (status, _, err) = desk.run(&["adjust", "cut.toml"]);
    assert_eq!(status, 2);
    assert!(err.contains("cut.toml:") && err.contains("cut short"), "{err}");
    let (status, _, err) = desk.run(&["adjust", "pairing.toml", "--contrast", "5"]);
    assert_eq!(status, 2);
    assert!(err.contains("is not a contrast that film is developed to"), "{err}");
    let family = std::fs::read_to_string(data("family.csv")).unwrap();
    desk.write("zero.csv", &family.replace(",7,20,", ",0,20,"));
    let (status, _, err) = desk.run(&["calibrate", "zero.csv", "--out", "x.toml"]);
    assert_eq!(status, 2);
    assert!(err.contains("zero.csv:24, column \"minutes\": 0 is not a development time"), "{err}");
    assert!(!desk.has("x.toml"));
}

#[test]
fn edited_aims_are_respected() {
    let desk = Desk::with_pairing();
    let contrast = |name: &str| {
        desk.json(&["adjust", name, "--scene-stops", "7", "--json"])["contrast"].as_f64().unwrap()
    };
    desk.write(
        "edited.toml",
        &desk
            .read("pairing.toml")
            .replace("light = \"diffuse\"", "light = \"diffuse\"\npaper_range = 90.0"),
    );
    assert!((contrast("edited.toml") / contrast("pairing.toml") - 90.0 / 105.0).abs() < 1e-9);
    let condenser = desk.json(&[
        "adjust",
        "pairing.toml",
        "--scene-stops",
        "7",
        "--light",
        "condenser",
        "--json",
    ]);
    assert!(
        (condenser["contrast"].as_f64().unwrap() * 1.3 / contrast("pairing.toml") - 1.0).abs()
            < 1e-9
    );
    assert!(
        condenser["notes"]
            .to_string()
            .contains("Callier factor of 1.3 for condenser light is assumed")
    );
}

/// The journal of a bath is read for a day, and its activity has its interval.
#[test]
fn the_bath_of_a_day() {
    let desk = Desk::with_pairing();
    let bath = data("bath.csv");
    let drift = ["drift", "pairing.toml", "0=20", "3=20", "--json"];
    let run = |more: &[&str]| desk.json(&[&drift[..], more].concat());
    let kept = run(&["--bath", &bath, "--date", "2026-11-17"]);
    let activity = kept["activity"].as_f64().unwrap();
    assert!((0.7..0.9).contains(&activity), "{kept}");
    assert_eq!(kept["standing"]["state"], "correct_by_time");
    // The same activity by hand gives the same time, and without the activity's own interval.
    let given = run(&["--activity", &activity.to_string()]);
    let of = |json: &serde_json::Value, key: &str| json["remaining_minutes"][key].as_f64().unwrap();
    assert!((of(&kept, "value") - of(&given, "value")).abs() < 1e-9);
    assert!(of(&kept, "low") < of(&given, "low") && of(&given, "high") < of(&kept, "high"));
    // An earlier day is another bath.
    let earlier = run(&["--bath", &bath, "--date", "2026-03-01"]);
    assert_ne!(earlier["activity"], kept["activity"]);
    for (args, message) in [
        (&["--bath", &bath, "--date", "2999-01-01"][..], "--date 2999-01-01 is still to come"),
        (&["--date", "2026-11-17"], "--bath"),
        (&["--bath", &bath, "--activity", "0.9"], "cannot be used with"),
    ] {
        let (status, _, err) = desk.run(&[&drift[..], args].concat());
        assert_eq!(status, 2);
        assert!(err.contains(message), "{err}");
    }
}

/// 12:30 gives a scene of seven stops its contrast; film that had 12:30 has just that.
#[test]
fn what_film_got_in_a_known_time() {
    let desk = Desk::with_pairing();
    let minutes = desk.json(&["adjust", "pairing.toml", "--json"])["minutes"]["value"].clone();
    let typed = minutes.to_string();
    let got = desk.json(&["adjust", "pairing.toml", "--minutes", &typed, "--json"]);
    let value = |key: &str| got[key]["value"].as_f64().unwrap();
    assert!((value("contrast") - 0.615).abs() < 1e-3 && (value("scene_stops") - 7.0).abs() < 0.01);
    assert_eq!(got["expected"]["contrast_index"], got["contrast"]);
    // Warmer, and in a weaker bath: as much as the time for it says.
    let args = ["--temperature", "22", "--activity", "0.9"];
    let asked = [&["adjust", "pairing.toml", "--json"][..], &args].concat();
    let typed = desk.json(&asked)["minutes"]["value"].to_string();
    let got = desk.json(&[&asked[..], &["--minutes", &typed]].concat());
    assert!((got["contrast"]["value"].as_f64().unwrap() - 0.615).abs() < 1e-3, "{got}");
    let (status, out, err) = desk.run(&["adjust", "pairing.toml", "--minutes", "60"]);
    assert_eq!(status, 1);
    assert!(out.contains("60.0 effective minutes are more than 1.5 times outside"), "{out}");
    assert!(err.contains("--extrapolate"), "{err}");
    let (status, _, err) =
        desk.run(&["adjust", "pairing.toml", "--minutes", "9", "--contrast", "1"]);
    assert_eq!(status, 2, "{err}");
}

/// The aim is for what is left of the scene, and what is left is what the aim's own index leaves.
#[test]
fn film_exposed_at_another_index() {
    let desk = Desk::with_pairing();
    let ask = |index: &str| desk.json(&["adjust", "pairing.toml", "--exposed-at", index, "--json"]);
    let found = ask("250");
    let number = |value: &serde_json::Value| value.as_f64().unwrap();
    let lost = number(&found["lost_shadow_stops"]["value"]);
    assert!((7.0 - lost - number(&found["scene_stops"])).abs() < 0.01, "{found}");
    let index = number(&found["exposure_index"]["value"]);
    assert!((lost - (250.0 / index).log2()).abs() < 0.01, "{found}");
    // 105 = 100·G·(log 2·s − 0.40)
    let range = 10_f64.log2().recip() * number(&found["scene_stops"]) - 0.40;
    assert!((number(&found["contrast"]) * range - 1.05).abs() < 1e-3, "{found}");
    let plain = desk.json(&["adjust", "pairing.toml", "--json"]);
    assert!(number(&found["minutes"]["value"]) > number(&plain["minutes"]["value"]));
    let over = ask("50");
    assert_eq!(over["minutes"], plain["minutes"]);
    assert_eq!(over["lost_shadow_stops"]["value"], 0.0);
    let (status, out, _) = desk.run(&["adjust", "pairing.toml", "--exposed-at", "1600"]);
    assert_eq!(status, 1);
    assert!(out.contains("stops that are left need a") && out.contains("range R"), "{out}");
    let (status, out, _) = desk.run(&["adjust", "pairing.toml", "--exposed-at", "200"]);
    assert_eq!(status, 0);
    assert!(out.contains("no detail, and no development"), "{out}");
    // Relative exposures give no index.
    let (status, _, _) =
        desk.run(&["calibrate", &data("family.csv"), "--out", "relative.toml", "--json"]);
    assert_eq!(status, 0);
    let (status, out, _) = desk.run(&["adjust", "relative.toml", "--exposed-at", "200"]);
    assert_eq!(status, 1);
    assert!(out.contains("exposures are relative"), "{out}");
}

/// Conversion by the assumed law, by a chart's own, and what is refused.
#[test]
fn a_time_at_another_temperature_without_strips() {
    let desk = Desk::empty();
    let assumed = desk.json(&["convert", "9:00", "--from", "20", "--to", "24", "--json"]);
    let chart = desk
        .json(&["convert", "9:00", "--from", "20", "--to", "24", "--chart", "6:30=24", "--json"]);
    let width = |v: &serde_json::Value| {
        v["minutes"]["high"].as_f64().unwrap() - v["minutes"]["low"].as_f64().unwrap()
    };
    assert_eq!(
        (&assumed["law_is_assumed"], &chart["law_is_assumed"]),
        (&true.into(), &false.into())
    );
    assert!((chart["minutes"]["value"].as_f64().unwrap() - 6.5).abs() < 0.01, "{chart}");
    assert!(width(&chart) < width(&assumed));
    let back = desk.json(&["convert", "9:00", "--from", "68F", "--to", "20C", "--json"]);
    assert!((back["minutes"]["value"].as_f64().unwrap() - 9.0).abs() < 1e-6);
    for (chart, words) in [("9=20", "--chart"), ("12=24", "--chart"), ("x=20", "not a")] {
        let (status, out, err) =
            desk.run(&["convert", "9", "--from", "20", "--to", "24", "--chart", chart]);
        assert_eq!((status, out.as_str()), (2, ""), "{chart}");
        assert!(err.contains(words), "{err}");
    }
}

/// Rows of some strips of the demonstration's family.
fn strips_of(desk: &Desk, names: &[&str], file: &str) {
    let family = std::fs::read_to_string(data("family.csv")).unwrap();
    let kept = |line: &&str| names.iter().any(|n| line.starts_with(&format!("{n},")));
    let rows: Vec<&str> = family.lines().take(1).chain(family.lines().filter(kept)).collect();
    desk.write(file, &rows.join("\n"));
}

/// One strip gives the time of its own development at another temperature, and claims nothing else.
#[test]
fn a_pairing_begins_with_one_strip() {
    let desk = Desk::empty();
    strips_of(&desk, &["C"], "one.csv");
    let args = ["calibrate", "one.csv", "--log-exposure-clear", "0", "--out", "one.toml"];
    let (status, out, err) = desk.run(&[&args[..], &["--plot", "one.svg"]].concat());
    assert_eq!(status, 0, "{err}");
    assert!(out.contains("one strip only, developed for 9:00 at 20 °C"), "{out}");
    assert!(desk.has("one.svg") && !desk.has("one-strips.svg"));
    let ask = |args: &[&str]| desk.json(&[&["adjust", "one.toml", "--json"][..], args].concat());
    let number = |value: &serde_json::Value| value.as_f64().unwrap();
    // At the strip's own temperature its own time, without any doubt of the law.
    let own = ask(&[]);
    assert_eq!(own["minutes"], serde_json::json!({"value": 9.0, "low": 9.0, "high": 9.0}));
    // Elsewhere that of `convert`.
    let warm = ask(&["-t", "23"]);
    let converted = desk.json(&["convert", "9:00", "--from", "20", "--to", "23", "--json"]);
    assert_eq!(warm["minutes"], converted["minutes"]);
    assert!(warm["notes"].to_string().contains("temperature law is assumed"), "{warm}");
    let weak = ask(&["--activity", "0.9"]);
    assert!((number(&weak["minutes"]["value"]) - 10.0).abs() < 1e-9, "{weak}");
    // Its measures are those of `curve`.
    let curve = desk.json(&["curve", "one.csv", "--log-exposure-clear", "0", "--json"]);
    let contrast = &own["expected"]["contrast_index"];
    assert_eq!(*contrast, curve["strips"][0]["contrast_index"], "{curve}");
    assert!(
        (number(&own["contrast"]) - 0.615).abs() < 1e-3,
        "the aim, as in every answer of adjust"
    );
    // A contrast that it has is answered, and one that it has not is not.
    let has = number(&contrast["value"]).to_string();
    assert_eq!(desk.run(&["adjust", "one.toml", "--contrast", &has]).0, 0);
    let (status, out, _) = desk.run(&["adjust", "one.toml", "--scene-stops", "5"]);
    assert_eq!(status, 1);
    assert!(out.contains("is more than the strip has"), "{out}");
    for option in [&["--minutes", "9"][..], &["--exposed-at", "100"], &["--card", "x.svg"]] {
        let (status, _, err) = desk.run(&[&["adjust", "one.toml"][..], option].concat());
        assert_eq!(status, 2);
        assert!(err.contains(option[0]) && err.contains("a second strip"), "{err}");
    }
    // A second strip makes a family of it.
    strips_of(&desk, &["C", "D"], "two.csv");
    let (status, out, err) =
        desk.run(&["calibrate", "two.csv", "--log-exposure-clear", "0", "--out", "one.toml"]);
    assert_eq!(status, 0, "{err}");
    assert!(out.contains("two times only"), "{out}");
    let two = desk.json(&["adjust", "one.toml", "--json"]);
    assert!(number(&two["minutes"]["high"]) > number(&two["minutes"]["value"]));
}

/// The table has the times of one question after the other, and its CSV says the same.
#[test]
fn a_table_over_temperatures_and_scenes() {
    let desk = Desk::with_pairing();
    let args = ["adjust", "pairing.toml", "--table", "--csv", "times.csv"];
    let (status, out, err) = desk.run(&args);
    assert_eq!(status, 0, "{err}");
    assert!(out.lines().all(|l| l.chars().count() <= 80) && out.contains("N−1"), "{out}");
    let json = desk.json(&[&args[..], &["--json"]].concat());
    let rows = json["times"].as_array().unwrap();
    let one = rows.iter().find(|r| r["celsius"] == 22.0 && r["scene_stops"] == 8.0).unwrap();
    let asked = ["adjust", "pairing.toml", "-t", "22", "--scene-stops", "8", "--json"];
    let asked = desk.json(&asked);
    assert_eq!(one["minutes"], asked["minutes"]);
    assert_eq!(one["exposure_index"], asked["exposure_index"]);
    let csv = desk.read("times.csv");
    assert_eq!(csv.lines().count(), rows.len() + 1);
    let minutes = one["minutes"]["value"].as_f64().unwrap();
    let row =
        csv.lines().find(|l| l.starts_with("22,") && l.split(',').nth(2) == Some("8")).unwrap();
    let read: f64 = row.split(',').nth(3).unwrap().parse().unwrap();
    assert!((read - minutes).abs() < 1e-3, "{row}");
    // The other way: what a time gives, in whole even degrees where they are in °F.
    let args = ["adjust", "pairing.toml", "--minutes", "9", "--table", "-t", "68F"];
    let (status, out, _) = desk.run(&args);
    assert_eq!(status, 0);
    assert!(out.contains("70 °F (21.1 °C)") && out.contains("72 °F"), "{out}");
    let got = desk.json(&[&args[..], &["--json"]].concat());
    let at = |c: f64| {
        let rows = got["developed"].as_array().unwrap();
        let row = rows.iter().find(|r| (r["celsius"].as_f64().unwrap() - c).abs() < 0.01).unwrap();
        row["contrast"].clone()
    };
    let one = ["adjust", "pairing.toml", "--minutes", "9", "-t", "70F", "--json"];
    assert_eq!(at(21.11), desk.json(&one)["contrast"]);
    let (status, _, err) = desk.run(&["adjust", "pairing.toml", "--csv", "x.csv"]);
    assert_eq!(status, 2);
    assert!(err.contains("--table"), "{err}");
}

/// A time holds for the agitation of the strips; another one today is named, and nothing is converted.
#[test]
fn agitation_is_kept_and_compared() {
    let desk = Desk::with_pairing();
    let family = std::fs::read_to_string(data("family.csv")).unwrap();
    let with = |words: &str| {
        let mut lines = family.lines();
        let head = format!("{},agitation\n", lines.next().unwrap());
        head + &lines.map(|line| format!("{line},{words}\n")).collect::<String>()
    };
    desk.write("moved.csv", &with("\"inversion, 10 s in 60 s\""));
    let made = ["calibrate", "moved.csv", "--log-exposure-clear", "0", "--out", "moved.toml"];
    assert_eq!(desk.run(&made).0, 0);
    let ask = |words: &str| desk.json(&["adjust", "moved.toml", "--agitation", words, "--json"]);
    let (same, other) = (ask("Inversion"), ask("rotary"));
    assert_eq!(same["agitation"], "inversion, 10 s in 60 s");
    assert!(!same["notes"].to_string().contains("agitation is another"));
    assert!(other["notes"].to_string().contains("agitation is another"), "{other}");
    let plain = desk.json(&["adjust", "pairing.toml", "--agitation", "rotary", "--json"]);
    assert_eq!(same["minutes"], other["minutes"], "nothing is converted");
    assert_eq!(plain["minutes"], other["minutes"]);
    assert!(plain["agitation"].is_null());
    // A control strip that was agitated otherwise.
    let control = std::fs::read_to_string(data("control.csv")).unwrap();
    let mut lines = control.lines();
    let head = format!("{},agitation\n", lines.next().unwrap());
    desk.write("c.csv", &(head + &lines.map(|l| format!("{l},stand\n")).collect::<String>()));
    let (_, out, err) = desk.run(&["verify", "moved.toml", "c.csv", "--log-exposure-clear", "0"]);
    assert!(out.contains("agitation is another"), "{out} {err}");
    // Strips of several ways in one family.
    let mixed = with("stand").replacen(",stand", ",rotary", 22);
    desk.write("mixed.csv", &mixed);
    let made = ["calibrate", "mixed.csv", "--log-exposure-clear", "0", "--out", "mixed.toml"];
    let (status, out, err) = desk.run(&made);
    assert_eq!(status, 0, "{err}");
    assert!(out.contains("agitated in several ways (rotary; stand)"), "{out}");
}
