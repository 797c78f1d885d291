//! Fonts of the system, for scripts that the embedded font does not have.

use rustybuzz::Face;
use std::collections::HashMap;
use std::path::PathBuf;
use std::sync::{Mutex, OnceLock, PoisonError};

/// Where systems keep their fonts; `~` is the user's home.
const FOLDERS: [&str; 10] = [
    "~/.fonts",
    "~/.local/share/fonts",
    "~/Library/Fonts",
    "~/AppData/Local/Microsoft/Windows/Fonts",
    "/usr/share/fonts",
    "/usr/local/share/fonts",
    "/run/current-system/sw/share/X11/fonts",
    "/Library/Fonts",
    "/System/Library/Fonts",
    "C:/Windows/Fonts",
];
/// Deepest folder below these, and the most files that are looked at.
const DEEPEST: u32 = 4;
const MOST_FILES: usize = 4000;
/// Largest file that is read, in bytes.
const LARGEST: u64 = 120_000_000;
/// Most fonts of one collection.
const MOST_FACES: u32 = 32;

/// The first font, by the order of folders and names, that has a character; `None` where no font of
/// this system has it.
pub(super) fn face_with(c: char) -> Option<&'static Face<'static>> {
    static KNOWN: OnceLock<Mutex<HashMap<char, Option<&'static Face<'static>>>>> = OnceLock::new();
    let known = KNOWN.get_or_init(Mutex::default);
    let mut known = known.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(face) = known.get(&c) {
        return *face;
    }
    // A font that has served another character most likely has this one.
    let used = known.values().flatten().find(|face| has(face, c)).copied();
    let face = used.or_else(|| files().iter().find_map(|path| face_in(path, c)));
    known.insert(c, face);
    face
}

fn has(face: &Face<'_>, c: char) -> bool {
    face.glyph_index(c).is_some_and(|glyph| face.glyph_bounding_box(glyph).is_some())
}

/// The font in a file that has a character. Its bytes are kept for as long as the program runs.
fn face_in(path: &PathBuf, c: char) -> Option<&'static Face<'static>> {
    let size = std::fs::metadata(path).ok()?.len();
    let bytes = (size <= LARGEST).then(|| std::fs::read(path).ok()).flatten()?;
    let count = rustybuzz::ttf_parser::fonts_in_collection(&bytes).unwrap_or(1);
    let fits = |n: &u32| Face::from_slice(&bytes, *n).is_some_and(|face| has(&face, c));
    let index = (0..count.min(MOST_FACES)).find(fits)?;
    let bytes: &'static [u8] = Box::leak(bytes.into_boxed_slice());
    let face = Face::from_slice(bytes, index)?;
    Some(Box::leak(Box::new(face)))
}

/// All font files, looked up once.
fn files() -> &'static [PathBuf] {
    static FILES: OnceLock<Vec<PathBuf>> = OnceLock::new();
    FILES.get_or_init(|| {
        let home = std::env::var_os("HOME").or_else(|| std::env::var_os("USERPROFILE"));
        let mut files = Vec::new();
        for folder in FOLDERS {
            let folder = match (folder.strip_prefix("~/"), &home) {
                (Some(rest), Some(home)) => PathBuf::from(home).join(rest),
                (Some(_), None) => continue,
                (None, _) => PathBuf::from(folder),
            };
            collect(folder, DEEPEST, &mut files);
        }
        // Upright letters of common weight, where there are such.
        files.sort_by_key(|path| {
            let name = path.to_string_lossy().to_ascii_lowercase();
            ["bold", "italic", "oblique", "mono", "condensed", "light", "black", "serif"]
                .iter()
                .filter(|word| name.contains(*word))
                .count()
        });
        files
    })
}

fn collect(folder: PathBuf, deepest: u32, files: &mut Vec<PathBuf>) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    let mut paths: Vec<PathBuf> = entries.filter_map(|e| Some(e.ok()?.path())).collect();
    paths.sort();
    for path in paths {
        if files.len() >= MOST_FILES {
            return;
        }
        if path.is_dir() {
            if deepest > 0 {
                collect(path, deepest - 1, files);
            }
            continue;
        }
        let extension = path.extension().map(|e| e.to_string_lossy().to_ascii_lowercase());
        if matches!(extension.as_deref(), Some("ttf" | "otf" | "ttc" | "otc")) {
            files.push(path);
        }
    }
}
