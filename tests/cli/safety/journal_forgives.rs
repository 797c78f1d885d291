//! A journal forgives: entries are listed, taken back, put in their place, and not made twice.

use super::refused;
use crate::desk::Desk;

const JOURNAL: &str = "date,act,litres,films,area_m2,added_ml,removed_ml,note\n\
    2026-03-03,mix,1.5,,,,,\n\
    # beside the sink\n\
    2026-03-05,film,,3 x 135-36,0.168,,,\n\
    2026-03-09,replenish,,,,90,90,\"after \"\"class\"\"\"\n";

fn desk() -> Desk {
    let desk = Desk::empty();
    desk.write("b.csv", JOURNAL);
    desk
}

#[test]
fn an_entry_is_taken_back_and_stays_in_the_file() {
    let desk = desk();
    let (status, out, err) = desk.run(&["bath", "undo", "b.csv"]);
    assert_eq!((status, err.as_str()), (0, ""));
    assert!(out.starts_with("taken back: 2026-03-09  added 90 ml, removed 90 ml\n"), "{out}");
    assert!(out.contains("line 5 of b.csv, struck out"), "{out}");
    let text = desk.read("b.csv");
    let (above, row) = JOURNAL.split_at(JOURNAL.find("2026-03-09").unwrap());
    let struck = text.strip_prefix(above).unwrap().strip_prefix("# struck out ").unwrap();
    assert_eq!(struck.get(10..), Some(format!(",{row}").as_str()), "all other bytes stay");
    // The one before it is the next.
    let (_, out, _) = desk.run(&["bath", "undo", "b.csv"]);
    assert!(out.starts_with("taken back: 2026-03-05  3 x 135-36, 0.168 m²\n"), "{out}");
    assert!(out.contains("3 films and 0.168") && out.contains("no film so far"), "{out}");
    let listed = desk.json(&["bath", "log", "b.csv", "--json"]);
    assert_eq!(listed["entries"].as_array().unwrap().len(), 1);
    let all = desk.json(&["bath", "log", "b.csv", "--all", "--json"]);
    let entries = all["entries"].as_array().unwrap();
    assert_eq!(entries.len(), 3);
    assert!(entries[0].get("struck_out").is_none());
    assert_eq!(entries[2]["note"], "after \"class\"");
    assert!(entries[2]["struck_out"].is_string());
    // It can be entered again: what is struck out repeats nothing.
    let again = ["bath", "replenish", "b.csv", "--added-ml", "90", "--date", "2026-03-09"];
    assert_eq!(desk.run(&again).0, 0);
}

#[test]
fn a_text_of_several_lines_is_struck_out_whole() {
    let desk = Desk::empty();
    let text =
        "date;act;litres;note\r\n2026-03-03;mix;1,5;\r\n2026-03-04;note;;\"two\r\nlines\"\r\n";
    desk.write("b.csv", text);
    assert_eq!(desk.run(&["bath", "undo", "b.csv"]).0, 0);
    let now = desk.read("b.csv");
    assert_eq!(now.matches("# struck out ").count(), 2, "{now}");
    let (status, out, err) = desk.run(&["bath", "log", "b.csv"]);
    assert_eq!((status, err.as_str()), (0, ""));
    assert!(out.contains("mixed 1.5 litres") && !out.contains("noted"), "{out}");
    // The file's own way of writing stays.
    assert_eq!(desk.run(&["bath", "film", "b.csv", "--area-m2", "0.25"]).0, 2, "no such column");
    let (status, ..) = desk.run(&["bath", "note", "b.csv", "clear", "--date", "2026-03-05"]);
    assert_eq!(status, 0);
    assert!(
        desk.read("b.csv").ends_with("2026-03-05;note;;\"clear\"\r\n")
            || desk.read("b.csv").ends_with("\"2026-03-05\";note;;\"clear\"\r\n")
    );
}

#[test]
fn what_cannot_be_taken_back_is_refused() {
    let desk = desk();
    refused(
        &desk,
        &["bath", "undo", "b.csv", "--line", "3"],
        "b.csv: no entry begins in line 3; nothing is taken back",
    );
    refused(
        &desk,
        &["bath", "undo", "b.csv", "--line", "2"],
        "b.csv: the journal stays as it is, because with this change its entries contradict each other; see to these first:\nb.csv:4, column \"act\": film before any mix: there is no bath yet; enter the mix first",
    );
    desk.write("e.csv", "date,act,litres\n");
    refused(&desk, &["bath", "undo", "e.csv"], "e.csv: it has no entry; nothing is taken back");
    refused(
        &desk,
        &["bath", "log", "none.csv"],
        "none.csv: no such journal; check the path, or begin it with a mix: wedgebook bath mix none.csv --litres N",
    );
}

#[test]
fn a_late_entry_goes_to_its_place() {
    let desk = desk();
    let late = ["bath", "film", "b.csv", "--rolls", "2", "--date", "2026-03-04"];
    refused(
        &desk,
        &late,
        "b.csv, new entry, column \"date\": 2026-03-04 is before the entry before it, 2026-03-09; entries stand in the order of their dates: correct the date, or use --late to put it in its place by date",
    );
    let (status, out, err) = desk.run(&[late.as_slice(), &["--late"]].concat());
    assert_eq!((status, err.as_str()), (0, ""));
    assert!(out.contains("it goes before 2 entries of later days"), "{out}");
    assert!(out.contains("3 films and 0.168") && out.contains("5 films and 0.28"), "{out}");
    let row = "2026-03-04,film,,2 × 135-36,0.112,,,\n";
    let at = JOURNAL.find("2026-03-05").unwrap();
    let (above, below) = JOURNAL.split_at(at);
    assert_eq!(desk.read("b.csv"), format!("{above}{row}{below}"));
    // Of the day of another entry it goes after that.
    let v = desk.json(&[
        "bath",
        "film",
        "b.csv",
        "--rolls",
        "1",
        "--date",
        "2026-03-05",
        "--late",
        "--json",
    ]);
    assert_eq!((&v["entry"]["line"], &v["later_entries"]), (&6.into(), &1.into()));
    // A day that is not before others needs no place.
    let v = desk.json(&[
        "bath",
        "film",
        "b.csv",
        "--rolls",
        "1",
        "--date",
        "2026-03-10",
        "--late",
        "--json",
    ]);
    assert!(v.get("later_entries").is_none());
    // Nothing comes before the mix.
    refused(
        &desk,
        &["bath", "film", "b.csv", "--rolls", "1", "--date", "2026-03-01", "--late"],
        "b.csv: the journal stays as it is, because with this change its entries contradict each other; see to these first:\nb.csv:2, column \"act\": film before any mix: there is no bath yet; enter the mix first",
    );
}

#[test]
fn the_same_is_not_entered_twice_by_mistake() {
    let desk = desk();
    let film = ["bath", "film", "b.csv", "--rolls", "2", "--date", "2026-03-09"];
    assert_eq!(desk.run(&film).0, 0);
    refused(
        &desk,
        &film,
        "b.csv, new entry, column \"act\": film: line 6 has the same on the same day; use --again to enter it once more",
    );
    assert_eq!(desk.run(&[film.as_slice(), &["--again"]].concat()).0, 0);
    // Another amount, another day or another note is not the same.
    for other in [
        ["bath", "film", "b.csv", "--rolls", "3", "--date", "2026-03-09"],
        ["bath", "film", "b.csv", "--rolls", "2", "--date", "2026-03-10"],
        ["bath", "note", "b.csv", "clear", "again", "--date", "2026-03-10"],
        ["bath", "note", "b.csv", "clear", "still", "--date", "2026-03-10"],
    ] {
        assert_eq!(desk.run(&other).0, 0, "{other:?}");
    }
}

/// Eight programs at once: late entries and entries taken back, each in a file of its own making.
#[test]
fn eight_programs_change_one_journal() {
    use std::process::{Command, Stdio};
    let desk = desk();
    let run = |line: String| {
        Command::new(assert_cmd::cargo::cargo_bin("wedgebook"))
            .args(line.split(' '))
            .current_dir(desk.path())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap()
    };
    let late = |k: u32| run(format!("bath note b.csv late-{k} --date 2026-03-04 --late"));
    let last = |k: u32| run(format!("bath note b.csv last-{k} --date 2026-03-10"));
    let mut all: Vec<_> = (0..4).flat_map(|k| [late(k), last(k)]).collect();
    assert!(all.iter_mut().all(|child| child.wait().unwrap().success()));
    // Four of the last day are there to be taken back, by eight of whom four more reach further.
    let mut undo: Vec<_> = (0..4).map(|_| run("bath undo b.csv".to_owned())).collect();
    assert!(undo.iter_mut().all(|child| child.wait().unwrap().success()));
    let v = desk.json(&["bath", "log", "b.csv", "--all", "--json"]);
    let entries = v["entries"].as_array().unwrap();
    let struck = entries.iter().filter(|e| e.get("struck_out").is_some());
    let notes: Vec<&str> = struck.map(|e| e["note"].as_str().unwrap()).collect();
    assert_eq!((entries.len(), notes.len()), (11, 4));
    assert!(notes.iter().all(|note| note.starts_with("last-")), "{notes:?}");
    assert_eq!(desk.names(), ["b.csv"], "nothing is left beside it");
}

/// A program that is killed while it changes the journal leaves it as before or as after.
#[test]
fn a_killed_change_is_whole_or_not_made() {
    use std::process::{Command, Stdio};
    let desk = desk();
    let mut whole = 0;
    for run in 0..60_u64 {
        desk.write("b.csv", JOURNAL);
        let mut child = Command::new(assert_cmd::cargo::cargo_bin("wedgebook"))
            .args(["bath", "film", "b.csv", "--rolls", "2", "--date", "2026-03-04", "--late"])
            .current_dir(desk.path())
            .stdout(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(std::time::Duration::from_micros(200 * run));
        let _ = child.kill();
        let done = child.wait().unwrap().success();
        let text = desk.read("b.csv");
        let changed = text.contains("2026-03-04,film,,2 × 135-36,0.112,,,\n2026-03-05");
        assert!(changed && text.len() > JOURNAL.len() || text == JOURNAL, "{text}");
        assert!(changed || !done);
        whole += u32::from(changed);
    }
    assert!(whole > 0, "no change was made");
}

/// Of four that enter the same session at once, one does.
#[test]
fn a_session_is_entered_once() {
    use std::process::{Command, Stdio};
    let desk = Desk::with_pairing();
    desk.copy_all();
    let run = |_| {
        Command::new(assert_cmd::cargo::cargo_bin("wedgebook"))
            .args(["session", "session.toml", "--enter", "--date", "2026-11-20"])
            .current_dir(desk.path())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    };
    let text = desk.read("data/session.toml").replace("\"../pairing.toml\"", "\"pairing.toml\"");
    desk.write("session.toml", &text.replace("\"bath.csv\"", "\"data/bath.csv\""));
    let before = desk.json(&["bath", "log", "data/bath.csv", "--all", "--json"]);
    let programs: Vec<_> = (0..4).map(run).collect();
    let mut statuses = Vec::new();
    for program in programs {
        let output = program.wait_with_output().unwrap();
        let err = String::from_utf8(output.stderr).unwrap();
        let told = err.contains("this session is entered already") || err.contains("use --again");
        statuses.push(output.status.code().unwrap());
        assert_eq!(output.status.code() == Some(2), told, "{err}");
    }
    statuses.sort_unstable();
    assert_eq!(statuses, [0, 2, 2, 2]);
    let after = desk.json(&["bath", "log", "data/bath.csv", "--all", "--json"]);
    let count = |v: &serde_json::Value| v["entries"].as_array().unwrap().len();
    // Two batches, and what is replenished after them.
    assert_eq!(count(&after) - count(&before), 4);
}
