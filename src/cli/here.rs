//! The folder where the program is called: what is usual there, and the files that names stand for.

use super::{Failure, remark};
use crate::folder::{Defaults, Folder, Sort};
use crate::units::Temperature;
use crate::units::typed::{TemperatureUnit, degrees_and_unit};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, OnceLock, PoisonError};

static FOLDER: OnceLock<Result<Folder, String>> = OnceLock::new();
/// What was taken from the folder and is not told yet.
static TAKEN: Mutex<Vec<String>> = Mutex::new(Vec::new());

/// The folder.
pub fn folder() -> Result<&'static Folder, Failure> {
    let found = FOLDER.get_or_init(|| {
        let here = std::env::current_dir().unwrap_or_default();
        Folder::of(&here).map_err(|error| error.to_string())
    });
    found.as_ref().map_err(|error| Failure(error.clone()))
}

/// What was typed, or what is usual here, which is told under the name `what`.
pub fn or_usual<T: Clone>(
    typed: Option<T>,
    what: &str,
    usual: impl Fn(&'static Defaults) -> Option<T>,
    words: impl Fn(&T) -> String,
) -> Result<Option<T>, Failure> {
    if typed.is_some() {
        return Ok(typed);
    }
    let usual = usual(&folder()?.defaults);
    if let Some(value) = &usual {
        taken(format!("{what} {}", words(value)));
    }
    Ok(usual)
}

/// Remembers what was taken.
fn taken(what: String) {
    let mut all = TAKEN.lock().unwrap_or_else(PoisonError::into_inner);
    if !all.contains(&what) {
        all.push(what);
    }
}

/// Tells what was taken from the folder, once.
pub fn tell() {
    let all = std::mem::take(&mut *TAKEN.lock().unwrap_or_else(PoisonError::into_inner));
    if let (false, Ok(folder)) = (all.is_empty(), folder()) {
        let from = match folder.laid_down {
            true => folder.file().display().to_string(),
            false => "this folder".to_owned(),
        };
        remark(format_args!("note: from {from}: {}", all.join(", ")));
    }
}

/// The pairing that a person names by its file, or by how its name begins.
pub fn pairing_named(text: &str) -> Result<PathBuf, String> {
    named(Path::new(text), Sort::Pairing).map_err(|Failure(why)| why)
}

/// The journal that a person names in the same way.
pub fn journal_named(text: &str) -> Result<PathBuf, String> {
    named(Path::new(text), Sort::Journal).map_err(|Failure(why)| why)
}

fn named(text: &Path, sort: Sort) -> Result<PathBuf, Failure> {
    if text.exists() {
        return Ok(text.to_owned());
    }
    // A path with folders or an extension in it is meant as it is; its reader says what is wrong.
    let is_path = text.components().count() > 1 || text.extension().is_some();
    match folder()?.named(text, sort) {
        Ok(path) => Ok(path),
        Err(_) if is_path => Ok(text.to_owned()),
        Err(why) => Err(Failure(format!("{why}; wedgebook list shows what there is"))),
    }
}

/// The pairing that was named, or the usual one, or the only one here.
pub fn pairing(typed: Option<&Path>) -> Result<PathBuf, Failure> {
    if let Some(typed) = typed {
        return Ok(typed.to_owned());
    }
    let folder = folder()?;
    let found = match &folder.defaults.pairing {
        Some(usual) => folder.named(Path::new(usual), Sort::Pairing),
        None => folder.only(Sort::Pairing),
    };
    let path = found.map_err(|why| {
        Failure(format!(
            "{why}; name the pairing, or make one, of one strip or more: wedgebook calibrate STRIPS.csv --out PAIRING.toml; without strips, wedgebook convert gives the time of a chart at another temperature"
        ))
    })?;
    taken(format!("pairing {}", path.display()));
    Ok(path)
}

/// The journal of the usual bath, where there is one.
pub fn bath() -> Result<Option<PathBuf>, Failure> {
    let folder = folder()?;
    let Some(usual) = &folder.defaults.bath else { return Ok(None) };
    let path = folder.named(Path::new(usual), Sort::Journal)?;
    taken(format!("bath {}", path.display()));
    Ok(Some(path))
}

/// The journal that was named, or that of the usual bath, or the only one here.
pub fn bath_or_only(typed: Option<&Path>) -> Result<PathBuf, Failure> {
    if let Some(typed) = typed {
        return Ok(typed.to_owned());
    }
    if let Some(usual) = bath()? {
        return Ok(usual);
    }
    let path = folder()?
        .only(Sort::Journal)
        .map_err(|why| Failure(format!("{why}; name the journal of the bath with --bath")))?;
    taken(format!("bath {}", path.display()));
    Ok(path)
}

/// The unit of temperatures that are written without one.
pub fn unit() -> TemperatureUnit {
    folder().ok().and_then(|folder| folder.defaults.unit).unwrap_or_default()
}

/// A temperature as it is typed: without a unit, in that which is usual here.
pub fn temperature(text: &str) -> Result<Temperature, String> {
    let (digits, own) = degrees_and_unit(text.trim());
    let typed = match (own, unit()) {
        (None, TemperatureUnit::Fahrenheit) => format!("{digits}F").parse(),
        _ => text.parse::<Temperature>(),
    };
    typed.map_err(|error| error.to_string())
}
