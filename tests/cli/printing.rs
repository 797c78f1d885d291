//! `paper`, `proof` and `tone` as a person meets them.

use crate::desk::{Desk, data};
use serde_json::Value;

/// The demonstration's paper behind one filter only: a file on the desk.
fn one_filter(desk: &Desk, filter: &str) -> String {
    let whole = std::fs::read_to_string(data("paper.csv")).unwrap();
    let own = |l: &&str| l.starts_with("filter") || l.starts_with(&format!("{filter},"));
    let lines: Vec<&str> = whole.lines().filter(own).collect();
    let name = format!("filter-{filter}.csv");
    desk.write(&name, &lines.join("\n"));
    name
}

fn value(q: &Value) -> f64 {
    let (value, low, high) = (&q["value"], &q["low"], &q["high"]);
    let all = [low, value, high].map(|v| v.as_f64().unwrap());
    assert!(all[0] < all[1] && all[1] < all[2], "{q}");
    all[1]
}

fn keys(value: &Value) -> Vec<&str> {
    let object = value.as_object().unwrap();
    object.keys().map(String::as_str).collect()
}

/// The text with single spaces, as a reader takes it in.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A paper for contact printing: speeds below 4 have the decimals of the standard's series (ISO 6:1993,
/// table 1, from memory below 4: 1, 1.25, 1.6, 2, 2.5, 3.2).
#[test]
fn a_slow_paper_has_decimals() {
    let desk = Desk::empty();
    let file = one_filter(&desk, "2");
    let ordinary = desk.json(&["paper", &file, "--json", "--log-exposure-clear", "2.0"]);
    let of = |json: &serde_json::Value, key: &str| json["speed_p"][key].as_f64().unwrap();
    let shift = (of(&ordinary, "value") / 1.3).log10();
    let clear = format!("{:.4}", 2.0 + shift);
    let slow = desk.json(&["paper", &file, "--json", "--log-exposure-clear", &clear]);
    assert!((of(&slow, "value") - 1.3).abs() < 0.01, "{slow}");
    let (status, out, err) = desk.run(&["paper", &file, "--log-exposure-clear", &clear]);
    assert_eq!((status, err.as_str()), (0, ""));
    let written = format!("1.30 ({:.2} to {:.2})", of(&slow, "low"), of(&slow, "high"));
    assert!(flat(&out).contains(&written), "{written}: {out}");
    assert!(flat(&out).contains("speed as the standard prints it ISO P1.25"), "{out}");
}

#[test]
fn one_paper_has_all_its_measures() {
    let desk = Desk::empty();
    let file = one_filter(&desk, "2");
    let clear = ["--log-exposure-clear", "2.0"];
    let plot = [&["paper", &file, "--plot", "p.svg"][..], &clear].concat();
    let (status, out, err) = desk.run(&plot);
    assert_eq!((status, err.as_str()), (0, ""));
    for words in [
        "strip 2: Stillwater Gloss, setting 2, 2026-03-17",
        "smooth",
        "paper speed P (1000/Hm)",
        "range R (100 × log exposure from T to S)",
        "2 (medium)",
        "limits between grades are from memory",
    ] {
        assert!(flat(&out).contains(words), "{words}: {out}");
    }
    assert!(desk.read("p.svg").ends_with("</svg>\n"));
    let json = desk.json(&[&["paper", &file, "--json"][..], &clear].concat());
    assert_eq!(keys(&json), ["speed_p", "range_r", "d_min", "d_max", "setting", "strips", "notes"]);
    let strip = &json["strips"][0];
    for key in ["speed_p", "range_r", "d_min", "d_max"] {
        assert_eq!(json[key], strip[key], "{key}");
    }
    for key in [
        "average_gradient",
        "gamma",
        "highlight_log_h",
        "speed_point_log_h",
        "shadow_log_h",
        "shadow_density",
    ] {
        value(&strip[key]);
    }
    assert_eq!(strip["grade"]["number"], 2);
    assert_eq!(strip["grade"]["limits_assumed"], true);
    assert_eq!(strip["absolute"], true);
    assert_eq!(strip["paper"], "Stillwater Gloss");
    // The points that make R and P.
    let between = value(&strip["shadow_log_h"]) - value(&strip["highlight_log_h"]);
    assert!((100.0 * between - value(&json["range_r"])).abs() < 1e-9);
    let speed = 1000.0 / 10_f64.powf(value(&strip["speed_point_log_h"]));
    assert!((speed - value(&json["speed_p"])).abs() < 1e-9);
    let net = 0.9 * (value(&json["d_max"]) - value(&json["d_min"]));
    assert!((value(&strip["shadow_density"]) - value(&json["d_min"]) - net).abs() < 1e-9);
}

#[test]
fn relative_exposures_give_a_range_and_no_speed() {
    let desk = Desk::empty();
    let file = one_filter(&desk, "2");
    let (status, out, err) = desk.run(&["paper", &file]);
    assert_eq!(status, 0);
    assert!(err.contains("give it with --log-exposure-clear"), "{err}");
    assert!(flat(&out).contains("relative log H") && flat(&out).contains("exposures are relative"));
    let json = desk.json(&["paper", &file, "--json"]);
    assert!(json["speed_p"].is_null());
    let notes = json["strips"][0]["notes"].to_string();
    assert!(notes.contains("speed_p: exposures are relative"), "{notes}");
    let absolute = desk.json(&["paper", &file, "--json", "--log-exposure-clear", "2"]);
    assert!((value(&json["range_r"]) - value(&absolute["range_r"])).abs() < 1e-6);
}

#[test]
fn a_strip_that_never_reaches_black_says_so() {
    let desk = Desk::empty();
    let whole = desk.read(&one_filter(&desk, "2"));
    // Only the lighter half of the tablet.
    let light = |l: &&str| {
        let step = l.split(',').nth(1).and_then(|s| s.parse::<u32>().ok());
        step.is_none_or(|step| step == 0 || step >= 8)
    };
    let lines: Vec<&str> = whole.lines().filter(light).collect();
    desk.write("light.csv", &lines.join("\n"));
    let (status, out, _) = desk.run(&["paper", "light.csv", "--log-exposure-clear", "2"]);
    assert_eq!(status, 0);
    assert!(flat(&out).contains("the strip never reaches black"), "{out}");
    let json = desk.json(&["paper", "light.csv", "--json", "--log-exposure-clear", "2"]);
    assert!(json["d_max"].is_null() && json["range_r"].is_null());
    assert!(json["strips"][0]["grade"].is_null());
    value(&json["speed_p"]);
    let (status, _, err) =
        desk.run(&["proof", "--paper", "light.csv", "--paper-s", "30", "--base-plus-fog", "0.3"]);
    assert_eq!((status, err.as_str()), (1, ""));
}

#[test]
fn settings_and_the_one_for_a_range() {
    let desk = Desk::empty();
    let paper = data("paper.csv");
    let (status, out, _) = desk.run(&["paper", &paper, "--paper-range", "95", "--plot", "all.png"]);
    assert_eq!(status, 0);
    assert!(flat(&out).contains("Stillwater Gloss: 6 strips"), "{out}");
    assert!(flat(&out).contains("setting 2.3"), "{out}");
    let json = desk.json(&["paper", &paper, "--paper-range", "95", "--json"]);
    assert!(json["range_r"].is_null() && json["strips"].as_array().unwrap().len() == 6);
    let between = value(&json["setting"]["between"]);
    assert!((2.0..3.0).contains(&between), "{between}");
    assert_eq!(json["setting"]["nearest"], "2");
    let (status, out, _) = desk.run(&["paper", &paper, "--paper-range", "180"]);
    assert_eq!(status, 1);
    assert!(
        flat(&out).contains("a range R of 180 is softer than this paper at its softest (0: R 132)"),
        "{out}"
    );
    // Grades in words, and no column of strips.
    let named = std::fs::read_to_string(&paper).unwrap();
    let named = named
        .replace("filter,step", "grade,step")
        .replace("\n1,", "\nsoft,")
        .replace("\n4,", "\nhard,");
    let keep = |l: &&str| ["grade", "soft", "hard"].iter().any(|w| l.starts_with(w));
    desk.write("grades.csv", &named.lines().filter(keep).collect::<Vec<_>>().join("\n"));
    let (status, out, _) = desk.run(&["paper", "grades.csv", "--paper-range", "80"]);
    assert_eq!(status, 0);
    assert!(flat(&out).contains("nearest setting measured hard its range R 74"), "{out}");
}

#[test]
fn a_proof_from_a_test_strip() {
    let desk = Desk::empty();
    let strip = data("proof-strip.csv");
    let (status, out, err) = desk.run(&["proof", &strip, "--plot", "proof.svg"]);
    assert_eq!((status, err.as_str()), (0, ""));
    assert!(
        flat(&out).contains("from a test strip of 8 exposures")
            && flat(&out).contains("expose for")
    );
    assert!(desk.read("proof.svg").ends_with("</svg>\n"));
    let json = desk.json(&["proof", &strip, "--json"]);
    assert_eq!(
        keys(&json),
        [
            "seconds",
            "measured_seconds",
            "factor",
            "black_density",
            "d_max",
            "from",
            "needed_range_r",
            "negatives",
            "notes"
        ]
    );
    // What the demonstration's simulated paper needs: 7.63 s.
    assert!((value(&json["seconds"]) - 7.6).abs() < 0.6, "{json}");
    // The same typed as pairs, without the unexposed paper: its white is assumed, and told.
    let pairs =
        ["3=0.96", "4=1.23", "5.6=1.51", "8=1.87", "11=1.97", "16=2.05", "22=2.07", "32=2.07"];
    let (status, out, _) = desk.run(&[&["proof"][..], &pairs].concat());
    assert_eq!(status, 0);
    assert!(flat(&out).contains("unexposed paper is assumed to be 0.06 ± 0.03"), "{out}");
    let white = [&["proof"][..], &pairs, &["--white", "0.06"]].concat();
    assert!(!desk.run(&white).1.contains("assumed"));
    // Semicolons and decimal commas.
    let body = std::fs::read_to_string(&strip).unwrap();
    desk.write("comma.csv", &body.replace(',', ";").replace('.', ","));
    assert_eq!(desk.json(&["proof", "comma.csv", "--json"]), json);
}

#[test]
fn a_proof_is_scaled() {
    let desk = Desk::empty();
    let strip = data("proof-strip.csv");
    let plain = value(&desk.json(&["proof", &strip, "--json"])["seconds"]);
    let scaled = desk.json(&[
        "proof",
        &strip,
        "--json",
        "--base-plus-fog",
        "0.30",
        "--to-base-plus-fog",
        "0.60",
        "--aperture",
        "8",
        "--to-aperture",
        "11",
        "--paper-speed",
        "250",
        "--to-paper-speed",
        "500",
    ]);
    let factor = 10_f64.powf(0.3) * (11.0_f64 / 8.0).powi(2) / 2.0;
    assert!((value(&scaled["seconds"]) / plain / factor - 1.0).abs() < 1e-9);
    assert!((value(&scaled["measured_seconds"]) - plain).abs() < 1e-12);
    assert!((scaled["factor"].as_f64().unwrap() - factor).abs() < 1e-12);
}

#[test]
fn a_proof_from_a_papers_curve() {
    let desk = Desk::empty();
    let paper = data("paper.csv");
    let seconds = |args: &[&str]| {
        let fixed = ["proof", "--paper", &paper, "--setting", "2", "--json"];
        value(&desk.json(&[&fixed[..], args].concat())["seconds"])
    };
    let tablet = seconds(&["--paper-s", "30", "--base-plus-fog", "0.30"]);
    assert!((tablet - 7.6).abs() < 0.6, "{tablet}");
    // 30 s of 3.33 lux are log exposure 2.00.
    let lux =
        seconds(&["--lux", "3.3333333", "--log-exposure-clear", "2", "--base-plus-fog", "0.30"]);
    assert!((lux / tablet - 1.0).abs() < 1e-4, "{lux} {tablet}");
    let denser = seconds(&["--paper-s", "30", "--base-plus-fog", "0.60"]);
    assert!((denser / tablet - 10_f64.powf(0.3)).abs() < 1e-9);
    let aperture =
        ["--paper-s", "30", "--base-plus-fog", "0.30", "--aperture", "8", "--to-aperture", "16"];
    assert!((seconds(&aperture) / tablet - 4.0).abs() < 1e-9);
}

#[test]
fn negatives_and_the_paper_that_they_need() {
    let desk = Desk::empty();
    let (paper, negatives) = (data("paper.csv"), data("negatives.csv"));
    let (status, out, _) = desk.run(&["proof", "--negative", &negatives, "--paper", &paper]);
    assert_eq!(status, 0);
    assert!(flat(&out).contains("ferry at dusk 0.42 1.21 79 (76 to 82)"), "{out}");
    let json = desk.json(&["proof", "--negative", "0.42:1.21", "--json"]);
    assert!((value(&json["needed_range_r"]) - 79.0).abs() < 1e-9);
    assert!(json["seconds"].is_null() && json["negatives"][0]["setting"].is_null());
    assert_eq!(json["negatives"][0]["grade"]["number"], 4);
    let condenser =
        desk.json(&["proof", "--negative", "0.42:1.21", "--light", "condenser", "--json"]);
    assert!((value(&condenser["needed_range_r"]) - 102.7).abs() < 1e-9);
    assert!(condenser["notes"].to_string().contains("Callier factor of 1.3"));
    let (status, out, _) = desk.run(&["proof", "--negative", "0.42:0.70", "--paper", &paper]);
    assert_eq!(status, 1);
    assert!(flat(&out).contains("harder than this paper at its hardest"), "{out}");
    let two = desk.json(&["proof", "--negative", "0.3:1.1", "--negative", "0.2:1.5", "--json"]);
    assert!(two["needed_range_r"].is_null());
    assert_eq!(two["negatives"].as_array().unwrap().len(), 2);
}

#[test]
fn numbers_that_a_test_strip_cannot_carry_are_absent() {
    let desk = Desk::empty();
    for (pairs, why) in [
        (
            &["2=0.5", "4=0.9", "8=1.4"][..],
            "the strip never reaches black (the density still rises by 0.50",
        ),
        (&["20=2.00", "30=2.03", "45=2.04", "60=2.40"], "never reaches black"),
        (
            &["10=1.30", "10.4=1.55", "10.8=1.80"],
            "too close together to show whether black is reached",
        ),
        (&["8=1.70", "16=2.03", "32=2.04"][..], ""),
    ] {
        let (status, out, err) = desk.run(&[&["proof", "--white", "0.06"][..], pairs].concat());
        assert_eq!(err, "");
        if why.is_empty() {
            assert_eq!(status, 0, "{out}");
            continue;
        }
        assert_eq!(status, 1, "{pairs:?}: {out}");
        assert!(flat(&out).contains("expose for none") && flat(&out).contains(why), "{out}");
        let json = desk.json(&[&["proof", "--json", "--white", "0.06"][..], pairs].concat());
        assert!(json["seconds"].is_null());
        assert!(json["notes"][0].as_str().unwrap().starts_with("seconds: "));
    }
}

#[test]
fn from_the_scene_to_the_print() {
    let desk = Desk::with_pairing();
    let paper = data("paper.csv");
    let fixed = ["tone", "pairing.toml", &paper, "--setting", "2"];
    let (status, out, err) = desk.run(&[&fixed[..], &["--plot", "tone.svg"]].concat());
    assert_eq!((status, err.as_str()), (0, ""));
    for words in [
        "Larkfold in Quillback 1+6 on Stillwater Gloss, setting 2",
        "overall gradient",
        "shadows lost below",
        "they print black",
        "possible remedies (each tried alone)",
        "flare of 0.40 log exposure is assumed",
        "the metered tone is assumed to be a grey of 18 %",
    ] {
        assert!(flat(&out).contains(words), "{words}: {out}");
    }
    assert!(desk.read("tone.svg").ends_with("</svg>\n"));
    let json = |more: &[&str]| desk.json(&[&fixed[..], &["--json"], more].concat());
    let own = json(&[]);
    assert_eq!(
        keys(&own),
        [
            "overall_gradient",
            "metered_gradient",
            "shadows_lost",
            "highlights_lost",
            "lost_stops",
            "remedies",
            "scene",
            "film",
            "paper",
            "tones",
            "notes"
        ]
    );
    value(&own["overall_gradient"]);
    // A print darkens as the scene does, tone by tone.
    let tones = own["tones"].as_array().unwrap();
    assert_eq!(tones.len(), 9, "{tones:?}");
    for pair in tones.windows(2) {
        let print = |t: &Value| t["print_density"].as_f64().unwrap();
        assert!(print(&pair[0]) > print(&pair[1]));
    }
    // The metered tone prints as 18 % of white.
    let metered = &tones[5];
    assert!(metered["stops"].as_f64().unwrap().abs() < 1e-9);
    assert!((metered["print_density"].as_f64().unwrap() - 0.804).abs() < 0.01);
    // Every remedy does what it says when it is tried.
    let lost = own["lost_stops"].as_f64().unwrap();
    let remedies = own["remedies"].as_array().unwrap();
    assert!(remedies.len() >= 2, "{remedies:?}");
    for remedy in remedies {
        let to = &remedy["to"];
        let number = |key: &str| to[key].as_f64().map(|v| v.to_string()).unwrap_or_default();
        let after = match remedy["change"].as_str().unwrap() {
            "development" => json(&["--minutes", &number("minutes")]),
            "exposure" | "print_exposure" => {
                // The film stays developed as it was.
                let minutes = own["film"]["minutes"].to_string();
                let option = if remedy["change"] == "exposure" {
                    "--over-stops"
                } else {
                    "--print-over-stops"
                };
                json(&["--minutes", &minutes, option, &number("stops")])
            }
            "setting" => {
                let minutes = own["film"]["minutes"].to_string();
                let setting = to["setting"].as_str().unwrap();
                desk.json(&[
                    "tone",
                    "pairing.toml",
                    &paper,
                    "--setting",
                    setting,
                    "--minutes",
                    &minutes,
                    "--json",
                ])
            }
            other => panic!("{other}"),
        };
        let (foreseen, found) =
            (remedy["lost_stops"].as_f64().unwrap(), after["lost_stops"].as_f64().unwrap());
        assert!((foreseen - found).abs() < 0.02, "{remedy}: {found}");
        assert!(found < lost - 0.1);
    }
    // A short scene loses nothing, and needs no remedy.
    let short = json(&["--scene-stops", "4", "--contrast", "0.5"]);
    assert!(short["shadows_lost"].is_null() && short["highlights_lost"].is_null());
    assert_eq!(short["lost_stops"].as_f64(), Some(0.0));
    assert_eq!(short["remedies"], serde_json::json!([]));
    // A proof prints clear film at the shadow point, so that no shadow is black.
    let proof = json(&["--print-for", "proof"]);
    assert!(proof["shadows_lost"].is_null());
}

#[test]
fn the_answer_of_tone_may_be_no() {
    let desk = Desk::with_pairing();
    let paper = data("paper.csv");
    let fixed = ["tone", "pairing.toml", &paper, "--setting", "2"];
    for (more, why) in [
        (&["--contrast", "1.5"][..], "contrast index 1.50 cannot be reached"),
        (&["--minutes", "100"], "far outside the calibrated development"),
        (
            &["--flare", "1.4", "--scene-stops", "4", "--contrast", "0.5"],
            "flare of 1.4 leaves nothing of a scene of 4 stops",
        ),
    ] {
        let (status, out, err) = desk.run(&[&fixed[..], more].concat());
        assert_eq!((status, out.as_str()), (1, ""), "{err}");
        assert!(err.contains(why) && err.lines().count() == 1, "{err}");
    }
}

#[test]
fn wrong_usage_is_told_in_one_line() {
    let desk = Desk::with_pairing();
    let paper = data("paper.csv");
    desk.write("order.csv", "seconds,density\n4,1.2\n8,1.7\n6,1.9\n");
    desk.write("falls.csv", "seconds,density\n4,1.2\n8,1.7\n16,1.5\n");
    desk.write("word.csv", "seconds,density\n4,1.2\n8,dark\n");
    desk.write("empty.csv", "seconds,density\n4,1.2\n8,\n");
    desk.write("column.csv", "time,density\n4,1.2\n");
    desk.write("cells.csv", "seconds,density\n4,1.2\n8\n");
    desk.write("crossed.csv", "negative,low,high\nquay,1.2,0.4\n");
    desk.write("high.csv", "seconds,density\n4,1.2\n8,17\n");
    desk.write("bytes.csv", "\u{0}");
    for (args, message) in [
        (
            &["proof", "order.csv"][..],
            "order.csv:4: times must rise, and 6 s does not come after 8 s",
        ),
        (
            &["proof", "falls.csv"],
            "falls.csv:4: the density falls to 1.50 at 16 s from 1.70 before, and a print only darkens: check that reading",
        ),
        (
            &["proof", "word.csv"],
            "word.csv:3, column \"density\": \"dark\" is not a number; write one density, as 0.62",
        ),
        (
            &["proof", "empty.csv"],
            "empty.csv:3, column \"density\": the cell is empty; write the density, or remove the row",
        ),
        (
            &["proof", "column.csv"],
            "column.csv:1: no column \"seconds\"; found time and density; did you mean \"seconds\" by \"time\"?",
        ),
        (
            &["proof", "cells.csv"],
            "cells.csv:3: 1 cell for 2 columns; leave an empty cell empty, but keep its separator",
        ),
        (
            &["proof", "high.csv"],
            "high.csv:3, column \"density\": 17 is not a density: it must be between -0.5 and 6; check what was typed",
        ),
        (
            &["proof", "bytes.csv"],
            "bytes.csv: this is neither text nor a workbook; save the table as CSV, .xlsx or .ods",
        ),
        (&["proof", "none.csv"], "none.csv: no such file; check the path"),
        (
            &["proof", "4=1.2", "8=1.7"],
            "the test strip: 2 different times, and 3 are needed to see where black begins",
        ),
        (
            &["proof", "4=2.0", "8=2.01", "16=2.02"],
            "the test strip: the densities rise by only 0.02: give shorter exposures as well",
        ),
        (&["proof", "4=1.2", "order.csv"], "give one file, or pairs SECONDS=DENSITY as 8=1.77"),
        (&["proof"], "nothing to do: give a test strip, or --paper with --paper-s, or --negative"),
        (
            &["proof", "--negative", "crossed.csv"],
            "crossed.csv:2, column \"low\": the lowest density 1.2 is not below the highest, 0.4; exchange the two, or correct one",
        ),
        (&["proof", "--negative", "nowhere"], "nowhere: no such file; check the path"),
        (
            &["proof", "--paper", &paper],
            "the paper's log exposures are not seconds: give --paper-s, the time of its step tablet, or --lux",
        ),
        (
            &["proof", "--paper", &paper, "--paper-s", "30"],
            "the paper has 6 strips: choose one with --setting (0, 1, 2, 3, 4, 5)",
        ),
        (
            &["proof", "--paper", &paper, "--paper-s", "30", "--setting", "9"],
            "the paper has no setting \"9\"; it has 0, 1, 2, 3, 4, 5",
        ),
        (
            &["proof", "--paper", &paper, "--paper-s", "30", "--setting", "2"],
            "the time depends on the film: give its base plus fog with --base-plus-fog",
        ),
        (
            &["proof", "--paper", &paper, "--lux", "3", "--setting", "2", "--base-plus-fog", "0.3"],
            "--lux needs exposures in lux·s, and the paper's are relative: give --log-exposure-clear, or --paper-s instead",
        ),
        (
            &["proof", "--negative", "0.4:1.2", "--plot", "x.svg"],
            "there is no time to draw: --plot needs a test strip, or --paper with --paper-s or --lux",
        ),
        (
            &["proof", "4=1.2", "8=1.9", "16=2.0", "--plot", "x.gif"],
            "x.gif: its extension is .gif; a figure is written as .svg or .png",
        ),
        (&["tone", "none.toml", &paper], "none.toml: no such file; name the file of a pairing"),
        (
            &["tone", "pairing.toml", &paper],
            "the paper has 6 strips: choose one with --setting (0, 1, 2, 3, 4, 5)",
        ),
        (
            &[
                "tone",
                "pairing.toml",
                &paper,
                "--setting",
                "2",
                "--flare",
                "1.5",
                "--scene-stops",
                "4",
            ],
            "flare of 1.5 leaves nothing of a scene of 4 stops: a smaller flare is needed",
        ),
        (&["paper", "nowhere.csv"], "nowhere.csv: no such file; check the path"),
    ] {
        let (status, out, err) = desk.run(args);
        assert_eq!(
            (status, err.trim_end(), out.as_str()),
            (2, format!("wedgebook: {message}").as_str(), ""),
            "{args:?}"
        );
    }
    for (args, message) in [
        (&["paper", &paper, "--paper-range", "5"][..], "is not a paper's ISO range"),
        (
            &["tone", "pairing.toml", &paper, "--minutes", "soon"],
            "\"soon\" is not a development time",
        ),
        (&["proof", "4=1.2", "--aperture", "0"], "is not an f-number"),
        (&["proof", "4=1.2", "8=x"], "\"x\" is not a density: write a number"),
        (&["proof", "--negative", "1.2:0.4"], "1.2 is not below 0.4"),
        (&["proof", "4=1.2", "--to-aperture", "8"], "--aperture"),
        (
            &["tone", "pairing.toml", &paper, "--contrast", "0.5", "--minutes", "9"],
            "cannot be used with",
        ),
    ] {
        let (status, _, err) = desk.run(args);
        assert_eq!(status, 2);
        assert!(err.contains(message), "{err}");
    }
    assert!(!desk.has("x.svg"));
}

#[test]
fn strips_that_carry_no_curve_are_named() {
    let desk = Desk::empty();
    desk.write(
        "few.csv",
        "filter,relative_log_exposure,density\n1,0,0.1\n1,1,1.0\n2,0,0.1\n2,1,1.1\n",
    );
    let (status, out, err) = desk.run(&["paper", "few.csv"]);
    assert_eq!(status, 2);
    assert!(flat(&out).contains("none"), "{out}");
    assert!(err.contains("few.csv: strip \"1\": too few steps for a curve"), "{err}");
    desk.write("both.csv", "filter,grade,relative_log_exposure,density\n1,2,0,0.1\n");
    let (status, _, err) = desk.run(&["paper", "both.csv"]);
    assert_eq!(status, 2);
    assert!(err.contains("both give the filter"), "{err}");
}

/// The same question by ranges and tone by tone: each says why it can differ from the other, and the
/// time of `adjust --paper` is the one that `tone` gives as a remedy, and loses nothing.
#[test]
fn a_time_by_ranges_and_a_time_tone_by_tone() {
    let desk = Desk::with_pairing();
    let paper = data("paper.csv");
    let ranges = ["adjust", "pairing.toml", "--json"];
    let tones = ["adjust", "pairing.toml", "--paper", &paper, "--setting", "2", "--json"];
    let (by_ranges, by_tones) = (desk.json(&ranges), desk.json(&tones));
    let (long, short) = (value(&by_ranges["minutes"]), value(&by_tones["minutes"]));
    assert!(short < 0.7 * long, "{short} {long}");
    assert!(by_tones["lost_stops"].as_f64().unwrap() < 0.1, "{by_tones}");
    assert_eq!(by_tones["paper"], "Stillwater Gloss, setting 2");
    assert!(by_tones["notes"].to_string().contains("the longest time that prints all tones"));
    assert!(!by_tones["notes"].to_string().contains("R 105"));
    assert!(by_ranges["notes"].to_string().contains("followed tone by tone"));

    // The film that is developed so keeps its tones in `tone` too; a little longer, it does not.
    let lost = |contrast: f64| {
        let contrast = contrast.to_string();
        let args =
            ["tone", "pairing.toml", &paper, "--setting", "2", "--contrast", &contrast, "--json"];
        desk.json(&args)["lost_stops"].as_f64().unwrap()
    };
    let aim = by_tones["contrast"].as_f64().unwrap();
    assert!(lost(aim) < 0.1 && lost(1.05 * aim) >= 0.1, "{} {}", lost(aim), lost(1.05 * aim));
    let tone = desk.json(&["tone", "pairing.toml", &paper, "--setting", "2", "--json"]);
    assert!(tone["notes"].to_string().contains("the time is for two ranges"), "{tone}");
    let remedy = tone["remedies"].as_array().unwrap().iter().find(|r| r["change"] == "development");
    let remedy = remedy.unwrap_or_else(|| panic!("{}", tone["remedies"]));
    let minutes = remedy["to"]["minutes"].as_f64().unwrap();
    assert!((minutes / short - 1.0).abs() < 0.03, "{minutes} {short}");
}

#[test]
fn a_scene_that_no_time_prints_whole_says_so() {
    let desk = Desk::with_pairing();
    let paper = data("paper.csv");
    let (status, out, err) = desk.run(&[
        "adjust",
        "pairing.toml",
        "--paper",
        &paper,
        "--setting",
        "2",
        "--scene-stops",
        "10",
        "--card",
        "card.svg",
    ]);
    assert_eq!((status, err.as_str()), (0, ""));
    let out = flat(&out);
    assert!(out.contains("no time prints all tones of the scene: this one loses least"), "{out}");
    assert!(desk.read("card.svg").contains("not all tones of the scene print"));
}

#[test]
fn wrong_usage_of_the_paper_of_adjust() {
    let desk = Desk::with_pairing();
    let paper = data("paper.csv");
    let before = desk.read("pairing.toml");
    for (args, part) in [
        (&["--paper", &paper][..], "choose one with --setting (0, 1, 2, 3, 4, 5)"),
        (&["--paper", &paper, "--setting", "9"], "the paper has no setting \"9\""),
        (&["--paper", &paper, "--contrast", "0.5"], "cannot be used with"),
        (&["--paper", &paper, "--paper-range", "100"], "cannot be used with"),
        (&["--setting", "2"], "--paper"),
        (&["--paper", "none.csv"], "none.csv"),
    ] {
        let all: Vec<&str> = ["adjust", "pairing.toml"].iter().chain(args).copied().collect();
        let (status, out, err) = desk.run(&all);
        assert_eq!((status, out.as_str()), (2, ""), "{args:?}");
        assert!(err.contains(part), "{args:?}: {err}");
    }
    assert_eq!(desk.read("pairing.toml"), before);
}

/// The flare is the same for every scene, or the veil in the camera is: each says what the other asks.
#[test]
fn the_veil_can_be_the_same_for_every_scene() {
    let desk = Desk::with_pairing();
    let contrast = |args: &[&str]| {
        let all: Vec<&str> =
            ["adjust", "pairing.toml", "--json"].iter().chain(args).copied().collect();
        let document = desk.json(&all);
        (document["contrast"].as_f64().unwrap(), document["notes"].to_string())
    };
    let (flare, note) = contrast(&["--scene-stops", "10"]);
    assert!(note.contains("0.555 instead of 0.402 at 10 stops"), "{note}");
    let (veil, note) = contrast(&["--scene-stops", "10", "--veil"]);
    assert!(note.contains("the veil in the camera is the same for every scene"), "{note}");
    assert!((flare - 0.402).abs() < 0.001 && (veil - 0.555).abs() < 0.001, "{flare} {veil}");
    // A normal scene has the same flare either way.
    assert_eq!(contrast(&["--veil"]), contrast(&[]));
}
