//! The columns of a file of frames.

use crate::readings::columns::{all_numbers, nearest, normalised};
use crate::readings::errors::ReadError;
use crate::readings::judge::unknown_columns;
use crate::readings::table::Header;

/// A row of column names, for messages.
pub(super) const EXAMPLE: &str = "frame,x_mm,y_mm,density";

const FRAME: &str = "frame";
const X: &str = "x_mm";
const Y: &str = "y_mm";
const DENSITY: &str = "density";
const SIGMA: &str = "sigma";
const LABELS: [&str; 4] = ["film", "developer", "date", "note"];

/// Other words that people use for a column, for suggestions only.
const SYNONYMS: [(&str, &str); 13] = [
    ("x", X),
    ("along", X),
    ("along_mm", X),
    ("y", Y),
    ("across", Y),
    ("across_mm", Y),
    ("d", DENSITY),
    ("dens", DENSITY),
    ("negative", FRAME),
    ("frame_no", FRAME),
    ("no", FRAME),
    ("uncertainty", SIGMA),
    ("remark", "note"),
];

/// Where each column stands.
#[derive(Clone, Debug)]
pub(super) struct FrameLayout {
    pub(super) frame: Option<usize>,
    pub(super) x: usize,
    pub(super) y: usize,
    pub(super) density: usize,
    pub(super) sigma: Option<usize>,
    /// Film, developer, date and note.
    pub(super) labels: [Option<usize>; 4],
    /// A note on columns that are not used.
    pub(super) unused: Option<String>,
}

fn names() -> impl Iterator<Item = &'static str> {
    [FRAME, X, Y, DENSITY, SIGMA].into_iter().chain(LABELS)
}

/// Whether a heading names a column of a file of frames.
pub(super) fn knows(heading: &str) -> bool {
    let wanted = normalised(heading);
    names().any(|name| name == wanted)
}

impl FrameLayout {
    /// The layout of a file with this `header`.
    ///
    /// # Errors
    /// Where a needed column is missing, or two have one name.
    pub(super) fn new(header: &Header) -> Result<Self, ReadError> {
        let headings: Vec<String> = header.columns.iter().map(|c| normalised(&c.heading)).collect();
        let find = |name: &str| headings.iter().position(|heading| heading == name);
        for (second, name) in headings.iter().enumerate() {
            let known = names().find(|known| known == name);
            if let (Some(quantity), Some(first)) =
                (known, headings[..second].iter().position(|h| h == name))
            {
                return Err(ReadError::DuplicateColumns {
                    at: Box::new(header.place.clone()),
                    first: header.column(first),
                    second: header.column(second),
                    quantity,
                });
            }
        }
        let (Some(x), Some(y), Some(density)) = (find(X), find(Y), find(DENSITY)) else {
            return Err(missing(header, &headings));
        };
        let unknown: Vec<(String, Option<&'static str>)> = header
            .columns
            .iter()
            .filter(|column| !column.heading.trim().is_empty() && !knows(&column.heading))
            .map(|column| {
                let near = nearest(&column.heading, names(), &SYNONYMS);
                let free = near.filter(|name| find(name).is_none());
                (column.heading.clone(), free)
            })
            .collect();
        let unused = (!unknown.is_empty())
            .then(|| format!("{}: {}", header.place.file, unknown_columns(&unknown)));
        Ok(Self {
            frame: find(FRAME),
            x,
            y,
            density,
            sigma: find(SIGMA),
            labels: LABELS.map(find),
            unused,
        })
    }
}

fn missing(header: &Header, headings: &[String]) -> ReadError {
    let at = Box::new(header.place.clone());
    let found: Vec<String> =
        header.columns.iter().map(|c| c.heading.clone()).filter(|h| !h.trim().is_empty()).collect();
    if all_numbers(&found) {
        let example = EXAMPLE;
        return ReadError::NoHeader { at, example };
    }
    let needed = [(X, "\"x_mm\""), (Y, "\"y_mm\""), (DENSITY, "\"density\"")];
    let absent = |name: &str| !headings.iter().any(|heading| heading == name);
    let suggestion = found
        .iter()
        .filter(|heading| !knows(heading))
        .filter_map(|heading| Some((heading, nearest(heading, names(), &SYNONYMS)?)))
        .find(|(_, name)| absent(name) && needed.iter().any(|(wanted, _)| wanted == name))
        .map(|(heading, name)| (heading.clone(), name));
    let missing =
        needed.iter().filter(|(name, _)| absent(name)).map(|(_, quoted)| *quoted).collect();
    ReadError::MissingColumns { at, missing, found, suggestion }
}
