//! How the program answers whoever asks it what it can do.

use crate::desk::Desk;

#[test]
fn alone_it_shows_its_help_and_says_that_a_command_is_missing() {
    let desk = Desk::empty();
    let (status, out, err) = desk.run(&[]);
    assert_eq!((status, out.as_str()), (2, ""));
    let (_, help, _) = desk.run(&["-h"]);
    assert_eq!(err, help);
    for text in ["Usage: wedgebook", "  curve ", "  bath ", "--version"] {
        assert!(help.contains(text), "{text}");
    }
    let (status, _, err) = desk.run(&["bath"]);
    assert_eq!(status, 2);
    assert!(err.contains("Usage: wedgebook bath"), "{err}");
}

#[test]
fn help_of_a_command_is_the_same_before_it_and_after() {
    let desk = Desk::empty();
    for (before, after) in [
        (&["help", "curve"][..], &["curve", "--help"][..]),
        (&["help", "bath", "mix"], &["bath", "mix", "--help"]),
        (&["bath", "help", "mix"], &["bath", "mix", "--help"]),
        (&["help"], &["--help"]),
    ] {
        let (status, help, err) = desk.run(before);
        assert_eq!((status, err.as_str()), (0, ""));
        assert_eq!(help, desk.run(after).1, "{before:?}");
    }
}

#[test]
fn an_unknown_command_is_an_error_that_names_the_nearest() {
    let desk = Desk::empty();
    for (args, name) in [
        (&["crave"][..], "'curve'"),
        (&["help", "adjusst"], "'adjust'"),
        (&["bath", "mxi"], "'mix'"),
        (&["schema", "ajust"], "did you mean adjust?"),
        (&["schema", "bath", "statu"], "did you mean bath status?"),
        (&["completions", "bsh"], "'bash'"),
        (&["schema", "completions"], "wedgebook schema lists"),
    ] {
        let (status, out, err) = desk.run(args);
        assert_eq!((status, out.as_str()), (2, ""), "{args:?}");
        assert!(err.contains(name), "{args:?}: {err}");
    }
}

#[test]
fn the_version_is_that_of_the_package() {
    let desk = Desk::empty();
    let version = format!("wedgebook {}\n", env!("CARGO_PKG_VERSION"));
    for option in ["--version", "-V"] {
        assert_eq!(desk.run(&[option]), (0, version.clone(), String::new()));
    }
}
