//! The README's sessions, run again: what it shows is what the program prints.
//!
//! A line `…` (or `  note: …`) stands for lines that are left out.

use assert_cmd::Command;
use std::path::Path;

/// The text of the `n`th block of output.
fn block(readme: &str, n: usize) -> &str {
    readme.split("```text\n").nth(n).and_then(|b| b.split("```").next()).unwrap()
}

/// Commands and what they are said to print, in the order of the README.
pub fn sessions(readme: &str) -> Vec<(String, String)> {
    // The first block is what the main job prints, the first command of all.
    let (_, job) = readme.split_once("cargo run --release --locked -- ").unwrap();
    let mut sessions = vec![(job.lines().next().unwrap().to_owned(), block(readme, 1).to_owned())];
    let blocks = readme.split("```text\n").skip(2);
    for block in blocks.filter_map(|b| b.split("```").next()) {
        let mut open = false;
        for line in block.lines() {
            if let Some(command) = line.strip_prefix("$ wedgebook ") {
                sessions.push((command.to_owned(), String::new()));
                open = true;
            } else if open && let Some((_, output)) = sessions.last_mut() {
                output.push_str(line);
                output.push('\n');
            }
        }
    }
    sessions
}

/// The pieces between what is left out.
fn pieces(output: &str) -> Vec<String> {
    let mut pieces = vec![String::new()];
    for line in output.trim_end().lines() {
        if line.trim() == "…" || line == "  note: …" {
            pieces.push(String::new());
        } else if let Some(last) = pieces.last_mut() {
            last.push_str(line);
            last.push('\n');
        }
    }
    pieces
}

#[test]
fn the_sessions_are_what_is_printed() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let readme = std::fs::read_to_string(root.join("README.md")).unwrap();
    let desk = tempfile::tempdir().unwrap();
    std::fs::create_dir(desk.path().join("data")).unwrap();
    for file in std::fs::read_dir(root.join("data")).unwrap() {
        let file = file.unwrap();
        std::fs::copy(file.path(), desk.path().join("data").join(file.file_name())).unwrap();
    }
    let sessions = sessions(&readme);
    assert!(sessions.len() >= 8, "{}", sessions.len());
    for (command, expected) in sessions {
        let output = Command::cargo_bin("wedgebook")
            .unwrap()
            .args(command.split(' '))
            .current_dir(desk.path())
            .output()
            .unwrap();
        let printed = String::from_utf8(output.stdout).unwrap();
        let mut rest = printed.as_str();
        for piece in pieces(&expected) {
            let piece = piece.trim();
            let at = rest.find(piece);
            assert!(
                at.is_some(),
                "$ wedgebook {command}\nsaid in the README:\n{piece}\nprinted:\n{printed}{}",
                String::from_utf8_lossy(&output.stderr)
            );
            rest = &rest[at.unwrap_or(0) + piece.len()..];
        }
    }
}
