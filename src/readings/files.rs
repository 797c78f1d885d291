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
use crate::units::Celsius;

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
    read_all(paths.iter().map(|path| (path.display().to_string(), contents(path))), options)
}

/// Reads the strips of several sources, in their order: each a name for messages, and its bytes or why
/// there are none.
///
/// # Errors
/// [`ReadErrors`] with every fault of every source.
#[cfg(feature = "files")]
pub fn read_all(
    sources: impl IntoIterator<Item = (String, Result<Vec<u8>, OpenFault>)>,
    options: &ReadOptions,
) -> Result<Readings, ReadErrors> {
    let mut gathered = Gathered::default();
    let mut is_any = false;
    for (name, bytes) in sources {
        is_any = true;
        match bytes {
            Ok(bytes) => read_one(&name, &bytes, options, &mut gathered),
            Err(fault) => {
                gathered.faults.push(ReadError::Unreadable { file: name.into(), fault });
            }
        }
    }
    if !is_any {
        gathered.faults.push(ReadError::NoFiles);
    }
    finished(gathered, options)
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
    finished(gathered, options)
}

fn finished(mut gathered: Gathered, options: &ReadOptions) -> Result<Readings, ReadErrors> {
    match ReadErrors::from_faults(gathered.faults) {
        Some(errors) => Err(errors),
        None => {
            make_names_unique(&mut gathered.strips, &mut gathered.notes);
            gathered.notes.extend(own_development(&gathered.strips, options));
            Ok(Readings { strips: gathered.strips, notes: gathered.notes })
        }
    }
}

/// Strips that keep a time or a temperature of their own where another was given for strips without one.
fn own_development(strips: &[super::Strip], options: &ReadOptions) -> impl Iterator<Item = Note> {
    let own = |differs: &dyn Fn(&super::Strip) -> bool, given: String| {
        let strips: Vec<String> =
            strips.iter().filter(|s| differs(s)).map(|s| s.name.clone()).collect();
        (!strips.is_empty()).then_some(Note::OwnDevelopment { strips, given })
    };
    let minutes = options
        .minutes
        .and_then(|given| own(&|strip| strip.minutes != Some(given), format!("{given} min")));
    let celsius = options.celsius.and_then(|given| {
        let differs = |own: Celsius| (own.get() - given.get()).abs() > 1e-6;
        own(&|strip| strip.celsius.is_some_and(differs), format!("{given} °C"))
    });
    minutes.into_iter().chain(celsius)
}

/// All bytes of a readings file.
///
/// # Errors
/// Where it cannot be read, or has more than any readings file.
#[cfg(feature = "files")]
pub fn contents(path: &Path) -> Result<Vec<u8>, OpenFault> {
    if path.is_dir() {
        return Err(OpenFault::IsDirectory);
    }
    File::open(path).map_err(|error| open_fault(&error)).and_then(bounded)
}

#[cfg(feature = "files")]
fn open_fault(fault: &std::io::Error) -> OpenFault {
    match fault.kind() {
        ErrorKind::NotFound => OpenFault::NotFound,
        ErrorKind::IsADirectory => OpenFault::IsDirectory,
        ErrorKind::PermissionDenied => OpenFault::NoPermission,
        _ => OpenFault::Other { reason: fault.to_string() },
    }
}

/// All bytes of a source, which has no more than any readings file.
///
/// # Errors
/// Where it has more, or cannot be read.
#[cfg(feature = "files")]
pub fn bounded(source: impl Read) -> Result<Vec<u8>, OpenFault> {
    let limit = LARGEST_MB << 20;
    let mut bytes = Vec::new();
    source.take(limit + 1).read_to_end(&mut bytes).map_err(|error| open_fault(&error))?;
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
