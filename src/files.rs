//! Files by their paths: what is in them, where outputs may go, and writing all of a file or nothing.

mod kind;
mod outputs;
mod write;

pub use kind::Kind;
pub use outputs::{NotWritable, Output, Outputs, Why, named_beside};
pub use write::{NotWritten, create, end, replace, replace_all};

use std::fs::File;
use std::io::{Error, ErrorKind, Read};
use std::path::Path;

/// Greatest size of a file of settings, a pairing or a plan, in MB.
const LARGEST_TEXT_MB: u64 = 32;

/// The text of a file of settings, which is no longer than such files are; or why it cannot be had.
///
/// # Errors
/// The reason, in words.
pub fn text(path: &Path) -> Result<String, String> {
    let limit = LARGEST_TEXT_MB << 20;
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(limit + 1).read_to_end(&mut bytes))
        .map_err(|error| reason(&error))?;
    if bytes.len() as u64 > limit {
        return Err(format!("it is larger than {LARGEST_TEXT_MB} MB"));
    }
    String::from_utf8(bytes).map_err(|_| "this is not UTF-8".to_owned())
}

/// Why a file cannot be opened or written, in words.
#[must_use]
pub fn reason(error: &Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "no such file".to_owned(),
        ErrorKind::PermissionDenied => "its permissions do not allow it".to_owned(),
        ErrorKind::IsADirectory => "this is a directory".to_owned(),
        ErrorKind::StorageFull => "the disk is full".to_owned(),
        other => other.to_string(),
    }
}
