//! A class night: films of several people in as few tanks as their times allow.

use crate::desk::Desk;
use serde_json::Value;

const HEAD: &str = r#"title = "Class night"
pairing = "pairing.toml"
"#;

const TAIL: &str = r#"[vessel]
solution_ml = 2000
holds = { "135-36" = 6, "120" = 4 }
[temperature]
celsius = 20
[fix]
clearing_seconds = 50
fresh_clearing_seconds = 40
"#;

const BATH: &str = "[bath]\njournal = \"bath.csv\"\nreplenish_ml_per_roll = 90\n";

const JOURNAL: &str = "date,act,litres,what,films,area_m2,added_ml,removed_ml,strip,activity,activity_low,activity_high,verdict,note\n\
    2024-03-04,mix,5,Quillback 1+6,,,,,,,,,,\n2024-03-05,strip,,,,,,,a,0.98,0.97,0.99,in spec,\n";

fn film(name: &str, format: &str, count: u32, more: &str) -> String {
    format!("[[film]]\nname = \"{name}\"\nformat = \"{format}\"\ncount = {count}\n{more}\n")
}

fn desk(films: &[String], developer: &str) -> Desk {
    let desk = Desk::with_pairing();
    desk.write("plan.toml", &format!("{HEAD}{}{TAIL}{developer}", films.concat()));
    desk.write("bath.csv", JOURNAL);
    desk
}

const DAY: [&str; 4] = ["session", "plan.toml", "--date", "2024-03-12"];

fn sheet(desk: &Desk) -> Value {
    desk.json(&[&DAY[..], &["--json"]].concat())
}

/// Who is in each tank.
fn who(sheet: &Value) -> Vec<Vec<String>> {
    let names = |tank: &Value| {
        let who = tank["who"].as_array().unwrap();
        who.iter().map(|one| one["name"].as_str().unwrap().to_owned()).collect()
    };
    sheet["tanks"].as_array().unwrap().iter().map(names).collect()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value}"))
}

#[test]
fn films_whose_times_agree_share_a_tank() {
    let films = [
        film("Ada", "135-36", 2, "contrast = 0.58"),
        film("Ben", "135-36", 1, "contrast = 0.59"),
        film("Cora", "120", 1, "contrast = 0.50"),
    ];
    let desk = desk(&films, BATH);
    let sheet = sheet(&desk);
    assert_eq!(who(&sheet), [vec!["Cora".to_owned()], vec!["Ada".to_owned(), "Ben".to_owned()]]);
    let shared = &sheet["tanks"][1];
    let of = |n: usize| &shared["who"][n];
    let seconds = number(&shared["seconds"]);
    let own = |n: usize| number(&of(n)["own_seconds"]);
    assert!(own(0) <= seconds && seconds <= own(1) && own(0) < own(1), "{shared}");
    for n in 0..2 {
        let longer = number(&of(n)["longer"]);
        assert!(longer.abs() <= 0.06 && (longer > 0.0) == (n == 0), "{shared}");
        assert_eq!(of(n)["compromise"], seconds != own(n));
        // The contrast then is between the two that were asked for.
        let then = number(&of(n)["contrast"]["value"]);
        assert!((0.58..0.59).contains(&then), "{shared}");
    }
    // Who is alone gets the time of an ordinary session.
    let alone = &sheet["tanks"][0];
    assert_eq!(alone["who"][0]["compromise"], false);
    assert_eq!(alone["seconds"], alone["who"][0]["own_seconds"]);
    desk.write("one.toml", &format!("{HEAD}{}{TAIL}{BATH}", films[2]));
    let one = desk.json(&["session", "one.toml", "--date", "2024-03-12", "--json"]);
    assert_eq!(one["developer"]["seconds"], alone["seconds"]);
    assert_eq!(one["developer"]["exposure_index"], sheet["planned"][2]["exposure_index"]);

    let (status, out, _) = desk.run(&DAY);
    assert_eq!(status, 0, "{out}");
    let place = |words: &str| out.find(words).unwrap_or_else(|| panic!("{words}: {out}"));
    let order = [
        "bath: good",
        "Class night, 2024-03-12\n",
        "caution: The makers' safety sheets come first",
        "what the films ask for\n",
        "2 tanks of 2000 ml, in this order\n",
        "compromises: a time between those of the films\n",
        "to pour and mix\n",
        "the other steps of each tank\n",
        "timetable, times from the beginning\n",
        "films by number\n",
        "to enter in bath.csv afterwards",
        "note: films share a tank if their times differ by no more than 3 %",
    ];
    let places: Vec<usize> = order.iter().map(|words| place(words)).collect();
    assert!(places.is_sorted(), "{places:?}: {out}");
}

#[test]
fn a_plan_of_one_kind_stays_as_it_is() {
    let both = [film("Ada", "135-36", 2, ""), film("Ben", "120", 1, "")];
    let desk = desk(&both, BATH);
    let named = sheet(&desk);
    let plain = both.concat().replace("name = \"Ada\"\n", "").replace("name = \"Ben\"\n", "");
    desk.write("plan.toml", &format!("{HEAD}{plain}{TAIL}{BATH}"));
    assert_eq!(sheet(&desk), named);
    assert!(named["tanks"].is_null() && named["batches"].is_array(), "{named}");
    // A pairing or an aim that all films name is that of the plan.
    let own = both.concat().replace("count", "scene_stops = 8\npairing = \"pairing.toml\"\ncount");
    let bare = HEAD.replace("pairing = \"pairing.toml\"\n", "");
    desk.write("plan.toml", &format!("{bare}{own}{TAIL}{BATH}"));
    assert_eq!(sheet(&desk)["developer"]["aim"]["scene_stops"], 8.0);
}

#[test]
fn each_film_is_entered_for_itself_and_traced() {
    let films = [
        film("Ada", "135-36", 2, "scene_stops = 7"),
        film("Ben", "135-36", 1, "contrast = 0.62"),
        film("Cora", "120", 2, "scene_stops = 9"),
    ];
    let desk = desk(&films, BATH);
    let planned = sheet(&desk);
    assert_eq!(who(&planned).len(), 2);
    let enter = [&DAY[..], &["--enter"]].concat();
    let (status, out, err) = desk.run(&enter);
    assert_eq!(status, 0, "{out}{err}");
    let numbers: Vec<u64> = planned["numbered"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| f["number"].as_u64().unwrap())
        .collect();
    assert_eq!(numbers, [1, 2, 3, 4, 5]);
    let traced = |number: &str| desk.json(&["trace", number, "--bath", "bath.csv", "--json"]);
    for row in planned["numbered"].as_array().unwrap() {
        let film = traced(&row["number"].to_string());
        let label = match row["name"].as_str().unwrap() {
            "Ada" => Value::from("N"),
            "Cora" => Value::from("N−2"),
            _ => Value::Null,
        };
        assert_eq!(film["development"], label, "{film}");
        assert_eq!((&film["reel"], &film["place"]), (&row["reel"], &row["place"]));
        assert_eq!(film["batch"], row["tank"]);
        let tank = &planned["tanks"][row["tank"].as_u64().unwrap() as usize - 1];
        assert_eq!(film["seconds"], tank["seconds"]);
    }
    // Films of one tank are beside each other, whoever they belong to.
    let ada = planned["numbered"].as_array().unwrap().iter().find(|f| f["name"] == "Ada").unwrap();
    let beside = traced(&ada["number"].to_string());
    assert_eq!(beside["beside"].as_array().unwrap().len(), 2, "{beside}");
    let (status, _, err) = desk.run(&enter);
    assert!(status == 2 && err.contains("this session is entered already"), "{err}");
    let status = desk.json(&["bath", "status", "bath.csv", "--date", "2024-03-12", "--json"]);
    assert_eq!(status["films"].as_u64().or(status["bath_now"]["films"].as_u64()).unwrap_or(5), 5);
}

#[test]
fn films_of_developers_that_differ_never_share() {
    let two = "[[bath]]\nname = \"class\"\njournal = \"bath.csv\"\n[[one_shot]]\nname = \"fresh\"\ndilution = \"1+6\"\n";
    let films = [
        film("Ada", "135-36", 1, "developer = \"class\""),
        film("Ben", "135-36", 1, "developer = \"fresh\""),
    ];
    let desk = desk(&films, two);
    let night = sheet(&desk);
    assert_eq!(who(&night), [vec!["Ada".to_owned()], vec!["Ben".to_owned()]]);
    assert_eq!(night["tanks"][1]["developer"], "fresh");
    assert_eq!(night["journals"].as_array().unwrap().len(), 1);
    // A pairing of another developer does not go into the bath of this one.
    let other = desk.read("pairing.toml").replace("Quillback", "Saltmarsh");
    desk.write("other.toml", &other);
    let films =
        [film("Ada", "135-36", 1, ""), film("Ben", "135-36", 1, "pairing = \"other.toml\"")];
    desk.write("plan.toml", &format!("{HEAD}{}{TAIL}{BATH}", films.concat()));
    let (status, _, err) = desk.run(&DAY);
    assert!(status == 2 && err.contains("Saltmarsh") && err.contains("Quillback"), "{err}");
    let once = "[one_shot]\ndilution = \"1+6\"\n";
    desk.write("plan.toml", &format!("{HEAD}{}{TAIL}{once}", films.concat()));
    let (status, _, err) = desk.run(&DAY);
    assert!(
        status == 2 && err.contains("the pairing of Ben is of the developer Saltmarsh"),
        "{err}"
    );
}

#[test]
fn a_faulty_plan_is_answered_in_one_line() {
    let two = "[[bath]]\nname = \"class\"\njournal = \"bath.csv\"\n[[one_shot]]\nname = \"fresh\"\ndilution = \"1+6\"\n";
    let desk = desk(&[], BATH);
    let faults = [
        (film("Ada", "120", 1, "developer = \"clas\""), two, "did you mean class?"),
        (film("Ada", "120", 1, ""), two, "film.developer: is missing; name one of class, fresh"),
        (film("Ada", "120", 1, "developer = \"x\""), BATH, "leave this out"),
        (film("Ada", "120", 1, "contrast = 0.6\nscene_stops = 7"), BATH, "contradicts"),
        (film("Ada", "120", 1, "stops = 7"), BATH, "has no key \"stops\""),
        (
            film("Ada", "120", 1, "developer = \"a\""),
            "[[bath]]\nname=\"a\"\njournal=\"bath.csv\"\n[[bath]]\nname=\"a\"\njournal=\"b.csv\"\n",
            "the name of another developer",
        ),
        (
            film("Ada", "120", 1, "developer = \"a\""),
            "[[bath]]\nname=\"a\"\njournal=\"bath.csv\"\n[[bath]]\nname=\"b\"\njournal=\"bath.csv\"\n",
            "a journal of its own",
        ),
        (
            film("Ada", "120", 1, ""),
            "[[bath]]\njournal=\"bath.csv\"\n[[bath]]\njournal=\"b.csv\"\n",
            "each needs a name",
        ),
    ];
    for (film, developer, message) in faults {
        desk.write("plan.toml", &format!("{HEAD}{film}{TAIL}{developer}"));
        let (status, out, err) = desk.run(&DAY);
        assert_eq!((status, out.as_str(), err.lines().count()), (2, "", 1), "{err}");
        assert!(
            err.starts_with("wedgebook: plan.toml:") && err.contains(message),
            "{message}: {err}"
        );
    }
}

#[test]
fn a_bath_that_is_not_to_be_used_has_no_plan() {
    let films = [film("Ada", "135-36", 1, ""), film("Ben", "120", 1, "scene_stops = 9")];
    let desk = desk(&films, BATH);
    desk.write("bath.csv", &JOURNAL.replace("in spec", "out of spec: replace"));
    let (status, out, err) = desk.run(&DAY);
    assert_eq!(status, 1, "{out}");
    assert!(out.starts_with("bath: do not use") && err.contains("--anyway"), "{out}{err}");
    assert_eq!(desk.run(&[&DAY[..], &["--anyway"]].concat()).0, 0);
}

#[test]
fn the_demonstration_and_its_page() {
    let desk = Desk::with_pairing();
    desk.copy_all();
    let args = ["session", "data/class-night.toml", "--date", "2026-11-17", "--page", "night.svg"];
    let (status, out, err) = desk.run(&args);
    assert_eq!(status, 0, "{out}{err}");
    assert!(desk.read("night.svg").contains("class night"));
    for words in ["Ada", "class bath", "developer fresh", "N+1"] {
        assert!(out.contains(words), "{words}: {out}");
    }
}
