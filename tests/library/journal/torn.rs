//! What a crash or a full disk leaves.

use super::{Desk, bare, film, mix, note};
use std::path::Path;
use wedgebook::bath::journal::{Entry, Journal};

/// A journal in some style and the entries in it, and a further entry with the bytes of its line.
fn journals() -> Vec<(Vec<u8>, Vec<Entry>, Vec<u8>)> {
    let mut further = film(8, "2 × 120 + 6 × 4x5in", 0.179_509);
    further.note = Some("warm, 24 °C".to_owned());
    let heads = [
        None,
        Some("note;area_m2;films;what;dilution;act;litres;date\n"),
        Some("date\tact\tlitres\twhat\tdilution\tfilms\tnote\tarea_m2\r\n"),
        Some("date,act,litres,what,dilution,films,area_m2,note,tray\n"),
        Some("date,act,litres,what,dilution,films,area_m2,note\n"),
        Some("note,date,litres,what,dilution,films,area_m2,act\n"),
    ];
    let journal = |head: Option<&str>| {
        let desk = Desk::new();
        let path = desk.path("bath.csv");
        if let Some(head) = head {
            std::fs::write(&path, head).unwrap();
        }
        let entries = vec![mix(3, 1.5), film(5, "3 × 135-36", 0.168)];
        for entry in &entries {
            Journal::append(&path, entry).unwrap();
        }
        let before = std::fs::read(&path).unwrap();
        Journal::append(&path, &further).unwrap();
        let line = std::fs::read(&path).unwrap().strip_prefix(&before[..]).unwrap().to_owned();
        (before, entries, line)
    };
    heads.into_iter().map(journal).collect()
}

/// A line cut at every byte is found, moved aside, and told.
#[test]
fn a_line_cut_anywhere_is_moved_aside() {
    for (before, entries, line) in journals() {
        let ends = line.iter().rev().take_while(|byte| b"\r\n".contains(byte)).count();
        for cut in 1..line.len() - ends {
            let part = &line[..cut];
            let bytes = [&before[..], part].concat();
            let desk = Desk::with(&bytes);
            let journal = desk.journal();
            assert_eq!(bare(&journal.entries), entries, "{}", String::from_utf8_lossy(part));
            assert!(
                journal.notes.last().unwrap().to_string().contains("cut short by a crash"),
                "{part:?}"
            );
            assert_eq!(
                std::fs::read(desk.path("bath.csv")).unwrap(),
                bytes,
                "reading changes nothing"
            );
            if cut % 9 != 0 {
                continue; // an append waits for the disk
            }
            let appended = Journal::append(&desk.path("bath.csv"), &film(9, "120", 0.05)).unwrap();
            let (text, beside) = appended.torn.unwrap();
            assert!(
                String::from_utf8_lossy(part).starts_with(text.split('\u{FFFD}').next().unwrap())
            );
            assert_eq!(beside, desk.path("bath.csv.torn"));
            assert_eq!(std::fs::read(beside).unwrap(), [part, b"\n"].concat());
            let journal = desk.journal();
            assert_eq!((journal.entries.len(), journal.torn), (3, None));
            assert!(std::fs::read(desk.path("bath.csv")).unwrap().starts_with(&before));
        }
    }
}

/// The one part of a line that passes for a whole row, as `tail` says: it is not silent.
#[test]
fn a_remark_cut_between_two_quotation_marks_is_told() {
    let desk =
        Desk::with("date,act,litres,note\n2026-03-03,mix,1.5,\n\"2026-03-04\",note,,\"at 5\"");
    let journal = desk.journal();
    assert_eq!(journal.entries[1].note.as_deref(), Some("at 5"));
    assert!(
        journal.notes[0]
            .to_string()
            .ends_with(":3: the last line has no line end; it is taken as whole")
    );
}

/// Only the line end was lost: the entry is whole.
#[test]
fn a_line_that_lacks_only_its_end_is_an_entry() {
    for (before, entries, line) in journals() {
        let whole = line.strip_suffix(b"\n").unwrap();
        let desk = Desk::with([&before[..], whole].concat());
        let journal = desk.journal();
        assert_eq!((journal.entries.len(), journal.torn), (entries.len() + 1, None));
        let said = journal.notes.iter().any(|n| {
            n.to_string()
                == format!(
                    "{}:4: the last line has no line end; it is taken as whole",
                    desk.path("bath.csv").display()
                )
        });
        assert!(said, "{:?}", journal.notes);
        Journal::append(&desk.path("bath.csv"), &film(9, "120", 0.05)).unwrap();
        assert!(
            std::fs::read(desk.path("bath.csv"))
                .unwrap()
                .starts_with(&[&before[..], &line].concat())
        );
    }
}

#[test]
fn garbage_at_the_end_is_moved_aside() {
    let (before, entries, _) = journals().remove(0);
    for garbage in
        [&b"\0\0\0\0"[..], b"\0\0\n\0\0\n", b"\x93\x01,,\n\xFF\xFE", b"2026-03-09,note,\0\0"]
    {
        let desk = Desk::with([&before[..], garbage].concat());
        assert_eq!(bare(&desk.journal().entries), entries);
        let run = desk.bath(&["note", "bath.csv", "x", "--date", "2026-03-09"]);
        assert_eq!(run.status, 0);
        let told = "wedgebook: bath.csv: the last line was cut short by a crash; it is moved to bath.csv.torn: ";
        assert!(run.err.starts_with(told), "{}", run.err);
        assert_eq!(std::fs::read(desk.path("bath.csv.torn")).unwrap(), [garbage, b"\n"].concat());
        assert_eq!(desk.journal().entries.len(), entries.len() + 1);
    }
    // Good rows follow: no crash does that, and nothing is moved.
    let desk = Desk::with([&before[..], b"\0\0\n", &before[before.len() - 60..]].concat());
    assert!(desk.refused("note bath.csv x --date 2026-03-09").contains("bytes that are no text"));
}

/// Even the first line of all may be torn.
#[test]
fn a_torn_beginning_is_begun_anew() {
    let desk = Desk::mixed();
    let whole = std::fs::read(desk.path("bath.csv")).unwrap();
    let header = whole.iter().position(|byte| *byte == b'\n').unwrap();
    for cut in [1, 2, 3, 8, 40, header] {
        let desk = Desk::with(&whole[..cut]);
        assert!(desk.refused("note bath.csv x").contains("the journal is empty"), "{cut}");
        assert!(Journal::append(&desk.path("bath.csv"), &mix(3, 1.5)).is_ok());
        assert_eq!(desk.journal().entries.len(), 1);
        assert!(desk.text().starts_with("\u{FEFF}date,act,litres,"));
    }
    let desk = Desk::with([0; 600]);
    assert_eq!(desk.bath(&["mix", "bath.csv", "--litres", "1"]).status, 0);
    assert_eq!(desk.journal().entries.len(), 1);
    assert_eq!(std::fs::read(desk.path("bath.csv.torn")).unwrap().len(), 601);
}

/// One after the other they stand in the file beside.
#[test]
fn torn_lines_are_all_kept() {
    let desk = Desk::mixed();
    for (part, day) in [("2026-0", 4), ("2026-03-05,fi", 5)] {
        let text = format!("{}{part}", desk.text());
        std::fs::write(desk.path("bath.csv"), text).unwrap();
        Journal::append(&desk.path("bath.csv"), &note(day, "x")).unwrap();
    }
    assert_eq!(
        std::fs::read_to_string(desk.path("bath.csv.torn")).unwrap(),
        "2026-0\n2026-03-05,fi\n"
    );
}

/// A run with files limited to so many blocks, as on a full disk.
#[cfg(unix)]
fn limited(folder: &Path, blocks: u32, args: &str) -> (i32, String) {
    let program = assert_cmd::cargo::cargo_bin("wedgebook");
    let script =
        format!("trap '' XFSZ; ulimit -f {blocks}; exec {} bath {args}", program.display());
    let output = std::process::Command::new("sh")
        .args(["-c", &script])
        .current_dir(folder)
        .output()
        .unwrap();
    (output.status.code().unwrap(), String::from_utf8(output.stderr).unwrap())
}

#[cfg(unix)]
#[test]
fn a_full_disk_leaves_the_journal_as_it_was() {
    let desk = Desk::mixed();
    let row = desk.text().lines().count();
    let fill = 1000 - desk.text().len() - format!("2026-03-04,note{}\n", ",".repeat(32)).len();
    Journal::append(&desk.path("bath.csv"), &note(4, &"x".repeat(fill))).unwrap();
    assert_eq!((row, desk.text().len()), (2, 1000));
    let before = desk.text();
    let long = "long".repeat(50);
    // The block of a limit is 512 or 1024 bytes; one of these limits cuts the entry in two.
    let mut in_two = 0;
    for blocks in 0..4 {
        let (status, err) =
            limited(desk.0.path(), blocks, &format!("note bath.csv {long} --date 2026-04-01"));
        if status == 0 {
            std::fs::write(desk.path("bath.csv"), &before).unwrap();
            continue;
        }
        assert_eq!(status, 2);
        assert!(
            err.contains("the entry is not made, for it cannot be written")
                && err.ends_with("; the journal is as before\n"),
            "{err}"
        );
        assert_eq!(desk.text(), before);
        in_two += usize::from(err.contains("found room"));
    }
    assert_eq!(in_two, 1);
    desk.done("note bath.csv room --date 2026-04-01");
}

/// Also then it is told where the torn line went.
#[cfg(unix)]
#[test]
fn a_torn_line_is_told_of_on_a_full_disk_too() {
    let desk = Desk::mixed();
    let padding = note(4, &"x".repeat(3000));
    Journal::append(&desk.path("bath.csv"), &padding).unwrap();
    let whole = desk.text();
    std::fs::write(desk.path("bath.csv"), format!("{whole}2026-03-05,no")).unwrap();
    let (status, err) = limited(desk.0.path(), 1, "note bath.csv x --date 2026-03-09");
    assert_eq!(status, 2);
    assert!(err.ends_with("; the journal is as before, but for a last line cut short by a crash, which is now in bath.csv.torn\n"), "{err}");
    assert_eq!(desk.text(), whole);
    assert_eq!(std::fs::read_to_string(desk.path("bath.csv.torn")).unwrap(), "2026-03-05,no\n");
}

#[cfg(unix)]
#[test]
fn a_full_disk_leaves_no_empty_journal() {
    let desk = Desk::new();
    let (status, err) = limited(desk.0.path(), 0, "mix bath.csv --litres 1");
    assert_eq!(status, 2);
    assert!(err.ends_with("; the journal is as before\n"), "{err}");
    assert!(!desk.path("bath.csv").exists());
}

/// The entry is on the disk; that it cannot be told of is said, so that nobody makes it twice.
#[cfg(target_os = "linux")]
#[test]
fn an_entry_that_cannot_be_told_of_is_made() {
    let desk = Desk::mixed();
    let output = std::process::Command::new(assert_cmd::cargo::cargo_bin("wedgebook"))
        .args("bath note bath.csv x --date 2026-03-09".split(' '))
        .current_dir(desk.0.path())
        .stdout(std::fs::File::create("/dev/full").unwrap())
        .output()
        .unwrap();
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(
        err.starts_with("wedgebook: the entry is made in bath.csv, but cannot be shown: "),
        "{err}"
    );
    assert_eq!(desk.journal().entries.len(), 2);
}

/// Where the torn line cannot be kept, nothing is done at all.
#[test]
fn what_cannot_be_kept_is_not_removed() {
    let desk = Desk::mixed();
    let torn = format!("{}2026-03", desk.text());
    std::fs::write(desk.path("bath.csv"), &torn).unwrap();
    std::fs::create_dir(desk.path("bath.csv.torn")).unwrap();
    let refused = desk.refused("note bath.csv x --date 2026-03-09");
    assert!(
        refused.contains("the entry is not made") && refused.ends_with("the journal is as before"),
        "{refused}"
    );
}
