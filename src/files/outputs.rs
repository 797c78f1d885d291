//! Where outputs may go: seen to before anything is computed.

use super::kind::Kind;
use super::reason;
use super::write::{folder_of, followed};
use std::fmt;
use std::path::{Path, PathBuf};

/// How many pages are looked for beside the first.
const MOST_PAGES: usize = 99;

/// What is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Output {
    /// A figure or a printed page, SVG or PNG.
    Picture,
    /// A table of curves, CSV.
    Table,
    /// Times over temperatures as a table.
    Times,
    /// Readings that were typed, CSV.
    Readings,
    /// A table of measures, CSV.
    Measures,
    /// A pairing, TOML.
    Pairing,
    /// A page for the bench, HTML.
    BenchPage,
    /// A report, HTML.
    Report,
    /// Where the steps lie in a picture, TOML.
    Layout,
    /// A page of the manual.
    ManPage,
    /// The journal of a bath: entries are added to it, and what is in it stays.
    Journal,
}

impl Output {
    /// With its article: `a picture`.
    const fn named(self) -> &'static str {
        match self {
            Self::Picture => "a figure",
            Self::Table => "a table of curves",
            Self::Times => "a table of times",
            Self::Readings => "a file of readings",
            Self::Measures => "a table of measures",
            Self::Pairing => "a pairing",
            Self::BenchPage => "a page for the bench",
            Self::Report => "a report",
            Self::Layout => "a layout",
            Self::ManPage => "a page of the manual",
            Self::Journal => "a journal",
        }
    }

    /// The extensions of its formats, and what is in a file of each. None for a journal, whose name is
    /// free and whose content its own reader judges.
    const fn formats(self) -> &'static [(&'static str, Kind)] {
        match self {
            #[cfg(any(feature = "raster", not(feature = "figures")))]
            Self::Picture => &[("svg", Kind::Svg), ("png", Kind::Png)],
            #[cfg(all(feature = "figures", not(feature = "raster")))]
            Self::Picture => &[("svg", Kind::Svg)],
            Self::Table => &[("csv", Kind::CurveTable)],
            Self::Times => &[("csv", Kind::TimesTable)],
            Self::Readings => &[("csv", Kind::Readings)],
            Self::Measures => &[("csv", Kind::MeasureTable)],
            Self::Pairing => &[("toml", Kind::Pairing)],
            Self::BenchPage => &[("html", Kind::BenchPage)],
            Self::Report => &[("html", Kind::Report)],
            Self::Layout => &[("toml", Kind::Layout)],
            Self::ManPage => &[("1", Kind::ManPage)],
            Self::Journal => &[],
        }
    }
}

/// The files that a command reads and those that it writes. [`Outputs::check`] comes before any work.
#[derive(Clone, Debug, Default)]
pub struct Outputs {
    inputs: Vec<PathBuf>,
    outputs: Vec<(PathBuf, Output)>,
}

impl Outputs {
    /// Of a command that reads these files.
    #[must_use]
    pub fn beside<P: AsRef<Path>>(inputs: impl IntoIterator<Item = P>) -> Self {
        Self { outputs: Vec::new(), ..Self::default() }.reads(inputs)
    }

    /// Further files that are read.
    #[must_use]
    pub fn reads<P: AsRef<Path>>(mut self, inputs: impl IntoIterator<Item = P>) -> Self {
        self.inputs.extend(inputs.into_iter().map(|path| path.as_ref().to_owned()));
        self
    }

    /// A file that is written, if one was named.
    #[must_use]
    pub fn writes<P: AsRef<Path>>(mut self, path: Option<P>, output: Output) -> Self {
        self.outputs.extend(path.map(|path| (path.as_ref().to_owned(), output)));
        self
    }

    /// A picture, if one was named, and those that are there where its further pages may go:
    /// `page.svg`, `page-2.svg`.
    #[must_use]
    pub fn writes_pages(mut self, path: Option<&Path>) -> Self {
        let Some(path) = path else { return self };
        self.outputs.push((path.to_owned(), Output::Picture));
        let pages = (2..=MOST_PAGES).map(|n| named_beside(path, &n.to_string()));
        let there = pages.take_while(|page| page.symlink_metadata().is_ok());
        self.outputs.extend(there.map(|page| (page, Output::Picture)));
        self
    }

    /// Whether every output may be written: its name has the extension of its format, its folder is
    /// there and may be written to, it is no input and no other output, and what is there now is of the
    /// same kind. Files are compared as files, whatever paths, links or hard links lead to them.
    ///
    /// # Errors
    /// [`NotWritable`]: the first output that may not.
    pub fn check(&self) -> Result<(), NotWritable> {
        for (index, (path, output)) in self.outputs.iter().enumerate() {
            let refused = |why| Err(NotWritable { path: path.clone(), output: *output, why });
            if let Some(input) = self.inputs.iter().find(|input| is_same(input, path)) {
                return refused(Why::Read(input.clone()));
            }
            let mut before = self.outputs[..index].iter();
            if let Some((other, _)) = before.find(|(other, _)| is_same(other, path)) {
                return refused(Why::Written(other.clone()));
            }
            let may = match output {
                Output::Journal => may_be_added_to(path),
                _ => may_replace(path, *output),
            };
            if let Err(why) = may {
                return refused(why);
            }
        }
        Ok(())
    }
}

/// The path with `-what` before its extension: `pairing.svg` → `pairing-strips.svg`.
#[must_use]
pub fn named_beside(path: &Path, what: &str) -> PathBuf {
    let mut name = path.file_stem().unwrap_or_default().to_owned();
    name.push(format!("-{what}"));
    if let Some(extension) = path.extension() {
        name.push(".");
        name.push(extension);
    }
    path.with_file_name(name)
}

/// Whether both paths lead to one file: in a page of a browser a folder has no links, so that the paths
/// alone say it.
#[cfg(target_family = "wasm")]
fn is_same(a: &Path, b: &Path) -> bool {
    use std::path::Component;
    let place = |path: &Path| {
        let mut names = Vec::new();
        for part in path.components() {
            match part {
                Component::Normal(name) => names.push(name.to_string_lossy().to_lowercase()),
                Component::ParentDir => drop(names.pop()),
                _ => {}
            }
        }
        names
    };
    place(a) == place(b)
}

/// Whether both paths lead to one file, there or still to be made.
#[cfg(not(target_family = "wasm"))]
fn is_same(a: &Path, b: &Path) -> bool {
    match (std::fs::metadata(a), std::fs::metadata(b)) {
        #[cfg(unix)]
        (Ok(a), Ok(b)) => {
            use std::os::unix::fs::MetadataExt;
            (a.dev(), a.ino()) == (b.dev(), b.ino())
        }
        #[cfg(not(unix))]
        (Ok(_), Ok(_)) => same_file::is_same_file(a, b).unwrap_or(false),
        (Err(_), Err(_)) => {
            let place = |path: &Path| {
                let path = followed(path);
                let folder = folder_of(&path).canonicalize();
                // Some disks take both cases of a letter as one name.
                let name = path.file_name().map(|name| name.to_string_lossy().to_lowercase());
                (folder.unwrap_or_else(|_| folder_of(&path).to_owned()), name)
            };
            place(a) == place(b)
        }
        _ => false,
    }
}

/// Whether entries may be added to what is at `path`. What may be a spoilt journal is left to the
/// journal's reader, which names the line.
fn may_be_added_to(path: &Path) -> Result<(), Why> {
    // A device or a pipe may never end.
    if !path.is_file() {
        return Ok(());
    }
    match Kind::of_file(path) {
        Ok(
            Kind::Journal | Kind::Empty | Kind::Table | Kind::Readings | Kind::Text | Kind::Unknown,
        )
        | Err(_) => Ok(()),
        Ok(found) => Err(Why::OtherKind(found)),
    }
}

/// Whether a file of `output` may be made at `path`, in the place of what is there.
fn may_replace(path: &Path, output: Output) -> Result<(), Why> {
    let target = followed(path);
    let present = std::fs::metadata(path).ok();
    if let Some(present) = present.as_ref().filter(|present| !present.is_file()) {
        return Err(if present.is_dir() { Why::Directory } else { Why::Device });
    }
    let extension = path.extension().map(|e| e.to_string_lossy().to_ascii_lowercase());
    let mut formats = output.formats().iter();
    let format = formats.find(|(known, _)| extension.as_deref() == Some(known));
    let Some((_, wanted)) = format else {
        return Err(Why::Extension(extension));
    };
    let folder = folder_of(&target);
    if !folder.is_dir() {
        return Err(Why::NoFolder(folder.to_owned()));
    }
    if let Some(present) = present {
        match Kind::of_file(&target) {
            Ok(found) if found != *wanted && found != Kind::Empty => {
                return Err(Why::OtherKind(found));
            }
            Err(error) => return Err(Why::Closed(reason(&error))),
            Ok(_) => {}
        }
        // A page of a browser keeps files without permissions, which the system's own say is read-only.
        if present.permissions().readonly() && !cfg!(target_family = "wasm") {
            return Err(Why::ReadOnly);
        }
    }
    // The only sure way to know whether a folder takes files is to make one; it never has a name.
    tempfile::tempfile_in(folder)
        .map(drop)
        .map_err(|error| Why::Folder { folder: folder.to_owned(), reason: reason(&error) })
}

/// An output that may not be written.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub struct NotWritable {
    /// Its path.
    pub path: PathBuf,
    /// What was to be written.
    pub output: Output,
    /// Why not.
    pub why: Why,
}

/// Why an output may not be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Why {
    /// It is also read, by this path.
    Read(PathBuf),
    /// It is also another output, by this path.
    Written(PathBuf),
    /// Something else is in it.
    OtherKind(Kind),
    /// Its name has this extension, which is of none of its formats, or it has no extension.
    Extension(Option<String>),
    /// This folder is not there.
    NoFolder(PathBuf),
    /// This folder takes no new file.
    Folder {
        /// The folder.
        folder: PathBuf,
        /// Why it takes none.
        reason: String,
    },
    /// It is a folder.
    Directory,
    /// It is a device or a pipe.
    Device,
    /// It may not be changed.
    ReadOnly,
    /// It cannot be seen what is in it.
    Closed(String),
}

impl fmt::Display for NotWritable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let what = self.output.named();
        write!(f, "{}: ", self.path.display())?;
        match &self.why {
            Why::Read(input) if *input == self.path => {
                write!(
                    f,
                    "this file is read, and {what} would replace it; write {what} to another file"
                )
            }
            Why::Read(input) => write!(
                f,
                "this is the file {}, which is read, and {what} would replace it; write {what} to another file",
                input.display()
            ),
            Why::Written(other) if *other == self.path => {
                write!(f, "two outputs have this name; give one of them another name")
            }
            Why::Written(other) => write!(
                f,
                "this is the same file as {}, which is written too; give one of them another name",
                other.display()
            ),
            Why::OtherKind(found) if self.output == Output::Journal => write!(
                f,
                "{found} is in this file, and it is not a journal; name the journal of a bath, or a new file"
            ),
            Why::OtherKind(found) => write!(
                f,
                "{found} is in this file, and {what} would replace it; write {what} to another file, or move this one away"
            ),
            Why::Extension(extension) => {
                let formats = self.output.formats().iter().map(|(e, _)| format!(".{e}"));
                let formats: Vec<String> = formats.collect();
                match extension {
                    Some(found) => write!(f, "its extension is .{found}")?,
                    None => write!(f, "its name has no extension")?,
                }
                write!(f, "; {what} is written as {}", formats.join(" or "))?;
                // A build without pictures in pixels: the page of a browser.
                match extension.as_deref() == Some("png") && !cfg!(feature = "raster") {
                    true => write!(f, ": this build draws SVG only"),
                    false => Ok(()),
                }
            }
            Why::NoFolder(folder) => write!(
                f,
                "there is no folder {}; make it, or write to another one",
                folder.display()
            ),
            Why::Folder { folder, reason } => write!(
                f,
                "no file can be made in the folder {}: {reason}; write to another folder",
                folder.display()
            ),
            Why::Directory => write!(f, "this is a folder; name a file in it for {what}"),
            Why::Device => {
                write!(f, "this is a device or a pipe; write {what} to an ordinary file")
            }
            Why::ReadOnly => write!(
                f,
                "this file must not be changed: its permissions allow reading only; change them, or write {what} to another file"
            ),
            Why::Closed(reason) => write!(
                f,
                "what is in this file cannot be seen: {reason}; write {what} to another file"
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn further_files_are_named_beside_the_first() {
        assert_eq!(named_beside(Path::new("a/page.svg"), "2"), Path::new("a/page-2.svg"));
        assert_eq!(named_beside(Path::new("x.y.png"), "strips"), Path::new("x.y-strips.png"));
        assert_eq!(named_beside(Path::new("x"), "2"), Path::new("x-2"));
    }
}
