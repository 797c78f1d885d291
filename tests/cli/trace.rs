//! Films by number: entered by a session, traced, compared.

use crate::desk::{Desk, data};

const PLAN: &str = r#"title = "Tuesday"
pairing = "pairing.toml"
[[film]]
format = "120"
count = 6
[aim]
scene_stops = 8
[vessel]
solution_ml = 1500
holds = { "120" = 4 }
on_a_reel = { "120" = 2 }
[bath]
journal = "bath.csv"
capacity_m2_per_litre = 1.2
[temperature]
celsius = 20
[fix]
clearing_seconds = 50
"#;

/// A journal from before films had numbers, in the form of a spreadsheet.
const OLD: &str = "Date;Act;litres;what;films;area_m2;strip;activity;verdict;note\r\n\
    04.03.2024;mix;1,5;Quillback 1+6;;;;;;\r\n\
    # kept by the class\r\n\
    05.03.2024;strip;;;;;a;0,98;in spec;\r\n\
    06.03.2024;film;;;\"2 × 120\";0,1;;;;\r\n";

fn desk(journal: &str) -> Desk {
    let desk = Desk::with_pairing();
    desk.write("plan.toml", PLAN);
    desk.write("bath.csv", journal);
    desk
}

fn enter<'a>(day: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    [&["session", "plan.toml", "--enter", "--date", day], more].concat()
}

#[test]
fn films_get_their_numbers_in_an_old_journal() {
    let desk = desk(OLD);
    let sheet = desk.json(&["session", "plan.toml", "--date", "2024-03-12", "--json"]);
    let numbers = |key: &str| -> Vec<u64> {
        let rows = sheet["numbered"].as_array().unwrap();
        rows.iter().map(|row| row[key].as_u64().unwrap()).collect()
    };
    assert_eq!(numbers("number"), [1, 2, 3, 4, 5, 6]);
    assert_eq!(numbers("batch"), [1, 1, 1, 1, 2, 2]);
    assert_eq!(numbers("reel"), [1, 1, 2, 2, 1, 1]);
    assert_eq!(numbers("place"), [1, 2, 1, 2, 1, 2]);
    assert_eq!(desk.read("bath.csv"), OLD, "a sheet enters nothing");

    let (status, out, err) = desk.run(&enter("2024-03-12", &[]));
    assert!(status == 0 && out.contains("1 to 4"), "{out}{err}");
    assert!(err.contains("bath.csv has 8 further columns now: pairing"), "{err}");
    let journal = desk.read("bath.csv");
    // Every cell that was there is there, and the remark; the new rows have decimal commas too.
    assert!(journal.contains("# kept by the class\r\n"), "{journal}");
    assert!(journal.contains("1=r1p1 2=r1p2 3=r2p1 4=r2p2"), "{journal}");
    for cell in ["\"2 × 120\";0,1", "mix;1,5;Quillback 1+6", "a;0,98;", "0,20418"] {
        assert!(journal.contains(cell), "{cell}: {journal}");
    }
    let listed =
        |args: &[&str]| desk.json(&[&["bath", "log", "bath.csv", "--json"], args].concat());
    assert_eq!(listed(&[])["entries"].as_array().unwrap().len(), 5);
    assert_eq!(listed(&[])["entries"][3]["numbers"][3]["reel"], 2);

    // The next session goes on; a row is only added then.
    let (status, _, err) = desk.run(&enter("2024-03-19", &[]));
    assert_eq!((status, err.as_str()), (0, ""));
    assert!(desk.read("bath.csv").starts_with(&journal));
    assert!(desk.read("bath.csv").contains("7=r1p1 8=r1p2 9=r2p1 10=r2p2"));
    // And it can be taken back, after which its numbers are free again.
    assert_eq!(desk.run(&["bath", "undo", "bath.csv"]).0, 0);
    let sheet = desk.json(&["session", "plan.toml", "--date", "2024-03-19", "--json"]);
    assert_eq!(sheet["numbered"][0]["number"], 11);
}

#[test]
fn a_number_is_given_once() {
    let desk = desk(OLD);
    assert_eq!(desk.run(&enter("2024-03-12", &["--number", "40"])).0, 0);
    let before = desk.read("bath.csv");
    assert!(before.contains("40=r1p1") && before.contains("45=r1p2"), "{before}");
    let (status, out, err) = desk.run(&enter("2024-03-19", &["--number", "37"]));
    assert_eq!((status, out.as_str()), (2, ""));
    assert!(err.starts_with("wedgebook: bath.csv, new entry, column \"numbers\": "), "{err}");
    assert_eq!(err.lines().count(), 1, "{err}");
    assert!(err.contains("the number 40 is that of a film in line 6"), "{err}");
    assert_eq!(desk.read("bath.csv"), before, "nothing of it is entered");
    // Written by hand, it is a fault of its row.
    let twice = before.replace("44=r1p1", "43=r1p1");
    desk.write("bath.csv", &twice);
    let (status, _, err) = desk.run(&["trace", "40", "--bath", "bath.csv"]);
    assert!(status == 2 && err.contains("bath.csv:7"), "{err}");
    assert!(err.contains("the number 43 is that of a film in line 6"), "{err}");
    for (bad, reason) in
        [("0", "from 1 to 999999"), ("1000000", "whole number"), ("a", "whole number")]
    {
        let (status, _, err) = desk.run(&enter("2024-03-19", &["--number", bad]));
        assert!(status == 2 && err.contains(reason), "{bad}: {err}");
    }
}

#[test]
fn numbers_need_a_journal() {
    let desk = desk(OLD);
    let once = PLAN.replace(
        "[bath]\njournal = \"bath.csv\"\ncapacity_m2_per_litre = 1.2",
        "[one_shot]\ndilution = \"1+6\"",
    );
    desk.write("once.toml", &once);
    let (status, _, err) = desk.run(&["session", "once.toml", "--number", "3"]);
    assert!(status == 2 && err.contains("leave --number out"), "{err}");
    let sheet = desk.json(&["session", "once.toml", "--json"]);
    assert!(sheet.get("numbered").is_none(), "{sheet}");
}

#[test]
fn a_film_is_traced() {
    let desk = desk(OLD);
    desk.copy("temperatures.csv");
    let logged = enter("2024-03-12", &["--temperatures", "temperatures.csv"]);
    assert_eq!(desk.run(&logged).0, 0);
    let film = |number: &str| desk.json(&["trace", number, "--bath", "bath.csv", "--json"]);
    let found = film("3");
    assert_eq!(
        (&found["number"], &found["reel"], &found["place"]),
        (&3.into(), &2.into(), &1.into())
    );
    assert_eq!((&found["batch"], &found["vessel"]), (&1.into(), &"tank".into()));
    assert_eq!((&found["format"], &found["development"]), (&"120".into(), &"N−1".into()));
    assert_eq!(found["standing"]["state"], "good");
    assert_eq!(found["bath"]["what"], "Quillback 1+6");
    assert_eq!(found["bath"]["films"], 2);
    assert_eq!(found["celsius"], 20.0);
    assert_eq!(found["strip_before"]["name"], "a");
    assert_eq!(found["strip_after"], serde_json::Value::Null);
    assert_eq!(found["temperatures"]["file"], "temperatures.csv");
    assert_eq!(found["temperatures"]["highest"], 23.5);
    assert_eq!(found["beside"].as_array().unwrap().len(), 3);
    // The time is that of the sheet.
    let sheet = desk.json(&["session", "plan.toml", "--date", "2024-03-12", "--json", "--anyway"]);
    let seconds = found["seconds"].as_f64().unwrap();
    assert!((200.0..1500.0).contains(&seconds) && sheet["developer"]["seconds"].is_number());
    let margin = found["margin"].as_str().unwrap();
    assert!(margin.starts_with("no. 3 · 2024-03-12 · Quillback 1+6 · "), "{margin}");
    assert!(margin.ends_with(" · 20.0 °C · N−1"), "{margin}");
    // The second batch has no log of its own.
    assert_eq!(film("5")["temperatures"], serde_json::Value::Null);
    let (status, out, err) = desk.run(&["trace", "3"]);
    assert_eq!(status, 0, "{err}");
    assert!(err.contains("from this folder: bath bath.csv"), "{err}");
    assert!(out.contains(&format!("margin: {margin}\n")), "{out}");
    // A log that is lost later is missing, and all else is there.
    std::fs::remove_file(desk.path().join("temperatures.csv")).unwrap();
    let (status, out, _) = desk.run(&["trace", "3", "--bath", "bath.csv"]);
    assert!(status == 0 && out.contains("there is no file temperatures.csv"), "{out}");
    let logs = ["--temperatures", "plan.toml"];
    assert_eq!(desk.run(&enter("2024-03-26", &logs)).0, 2, "what is no log is not entered");
}

#[test]
fn an_unknown_number_is_one_clear_error() {
    let desk = desk(OLD);
    let trace = |number: &str| desk.run(&["trace", number, "--bath", "bath.csv"]);
    let (status, out, err) = trace("12");
    assert_eq!((status, out.as_str()), (2, ""));
    assert!(err.starts_with("wedgebook: no film of bath.csv has a number; "), "{err}");
    assert_eq!(desk.run(&enter("2024-03-12", &["--number", "40"])).0, 0);
    let (status, _, err) = trace("12");
    assert_eq!(
        (status, err.as_str()),
        (2, "wedgebook: bath.csv has no film 12; it has 40 to 45\n")
    );
}

#[test]
fn faulty_films_are_compared() {
    let desk = Desk::empty();
    let class = data("class.csv");
    let compare = |args: &[&str]| desk.run(&[&["trace"], args, &["--bath", &class]].concat());
    let faulty = ["14", "16", "18", "20", "22", "24"];
    let (status, out, _) = compare(&faulty);
    assert_eq!(status, 0, "{out}");
    assert!(out.contains("good: films 13, 15, 17, 19, 21 and 23"), "{out}");
    assert!(out.contains("they share place 2"), "{out}");
    assert!(out.contains("6 of 6  0 of 6") && out.contains("3 films at place 2"), "{out}");
    assert!(out.contains("name them with --good") || out.contains("--good\n"), "{out}");
    let found = desk.json(&[&["trace"], &faulty[..], &["--bath", &class, "--json"]].concat());
    assert_eq!(found["verdict"], "shared");
    let first = &found["candidates"][0];
    assert_eq!(first["what"][0]["factor"], "place");
    assert!((first["chance_alone"].as_f64().unwrap() - 1.0 / 924.0).abs() < 1e-6);
    assert_eq!(first["chance_among_all"], found["least_chance"]);
    // Few films show nothing, whatever they share: the answer is no.
    let (status, out, _) = compare(&["2", "4", "--good", "1", "3"]);
    assert_eq!(status, 1, "{out}");
    assert!(out.contains("nothing that is more than chance; the best is place 2"), "{out}");
    assert!(out.contains("so few films could show nothing"), "{out}");
    let (status, _, err) = compare(&["2", "4", "--good", "4"]);
    assert!(status == 2 && err.contains("film 4 is named as faulty and as good"), "{err}");
    let all: Vec<String> = (1..=12).map(|n| n.to_string()).collect();
    let all: Vec<&str> = all.iter().map(String::as_str).collect();
    let (status, _, err) = compare(&all);
    assert!(status == 2 && err.contains("good ones are needed"), "{err}");
}

/// Readings of one frame whose long edges are denser by so much.
fn readings(denser: f64) -> String {
    let mut text = "frame,x_mm,y_mm,density\n".to_owned();
    for x in 0..6 {
        for (row, y) in [2.0, 7.0, 12.0, 17.0, 22.0].iter().enumerate() {
            let edge = if row == 0 || row == 4 { denser } else { 0.0 };
            let noise = 0.004 * f64::from((x * 7 + row as u32 * 3) % 5) - 0.008;
            text.push_str(&format!("1,{},{y},{:.3}\n", 3 + 6 * x, 0.9 + edge + noise));
        }
    }
    text
}

#[test]
fn readings_say_which_films_are_faulty() {
    let desk = Desk::empty();
    let class = data("class.csv");
    desk.write("uneven.csv", &readings(0.15));
    desk.write("even.csv", &readings(0.0));
    let film =
        |n: u32| format!("{n}={}", if n.is_multiple_of(2) { "uneven.csv" } else { "even.csv" });
    let films: Vec<String> = (13..=24).map(film).collect();
    let films: Vec<&str> = films.iter().map(String::as_str).collect();
    let all = [&["trace"], &films[..], &["--bath", &class]].concat();
    let (status, out, err) = desk.run(&all);
    assert_eq!(status, 0, "{out}{err}");
    assert!(out.contains("they share place 2") && out.contains("what the readings show"), "{out}");
    let found = desk.json(&[&all[..], &["--json"]].concat());
    assert_eq!(found["faulty"].as_array().unwrap().len(), 6);
    assert_eq!(found["judged"][0]["faulty"], false);
    assert!(
        found["judged"][1]["found"].as_str().unwrap().starts_with("Uneven, and seen"),
        "{found}"
    );
    // Where no film is faulty the answer is no.
    let (status, _, err) = desk.run(&["trace", "13=even.csv", "14=even.csv", "--bath", &class]);
    assert!(status == 1 && err.contains("none of these films is uneven"), "{err}");
    let bad = |films: &[&str], message: &str| {
        let (status, out, err) = desk.run(&[&["trace"], films, &["--bath", &class]].concat());
        assert!(status == 2 && out.is_empty() && err.contains(message), "{message}: {err}");
    };
    bad(&["13=even.csv", "14"], "film 14 has no readings and others have");
    bad(&["13=even.csv", "13=even.csv"], "film 13 is named twice");
    bad(&["13="], "as 12=film12.csv");
    bad(&["13=none.csv"], "none.csv");
}
