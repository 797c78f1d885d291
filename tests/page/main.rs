//! The page's module against the program for the command line: the same questions, the same answers.
//!
//! The module is made by `node page/build.mjs`. Where it or Node is missing, the tests say what they skip;
//! with `CI=true` they fail. `WEDGEBOOK_CASES=300` compares so many inputs of each command.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

/// How many inputs of each command the quick run compares.
const QUICK: &str = "4";

fn binary() -> &'static Path {
    Path::new(env!("CARGO_BIN_EXE_wedgebook"))
}

/// The module; the one that the page has in it, unless another one is named.
fn module() -> PathBuf {
    match std::env::var_os("WEDGEBOOK_MODULE") {
        Some(named) => named.into(),
        None => binary().ancestors().nth(2).unwrap().join("page/wedgebook.wasm"),
    }
}

fn skipped(what: &str, missing: &str) {
    let ci = std::env::var("CI").is_ok_and(|ci| ci == "true");
    assert!(!ci, "{what}: {missing}");
    let _ = writeln!(std::io::stderr(), "SKIPPED: {what} ({missing})");
}

/// Runs a script of this folder with the binary, the module and `more`; what it printed.
fn run(script: &str, arguments: &[&str]) -> Option<String> {
    let what = format!("{script} {}", arguments.join(" "));
    if !module().exists() {
        skipped(&what, "there is no module: (cd page && npm ci && node build.mjs)");
        return None;
    }
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/page").join(script);
    let mut command = Command::new("node");
    command.arg(file).args(arguments.first()).arg(binary()).arg(module());
    let Ok(output) = command.args(arguments.get(1..).unwrap_or_default()).output() else {
        skipped(&what, "Node is not installed");
        return None;
    };
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{text}{errors}");
    let _ = writeln!(std::io::stderr(), "{}", text.trim_end());
    Some(text)
}

/// How many command lines were compared.
fn lines(printed: &str) -> usize {
    let mut words = printed.split(' ');
    words.find(|word| word.ends_with(':'));
    words.next().and_then(|n| n.parse().ok()).unwrap_or_else(|| panic!("{printed}"))
}

#[test]
fn the_guides_command_lines_have_the_same_answers() {
    if let Some(printed) = run("same.mjs", &["guide"]) {
        assert!(lines(&printed) >= 40, "{printed}");
    }
}

#[test]
fn random_inputs_have_the_same_answers() {
    let cases = std::env::var("WEDGEBOOK_CASES").unwrap_or_else(|_| QUICK.to_owned());
    if let Some(printed) = run("same.mjs", &["random", &cases]) {
        assert!(lines(&printed) >= 8 * cases.parse::<usize>().unwrap(), "{printed}");
    }
}

#[test]
fn the_module_in_a_page_has_todays_day_and_a_folder_like_any_other() {
    run("own.mjs", &["all"]);
}
