//! Writing a file: all of it or nothing.

use std::io::{Error, Result, Write};
use std::path::{Path, PathBuf};

/// How many links are followed from a path to its file.
const MOST_LINKS: usize = 40;

/// Writes `bytes` to a new file in the folder of `path`, waits until they are on the disk, and gives
/// the new file the name `path`. A file that had this name keeps its permissions; a link stays, and the
/// file that it leads to is written.
///
/// # Errors
/// Those of the file system. What was at `path` is then still there, and the new file is removed.
pub fn replace(path: &Path, bytes: &[u8]) -> Result<()> {
    let target = followed(path);
    let folder = folder_of(&target);
    let present = std::fs::metadata(&target).ok();
    let mut file = new_file(folder).map_err(nameless)?;
    file.write_all(bytes).map_err(nameless)?;
    if let Some(present) = present {
        keep_owner(file.as_file(), &present);
        file.as_file().set_permissions(present.permissions())?;
    }
    file.as_file().sync_all()?;
    // A file that is not renamed is removed when it is dropped.
    file.persist(&target).map_err(|failed| nameless(failed.error))?;
    sync(folder);
    Ok(())
}

fn new_file(folder: &Path) -> Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".wedgebook-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As an ordinary new file: the umask takes away what it takes from any other.
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

/// The error without the name of a file that nobody has named.
fn nameless(error: Error) -> Error {
    Error::from(error.kind())
}

/// The new file belongs to whom the old one belonged to, where the system allows it.
fn keep_owner(file: &std::fs::File, present: &std::fs::Metadata) {
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        let _ = std::os::unix::fs::fchown(file, Some(present.uid()), Some(present.gid()));
    }
    #[cfg(not(unix))]
    let _ = (file, present);
}

/// Makes the new name last through a loss of power, where the system can.
fn sync(folder: &Path) {
    #[cfg(unix)]
    if let Ok(folder) = std::fs::File::open(folder) {
        let _ = folder.sync_all();
    }
    #[cfg(not(unix))]
    let _ = folder;
}

/// The path that a link leads to in the end, whether or not there is a file.
pub(super) fn followed(path: &Path) -> PathBuf {
    let mut path = path.to_owned();
    for _ in 0..MOST_LINKS {
        match std::fs::read_link(&path) {
            Ok(next) => path = folder_of(&path).join(next),
            Err(_) => break,
        }
    }
    path
}

/// The folder of a path: the present one for a bare name.
pub(super) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let entries = std::fs::read_dir(folder).unwrap();
        let mut names: Vec<String> =
            entries.map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }

    #[cfg(unix)]
    #[test]
    fn a_file_keeps_its_permissions_and_a_link_stays() {
        use std::os::unix::fs::PermissionsExt;
        let desk = tempfile::tempdir().unwrap();
        let (file, link) = (desk.path().join("a.svg"), desk.path().join("link.svg"));
        std::fs::write(&file, "old").unwrap();
        std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o640)).unwrap();
        std::os::unix::fs::symlink("a.svg", &link).unwrap();
        replace(&link, b"new").unwrap();
        assert_eq!(std::fs::read_to_string(&file).unwrap(), "new");
        assert_eq!(std::fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o640);
        assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(names(desk.path()), ["a.svg", "link.svg"]);
    }

    #[test]
    fn a_failure_leaves_no_file_and_names_none() {
        let desk = tempfile::tempdir().unwrap();
        // A folder cannot be replaced by a file: the new file is there already when this is found.
        std::fs::create_dir(desk.path().join("a.svg")).unwrap();
        std::fs::write(desk.path().join("a.svg/b"), "").unwrap();
        let error = replace(&desk.path().join("a.svg"), b"new").unwrap_err();
        assert!(!error.to_string().contains("wedgebook"), "{error}");
        assert_eq!(names(desk.path()), ["a.svg"]);
        let error = replace(&desk.path().join("none/a.svg"), b"new").unwrap_err();
        assert!(!error.to_string().contains("wedgebook"), "{error}");
    }
}
