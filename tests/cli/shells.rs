//! What shells and `man` read.

use crate::desk::Desk;
use crate::help::commands;
use std::process::Command;

/// Whether a tool is here; where it is not, what is skipped is said.
fn has(tool: &str) -> bool {
    let there = Command::new(tool).arg("--version").output().is_ok();
    if !there {
        eprintln!("SKIPPED: what {tool} says of it ({tool} is not installed)");
    }
    there
}

/// What bash completes the last of these words to.
fn completed(desk: &Desk, words: &str) -> Vec<String> {
    let script = format!(
        "source ./wedgebook.bash; COMP_WORDS=({words}); COMP_CWORD=$((${{#COMP_WORDS[@]}} - 1)); \
         _wedgebook wedgebook \"${{COMP_WORDS[COMP_CWORD]}}\" \"${{COMP_WORDS[COMP_CWORD-1]}}\"; \
         printf '%s\\n' \"${{COMPREPLY[@]}}\""
    );
    let output = Command::new("bash")
        .args(["--noprofile", "--norc", "-c", &script])
        .current_dir(desk.path())
        .output()
        .unwrap();
    assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap().lines().map(str::to_owned).collect()
}

#[test]
fn bash_completes_commands_and_options() {
    let desk = Desk::empty();
    let (status, script, err) = desk.run(&["completions", "bash"]);
    assert_eq!((status, err.as_str()), (0, ""));
    desk.write("wedgebook.bash", &script);
    if !has("bash") {
        return;
    }
    let syntax = Command::new("bash")
        .args(["-n", "wedgebook.bash"])
        .current_dir(desk.path())
        .output()
        .unwrap();
    assert!(syntax.status.success() && syntax.stderr.is_empty(), "{syntax:?}");
    assert_eq!(completed(&desk, "wedgebook adj"), ["adjust"]);
    assert_eq!(completed(&desk, "wedgebook bath fo"), ["forecast"]);
    assert_eq!(completed(&desk, "wedgebook bath mix --li"), ["--litres"]);
    assert_eq!(completed(&desk, "wedgebook curve --model sm"), ["smooth"]);
    let all = completed(&desk, "wedgebook \"\"");
    for (words, _) in commands(&desk) {
        assert!(words.len() > 1 || all.contains(&words[0]), "{words:?}: {all:?}");
    }
}

#[test]
fn each_shell_has_all_commands() {
    let desk = Desk::empty();
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let (status, script, _) = desk.run(&["completions", shell]);
        assert_eq!(status, 0);
        for (words, _) in commands(&desk) {
            assert!(script.contains(words.last().unwrap().as_str()), "{shell}: {words:?}");
        }
    }
}

#[test]
fn each_command_has_a_page_of_the_manual() {
    let desk = Desk::empty();
    let (status, out, err) = desk.run(&["man", "manual/man1"]);
    assert_eq!((status, err.as_str()), (0, ""), "{out}");
    let is_read = has("groff");
    let mut names = vec!["wedgebook".to_owned()];
    names.extend(commands(&desk).iter().map(|(words, _)| format!("wedgebook-{}", words.join("-"))));
    for name in &names {
        let page = desk.read(&format!("manual/man1/{name}.1"));
        assert!(page.contains(&format!(".TH {name} 1 ")), "{name}");
        assert!(name == "wedgebook" || page.contains("Exit status: 0 "), "{name}");
        if is_read {
            let groff = Command::new("groff")
                .args(["-k", "-man", "-Tutf8", "-ww", "-z"])
                .arg(desk.path().join(format!("manual/man1/{name}.1")))
                .output()
                .unwrap();
            let said = String::from_utf8_lossy(&groff.stderr);
            assert!(groff.status.success() && said.is_empty(), "{name}: {said}");
        }
    }
    let there = std::fs::read_dir(desk.path().join("manual/man1")).unwrap().count();
    assert_eq!(there, names.len());
    assert!(out.contains(&names.len().to_string()), "{out}");
    // Once more: the pages are replaced.
    desk.write("manual/man1/wedgebook-curve.1", ".TH wedgebook-curve 1\nold\n");
    assert_eq!(desk.run(&["man", "manual/man1"]).0, 0);
    assert!(!desk.read("manual/man1/wedgebook-curve.1").contains("old"));
}

#[test]
fn a_file_that_is_no_page_of_ours_stays() {
    let desk = Desk::empty();
    desk.write("wedgebook-curve.1", "my own notes on curves\n");
    let (status, _, err) = desk.run(&["man", "."]);
    assert_eq!(status, 2);
    assert!(err.contains("wedgebook-curve.1") && err.contains("a text is in this file"), "{err}");
    assert_eq!(desk.names(), ["wedgebook-curve.1"]);
    let (status, _, err) = desk.run(&["man", "wedgebook-curve.1"]);
    assert_eq!(status, 2);
    assert!(err.contains("wedgebook-curve.1"), "{err}");
}
