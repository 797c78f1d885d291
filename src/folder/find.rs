//! The files of a folder, and the one that a name stands for.

use super::Folder;
use crate::development::file::PairingFile;
use crate::files::Kind;
use crate::words::{list_and, shown};
use std::fmt;
use std::path::{Path, PathBuf};

/// How many folders below its own a file is looked for.
const DEPTH: usize = 2;
/// How many files are looked at.
const MOST: usize = 2000;
/// The folder of templates, which nobody means.
pub(super) const TEMPLATES: &str = "templates";

/// What is looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// Pairings.
    Pairing,
    /// Journals of baths.
    Journal,
    /// Plans of sessions.
    Plan,
    /// Readings, of strips and of papers.
    Readings,
}

impl Sort {
    const fn extensions(self) -> &'static [&'static str] {
        match self {
            Self::Pairing | Self::Plan => &["toml"],
            Self::Journal => &["csv"],
            Self::Readings => &["csv", "xlsx", "ods", "txt"],
        }
    }

    const fn is(self, kind: Kind) -> bool {
        matches!(
            (self, kind),
            (Self::Pairing, Kind::Pairing)
                | (Self::Journal, Kind::Journal)
                | (Self::Plan, Kind::Plan)
                | (Self::Readings, Kind::Readings | Kind::Workbook)
        )
    }

    /// With its article.
    const fn name(self) -> &'static str {
        match self {
            Self::Pairing => "pairing",
            Self::Journal => "journal of a bath",
            Self::Plan => "plan of a session",
            Self::Readings => "file of readings",
        }
    }
}

/// A file of a folder.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// Its path from here.
    pub path: PathBuf,
    /// What it calls itself; a pairing has a name.
    pub name: Option<String>,
}

/// Why a name stands for no file.
#[derive(Clone, Debug, PartialEq)]
pub struct NotFound {
    sort: Sort,
    /// What was typed or is usual.
    text: Option<String>,
    /// Files that begin so, or all that there are.
    files: Vec<PathBuf>,
    several: bool,
}

impl fmt::Display for NotFound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let what = self.sort.name();
        let files: Vec<String> = self.files.iter().map(|p| p.display().to_string()).collect();
        let files = list_and(&files);
        match (&self.text, self.several, self.files.is_empty()) {
            (Some(text), true, _) => {
                write!(
                    f,
                    "{}: several files begin so: {files}; write more of the name",
                    shown(text)
                )
            }
            (Some(text), false, true) => {
                write!(f, "{}: no such file; there is no {what} in this folder", shown(text))
            }
            (Some(text), false, false) => {
                write!(
                    f,
                    "{}: no such file, and no {what} begins so; there is {files}",
                    shown(text)
                )
            }
            (None, _, true) => write!(f, "there is no {what} in this folder"),
            (None, ..) => write!(f, "which {what}? There is {files}"),
        }
    }
}

impl Folder {
    /// Its files of one sort, by their paths.
    #[must_use]
    pub fn files(&self, sort: Sort) -> Vec<Found> {
        let mut paths = Vec::new();
        let depth = if self.laid_down { DEPTH } else { 0 };
        gather(&self.root, depth, sort, &mut MOST.clone(), &mut paths);
        paths.sort();
        let is_of_sort = |path: &PathBuf| Kind::of_file(path).is_ok_and(|kind| sort.is(kind));
        let named = |path: PathBuf| {
            let file = (sort == Sort::Pairing).then(|| PairingFile::read(&path).ok()).flatten();
            Found { name: file.map(|file| file.name), path }
        };
        paths.into_iter().filter(is_of_sort).map(named).collect()
    }

    /// The file that `text` stands for: the file of that path, or the only one of its sort whose file name
    /// or own name begins so.
    ///
    /// # Errors
    /// [`NotFound`], with the files that there are.
    pub fn named(&self, text: &Path, sort: Sort) -> Result<PathBuf, NotFound> {
        let beside = self.root.join(text);
        if let Some(path) = [text, &beside].into_iter().find(|path| path.exists()) {
            return Ok(path.to_owned());
        }
        let text = text.display().to_string();
        let all = self.files(sort);
        let begins = |name: &str| name.to_lowercase().starts_with(&text.to_lowercase());
        let stem = |found: &Found| found.path.file_stem().map(|s| s.to_string_lossy().into_owned());
        let exact: Vec<&Found> =
            all.iter().filter(|found| stem(found).is_some_and(|s| s == text)).collect();
        let beginning: Vec<&Found> = all
            .iter()
            .filter(|found| {
                stem(found).is_some_and(|s| begins(&s)) || found.name.as_deref().is_some_and(begins)
            })
            .collect();
        let paths = |files: &[&Found]| files.iter().map(|f| f.path.clone()).collect();
        match (exact.as_slice(), beginning.as_slice()) {
            ([one], _) | ([], [one]) => Ok(one.path.clone()),
            ([], []) => {
                let files = all.into_iter().map(|f| f.path).collect();
                Err(NotFound { sort, text: Some(text), files, several: false })
            }
            ([], several) | (several, _) => {
                Err(NotFound { sort, text: Some(text), files: paths(several), several: true })
            }
        }
    }

    /// The only file of its sort.
    ///
    /// # Errors
    /// [`NotFound`] where there are none or several.
    pub fn only(&self, sort: Sort) -> Result<PathBuf, NotFound> {
        match self.files(sort).as_slice() {
            [one] => Ok(one.path.clone()),
            all => {
                let files: Vec<PathBuf> = all.iter().map(|f| f.path.clone()).collect();
                Err(NotFound { sort, text: None, several: !files.is_empty(), files })
            }
        }
    }
}

/// The files that may be of a sort, by the ends of their names.
fn gather(folder: &Path, depth: usize, sort: Sort, left: &mut usize, paths: &mut Vec<PathBuf>) {
    let here = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    let Ok(entries) = std::fs::read_dir(here) else { return };
    for entry in entries.flatten() {
        if *left == 0 {
            return;
        }
        *left -= 1;
        let name = entry.file_name();
        let path = folder.join(&name);
        let hidden = name.to_string_lossy().starts_with('.') || name == TEMPLATES;
        if hidden || name == super::FILE {
            continue;
        }
        // A link to a folder is not followed: it may lead back.
        let Ok(kind) = entry.file_type() else { continue };
        if kind.is_dir() {
            if depth > 0 {
                gather(&path, depth - 1, sort, left, paths);
            }
            continue;
        }
        let extension = path.extension().map(|e| e.to_string_lossy().to_lowercase());
        let may_be = extension.is_some_and(|e| sort.extensions().contains(&e.as_str()));
        if may_be && path.is_file() {
            paths.push(path);
        }
    }
}
