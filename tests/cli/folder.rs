//! The folder that remembers: laid down, found from below, and what it gives where nothing is said.

use crate::desk::{Desk, data};

/// A folder that was laid down, with the demonstration's pairing and bath in it.
fn darkroom() -> Desk {
    let desk = Desk::with_pairing();
    assert_eq!(desk.run(&["start", "."]).0, 0);
    std::fs::rename(desk.path().join("pairing.toml"), desk.path().join("larkfold.toml")).unwrap();
    desk
}

/// States something in the folder's file, whose line for it begins with `#`.
fn state(desk: &Desk, key: &str, value: &str) {
    let text = desk.read("wedgebook.toml");
    let commented = text.lines().find(|l| l.starts_with(&format!("#{key} = "))).unwrap();
    desk.write("wedgebook.toml", &text.replace(commented, &format!("{key} = {value}")));
}

#[test]
fn nothing_that_is_there_is_changed() {
    let desk = Desk::empty();
    desk.write("wedgebook.toml", "[scene]\nstops = 6\n");
    let (status, out, err) = desk.run(&["start", "."]);
    assert_eq!(status, 0, "{err}");
    assert!(out.contains("wedgebook.toml") && out.contains("was there, kept"), "{out}");
    assert_eq!(desk.read("wedgebook.toml"), "[scene]\nstops = 6\n");
    let (status, out, _) = desk.run(&["start", ".", "--json"]);
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(status, 0);
    assert!(json["files"].as_array().unwrap().iter().all(|f| f["state"] == "kept"), "{out}");
    desk.write("file", "");
    let (status, _, err) = desk.run(&["start", "file"]);
    assert_eq!(status, 2, "{err}");
    assert!(err.starts_with("wedgebook: file/wedgebook.toml: cannot be written: "), "{err}");
}

/// The daily question has no more keystrokes than the time of day has minutes.
#[test]
fn the_daily_question_is_short() {
    let desk = darkroom();
    assert!("wedgebook adjust -t 21.3".len() <= 24);
    let (status, out, err) = desk.run(&["adjust", "-t", "21.3"]);
    assert_eq!(status, 0, "{err}");
    assert!(err.contains("note: from wedgebook.toml: pairing larkfold.toml"), "{err}");
    assert!(out.contains("a normal scene of 7 stops is assumed"), "{out}");
    let named = desk.run(&["adjust", "larkfold.toml", "-t", "21.3", "--scene-stops", "7"]).1;
    let without = |text: &str| {
        text.lines().filter(|l| !l.contains("normal scene")).collect::<Vec<_>>().join("\n")
    };
    assert_eq!(without(&out), without(&named));
}

#[test]
fn what_is_usual_is_taken_and_told_and_what_is_typed_goes_before() {
    let desk = darkroom();
    std::fs::copy(data("bath.csv"), desk.path().join("bath.csv")).unwrap();
    state(&desk, "bath", "\"bath\"");
    state(&desk, "stops", "8");
    state(&desk, "paper_range", "95");
    let (_, out, err) = desk.run(&["adjust", "--date", "2026-11-17"]);
    for told in ["bath bath.csv", "scene stops 8", "paper range 95", "pairing larkfold.toml"] {
        assert!(err.contains(told), "{told}: {err}");
    }
    assert!(out.starts_with("bath: correct by time"), "{out}");
    assert!(out.contains("a scene of 8 stops (N−1) on"), "{out}");
    let typed = ["adjust", "--activity", "1", "--scene-stops", "7", "--paper-range", "105"];
    let (_, out, err) = desk.run(&typed);
    assert_eq!(err, "wedgebook: note: from wedgebook.toml: pairing larkfold.toml\n");
    assert!(out.contains("1, as calibrated"), "{out}");
    assert!(out.contains("a scene of 7 stops (N) on") && out.contains("range R 105"), "{out}");
}

#[test]
fn temperatures_without_a_unit_are_in_that_of_the_folder() {
    let desk = darkroom();
    let celsius = desk.run(&["adjust", "-t", "68F"]).1;
    let text = desk.read("wedgebook.toml");
    desk.write("wedgebook.toml", &text.replace("temperature = \"C\"", "temperature = \"F\""));
    assert_eq!(desk.run(&["adjust", "-t", "68"]).1, celsius);
    assert!(desk.run(&["adjust", "-t", "20C"]).1.contains("20 °C"));
}

#[test]
fn a_name_stands_for_one_file() {
    let desk = darkroom();
    let by_file = desk.run(&["adjust", "larkfold.toml", "-t", "20"]).1;
    for name in ["lark", "LARKFOLD", "Larkfold in"] {
        assert_eq!(desk.run(&["adjust", name, "-t", "20"]).1, by_file, "{name}");
    }
    let pairing = desk.read("larkfold.toml");
    desk.write("larkfold-2.toml", &pairing);
    for (args, fault) in [
        (&["adjust", "lar"][..], "several files begin so: larkfold-2.toml and larkfold.toml"),
        (&["adjust", "swift"], "no pairing begins so; there is larkfold-2.toml and larkfold.toml"),
        (&["adjust"], "which pairing? There is larkfold-2.toml and larkfold.toml"),
        (&["adjust", "swift.toml"], "swift.toml: no such file"),
    ] {
        let (status, out, err) = desk.run(args);
        assert_eq!((status, out.as_str()), (2, ""), "{err}");
        assert!(err.contains(fault), "{err}");
    }
    // A file whose name is the whole of it is meant, and one in a folder below is found.
    assert_eq!(desk.run(&["adjust", "larkfold", "-t", "20"]).1, by_file);
    std::fs::create_dir(desk.path().join("old")).unwrap();
    desk.write("old/brook.toml", &pairing.replace("Larkfold in", "Brook in"));
    assert_eq!(desk.run(&["adjust", "brook"]).0, 0);
}

#[test]
fn a_fault_in_the_file_is_told_with_its_line() {
    let desk = darkroom();
    desk.write("wedgebook.toml", "[printing]\npaper_range = 5000\n");
    let (status, out, err) = desk.run(&["adjust"]);
    assert_eq!((status, out.as_str()), (2, ""));
    assert!(err.starts_with("wedgebook: wedgebook.toml:2: printing.paper_range: "), "{err}");
}

#[test]
fn the_list_has_pairings_baths_papers_and_plans() {
    let desk = darkroom();
    let copies = ["bath.csv", "paper.csv", "session.toml", "strip.csv"];
    for name in copies {
        std::fs::copy(data(name), desk.path().join(name)).unwrap();
    }
    desk.write("broken.toml", "reference_celsius = \"x\"\n");
    let (status, out, err) = desk.run(&["list", "--json"]);
    assert_eq!(status, 0, "{err}");
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(json["pairings"][0]["file"], "larkfold.toml");
    assert_eq!(json["pairings"][0]["strips"], 6);
    assert_eq!(json["baths"][0]["standing"]["state"], "correct_by_time");
    assert_eq!(json["papers"][0]["file"], "paper.csv");
    assert_eq!(json["plans"][0]["file"], "session.toml");
    assert!(json["notes"][0].as_str().unwrap().starts_with("broken.toml:1: "), "{out}");
    let text = desk.run(&["list"]).1;
    assert!(
        text.contains("Larkfold in Quillback 1+6") && text.contains("correct by time"),
        "{text}"
    );
    assert!(desk.run(&["list"]).0 == 0 && !text.contains("templates"), "{text}");
}

/// A bath of another developer is not the one that is meant.
#[test]
fn a_usual_bath_of_another_developer_is_left_alone() {
    let desk = darkroom();
    let journal = std::fs::read_to_string(data("bath.csv")).unwrap();
    desk.write("bath.csv", &journal.replace("Quillback 1+6", "Marlowe 1+9"));
    state(&desk, "bath", "\"bath.csv\"");
    let (status, out, err) = desk.run(&["adjust"]);
    assert_eq!(status, 0, "{err}");
    assert!(err.contains("bath.csv: this bath is of another developer"), "{err}");
    assert!(out.contains("1, as calibrated"), "{out}");
}

/// The exposure behind clear tablet is stated once: the pairing keeps it for control strips.
#[test]
fn a_control_strip_has_the_exposure_of_its_pairing() {
    let desk = Desk::with_pairing();
    assert!(desk.read("pairing.toml").contains("log_exposure_clear = 0.0"));
    let control = data("control.csv");
    let told = desk.run(&["verify", "pairing.toml", &control, "--log-exposure-clear", "0"]);
    let kept = desk.run(&["verify", "pairing.toml", &control]);
    assert_eq!(told, kept);
    // Kept again when the family is calibrated again.
    let family = data("family.csv");
    let again = desk.run(&["calibrate", &family, "--out", "pairing.toml"]);
    assert_eq!(again.0, 0, "{}", again.2);
    assert!(desk.read("pairing.toml").contains("log_exposure_clear = 0.0"));
}

/// Every template that is filled in is read, from CSV and from the sheet.
#[test]
fn templates_are_read_when_they_are_filled_in() {
    let desk = darkroom();
    for (template, from, commands) in [
        ("strip", "strip.csv", &[&["curve", "F"][..]] as &[&[&str]]),
        ("control", "control.csv", &[&["verify", "larkfold", "F", "--minutes", "9", "-t", "20"]]),
        ("temperatures", "", &[&["drift", "larkfold", "F", "--contrast", "0.56"]]),
        ("evenness", "", &[&["evenness", "F"]]),
        ("leader", "", &[&["leader", "F"]]),
        ("camera-test", "", &[&["curve", "F"]]),
        ("paper", "", &[&["paper", "F"]]),
        ("family", "", &[&["calibrate", "F", "--relative", "--out", "new.toml"]]),
    ] {
        let rows = desk.read(&format!("templates/{template}.csv"));
        let demo = match from {
            "" => Vec::new(),
            from => column(&std::fs::read_to_string(data(from)).unwrap(), "density"),
        };
        desk.write("filled.csv", &filled(template, &rows, &demo));
        for command in commands {
            let args: Vec<&str> =
                command.iter().map(|a| if *a == "F" { "filled.csv" } else { a }).collect();
            let (status, out, err) = desk.run(&args);
            assert!(status < 2 && !out.is_empty(), "{template}: {err}");
        }
        // The empty sheet has the same rows: the same cells are missed in it.
        let command = commands[0].iter().map(|a| if *a == "F" { "T" } else { a });
        let missed = |end: &str| {
            let file = format!("templates/{template}.{end}");
            let args: Vec<&str> =
                command.clone().map(|a| if a == "T" { &file } else { a }).collect();
            let (status, _, err) = desk.run(&args);
            assert_eq!(status, 2, "{err}");
            err.lines().filter(|l| l.contains("the cell is empty")).count()
        };
        assert!(missed("csv") > 0 && missed("csv") == missed("ods"), "{template}");
    }
}

/// The wide template, filled in for three of its strips, makes a pairing; empty, it has nothing to read.
#[test]
fn the_wide_template_is_read_when_it_is_filled_in() {
    let desk = darkroom();
    for end in ["csv", "ods"] {
        let (status, _, err) = desk.run(&["curve", &format!("templates/wide-family.{end}")]);
        assert!(status == 2 && err.contains("no strip has a density"), "{err}");
    }
    let rows = desk.read("templates/wide-family.csv");
    let filled: Vec<String> = rows
        .lines()
        .map(|line| match line.strip_suffix(",,,,,") {
            Some(head) if !head.starts_with(',') => {
                let tablet: f64 = head.split(',').nth(1).unwrap().parse().unwrap_or(5.0);
                let image = 0.7 * 0.25 * ((2.3 - tablet) / 0.25).exp().ln_1p();
                let cell =
                    |minutes: f64| format!("{:.2}", 0.25 + minutes / (minutes + 6.0) * image);
                format!("{head},{},{},{},,", cell(5.0), cell(7.0), cell(9.0))
            }
            _ => line.to_owned(),
        })
        .collect();
    desk.write("family.csv", &filled.join("\n"));
    let (status, out, err) =
        desk.run(&["calibrate", "family.csv", "--relative", "--out", "new.toml"]);
    assert!(status == 0 && out.contains(": 3 strips,"), "{out}{err}");
    assert!(err.contains("no density is written for D and E"), "{err}");
}

/// The cells of a column.
fn column(table: &str, name: &str) -> Vec<String> {
    let mut rows = table.lines().map(|l| l.split(',').collect::<Vec<_>>());
    let at = rows.next().unwrap().iter().position(|c| *c == name).unwrap();
    rows.map(|row| row[at].to_owned()).collect()
}

/// A template with densities, or temperatures, that rise or fall as they should.
fn filled(template: &str, table: &str, demo: &[String]) -> String {
    let mut lines = table.lines();
    let head = lines.next().unwrap();
    let columns: Vec<&str> = head.split(',').collect();
    let value = columns.iter().position(|c| *c == "density" || *c == "celsius").unwrap();
    let at = |cells: &[String], name: &str| -> Option<f64> {
        cells[columns.iter().position(|c| *c == name)?].parse().ok()
    };
    let rows = lines.enumerate().map(|(row, line)| {
        let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        let light = match (at(&cells, "tablet_density"), at(&cells, "stops")) {
            (Some(tablet), _) => 3.1 - tablet,
            (_, Some(stops)) => 0.3 * (7.0 - stops),
            _ => 0.0,
        };
        let growth = at(&cells, "minutes").map_or(1.0, |m| m / (m + 6.0));
        if template == "leader" {
            cells[value + 1] = format!("{:.2}", 0.25 + 3.0 * growth);
        }
        cells[value] = match demo.get(row) {
            Some(density) => density.clone(),
            None if template == "temperatures" => format!("{:.1}", 23.0 - 0.1 * row as f64),
            None if template == "leader" => "20".to_owned(),
            None if template == "evenness" => format!("{:.2}", 0.80 + 0.01 * (row % 3) as f64),
            None if template == "paper" => {
                format!("{:.2}", 0.05 + 2.0 / (1.0 + (-(light - 1.5) * 4.0).exp()))
            }
            None => {
                let image = 0.7 * 0.25 * ((light - 0.8) / 0.25).exp().ln_1p();
                format!("{:.2}", 0.25 + growth * image)
            }
        };
        cells.join(",")
    });
    format!("{head}\n{}\n", rows.collect::<Vec<_>>().join("\n"))
}
