//! Film and developer of strips, pairing and bath are the same, or somebody says that it does not matter.

use super::refused;
use crate::desk::Desk;

const CALIBRATE: [&str; 6] = ["calibrate", "f.csv", "--log-exposure-clear", "0", "--out", "p.toml"];

/// The demonstration's family with the film of strips A to C, and of the others.
fn family(desk: &Desk, first: &str, others: &str) {
    desk.copy("family.csv");
    let text = desk.read("family.csv");
    let lines = text.lines().map(|line| {
        let film = if line.starts_with(['A', 'B', 'C']) { first } else { others };
        line.replace("Larkfold", film) + "\n"
    });
    desk.write("f.csv", &lines.collect::<String>());
}

#[test]
fn a_family_of_two_films_is_refused() {
    let desk = Desk::empty();
    family(&desk, "Larkfold", "Harrowmere");
    let out =
        "--film NAME takes the strips of one, and --name NAME takes all under a name of your own";
    refused(
        &desk,
        &CALIBRATE,
        &format!("the strips are of 2 films: Larkfold and Harrowmere; {out}"),
    );
    refused(
        &desk,
        &[CALIBRATE.as_slice(), &["--film", "Plover"]].concat(),
        "no strip is of the film Plover; they are of Larkfold and Harrowmere",
    );
    let v = desk.json(&[CALIBRATE.as_slice(), &["--film", "harrowmere", "--json"]].concat());
    assert_eq!(v["pairing"]["name"], "Harrowmere in Quillback 1+6");
    assert_eq!(desk.read("p.toml").matches("[[strip]]").count(), 3);
    let named = [CALIBRATE.as_slice(), &["--name", "both", "--replace", "--json"]].concat();
    assert_eq!(desk.json(&named)["pairing"]["name"], "both");
    assert_eq!(desk.read("p.toml").matches("[[strip]]").count(), 6);
    // A slip is asked about; case and blanks are none.
    family(&desk, "Larkfold", "Larkfeld");
    desk.write("p.toml", "");
    refused(
        &desk,
        &CALIBRATE,
        &format!("the strips are of 2 films: Larkfold and Larkfeld; is one of them a slip?; {out}"),
    );
    family(&desk, "Larkfold", "LARK FOLD");
    assert_eq!(desk.run(&CALIBRATE).0, 0);
}

/// The control strip of the demonstration with other names.
fn control(desk: &Desk, film: &str, developer: &str) {
    desk.copy("control.csv");
    let text = desk.read("control.csv");
    desk.write("c.csv", &text.replace("Larkfold", film).replace("Quillback 1+6", developer));
}

#[test]
fn a_control_strip_of_another_film_is_refused() {
    let desk = Desk::with_pairing();
    let verify = ["verify", "pairing.toml", "c.csv", "--log-exposure-clear", "0"];
    control(&desk, "Harrowmere", "Quillback 1+6");
    let differs = "the pairing is of the film Larkfold, and the strip is of the film Harrowmere";
    refused(
        &desk,
        &verify,
        &format!("c.csv: strip \"2026-11-17\": {differs}; use --anyway to go on all the same"),
    );
    let (status, out, err) = desk.run(&[verify.as_slice(), &["--anyway"]].concat());
    assert_eq!((status, err.as_str()), (1, ""));
    assert!(one_line(&out).contains(differs), "{out}");
    control(&desk, "Larkfeld", "Quillback 1+6");
    let (status, _, err) = desk.run(&verify);
    assert!(status == 2 && err.contains("of the film Larkfeld: did you mean Larkfold?"), "{err}");
    control(&desk, "Larkfold", "Quillback 1+9");
    let (status, _, err) = desk.run(&verify);
    assert!(
        status == 2 && err.contains("the strip is of the developer Quillback 1+9; use"),
        "{err}"
    );
    // What is not named is no difference.
    for (film, developer) in [("", ""), ("larkfold", "quillback"), ("Larkfold", "Quillback 1 + 6")]
    {
        control(&desk, film, developer);
        assert_eq!(desk.run(&verify).0, 1, "{film} {developer}");
    }
}

/// A text without its line breaks.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_bath_of_another_developer_is_refused() {
    let desk = Desk::with_pairing();
    desk.copy_all();
    let text = desk.read("data/bath.csv").replace("Quillback 1+6,1+6", "Sandpiper,1+4");
    desk.write("b.csv", &text);
    let differs = "the pairing is of the developer Quillback 1+6, and the bath of b.csv is of the developer Sandpiper 1+4";
    let message = format!("{differs}; use --anyway to go on all the same");
    let day = ["--date", "2026-11-17"];
    let adjust = [["adjust", "pairing.toml"], ["--bath", "b.csv"], day].concat();
    refused(&desk, &adjust, &message);
    let (status, out, _) = desk.run(&[adjust.as_slice(), &["--anyway"]].concat());
    assert_eq!(status, 0);
    assert!(one_line(&out).contains(differs), "{out}");
    control(&desk, "Larkfold", "Quillback 1+6");
    let strip = ["bath", "strip", "b.csv", "pairing.toml", "c.csv", "--log-exposure-clear", "0"];
    refused(&desk, &strip, &message);
    let (status, out, _) = desk.run(&[strip.as_slice(), &["--anyway"]].concat());
    assert_eq!(status, 1);
    assert!(one_line(&out).contains(differs), "{out}");
    let plan = desk.read("data/session.toml").replace("\"../pairing.toml\"", "\"pairing.toml\"");
    desk.write("s.toml", &plan.replace("\"bath.csv\"", "\"b.csv\""));
    let session = [["session", "s.toml"], day].concat();
    refused(&desk, &session, &message);
    let (status, out, _) = desk.run(&[session.as_slice(), &["--anyway"]].concat());
    assert_eq!(status, 0);
    assert!(one_line(&out).contains(differs), "{out}");
}
