//! A folder of its own for each test, and runs of the binary in it.

#![allow(dead_code)]

use assert_cmd::Command;
use std::path::Path;

#[path = "documents.rs"]
pub mod documents;

/// The folder.
pub struct Desk(tempfile::TempDir);

impl Desk {
    /// An empty desk.
    pub fn empty() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    /// A desk with two pairings, and `all.html`: the report of both, a bath, a paper and a strip.
    pub fn with_report() -> Self {
        let desk = Self::with_pairing();
        let family = std::fs::read_to_string(data("family.csv")).unwrap();
        desk.write("other.csv", &family.replace("Larkfold", "Fenmoth"));
        let made = ["calibrate", "other.csv", "--log-exposure-clear", "0", "--out", "other.toml"];
        assert_eq!(desk.run(&made).0, 0);
        desk.report();
        desk
    }

    /// Writes that report, in the place of one that is there.
    pub fn report(&self) {
        let (bath, paper, strip) = (data("bath.csv"), data("paper.csv"), data("strip.csv"));
        let files = ["pairing.toml", "other.toml", &bath, &paper, &strip];
        let out = ["--out", "all.html", "--date", "2026-11-17"];
        let (status, out, err) = self.run(&[&["report"][..], &files, &out].concat());
        assert_eq!((status, out.as_str()), (0, "all.html\n"), "{err}");
    }

    /// A desk with the demonstration's pairing on it, `pairing.toml`.
    pub fn with_pairing() -> Self {
        let desk = Self::empty();
        let args = [
            "calibrate",
            &data("family.csv"),
            "--log-exposure-clear",
            "0",
            "--out",
            "pairing.toml",
        ];
        let (status, _, err) = desk.run(&args);
        assert_eq!((status, err.as_str()), (0, ""));
        desk
    }

    /// Exit status, stdout and stderr of one run.
    pub fn run(&self, args: &[&str]) -> (i32, String, String) {
        self.run_in(None, args)
    }

    /// The same with output of so many columns; a document is held to its schema.
    pub fn run_in(&self, columns: Option<u32>, args: &[&str]) -> (i32, String, String) {
        let mut command = Command::cargo_bin("wedgebook").unwrap();
        command.args(args).current_dir(self.0.path()).env_remove("COLUMNS");
        if let Some(columns) = columns {
            command.env("COLUMNS", columns.to_string());
        }
        let output = command.output().unwrap();
        let text = |bytes| String::from_utf8(bytes).unwrap();
        let (out, err) = (text(output.stdout), text(output.stderr));
        documents::hold(args, &out);
        (output.status.code().unwrap(), out, err)
    }

    /// A run that can write no more than a block to any file, as on a full disk.
    #[cfg(unix)]
    pub fn run_in_little_room(&self, args: &[&str]) -> (i32, String, String) {
        self.run_by_shell("trap '' XFSZ; ulimit -f 1; exec \"$0\" \"$@\"", args)
    }

    /// A run by a script of the shell, in which `"$0" "$@"` is the program with its arguments.
    #[cfg(unix)]
    pub fn run_by_shell(&self, script: &str, args: &[&str]) -> (i32, String, String) {
        let output = std::process::Command::new("sh")
            .args(["-c", script])
            .arg(assert_cmd::cargo::cargo_bin("wedgebook"))
            .args(args)
            .current_dir(self.0.path())
            .output()
            .unwrap();
        let text = |bytes| String::from_utf8(bytes).unwrap();
        (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
    }

    /// The document that a run prints.
    pub fn json(&self, args: &[&str]) -> serde_json::Value {
        let (_, out, err) = self.run(args);
        serde_json::from_str(&out).unwrap_or_else(|_| panic!("{out}{err}"))
    }

    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.0.path().join(name)).unwrap()
    }

    pub fn path(&self) -> &Path {
        self.0.path()
    }

    pub fn bytes(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.0.path().join(name)).unwrap()
    }

    /// Names of all files, in order.
    pub fn names(&self) -> Vec<String> {
        self.all().into_iter().map(|(name, _)| name).collect()
    }

    /// All files with what is in them, in the order of their names.
    pub fn all(&self) -> Vec<(String, Vec<u8>)> {
        let entries = std::fs::read_dir(self.0.path()).unwrap().map(Result::unwrap);
        let mut all: Vec<_> = entries
            .map(|e| {
                let name = e.file_name().to_string_lossy().into_owned();
                (name, std::fs::read(e.path()).unwrap_or_default())
            })
            .collect();
        all.sort();
        all
    }

    /// A run is refused with one line that has these words, and nothing is written.
    pub fn refuses(&self, args: &[&str], words: &str) {
        let before = self.all();
        let (status, out, err) = self.run(args);
        assert_eq!((status, out.as_str()), (2, ""), "{words}: {err}");
        assert!(err.contains(words), "{words}: {err}");
        assert_eq!(err.lines().count(), 1, "{err}");
        assert!(self.all() == before, "{words}: something was written");
    }

    pub fn has(&self, name: &str) -> bool {
        self.0.path().join(name).exists()
    }

    pub fn write(&self, name: &str, body: &str) {
        self.write_bytes(name, body.as_bytes());
    }

    pub fn write_bytes(&self, name: &str, body: &[u8]) {
        let path = self.0.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, body).unwrap();
    }

    /// Puts the demonstration on the desk, in a folder `data`.
    pub fn copy_all(&self) {
        let folder = self.0.path().join("data");
        std::fs::create_dir(&folder).unwrap();
        for file in std::fs::read_dir(data("")).unwrap() {
            let file = file.unwrap();
            std::fs::copy(file.path(), folder.join(file.file_name())).unwrap();
        }
    }

    /// Puts a file of the demonstration on the desk.
    pub fn copy(&self, name: &str) {
        std::fs::copy(data(name), self.0.path().join(name)).unwrap();
    }
}

/// Path of a file of the demonstration.
pub fn data(name: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data").join(name).display().to_string()
}
