//! `session`, `fix` and `wash` as a person meets them.

use assert_cmd::Command;
use serde_json::Value;
use std::path::Path;

struct Desk(tempfile::TempDir);

/// A plan for a bath that is kept.
const BATH: &str = r#"title = "Tuesday"
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

const JOURNAL: &str = "date,act,litres,films,area_m2,added_ml,removed_ml,strip,activity,verdict,note\n\
    2024-03-04,mix,1.5,,,,,,,,\n2024-03-05,strip,,,,,,a,0.92,in spec,\n";

impl Desk {
    /// A desk with the demonstration's pairing on it.
    fn new() -> Self {
        let desk = Self(tempfile::tempdir().unwrap());
        let family = data("family.csv");
        let clear = ["--log-exposure-clear", "0"];
        let args = [&["calibrate", &family, "--out", "pairing.toml"], &clear[..]].concat();
        assert_eq!(desk.run(&args).0, 0);
        desk.write("plan.toml", BATH);
        desk.write("bath.csv", JOURNAL);
        desk
    }

    fn run(&self, args: &[&str]) -> (i32, String, String) {
        let mut command = Command::cargo_bin("wedgebook").unwrap();
        let output = command.args(args).current_dir(self.0.path()).output().unwrap();
        let text = |bytes| String::from_utf8(bytes).unwrap();
        let status = output.status.code().unwrap();
        (status, text(output.stdout), text(output.stderr))
    }

    fn json(&self, args: &[&str]) -> Value {
        let (_, out, err) = self.run(args);
        serde_json::from_str(&out).unwrap_or_else(|_| panic!("{err}"))
    }

    fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.0.path().join(name)).unwrap()
    }

    fn write(&self, name: &str, body: &str) {
        let path = self.0.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, body).unwrap();
    }
}

fn data(name: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("data");
    folder.join(name).display().to_string()
}

const DAY: [&str; 2] = ["--date", "2024-03-12"];

#[test]
fn the_sheet_in_words() {
    let desk = Desk::new();
    let (status, out, err) = desk.run(&[&["session", "plan.toml"], &DAY[..]].concat());
    assert_eq!((status, err.as_str()), (0, ""));
    let place = |words: &str| out.find(words).unwrap_or_else(|| panic!("{words}: {out}"));
    let order = [
        "bath: good: control strip a",
        "Tuesday, 2024-03-12\n  Larkfold in Quillback 1+6: 6 × 135-36, 0.336 m²\n",
        "  caution: The makers' safety sheets come first",
        "  caution: Pour acid into water, never water into acid.\n",
        "develop for              13:",
        "activity                 0.9",
        "calculated from strip",
        "bath                     bath.csv: 1.5 litres, no film so far, 8 days old\n",
        "can develop (0.5 m² a litre, assumed)",
        "2 batches in a tank of 1000 ml\n  batch  films          m²  full\n      1  4 × 135-36  0.224  100 %\n      2  2 × 135-36",
        "2 times the clearing",
        "timetable, times from the beginning\n",
        "spent                           not known\n",
        "to enter in bath.csv afterwards, dated 2024-03-12\n  entry ",
        "\n  film       4 × 135-36  0.224 ",
        "note: a capacity of 0.5 m² a litre is assumed (common practice, no source)",
        "note: whether the fixer is spent cannot be determined",
        "note: area from nominal dimensions\n",
        "--enter makes these entries\n",
    ];
    let places: Vec<usize> = order.iter().map(|words| place(words)).collect();
    assert!(places.is_sorted(), "{places:?}: {out}");
    assert_eq!(desk.read("bath.csv"), JOURNAL, "nothing is entered unasked");
}

#[test]
fn the_sheet_as_json() {
    let desk = Desk::new();
    let sheet = desk.json(&[&["session", "plan.toml", "--json"], &DAY[..]].concat());
    let keys: Vec<&String> = sheet.as_object().unwrap().keys().collect();
    assert_eq!(
        keys,
        [
            "standing",
            "title",
            "date",
            "pairing",
            "films",
            "area_m2",
            "vessel",
            "journal",
            "developer",
            "batches",
            "mixtures",
            "steps",
            "seconds",
            "numbered",
            "washing",
            "fixing",
            "entries",
            "cautions",
            "notes"
        ]
    );
    let developer = &sheet["developer"];
    assert_eq!(developer["activity"]["strip"]["line"], 3);
    assert_eq!(developer["capacity"]["assumed"], true);
    let activity = developer["activity"]["value"].as_f64().unwrap();
    assert!((0.85..0.96).contains(&activity), "{activity}");
    let adjusted = desk.json(&[
        "adjust",
        "pairing.toml",
        "--scene-stops",
        "7",
        "--activity",
        &activity.to_string(),
        "--json",
    ]);
    let minutes = |of: &Value, which: &str| of["minutes"][which].as_f64().unwrap();
    let own = minutes(developer, "value");
    assert!((own - minutes(&adjusted, "value")).abs() < 1e-9);
    assert!(minutes(developer, "low") < minutes(&adjusted, "low"), "activity is uncertain too");
    assert_eq!(developer["exposure_index"], adjusted["exposure_index"]);
    let seconds = |step: usize| sheet["steps"][step]["seconds"].as_u64().unwrap();
    let steps = sheet["batches"][1]["steps"].as_array().unwrap();
    let first: u64 = (0..6).map(seconds).sum();
    assert_eq!(steps[0]["from_seconds"].as_u64(), Some(first));
    assert_eq!(sheet["seconds"].as_u64(), Some(2 * first));
    assert_eq!(sheet["entries"][1]["added_ml"], 360.0);
}

#[test]
fn the_page() {
    let desk = Desk::new();
    desk.write("plan.toml", &BATH.replace("[bath]", "[bath]\nactivity = 0.92"));
    for page in ["page.svg", "page.png"] {
        let (status, _, err) = desk.run(&["session", "plan.toml", "--page", page]);
        assert_eq!((status, err.as_str()), (0, ""));
    }
    let svg = desk.read("page.svg") + &desk.read("page-2.svg");
    for words in [">13:30<", ">steps of each batch<", ">Tuesday, 20", ">replenish<", ">wash<"] {
        assert!(svg.contains(words), "{words}");
    }
    assert!(std::fs::read(desk.0.path().join("page.png")).unwrap().starts_with(b"\x89PNG"));
    let (status, _, err) = desk.run(&["session", "plan.toml", "--page", "page.pdf"]);
    assert!(status == 2 && err.contains("written as .svg or .png"), "{err}");
}

#[test]
fn a_session_is_entered_once() {
    let desk = Desk::new();
    let enter = [&["session", "plan.toml", "--enter"], &DAY[..]].concat();
    let (status, out, err) = desk.run(&enter);
    // The journal is from before films had numbers.
    let columns = "pairing, minutes, celsius, contrast, numbers, load, vessel, development";
    let note = "wedgebook: note: bath.csv has 8 further columns now: ";
    assert!(status == 0 && err.starts_with(note) && err.lines().count() == 1, "{err}");
    for column in columns.split(", ") {
        assert!(err.contains(column), "{column}: {err}");
    }
    assert!(out.starts_with("bath: good: control strip a of 2024-03-05 was in spec"), "{out}");
    assert!(out.contains("\nentered in bath.csv, dated 2024-03-12\n"), "{out}");
    assert!(out.ends_with("bath  1.5 litres, 6 films and 0.336 m² so far, 8 days old\n"), "{out}");
    let journal = desk.read("bath.csv");
    // Whatever the journal puts in quotation marks.
    let mut rows = csv::Reader::from_reader(journal.as_bytes());
    let headings: Vec<String> = rows.headers().unwrap().iter().map(str::to_owned).collect();
    let old: Vec<&str> = JOURNAL.lines().next().unwrap().split(',').collect();
    let all: Vec<Vec<String>> =
        rows.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect();
    let cell = |row: &[String], name: &str| {
        row[headings.iter().position(|heading| heading == name).unwrap()].clone()
    };
    let rows: Vec<Vec<String>> = all
        .iter()
        .map(|row| old.iter().map(|name| cell(row, name)).collect::<Vec<String>>())
        .skip(2)
        .collect();
    let numbers: Vec<String> = all.iter().skip(2).map(|row| cell(row, "numbers")).collect();
    assert_eq!(numbers, ["1=r1p1 2=r2p1 3=r3p1 4=r4p1", "", "5=r1p1 6=r2p1", ""]);
    assert_eq!(cell(&all[2], "minutes"), "13.25");
    assert_eq!(cell(&all[4], "load"), "2");
    let row = |act: &str, cells: [&str; 4], batch: u32| {
        let [films, area, added, removed] = cells;
        let note = format!("Tuesday, batch {batch} of 2");
        ["2024-03-12", act, "", films, area, added, removed, "", "", "", &note]
            .map(str::to_owned)
            .to_vec()
    };
    assert_eq!(
        rows,
        [
            row("film", ["4 × 135-36", "0.224", "", ""], 1),
            row("replenish", ["", "", "360", "360"], 1),
            row("film", ["2 × 135-36", "0.112", "", ""], 2),
            row("replenish", ["", "", "180", "180"], 2),
        ]
    );
    let (status, _, err) = desk.run(&enter);
    assert!(status == 2 && err.contains("bath.csv:4: this session is entered already"), "{err}");
    assert_eq!(desk.read("bath.csv"), journal);
    let another = ["session", "plan.toml", "--enter", "--json", "--date", "2024-03-19"];
    let made = desk.json(&another);
    let lines: Vec<u64> =
        made["entries"].as_array().unwrap().iter().map(|e| e["line"].as_u64().unwrap()).collect();
    assert_eq!(lines, [8, 9, 10, 11]);
    let (status, _, err) = desk.run(&["session", "plan.toml", "--enter", "--date", "2024-03-13"]);
    assert!(status == 2 && err.contains("is before the entry before it"), "{err}");
    // On that day there was no bath.
    let (status, _, err) = desk.run(&["session", "plan.toml", "--enter", "--date", "2024-03-01"]);
    assert!(status == 2 && err.contains("bath.csv: no bath is mixed"), "{err}");
}

/// The example runs as its help and its own words say, with the demonstration's data.
#[test]
fn the_example_runs() {
    let desk = Desk::new();
    let earlier = |text: String| text.replace("2026-", "2024-").replace("2025-", "2023-");
    let bath = std::fs::read_to_string(data("bath.csv")).unwrap();
    desk.write("data/bath.csv", &earlier(bath));
    desk.write("data/session.toml", &std::fs::read_to_string(data("session.toml")).unwrap());
    let night = std::fs::read_to_string(data("class-night.toml")).unwrap();
    desk.write("data/class-night.toml", &night);
    let (_, help, _) = desk.run(&["session", "--help"]);
    let examples: Vec<&str> =
        help.lines().map(str::trim).filter(|l| l.starts_with("wedgebook session")).collect();
    assert_eq!(examples.len(), 3);
    for example in examples {
        let (line, into) = example.split_once(" > ").unwrap_or((example, ""));
        let args: Vec<&str> = line.split(' ').skip(1).collect();
        let (status, out, err) = desk.run(&args);
        assert_eq!((status, err.as_str()), (0, ""), "{example}");
        if !into.is_empty() {
            desk.write(into, &out);
        }
    }
    let (_, beside, _) = desk.run(&["session", "session.toml"]);
    let (status, own, err) = desk.run(&["session", "data/session.toml"]);
    assert_eq!((status, err.as_str()), (0, ""));
    assert_eq!(beside.lines().count(), own.lines().count());
    for command in ["fix", "wash"] {
        let (_, help, _) = desk.run(&[command, "--help"]);
        let examples: Vec<&str> =
            help.lines().map(str::trim).filter(|l| l.starts_with("wedgebook ")).collect();
        assert!(examples.len() > 1);
        for example in examples {
            let args: Vec<&str> = example.split(' ').skip(1).collect();
            assert_eq!(desk.run(&args).0, 0, "{example}");
        }
    }
}

#[test]
fn a_faulty_plan_is_told_in_one_line() {
    let desk = Desk::new();
    let one_shot = "[one_shot]\ndilution = \"1+6\"\n";
    let bath = "[bath]\njournal = \"bath.csv\"\nreplenish_ml_per_roll = 90\n";
    let small = "solution_ml = 300\nleast_ml = { \"135-36\" = 350 }";
    for (from, to, message) in [
        (
            "solution_ml = 1000",
            "solution_ml = -5",
            "7: vessel.solution_ml: -5 is not a volume in ml: it must be above 0 and at most 1000000",
        ),
        (
            "solution_ml = 1000",
            "solution_ml = 0",
            "7: vessel.solution_ml: 0 is not a volume in ml: it must be above 0",
        ),
        (
            "solution_ml = 1000",
            "solution_ml = nan",
            "7: vessel.solution_ml: NaN is not a volume in ml",
        ),
        (
            "solution_ml = 1000",
            "solution_ml = \"1000\"",
            "7: vessel.solution_ml: the text \"1000\" cannot stand here; write a volume in ml, as 1000",
        ),
        (
            "solution_ml = 1000",
            "solution_m = 1000",
            "7: [vessel] has no key \"solution_m\"; did you mean solution_ml?",
        ),
        (
            "solution_ml = 1000",
            small,
            "4: one 135-36 needs 350 ml to be covered and the vessel takes 300 ml",
        ),
        (
            "solution_ml = 1000",
            "solution_ml = 2000",
            "7: vessel.solution_ml: 2000 ml are more than the bath of bath.csv has, 1500 ml",
        ),
        (
            "\"135-36\" = 4",
            "\"120\" = 4",
            "4: how many 135-36 the vessel holds is not known: add it to vessel.holds",
        ),
        (
            "\"135-36\" = 4",
            "\"135-36\" = 0",
            "8: holds.135-36: write a whole number from 1 to 1000",
        ),
        (
            "\"135-36\" = 4 }",
            "\"135-36\" = 3 }\non_a_reel = { \"135-36\" = 2 }",
            "9: on_a_reel.135-36: the vessel holds 3 of them",
        ),
        (
            "format = \"135-36\"",
            "format = \"135\"",
            "4: film.format: \"135\" is not a format of film; did you mean \"135-36\"?",
        ),
        (
            "format = \"135-36\"",
            "format = \"4x5\"",
            "4: film.format: \"4x5\" is not a format of film: add the unit",
        ),
        ("count = 6", "count = -6", "5: film.count: write a whole number from 1 to 1000"),
        ("count = 6", "count = 2.5", "5: film.count: write a whole number from 1 to 1000"),
        (
            "count = 6",
            "number = 6",
            "5: [film] has no key \"number\"; the keys here are format, count",
        ),
        (
            "[[film]]",
            "[film]",
            "3: film: a table cannot stand here; write each as a section [[film]]",
        ),
        (bath, "", "1: bath: is missing; name the developer"),
        (bath, &format!("{bath}{one_shot}"), "12: one_shot: contradicts bath: keep one of the two"),
        (
            bath,
            "[one_shot]\ndilution = \"1:6\"\n",
            "10: one_shot.dilution: \"1:6\" is not a dilution",
        ),
        ("journal = \"bath.csv\"", "journal = \"none.csv\"", "none.csv: no such journal"),
        ("pairing = \"pairing.toml\"", "pairing = \"none.toml\"", "none.toml: no such file"),
        ("pairing = \"pairing.toml\"\n", "", "1: pairing: is missing"),
        (
            "[temperature]",
            "[aim]\ncontrast = 0.6\nscene_stops = 7\n[temperature]",
            "14: aim.scene_stops: contradicts aim.contrast: keep one of the two",
        ),
        (
            "celsius = 20",
            "celsius = 68",
            "13: temperature.celsius: 68 °C is too hot for a bath; if it is 68 °F, write \"68F\"",
        ),
        (
            "celsius = 20",
            "celsius = 10",
            "13: temperature.celsius: 10 °C is too cold: below 13 °C nothing should be developed",
        ),
        (
            "celsius = 20",
            "celsius = 36",
            "13: temperature.celsius: 36 °C is too hot: above 35 °C nothing should be developed",
        ),
        (
            "celsius = 20",
            "celsius = 20\nlowest = 25",
            "14: temperature.lowest: the lowest temperature, 25 °C, must lie below the highest",
        ),
        (
            "celsius = 20",
            "celsius = 26\noutside = \"wait\"",
            "12: temperature.earlier_celsius: is missing",
        ),
        (
            "celsius = 20",
            "celsius = 20\nminutes_apart = 5",
            "14: temperature.minutes_apart: is only for outside = \"wait\"",
        ),
        (
            "celsius = 20",
            "celsius = 26\noutside = \"wait\"\nearlier_celsius = 25\nminutes_apart = 5\nsurroundings_celsius = 18",
            "13: temperature.celsius: from 25.0 to 26.0 the solution does not approach its surroundings",
        ),
        (
            "celsius = 20",
            "celsius = 20\noutside = \"later\"",
            "14: temperature.outside: \"later\" is none of its words: write time or wait",
        ),
        (
            "[fix]",
            "[wash]\nretained_ml = 20\n[fix]",
            "15: wash.retained_ml: is only for method = \"changes\"",
        ),
        (
            "[fix]",
            "[wash]\nmethod = \"changes\"\nretained_ml = 20\ntotal_ml = 10\n[fix]",
            "16: wash.retained_ml: 20 ml stay behind and the filled vessel has 10 ml",
        ),
        (
            "clearing_seconds = 50",
            "clearing_seconds = 0",
            "15: fix.clearing_seconds: 0 is not a clearing time in seconds",
        ),
        (
            "clearing_seconds = 50",
            "clearing = 50",
            "15: [fix] has no key \"clearing\"; did you mean clearing_seconds?",
        ),
        (
            "title = \"Tuesday\"",
            "start = \"25:00\"",
            "1: start: \"25:00\" is no time of day; write it as \"18:30\"",
        ),
        ("title = \"Tuesday\"", "title = ", "1: "),
        ("[fix]", "[fix", "14: "),
        ("[fix]", "[fixer]", "14: a plan has no key \"fixer\"; did you mean fix?"),
    ] {
        assert!(BATH.contains(from), "{from}");
        desk.write("bad.toml", &BATH.replace(from, to));
        let (status, out, err) = desk.run(&["session", "bad.toml"]);
        let place = if message.as_bytes()[0].is_ascii_digit() { "bad.toml:" } else { "" };
        assert_eq!((status, out.as_str()), (2, ""), "{to}: {err}");
        assert!(err.starts_with(&format!("wedgebook: {place}{message}")), "{to}: {err}");
        assert_eq!(err.trim_end().lines().count(), 1, "{err}");
    }
    let (status, _, err) = desk.run(&["session", "nowhere.toml"]);
    assert!(status == 2 && err.contains("nowhere.toml: no such file; name a plan"), "{err}");
    std::fs::write(desk.0.path().join("latin.toml"), b"title = \"\xE9\"\n").unwrap();
    let (status, _, err) = desk.run(&["session", "latin.toml"]);
    assert!(status == 2 && err.contains("not UTF-8"), "{err}");
    assert_eq!(desk.run(&["session"]).0, 2);
}

#[test]
fn forty_rolls_in_a_small_tank() {
    let desk = Desk::new();
    let plan = BATH.replace("count = 6", "count = 40").replace(
        "solution_ml = 1000\nholds = { \"135-36\" = 4 }",
        "solution_ml = 300\nholds = { \"135-36\" = 1 }",
    );
    desk.write("forty.toml", &plan);
    let (status, out, err) = desk.run(&["session", "forty.toml", "--page", "forty.svg"]);
    assert_eq!((status, err.as_str()), (0, ""));
    assert!(
        out.contains("40 batches in a tank of 300 ml")
            && out.contains("hours are long for one session"),
        "{out}"
    );
    // All pages together have every batch.
    let pages = ["forty.svg", "forty-2.svg", "forty-3.svg", "forty-4.svg"].map(|p| desk.read(p));
    assert!(pages.concat().contains(">batch 40 of 40<") || pages.concat().contains(">40<"));
    assert!(!pages.concat().contains('…'));
}

#[test]
fn the_answer_may_be_no() {
    let desk = Desk::new();
    for (from, to, message) in [
        (
            "clearing_seconds = 50",
            "clearing_seconds = 80\nfresh_clearing_seconds = 40",
            "the fixer is spent: it clears in 80 s",
        ),
        (
            "[temperature]",
            "[aim]\ncontrast = 1.5\n[temperature]",
            "contrast index 1.50 cannot be reached",
        ),
        (
            "celsius = 20",
            "celsius = 30",
            "30 °C is more than 4 °C outside the calibrated temperatures",
        ),
        (
            "celsius = 20",
            "celsius = 26\noutside = \"wait\"\nearlier_celsius = 28\nminutes_apart = 5\nsurroundings_celsius = 25",
            "the developer does not reach the temperature that is wanted: surroundings of 25.0 never bring it from 26.0 to 24.0",
        ),
    ] {
        desk.write("no.toml", &BATH.replace(from, to));
        let (status, out, err) = desk.run(&["session", "no.toml"]);
        assert_eq!((status, out.as_str()), (1, ""), "{err}");
        assert!(err.contains(message), "{err}");
    }
    let (status, ..) = desk.run(&["session", "no.toml", "--extrapolate"]);
    assert_eq!(status, 1);
    desk.write("warm.toml", &BATH.replace("celsius = 20", "celsius = 30"));
    let (status, out, _) = desk.run(&["session", "warm.toml", "--extrapolate"]);
    assert!(status == 0 && out.contains("outside the calibrated temperatures"), "{out}");
    desk.write(
        "once.toml",
        &BATH.replace(
            "[bath]\njournal = \"bath.csv\"\nreplenish_ml_per_roll = 90",
            "[one_shot]\ndilution = \"1+6\"",
        ),
    );
    let (status, _, err) = desk.run(&["session", "once.toml", "--enter"]);
    assert!(status == 2 && err.contains("used once has no journal"), "{err}");
}

#[test]
fn fixing_by_itself() {
    let desk = Desk::new();
    let (status, out, err) = desk.run(&[
        "fix",
        "--clearing-s",
        "0:55",
        "--fresh-s",
        "40",
        "--rolls",
        "3",
        "--in-hand-ml",
        "500",
    ]);
    assert_eq!((status, err.as_str()), (0, ""));
    for words in [
        "Fix for 1:50\n",
        "clearing time                    55 s\n",
        "today's time is                 1.38 times that of the fresh fixer\n",
        "spent at                        2 times that time (NAVEDTRA 14209, 1993)\n",
        "spent                           no\n",
        "fixing time over clearing time  2 (NAVEDTRA 14209, 1993)\n",
        "film                            3 × 135-36\n",
        "fresh fixer for the film         60 ml\n",
        "fresh fixer in hand             500 ml\n",
        "enough for                      25 rolls of 135-36\n",
        "20 ml for a 135-36 (common practice, no",
        "state it with --factor\n",
    ] {
        assert!(out.contains(words), "{words}: {out}");
    }
    let spent = desk.json(&["fix", "--clearing-s", "80", "--fresh-s", "40", "--json"]);
    assert_eq!((&spent["spent"], &spent["fixing_seconds"]), (&Value::Bool(true), &Value::Null));
    let (status, out, _) = desk.run(&["fix", "--clearing-s", "80", "--fresh-s", "40"]);
    assert!(status == 1 && out.starts_with("Do not fix in this fixer: it is spent\n"), "{out}");
    assert!(out.contains("caution: spent fixer contains silver"), "{out}");
    let (_, out, _) = desk.run(&["fix", "--clearing-s", "80"]);
    assert!(out.contains("state it with --fresh-s"), "{out}");
    let other = desk.json(&["fix", "--clearing-s", "50", "--factor", "3", "--json"]);
    assert_eq!((&other["fixing_seconds"], &other["spent"]), (&Value::from(150.0), &Value::Null));
    for bad in [
        &["fix"][..],
        &["fix", "--clearing-s", "-5"],
        &["fix", "--clearing-s", "x"],
        &["fix", "--clearing-s", "50", "--factor", "0.5"],
        &["fix", "--clearing-s", "50", "--rolls", "35mm=3"],
        &["fix", "--clearing-s", "50", "--in-hand-ml", "0"],
    ] {
        assert_eq!(desk.run(bad).0, 2, "{bad:?}");
    }
}

#[test]
fn washing_by_itself() {
    let desk = Desk::new();
    let (status, out, err) = desk.run(&["wash", "--minutes", "5"]);
    assert_eq!((status, err.as_str()), (0, ""));
    assert!(out.contains("Wash for 5:00 in running water\n  fixer left            3.1 %\n  half of it leaves in  1 min (NAVEDTRA 14209, 1993)\n"), "{out}");
    let changes = desk.json(&["wash", "--retained-ml", "50", "--total-ml", "500", "--json"]);
    assert_eq!((&changes["changes"], &changes["minutes"]), (&Value::from(3), &Value::from(9.0)));
    let slow = desk.json(&["wash", "--half-time-min", "2", "--residual", "0.25", "--json"]);
    assert_eq!(slow["minutes"], 4.0);
    let left = desk.json(&[
        "wash",
        "--retained-ml",
        "50",
        "--total-ml",
        "500",
        "--changes",
        "2",
        "--json",
    ]);
    assert!((left["fraction_left"].as_f64().unwrap() - 0.01).abs() < 1e-12);
    for bad in [
        &["wash", "--residual", "0"][..],
        &["wash", "--residual", "2"],
        &["wash", "--minutes", "-1"],
        &["wash", "--retained-ml", "5"],
        &["wash", "--retained-ml", "50", "--total-ml", "50"],
        &["wash", "--minutes", "5", "--residual", "0.1"],
        &["wash", "--retained-ml", "-5", "--total-ml", "50"],
    ] {
        let (status, out, _) = desk.run(bad);
        assert_eq!((status, out.as_str()), (2, ""), "{bad:?}");
    }
}
