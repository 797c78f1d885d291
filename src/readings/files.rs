//! From paths or bytes to strips: opens a file, finds its format from its content, reads it.

use std::borrow::Cow;
use std::collections::{HashMap, HashSet};
#[cfg(feature = "files")]
use std::fs::File;
#[cfg(feature = "files")]
use std::io::{ErrorKind, Read};
use std::path::Path;
#[cfg(feature = "files")]
use std::path::PathBuf;
use std::sync::Arc;

use super::errors::ReadErrors;
use super::fault::ReadError;
use super::gather::{Gathered, Input};
use super::intake::Intake;
use super::note::Note;
#[cfg(feature = "files")]
use super::place::OpenFault;
#[cfg(feature = "sheets")]
use super::sheet;
use super::text::decoded;
use super::{ReadOptions, Readings, cgats, delimited};

/// Greatest size of a readings file in MB.
#[cfg(feature = "files")]
const LARGEST_MB: u64 = 256;
/// How a workbook file starts: a zip archive.
const ARCHIVE: &[u8] = b"PK\x03\x04";
/// How a workbook of the old binary kind starts.
const OLD_WORKBOOK: &[u8] = b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1";

/// Reads the strips of all files, in their order.
///
/// The format follows from the content of a file, not from its name: text with commas, semicolons or
/// tabs, ISO 28178 text, or a workbook (.xlsx, .ods).
///
/// # Errors
/// [`ReadErrors`] with every fault of every file; no strips are returned beside faults.
///
/// # Example
/// ```no_run
/// use wedgebook::readings::{ReadOptions, read_files};
///
/// let readings = read_files(&["strips.csv".into()], &ReadOptions::default())?;
/// for strip in &readings.strips {
///     assert!(!strip.readings.is_empty());
/// }
/// # Ok::<(), wedgebook::readings::ReadErrors>(())
/// ```
#[cfg(feature = "files")]
pub fn read_files(paths: &[PathBuf], options: &ReadOptions) -> Result<Readings, ReadErrors> {
    let mut gathered = Gathered::default();
    if paths.is_empty() {
        gathered.faults.push(ReadError::NoFiles);
    }
    for path in paths {
        match contents(path) {
            Ok(bytes) => read_one(&path.display().to_string(), &bytes, options, &mut gathered),
            Err(fault) => {
                let file = path.display().to_string().into();
                gathered.faults.push(ReadError::Unreadable { file, fault });
            }
        }
    }
    finished(gathered)
}

/// Reads the strips of one file's `bytes`; `name` stands for the file in messages and, without its
/// extension, for a strip that has no name.
///
/// # Errors
/// [`ReadErrors`] with every fault.
///
/// # Example
/// ```
/// use wedgebook::readings::{ReadOptions, read_bytes};
///
/// let text = b"log_exposure;density\n;0,21\n-1,5;0,34\n-1,2;0,52\n";
/// let readings = read_bytes("roll.csv", text, &ReadOptions::default())?;
/// let strip = &readings.strips[0];
/// assert_eq!(strip.name, "roll");
/// assert_eq!(strip.unexposed[0].density.get(), 0.21);
/// assert_eq!(strip.readings.len(), 2);
///
/// let faults = read_bytes("roll.csv", b"log_exposure,density\n-1.5,0.3.4\n", &ReadOptions::default());
/// assert_eq!(
///     faults.unwrap_err().to_string(),
///     "roll.csv:2, column \"density\": \"0.3.4\" is not a number; write one density, as 0.62"
/// );
/// # Ok::<(), wedgebook::readings::ReadErrors>(())
/// ```
pub fn read_bytes(name: &str, bytes: &[u8], options: &ReadOptions) -> Result<Readings, ReadErrors> {
    let mut gathered = Gathered::default();
    read_one(name, bytes, options, &mut gathered);
    finished(gathered)
}

fn finished(mut gathered: Gathered) -> Result<Readings, ReadErrors> {
    match ReadErrors::from_faults(gathered.faults) {
        Some(errors) => Err(errors),
        None => {
            make_names_unique(&mut gathered.strips, &mut gathered.notes);
            Ok(Readings { strips: gathered.strips, notes: gathered.notes })
        }
    }
}

#[cfg(feature = "files")]
pub(super) fn contents(path: &Path) -> Result<Vec<u8>, OpenFault> {
    let fault = |fault: std::io::Error| match fault.kind() {
        ErrorKind::NotFound => OpenFault::NotFound,
        ErrorKind::IsADirectory => OpenFault::IsDirectory,
        ErrorKind::PermissionDenied => OpenFault::NoPermission,
        _ => OpenFault::Other { reason: fault.to_string() },
    };
    if path.is_dir() {
        return Err(OpenFault::IsDirectory);
    }
    let limit = LARGEST_MB << 20;
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(limit + 1).read_to_end(&mut bytes))
        .map_err(fault)?;
    if bytes.len() as u64 > limit {
        return Err(OpenFault::TooLarge { megabytes: LARGEST_MB });
    }
    Ok(bytes)
}

fn read_one(name: &str, bytes: &[u8], options: &ReadOptions, gathered: &mut Gathered) {
    let input = Input::new(name, options);
    match text_or_sheet(&input, bytes, gathered) {
        Some(text) if cgats::recognised(&text) => cgats::read(&input, &text, gathered),
        Some(text) => delimited::read(&input, &text, gathered),
        None => {}
    }
}

/// The text of a file, its lines ended by \n; a workbook is read at once, and nothing is left of it
/// to do, nor of a file that is neither.
pub(super) fn text_or_sheet<'b, I: Intake>(
    input: &Input<'_>,
    bytes: &'b [u8],
    intake: &mut I,
) -> Option<Cow<'b, str>> {
    let file = Arc::clone(&input.file);
    if bytes.starts_with(ARCHIVE) {
        #[cfg(feature = "sheets")]
        sheet::read(input, bytes, intake);
        #[cfg(not(feature = "sheets"))]
        intake.fault(ReadError::NoWorkbooks { file });
        return None;
    }
    if bytes.starts_with(OLD_WORKBOOK) {
        intake.fault(ReadError::OldWorkbook { file });
        return None;
    }
    let Some(decoded) = decoded(bytes) else {
        intake.fault(ReadError::NotText { file });
        return None;
    };
    if decoded.windows_1252 {
        intake.note(Note::Windows1252 { file });
    }
    let text = decoded.text;
    if text.contains('\r') && !text.contains('\n') {
        return Some(Cow::Owned(text.replace('\r', "\n")));
    }
    Some(text)
}

/// The name of a file without its directory and extension.
pub(super) fn stem(name: &str) -> String {
    Path::new(name)
        .file_stem()
        .map_or_else(|| name.to_owned(), |stem| stem.to_string_lossy().into_owned())
}

/// Strips of one name become `stem: name`, with a number where that is not enough.
fn make_names_unique(strips: &mut [super::Strip], notes: &mut Vec<Note>) {
    let mut count: HashMap<String, usize> = HashMap::with_capacity(strips.len());
    for strip in strips.iter() {
        *count.entry(strip.name.clone()).or_default() += 1;
    }
    if count.len() == strips.len() {
        return;
    }
    let mut taken: HashSet<String> =
        count.iter().filter(|(_, n)| **n == 1).map(|(name, _)| name.clone()).collect();
    let mut noted = HashSet::new();
    for strip in strips.iter_mut().filter(|strip| count.get(&strip.name).is_some_and(|n| *n > 1)) {
        if noted.insert(strip.name.clone()) {
            let strips = count[&strip.name];
            notes.push(Note::SameNames { name: strip.name.clone(), strips });
        }
        let base = format!("{}: {}", stem(&strip.source), strip.name);
        let numbered = (2_usize..).map(|number| format!("{base} ({number})"));
        let free = std::iter::once(base.clone()).chain(numbered).find(|name| !taken.contains(name));
        strip.name = free.unwrap_or(base);
        taken.insert(strip.name.clone());
    }
}
