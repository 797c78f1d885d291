//! What is left out with --quiet, and what is not.

use crate::desk::{Desk, data};

#[test]
fn notes_and_hints_on_stderr_go_and_the_answer_stays() {
    let desk = Desk::with_pairing();
    // What was taken from the folder is a note.
    let (status, answer, note) = desk.run(&["adjust", "-t", "21"]);
    assert_eq!(status, 0);
    assert!(note.contains("note: from"), "{note}");
    for args in [&["adjust", "-t", "21", "--quiet"][..], &["-q", "adjust", "-t", "21"]] {
        assert_eq!(desk.run(args), (0, answer.clone(), String::new()));
    }
    assert!(answer.contains("note: "), "{answer}");
    // How to go on is a hint; that it is not reachable is the answer.
    let cold = ["adjust", "pairing.toml", "-t", "2"];
    let (status, answer, hint) = desk.run(&cold);
    assert!(hint.contains("--extrapolate"), "{hint}");
    let quiet = [&cold[..], &["--quiet"]].concat();
    assert_eq!(desk.run(&quiet), (status, answer, String::new()));
}

#[test]
fn cautions_and_do_not_use_stay() {
    let desk = Desk::empty();
    for args in [
        &["bath", "discard", "bath.csv", "--date", "2026-11-18", "--quiet"][..],
        &["bath", "status", "bath.csv", "--date", "2026-11-18", "--quiet"],
    ] {
        desk.copy("bath.csv");
        if args[1] == "status" {
            desk.run(&["bath", "discard", "bath.csv", "--date", "2026-11-18"]);
        }
        let (_, out, _) = desk.run(args);
        let kept = out.contains("caution: ") || out.contains("thrown away");
        assert!(kept, "{out}");
    }
}

#[test]
fn errors_stay() {
    let desk = Desk::empty();
    for args in [&["curve", "none.csv"][..], &["adjust", "none.toml"], &["bath", "status", "b.csv"]]
    {
        let (status, _, err) = desk.run(args);
        assert_eq!(status, 2);
        let quiet = [args, &["--quiet"]].concat();
        assert_eq!(desk.run(&quiet), (2, String::new(), err), "{args:?}");
    }
}

#[test]
fn a_slip_of_the_hand_in_the_journal_stays() {
    let desk = Desk::empty();
    let journal = "date,act,litres,films,area_m2\n2026-11-02,mix,1.5,,\n2026-11-03,film,,,450\n";
    desk.write("bath.csv", journal);
    let args = ["bath", "log", "bath.csv"];
    let (_, _, err) = desk.run(&args);
    assert!(err.contains("450"), "{err}");
    let (_, _, quiet) = desk.run(&[&args[..], &["-q"]].concat());
    assert_eq!(quiet, err);
}

#[test]
fn no_bar_of_progress_reaches_a_pipe() {
    let desk = Desk::empty();
    for option in [&[][..], &["--json"]] {
        let many = vec![data("family.csv"); 40];
        let args: Vec<&str> = many.iter().map(String::as_str).collect();
        let args = [&["curve", "--log-exposure-clear", "0"], args.as_slice(), option].concat();
        let (status, _, err) = desk.run(&args);
        assert_eq!(status, 0);
        assert!(!err.contains(['\r', '\u{1b}']) && !err.contains("fitting"), "{err}");
        let quiet = [&args[..], &["--quiet"]].concat();
        assert_eq!(desk.run(&quiet).2, "");
    }
}
