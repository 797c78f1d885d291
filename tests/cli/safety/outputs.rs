//! An output never replaces an input, nor a file of another kind.

use super::refused;
use crate::desk::Desk;

/// A desk with one file of each kind.
fn full_desk() -> Desk {
    let desk = Desk::with_pairing();
    for name in [
        "strip.csv",
        "family.csv",
        "control.csv",
        "paper.csv",
        "evenness.csv",
        "proof-strip.csv",
        "negatives.csv",
        "temperatures.csv",
        "bath.csv",
        "strip.svg",
    ] {
        desk.copy(name);
    }
    let plan = std::fs::read_to_string(crate::desk::data("session.toml")).unwrap();
    desk.write("plan.toml", &plan.replace("../pairing.toml", "pairing.toml"));
    desk.write_bytes("photo.png", b"\xFF\xD8\xFF\xE0\0\x10JFIF");
    desk.write_bytes("print.png", b"\x89PNG\r\n\x1A\n\0\0\0\rIHDR");
    desk
}

#[test]
fn an_output_is_no_input_by_whatever_path() {
    let desk = full_desk();
    let read = "this file is read, and a table of curves would replace it; write a table of curves to another file";
    refused(&desk, &["curve", "strip.csv", "--csv", "strip.csv"], &format!("strip.csv: {read}"));
    let link = |of: &str| {
        format!(
            "this is the file {of}, which is read, and a table of curves would replace it; write a table of curves to another file"
        )
    };
    refused(
        &desk,
        &["curve", "strip.csv", "--csv", "./strip.csv"],
        &format!("./strip.csv: {}", link("strip.csv")),
    );
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("strip.csv", desk.path().join("soft.csv")).unwrap();
        std::fs::hard_link(desk.path().join("strip.csv"), desk.path().join("hard.csv")).unwrap();
        for other in ["soft.csv", "hard.csv"] {
            refused(
                &desk,
                &["curve", "strip.csv", "--csv", other],
                &format!("{other}: {}", link("strip.csv")),
            );
            refused(
                &desk,
                &["curve", other, "--csv", "strip.csv"],
                &format!("strip.csv: {}", link(other)),
            );
        }
    }
    // The table of an earlier run may be replaced, but not while it is read.
    assert_eq!(desk.run(&["curve", "strip.csv", "--csv", "table.csv"]).0, 0);
    assert_eq!(desk.run(&["curve", "strip.csv", "--csv", "table.csv"]).0, 0);
    refused(&desk, &["curve", "table.csv", "--csv", "table.csv"], &format!("table.csv: {read}"));
}

#[test]
fn a_figure_replaces_no_file_of_another_kind() {
    let desk = full_desk();
    let commands: [&[&str]; 11] = [
        &["curve", "strip.csv", "--plot"],
        &["calibrate", "family.csv", "--out", "new.toml", "--log-exposure-clear", "0", "--plot"],
        &["adjust", "pairing.toml", "--contrast", "0.56", "--card"],
        &["verify", "pairing.toml", "control.csv", "--log-exposure-clear", "0", "--plot"],
        &["evenness", "evenness.csv", "--plot"],
        &["paper", "paper.csv", "--plot"],
        &["proof", "proof-strip.csv", "--plot"],
        &["tone", "pairing.toml", "paper.csv", "--setting", "2", "--plot"],
        &["bath", "chart", "bath.csv", "--date", "2026-11-17", "--plot"],
        &["session", "plan.toml", "--date", "2026-11-17", "--page"],
        &["proof", "--negative", "negatives.csv", "--plot"],
    ];
    let others = [
        ("bath", "the journal of a bath"),
        ("pairing", "a pairing"),
        ("plan", "the plan of a session"),
        ("strip", "a file of readings"),
        ("print", "a PNG picture"),
        ("letter", "a text"),
    ];
    desk.write("letter.txt", "Dear reader\n");
    for (name, _) in others {
        let extension = match name {
            "bath" | "strip" => "csv",
            "pairing" | "plan" => "toml",
            "print" => "png",
            _ => "txt",
        };
        let bytes = desk.bytes(&format!("{name}.{extension}"));
        desk.write_bytes(&format!("of-{name}.svg"), &bytes);
    }
    for command in commands {
        for (name, kind) in others {
            let path = format!("of-{name}.svg");
            let args: Vec<&str> = command.iter().copied().chain([path.as_str()]).collect();
            refused(
                &desk,
                &args,
                &format!(
                    "{path}: {kind} is in this file, and a figure would replace it; write a figure to another file, or move this one away"
                ),
            );
        }
        let args: Vec<&str> = command.iter().copied().chain(["photo.png"]).collect();
        refused(
            &desk,
            &args,
            "photo.png: a file of another kind is in this file, and a figure would replace it; write a figure to another file, or move this one away",
        );
        let args: Vec<&str> = command.iter().copied().chain(["pairing.toml"]).collect();
        let (status, _, err) = desk.run(&args);
        assert_eq!(status, 2, "{args:?}: {err}");
    }
    // What is of the same kind is replaced.
    assert_eq!(desk.run(&["curve", "strip.csv", "--plot", "strip.svg"]).0, 0);
}

#[test]
fn a_pairing_replaces_no_file_of_another_kind() {
    let desk = full_desk();
    let calibrate = |out| ["calibrate", "family.csv", "--log-exposure-clear", "0", "--out", out];
    refused(
        &desk,
        &calibrate("plan.toml"),
        "plan.toml: the plan of a session is in this file, and a pairing would replace it; write a pairing to another file, or move this one away",
    );
    refused(
        &desk,
        &calibrate("bath.csv"),
        "bath.csv: its extension is .csv; a pairing is written as .toml",
    );
    refused(
        &desk,
        &calibrate("family.csv"),
        "family.csv: this file is read, and a pairing would replace it; write a pairing to another file",
    );
    desk.write("other.toml", "[package]\nname = \"x\"\n");
    refused(
        &desk,
        &calibrate("other.toml"),
        "other.toml: a text is in this file, and a pairing would replace it; write a pairing to another file, or move this one away",
    );
}

#[test]
fn figures_beside_the_named_one_are_checked_too() {
    let desk = full_desk();
    desk.write("x-strips.svg", "Dear reader\n");
    refused(
        &desk,
        &[
            "calibrate",
            "family.csv",
            "--log-exposure-clear",
            "0",
            "--out",
            "new.toml",
            "--plot",
            "x.svg",
        ],
        "x-strips.svg: a text is in this file, and a figure would replace it; write a figure to another file, or move this one away",
    );
    desk.write("day-2.svg", "Dear reader\n");
    refused(
        &desk,
        &["session", "plan.toml", "--date", "2026-11-17", "--page", "day.svg"],
        "day-2.svg: a text is in this file, and a figure would replace it; write a figure to another file, or move this one away",
    );
}

#[test]
fn two_outputs_are_two_files() {
    let desk = full_desk();
    desk.write("a.csv", "");
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("a.csv", desk.path().join("a.svg")).unwrap();
        refused(
            &desk,
            &["curve", "strip.csv", "--csv", "a.csv", "--plot", "a.svg"],
            "a.svg: this is the same file as a.csv, which is written too; give one of them another name",
        );
    }
}

#[test]
fn names_and_folders_are_checked_before_work() {
    let desk = full_desk();
    let curve = |option, path| ["curve", "strip.csv", option, path];
    refused(
        &desk,
        &curve("--plot", "a.jpg"),
        "a.jpg: its extension is .jpg; a figure is written as .svg or .png",
    );
    refused(
        &desk,
        &curve("--plot", "a"),
        "a: its name has no extension; a figure is written as .svg or .png",
    );
    refused(
        &desk,
        &curve("--csv", "none/a.csv"),
        "none/a.csv: there is no folder none; make it, or write to another one",
    );
    std::fs::create_dir(desk.path().join("folder.svg")).unwrap();
    refused(
        &desk,
        &curve("--plot", "folder.svg"),
        "folder.svg: this is a folder; name a file in it for a figure",
    );
    // The file is not even read: it does not exist.
    refused(
        &desk,
        &["curve", "missing.csv", "--plot", "a.jpg"],
        "a.jpg: its extension is .jpg; a figure is written as .svg or .png",
    );
    let read_only = desk.path().join("strip.svg");
    let mut permissions = std::fs::metadata(&read_only).unwrap().permissions();
    permissions.set_readonly(true);
    std::fs::set_permissions(&read_only, permissions).unwrap();
    refused(
        &desk,
        &curve("--plot", "strip.svg"),
        "strip.svg: this file must not be changed: its permissions allow reading only; change them, or write a figure to another file",
    );
}

#[test]
fn a_journal_is_begun_in_no_file_of_another_kind() {
    let desk = full_desk();
    let others = [
        ("pairing.toml", "a pairing"),
        ("plan.toml", "the plan of a session"),
        ("strip.svg", "an SVG picture"),
        ("print.png", "a PNG picture"),
    ];
    for (name, kind) in others {
        let message = format!(
            "{name}: {kind} is in this file, and it is not a journal; name the journal of a bath, or a new file"
        );
        for act in [&["mix", name, "--litres", "1.5"][..], &["note", name, "x"], &["discard", name]]
        {
            refused(&desk, &[&["bath"], act].concat(), &message);
        }
    }
    refused(
        &desk,
        &["bath", "strip", "pairing.toml", "other.toml", "control.csv"],
        "pairing.toml: a pairing is in this file, and it is not a journal; name the journal of a bath, or a new file",
    );
    // What may be a spoilt journal is read, and its fault is named.
    desk.write("letter.txt", "Dear reader, no line end");
    for (name, message) in [
        (
            "strip.csv",
            "strip.csv:1: not a journal: its first row names no column act; found step, log_exposure, density, minutes, celsius, film, developer and date",
        ),
        (
            "letter.txt",
            "letter.txt:1: not a journal: its first row names no column date and no column act; found Dear reader and no line end",
        ),
        ("photo.png", "photo.png: this is no text, and no journal"),
    ] {
        refused(&desk, &["bath", "mix", name, "--litres", "1.5"], message);
    }
    refused(
        &desk,
        &[
            "bath",
            "strip",
            "control.csv",
            "pairing.toml",
            "control.csv",
            "--log-exposure-clear",
            "0",
        ],
        "control.csv: this file is read, and a journal would replace it; write a journal to another file",
    );
}

#[cfg(unix)]
#[test]
fn devices_and_pipes_are_no_outputs() {
    let desk = full_desk();
    let device = "this is a device or a pipe; write";
    refused(
        &desk,
        &["curve", "strip.csv", "--csv", "/dev/full"],
        &format!("/dev/full: {device} a table of curves to an ordinary file"),
    );
    refused(
        &desk,
        &["curve", "strip.csv", "--plot", "/dev/null"],
        &format!("/dev/null: {device} a figure to an ordinary file"),
    );
    refused(
        &desk,
        &["calibrate", "family.csv", "--out", "/dev/full"],
        &format!("/dev/full: {device} a pairing to an ordinary file"),
    );
    refused(
        &desk,
        &["bath", "mix", "/dev/full", "--litres", "1"],
        "/dev/full: it cannot be written (it is not an ordinary file)",
    );
}

/// What goes to standard output is already the answer.
#[cfg(target_os = "linux")]
#[test]
fn a_figure_does_not_go_to_standard_output() {
    let desk = full_desk();
    for (program, message) in [
        (
            "exec \"$0\" \"$@\" | cat",
            "this is a device or a pipe; write a figure to an ordinary file",
        ),
        (
            "exec \"$0\" \"$@\" > out",
            "its name has no extension; a figure is written as .svg or .png",
        ),
    ] {
        let args = ["curve", "strip.csv", "--plot", "/dev/stdout"];
        let (_, out, err) = desk.run_by_shell(program, &args);
        assert_eq!(err, format!("wedgebook: /dev/stdout: {message}\n"));
        assert_eq!(out, "");
    }
}

/// A folder that takes no file, for whoever may write everywhere too.
#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_takes_no_file_is_named_before_work() {
    let desk = full_desk();
    let (status, out, err) = desk.run(&["curve", "missing.csv", "--csv", "/proc/a.csv"]);
    assert_eq!((status, out.as_str()), (2, ""));
    assert!(
        err.starts_with("wedgebook: /proc/a.csv: no file can be made in the folder /proc: "),
        "{err}"
    );
    assert!(err.ends_with("; write to another folder\n") && !err.contains("tmp"), "{err}");
}

/// A disk that takes no more leaves the old files, and nothing beside them.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_old_files() {
    let desk = full_desk();
    desk.write("table.csv", "strip,log_exposure,density,density_low,density_high,slope\n");
    let commands: [&[&str]; 4] = [
        &["curve", "strip.csv", "--csv", "table.csv"],
        &["curve", "strip.csv", "--plot", "strip.svg"],
        &["calibrate", "family.csv", "--log-exposure-clear", "0", "--out", "pairing.toml"],
        &["session", "plan.toml", "--date", "2026-11-17", "--page", "print.png"],
    ];
    for command in commands {
        let before = desk.all();
        let (status, out, err) = desk.run_in_little_room(command);
        assert_eq!((status, out.as_str()), (2, ""), "{command:?}: {err}");
        let named = command.last().unwrap();
        assert!(err.contains(&format!("{named}: cannot be written: ")), "{command:?}: {err}");
        assert!(!err.contains(".wedgebook-") && !err.contains("tmp"), "{command:?}: {err}");
        assert_eq!(desk.all(), before, "{command:?}");
    }
}

#[cfg(unix)]
#[test]
fn a_replaced_file_keeps_its_permissions_and_its_link() {
    use std::os::unix::fs::PermissionsExt;
    let desk = full_desk();
    let file = desk.path().join("strip.svg");
    std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o640)).unwrap();
    std::os::unix::fs::symlink("strip.svg", desk.path().join("latest.svg")).unwrap();
    let before = desk.names();
    assert_eq!(desk.run(&["curve", "family.csv", "--plot", "latest.svg"]).0, 0);
    assert_eq!(desk.names(), before);
    assert_eq!(std::fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o640);
    assert!(std::fs::symlink_metadata(desk.path().join("latest.svg")).unwrap().is_symlink());
    assert_ne!(desk.bytes("strip.svg"), std::fs::read(crate::desk::data("strip.svg")).unwrap());
}

/// A program that is told to end while it writes leaves the file as it was, or whole, and none of its own.
#[cfg(unix)]
#[test]
fn nothing_is_left_of_a_program_that_is_told_to_end() {
    let desk = Desk::empty();
    let input = crate::desk::data("strip.csv");
    let begin = || {
        std::process::Command::new(assert_cmd::cargo::cargo_bin("wedgebook"))
            .args(["curve", &input, "--plot", "a.png"])
            .current_dir(desk.path())
            .stdout(std::process::Stdio::null())
            .spawn()
            .unwrap()
    };
    let mut ended = 0;
    for run in 0..60_u64 {
        let mut program = begin();
        std::thread::sleep(std::time::Duration::from_micros(700 * run));
        let id = program.id().to_string();
        let told = if run % 2 == 0 { "-INT" } else { "-TERM" };
        let _ = std::process::Command::new("kill").args([told, &id]).status();
        ended += u32::from(program.wait().unwrap().code() == Some(130));
        for (name, bytes) in desk.all() {
            assert_eq!(name, "a.png", "run {run}");
            assert!(bytes.ends_with(b"IEND\xAE\x42\x60\x82"), "run {run}");
        }
    }
    assert!(ended > 5, "{ended}");
}
