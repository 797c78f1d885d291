//! Files by their paths: what is in them, where outputs may go, and writing all of a file or nothing.

mod kind;
mod outputs;
mod write;

pub use kind::Kind;
pub use outputs::{NotWritable, Output, Outputs, Why, named_beside};
pub use write::{NotWritten, replace, replace_all};

use std::io::{Error, ErrorKind};

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
