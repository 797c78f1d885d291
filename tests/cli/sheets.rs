//! Readings as a person has them: wide sheets, standard input, typed one by one; several strips in a table.

use crate::desk::{Desk, data};
use assert_cmd::Command;
use std::collections::BTreeMap;
use std::io::{Read, Write};
use std::process::Stdio;

/// A long sheet with columns strip, step, tablet_density and density as a wide one, with the values of each
/// strip in rows.
fn wide(long: &str) -> String {
    let mut lines = long.lines().map(|line| line.split(',').collect::<Vec<_>>());
    let head = lines.next().unwrap();
    let rows: Vec<BTreeMap<&str, &str>> =
        lines.map(|cells| head.iter().copied().zip(cells).collect()).collect();
    let mut strips: Vec<&str> = Vec::new();
    let mut steps: Vec<(&str, &str)> = Vec::new();
    for row in &rows {
        if !strips.contains(&row["strip"]) {
            strips.push(row["strip"]);
        }
        if !steps.contains(&(row["step"], row["tablet_density"])) {
            steps.push((row["step"], row["tablet_density"]));
        }
    }
    let mut text = format!("step,tablet_density,{}\n", strips.join(","));
    for value in ["minutes", "celsius", "film", "developer", "date"] {
        let of = |strip: &&str| rows.iter().find(|row| row["strip"] == *strip).unwrap()[value];
        let values: Vec<&str> = strips.iter().map(of).collect();
        text += &format!(",{value},{}\n", values.join(","));
    }
    for (step, tablet) in steps {
        let of = |strip: &&str| {
            let row = rows.iter().find(|row| row["strip"] == *strip && row["step"] == step);
            row.map_or("", |row| row["density"])
        };
        let values: Vec<&str> = strips.iter().map(of).collect();
        text += &format!("{step},{tablet},{}\n", values.join(","));
    }
    text
}

fn family() -> String {
    std::fs::read_to_string(data("family.csv")).unwrap()
}

/// One run with `input` at its standard input.
fn fed(desk: &Desk, args: &[&str], input: impl AsRef<[u8]>) -> (i32, String, String) {
    let output = Command::cargo_bin("wedgebook")
        .unwrap()
        .args(args)
        .current_dir(desk.path())
        .write_stdin(input.as_ref())
        .output()
        .unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
}

#[test]
fn a_wide_sheet_gives_the_same_answers_byte_for_byte() {
    let desk = Desk::empty();
    desk.write("long.csv", &family());
    desk.write("wide.csv", &format!("Family of March\n\n{}", wide(&family())));
    let of = |args: &[&str]| {
        let (status, out, err) = desk.run(args);
        assert_eq!(status, 0, "{err}");
        out
    };
    let curve = |file| of(&["curve", file, "--json", "--log-exposure-clear", "0"]);
    assert_eq!(curve("wide.csv"), curve("long.csv"));
    let calibrate =
        |file, out| of(&["calibrate", file, "--json", "--log-exposure-clear", "0", "--out", out]);
    assert_eq!(calibrate("wide.csv", "w.toml"), calibrate("long.csv", "l.toml"));
    assert_eq!(desk.read("w.toml"), desk.read("l.toml"));
    let err = desk.run(&["curve", "wide.csv", "--log-exposure-clear", "0"]).2;
    assert_eq!(
        err,
        "wedgebook: note: wide.csv: row 1, above the names of the columns, is not used\n"
    );
    // It is a file of readings: no output takes its place.
    let before = desk.read("wide.csv");
    let (status, _, err) = desk.run(&["curve", "long.csv", "--csv", "wide.csv"]);
    assert!(status == 2 && err.contains("a file of readings"), "{err}");
    assert_eq!(desk.read("wide.csv"), before);
}

#[test]
fn time_and_temperature_of_strips_without_them() {
    let desk = Desk::empty();
    desk.write("a.csv", "log_exposure,A,B 7 min\nbase,0.2,0.2\n-2,0.3,0.3\n-1.5,0.5,0.45\n-1,0.8,0.7\n-0.5,1.1,0.95\n0,1.4,1.2\n");
    let args = ["curve", "a.csv", "--minutes", "9:30", "-t", "68F"];
    let (_, out, err) = desk.run(&[&args[..], &["--json"]].concat());
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    let of = |k: usize, key: &str| json["strips"][k][key].as_f64().unwrap();
    assert_eq!([of(0, "minutes"), of(1, "minutes"), of(1, "celsius")], [9.5, 7.0, 20.0]);
    assert_eq!(err, "wedgebook: note: 9.5 min is not used for B, whose file gives another time\n");
    // In a family too; without it, the strip that lacks its time is named.
    let rows: Vec<String> = wide(&family())
        .lines()
        .filter(|line| !line.starts_with(",celsius"))
        .map(|line| {
            let cells: Vec<&str> = line.split(',').take(5).collect();
            cells.join(",").replace(",minutes,5,7,9", ",minutes,5,7,") + "\n"
        })
        .collect();
    desk.write("b.csv", &rows.concat());
    let args = ["calibrate", "b.csv", "--relative", "--out", "x.toml"];
    let (status, _, err) = desk.run(&args);
    assert!(status == 2 && !desk.has("x.toml"), "{err}");
    let (status, _, err) = desk.run(&[&args[..], &["--minutes", "9", "-t", "20"]].concat());
    assert_eq!(status, 0, "{err}");
    assert!(
        err.contains("note: 9 min is not used for A and B, whose file gives another time"),
        "{err}"
    );
    let pairing = desk.read("x.toml");
    for time in ["minutes = 5.0", "minutes = 7.0", "minutes = 9.0"] {
        assert!(pairing.contains(time), "{pairing}");
    }
    assert_eq!(pairing.matches("celsius = 20.0").count(), 3 + 1, "{pairing}");
}

#[test]
fn standard_input_is_a_sheet() {
    let desk = Desk::empty();
    let sheet = wide(&family());
    desk.write("a.csv", &sheet);
    let args = |file| ["curve", file, "--json", "--log-exposure-clear", "0"];
    let (status, out, err) = fed(&desk, &args("-"), &sheet);
    assert_eq!((status, err.as_str()), (0, ""));
    assert_eq!(out, desk.run(&args("a.csv")).1);
    let fault = |args: &[&str], input: &[u8]| {
        let (status, out, err) = fed(&desk, args, input);
        assert_eq!((status, out.as_str()), (2, ""), "{err}");
        err
    };
    assert_eq!(
        fault(&["curve", "-", "a.csv", "-"], b""),
        "wedgebook: standard input can be read once only: give one -, or files by their names\n"
    );
    assert!(
        fault(&["curve", "-"], b"").starts_with("wedgebook: standard input: the file is empty")
    );
    assert!(
        fault(&["curve", "-"], b"log_exposure,A,B\n-1,0.3,x\n")
            .starts_with("wedgebook: standard input:2, column \"B\": \"x\" is not a number")
    );
    // With files beside it, in their order.
    let (status, out, _) = fed(
        &desk,
        &["curve", "a.csv", "-"],
        "log_exposure,density\n-2,0.3\n-1.5,0.5\n-1,0.8\n-0.5,1.1\n0,1.4\n",
    );
    assert!(status == 0 && out.contains("curves of 7 strips"), "{out}");
}

#[test]
fn several_strips_are_one_table() {
    let desk = Desk::empty();
    let (status, out, _) = desk.run(&["curve", &data("family.csv"), "--log-exposure-clear", "0"]);
    assert_eq!(status, 0);
    let row = |name: &str| {
        let begins = |line: &&str| line.starts_with(&format!("  {name} "));
        let found: Vec<&str> = out.lines().filter(begins).collect();
        let [line] = found.as_slice() else { panic!("{name}: {out}") };
        line.split_whitespace().map(str::to_owned).collect::<Vec<_>>()
    };
    let json = desk.json(&["curve", &data("family.csv"), "--log-exposure-clear", "0", "--json"]);
    for strip in json["strips"].as_array().unwrap() {
        let cells = row(strip["strip"].as_str().unwrap());
        let at = |v: &serde_json::Value, key: &str| v[key].as_f64().unwrap();
        let index = &strip["contrast_index"];
        assert_eq!(cells[1], at(strip, "minutes").to_string());
        let place = cells.iter().position(|c| *c == format!("{:.3}", at(index, "value"))).unwrap();
        // The half of the interval is rounded up: value ± half covers it.
        let half: f64 = cells[place + 1].trim_start_matches('±').parse().unwrap();
        let larger =
            (at(index, "high") - at(index, "value")).max(at(index, "value") - at(index, "low"));
        assert!(half >= larger - 1e-8 && half < larger + 0.001, "{half} {larger}");
    }
    // What is the same is said once.
    assert_eq!(out.matches("the contrast condition is not met").count(), 1, "{out}");
    assert!(
        out.contains("note: A, B, C and F: ISO speed: the contrast condition is not met"),
        "{out}"
    );
    assert!(out.contains("all strips: Larkfold, Quillback 1+6, 2026-03-10"), "{out}");
    // A misread step has its strip, and one without a curve its line.
    let misread = family().replace("C,10,1.70,", "C,10,1.70,9") + "G,1,3.05,0.2,5,20,,,\n";
    let misread = misread.replace("C,10,1.70,90.", "C,10,1.70,1.");
    desk.write("b.csv", &misread);
    let (status, out, err) = desk.run(&["curve", "b.csv"]);
    assert!(status == 2 && err.contains("strip \"G\": too few steps"), "{err}");
    let suspect = out.lines().skip_while(|line| !line.contains("suspect readings, not used"));
    assert!(suspect.clone().any(|line| line.trim_start().starts_with("C ")), "{out}");
    assert!(out.lines().any(|line| line.starts_with("  G ") && line.contains("none")), "{out}");
}

#[test]
fn measures_are_written_as_a_table() {
    let desk = Desk::empty();
    let family = data("family.csv");
    let args = ["curve", &family, "--log-exposure-clear", "0", "--json", "--measures", "m.csv"];
    let json = desk.json(&args);
    let table = desk.read("m.csv");
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let rows: Vec<BTreeMap<String, String>> = reader.deserialize().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 6);
    for (row, strip) in rows.iter().zip(json["strips"].as_array().unwrap()) {
        let quantity = |column: &str, value: &serde_json::Value| {
            for (end, key) in [("", "value"), ("_low", "low"), ("_high", "high")] {
                let cell = &row[&format!("{column}{end}")];
                let numbers = (cell.parse::<f64>().ok(), value[key].as_f64());
                // JSON is read here with an error of the last digit.
                let is_same = match numbers {
                    (Some(cell), Some(json)) => (cell - json).abs() <= 1e-12 * json.abs(),
                    numbers => numbers == (None, None),
                };
                assert!(is_same, "{column}{end}: {numbers:?}");
            }
        };
        assert_eq!(row["strip"], strip["strip"].as_str().unwrap());
        assert_eq!(row["minutes"].parse().ok(), strip["minutes"].as_f64());
        for key in ["base_plus_fog", "d_max", "gamma", "contrast_index", "speed_point_log_h"] {
            quantity(key, &strip[key]);
        }
        quantity("straight_line_slope", &strip["straight_line"]["slope"]);
        quantity("iso_speed", &strip["iso"]["speed"]);
        assert_eq!(row["iso_condition"], strip["iso"]["condition"].as_str().unwrap());
        let notes: Vec<&str> =
            strip["notes"].as_array().unwrap().iter().map(|n| n.as_str().unwrap()).collect();
        assert_eq!(row["notes"], notes.join("; "));
    }
    // It is written again, and never over readings.
    assert_eq!(desk.run(&args).0, 0);
    assert_eq!(desk.read("m.csv"), table);
    desk.copy("strip.csv");
    let (status, _, err) = desk.run(&["curve", &family, "--measures", "strip.csv"]);
    assert!(status == 2 && err.contains("strip.csv"), "{err}");
    assert_eq!(desk.read("strip.csv"), std::fs::read_to_string(data("strip.csv")).unwrap());
}

const STEPS: [&str; 4] = ["--steps", "6", "--increment", "0.5"];

#[test]
fn readings_are_typed_step_by_step() {
    let desk = Desk::empty();
    let about =
        ["--minutes", "9", "-t", "20", "--film", "Larkfold", "--date", "2026-03-03", "--name", "A"];
    let args = [&["type", "a.csv"][..], &STEPS, &about].concat();
    let typed = "0.20\n0,24\n0.42\nx\n3.72\nback\n0.72\n\n1.40\nend\n";
    let (status, out, err) = fed(&desk, &args, typed);
    assert_eq!((status, err.as_str()), (0, ""));
    assert_eq!(
        desk.read("a.csv"),
        "strip,step,tablet_density,density,minutes,celsius,film,date\n\
         A,,,0.20,9,20,Larkfold,2026-03-03\n\
         A,1,2.55,0.24,9,20,Larkfold,2026-03-03\n\
         A,2,2.05,0.42,9,20,Larkfold,2026-03-03\n\
         A,3,1.55,0.72,9,20,Larkfold,2026-03-03\n\
         A,5,0.55,1.40,9,20,Larkfold,2026-03-03\n"
    );
    assert!(out.contains("\"x\" is not a density"), "{out}");
    assert!(out.contains("! 3.72 is out of line: +3.12 off the line of its neighbours"), "{out}");
    assert!(out.contains("step 3 (tablet density 1.55), Enter keeps 3.72: 0.72"), "{out}");
    assert!(out.ends_with("a.csv: 5 readings, 2 not read\n"), "{out}");
    let (status, out, err) = desk.run(&["curve", "a.csv", "--relative"]);
    assert!(
        status == 0 && out.contains("strip A: Larkfold, 9 min, 20 °C, 2026-03-03"),
        "{out}{err}"
    );
    // The file is there now, and stays as it is.
    let before = desk.read("a.csv");
    let (status, _, err) = fed(&desk, &args, "0.3\n");
    assert_eq!(
        (status, err.as_str()),
        (2, "wedgebook: a.csv: a file is there already; name a new one\n")
    );
    assert_eq!(desk.read("a.csv"), before);
}

#[test]
fn the_tablet_is_asked_for_or_read_from_a_file() {
    let desk = Desk::empty();
    desk.copy("strip.csv");
    let (status, out, err) = fed(&desk, &["type", "a.csv"], "21\n9 0.15 x\n3 0.3 0.1\n0.2\n0.25\n");
    assert_eq!((status, err.as_str()), (0, ""), "{out}");
    assert!(out.contains("21: no such file") || out.contains("\"21\" is no tablet"), "{out}");
    let a = desk.read("a.csv");
    assert_eq!(a, "strip,step,tablet_density,density\na,,,0.20\na,1,0.7,0.25\n");
    let (_, out, _) =
        fed(&desk, &["type", "b.csv", "--tablet", "strip.csv", "--json"], "0.3\n0.31\n");
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!((&json["readings"], &json["not_read"]), (&2.into(), &20.into()));
    assert!(desk.read("b.csv").starts_with("strip,step,log_exposure,density\n"));
    let log = ["type", "c.csv", "--log-exposures", "-2,-1,0", "--relative"];
    assert_eq!(fed(&desk, &log, "0.2\n0.3\n").0, 0);
    assert!(desk.read("c.csv").contains("relative_log_exposure,density\nc,,,0.20\nc,1,-2,0.30\n"));
    // Nothing typed is no file.
    let (status, out, _) = fed(&desk, &[&["type", "d.csv"][..], &STEPS].concat(), "");
    assert!(status == 0 && out.contains("no file is written") && !desk.has("d.csv"), "{out}");
    for (args, fault) in [
        (&["type", "e.txt"][..], "its extension is .txt"),
        (&["type", "no/e.csv"], "there is no folder no"),
        (&["type", "e.csv", "--tablet", "none.csv"], "none.csv: no such file"),
        (
            &["type", "e.csv", "--steps", "900", "--increment", "0.15"],
            "a tablet has 2 to 200 steps",
        ),
    ] {
        let (status, _, err) = fed(&desk, args, "0.2\n");
        assert!(status == 2 && err.contains(fault), "{err}");
        assert!(!desk.has("e.csv"));
    }
}

/// The file has each reading before the next is asked for, and no other file is ever replaced.
#[test]
fn nothing_typed_is_lost() {
    let desk = Desk::empty();
    let mut child = std::process::Command::new(assert_cmd::cargo::cargo_bin("wedgebook"))
        .args([&["type", "a.csv"][..], &STEPS].concat())
        .current_dir(desk.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let (mut input, mut output) = (child.stdin.take().unwrap(), child.stdout.take().unwrap());
    let mut said = String::new();
    let mut until = |prompt: &str| {
        let mut byte = [0];
        while !said.ends_with(prompt) {
            assert_eq!(output.read(&mut byte).unwrap(), 1, "{said}");
            said.push(char::from(byte[0]));
        }
    };
    until("unexposed film: ");
    input.write_all(b"0.20\n0.24\n").unwrap();
    until("step 2 (tablet density 2.05): ");
    let typed = "strip,step,tablet_density,density\na,,,0.20\na,1,2.55,0.24\n";
    assert_eq!(desk.read("a.csv"), typed);
    // Another program writes to this name meanwhile.
    desk.write("a.csv", "of another\n");
    input.write_all(b"0.42\n").unwrap();
    until("step 3 (tablet density 1.55): ");
    child.kill().unwrap();
    child.wait().unwrap();
    assert_eq!(desk.read("a.csv"), "of another\n");
    assert_eq!(desk.read("a-2.csv"), format!("{typed}a,2,2.05,0.42\n"));
}

/// Where the disk is full, what was typed is printed.
#[cfg(unix)]
#[test]
fn readings_that_cannot_be_written_are_printed() {
    let desk = Desk::empty();
    let args = [&["type", "a.csv"][..], &STEPS].concat();
    let script = "trap '' XFSZ; ulimit -f 0; printf '0.20\\n' | exec \"$0\" \"$@\"";
    let (status, _, err) = desk.run_by_shell(script, &args);
    assert!(status == 2 && err.contains("a,,,0.20"), "{status} {err}");
}
