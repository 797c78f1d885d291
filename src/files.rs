//! Writing files: all of one or nothing.

use std::io::Write;
use std::path::{Path, PathBuf};

/// Why a file cannot be opened, in words.
#[must_use]
pub fn reason(error: &std::io::Error) -> String {
    use std::io::ErrorKind;
    match error.kind() {
        ErrorKind::NotFound => "no such file".to_owned(),
        ErrorKind::PermissionDenied => "its permissions do not allow it".to_owned(),
        ErrorKind::IsADirectory => "this is a directory".to_owned(),
        other => other.to_string(),
    }
}

/// Writes `bytes` to a new file beside `path`, then renames it over `path`.
///
/// # Errors
/// Those of the file system; what stood at `path` is then still there.
pub fn replace(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    };
    let mut builder = tempfile::Builder::new();
    builder.prefix(".wedgebook-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As an ordinary new file: the umask takes away what it takes from any other.
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(bytes)?;
    file.persist(path)?;
    Ok(())
}
