//! What a new folder holds.

use super::find::TEMPLATES;
use crate::session::plan;

/// A file of a new folder.
#[derive(Clone, Debug, PartialEq)]
pub struct Template {
    /// Its path in the folder.
    pub path: String,
    /// What it is for.
    pub purpose: &'static str,
    /// What is in it.
    pub bytes: Vec<u8>,
}

/// Tables to fill in, each with what it is for.
const TABLES: [(&str, &str, &str); 10] = [
    ("strip", include_str!("templates/strip.csv"), "one strip, for curve"),
    ("family", include_str!("templates/family.csv"), "strips of five times, for calibrate"),
    ("wide-family", include_str!("templates/wide-family.csv"), "the same, with one column a strip"),
    (
        "control",
        include_str!("templates/control.csv"),
        "a control strip, for verify and bath strip",
    ),
    ("leader", include_str!("templates/leader.csv"), "pieces of exposed leader, for leader"),
    (
        "camera-test",
        include_str!("templates/camera-test.csv"),
        "a strip made with a camera and a grey card",
    ),
    ("paper", include_str!("templates/paper.csv"), "a paper, for paper, proof and tone"),
    ("evenness", include_str!("templates/evenness.csv"), "evenly exposed frames, for evenness"),
    (
        "temperatures",
        include_str!("templates/temperatures.csv"),
        "temperatures during development, for drift",
    ),
    (
        "tablet",
        include_str!("templates/tablet.csv"),
        "the densities of your step tablet, to copy from",
    ),
];

/// The files of a new folder.
#[must_use]
pub fn templates() -> Vec<Template> {
    let text = |path: String, purpose, text: &str| Template { path, purpose, bytes: text.into() };
    let mut all = vec![
        text(super::FILE.into(), "what is usual here", include_str!("templates/wedgebook.toml")),
        text(
            "GUIDE.md".into(),
            "from the first strip to the first roll",
            include_str!("templates/GUIDE.md"),
        ),
    ];
    for (name, table, purpose) in TABLES {
        all.push(text(format!("{TEMPLATES}/{name}.csv"), purpose, table));
        #[cfg(feature = "sheets")]
        if let Some(bytes) = super::sheet::of_table(name, table) {
            let path = format!("{TEMPLATES}/{name}.ods");
            all.push(Template { path, purpose, bytes });
        }
    }
    all.push(text(format!("{TEMPLATES}/session.toml"), "the plan of a session", &plan::example()));
    all
}
