//! The sessions of the README and of the guide, run again: what they show is what the program prints.
//!
//! A line `…` (or `  note: …`) stands for lines that are left out.

use assert_cmd::Command;
use std::path::Path;

/// The pages in the order in which they are read; later ones use the files of earlier ones.
const GUIDE: [&str; 8] =
    ["curve", "calibrate", "bath", "evenness", "session", "print", "readings", "trust"];

/// Commands and what they are said to print, in the order of the page.
fn sessions(page: &str) -> Vec<(String, String)> {
    let mut sessions: Vec<(String, String)> = Vec::new();
    let blocks = page.split("```text\n").skip(1);
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
        assert!(open, "a block without a command:\n{block}");
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

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn page(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap_or_else(|why| panic!("{path}: {why}"))
}

/// A folder with a copy of the demonstration's data.
fn desk() -> tempfile::TempDir {
    let desk = tempfile::tempdir().unwrap();
    std::fs::create_dir(desk.path().join("data")).unwrap();
    for file in std::fs::read_dir(root().join("data")).unwrap() {
        let file = file.unwrap();
        std::fs::copy(file.path(), desk.path().join("data").join(file.file_name())).unwrap();
    }
    desk
}

/// Runs the sessions of a page in a folder, and compares.
fn run(path: &str, desk: &Path) -> usize {
    let sessions = sessions(&page(path));
    for (command, expected) in &sessions {
        let output = Command::cargo_bin("wedgebook")
            .unwrap()
            .args(command.split(' '))
            .current_dir(desk)
            .output()
            .unwrap();
        let printed = String::from_utf8(output.stdout).unwrap();
        let mut rest = printed.as_str();
        for piece in pieces(expected) {
            let piece = piece.trim();
            let at = rest.find(piece);
            assert!(
                at.is_some(),
                "$ wedgebook {command}\nsaid in {path}:\n{piece}\nprinted:\n{printed}{}",
                String::from_utf8_lossy(&output.stderr)
            );
            rest = &rest[at.unwrap_or(0) + piece.len()..];
        }
    }
    sessions.len()
}

/// All commands that the README and the guide show, in their order.
pub fn commands() -> Vec<String> {
    let guide = GUIDE.map(|name| format!("docs/guide/{name}.md"));
    let pages = std::iter::once("README.md".to_owned()).chain(guide);
    pages.flat_map(|path| sessions(&page(&path))).map(|(command, _)| command).collect()
}

#[test]
fn the_readmes_sessions_are_what_is_printed() {
    assert!(run("README.md", desk().path()) >= 4);
}

#[test]
fn the_guides_sessions_are_what_is_printed() {
    let desk = desk();
    let all: usize =
        GUIDE.map(|name| run(&format!("docs/guide/{name}.md"), desk.path())).iter().sum();
    assert!(all >= 20, "{all}");
    let mut pages: Vec<String> = std::fs::read_dir(root().join("docs/guide"))
        .unwrap()
        .map(|file| file.unwrap().path().file_stem().unwrap().to_string_lossy().into_owned())
        .collect();
    let mut named = GUIDE.map(str::to_owned).to_vec();
    pages.sort();
    named.sort();
    assert_eq!(pages, named);
}

/// Every link of the README and of the guide leads to a file.
#[test]
fn links_lead_somewhere() {
    let mut pages = vec!["README.md".to_owned()];
    pages.extend(GUIDE.map(|name| format!("docs/guide/{name}.md")));
    let mut seen = 0;
    for path in pages {
        let text = page(&path);
        for link in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            if link.contains("://") {
                continue;
            }
            let target = root().join(&path).parent().unwrap().join(link);
            assert!(target.exists(), "{path}: {link}");
            seen += 1;
        }
    }
    assert!(seen > 20);
}
