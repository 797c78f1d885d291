//! Writing a file: all of it or nothing.

use super::reason;
use std::io::{Error, Result, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// How many links are followed from a path to its file.
const MOST_LINKS: usize = 40;

/// New files that have not got their names yet.
static UNFINISHED: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// Ends the program, which was told to: new files that have not got their names yet are removed, and no
/// further one is begun.
pub fn end(status: i32) -> ! {
    let list = UNFINISHED.lock().unwrap_or_else(PoisonError::into_inner);
    for path in list.iter() {
        let _ = std::fs::remove_file(path);
    }
    std::process::exit(status)
}

/// A new file on the list until it has its name or is gone.
struct Unfinished(PathBuf);

impl Unfinished {
    fn of(path: &Path) -> Self {
        UNFINISHED.lock().unwrap_or_else(PoisonError::into_inner).push(path.to_owned());
        Self(path.to_owned())
    }
}

impl Drop for Unfinished {
    fn drop(&mut self) {
        UNFINISHED.lock().unwrap_or_else(PoisonError::into_inner).retain(|path| *path != self.0);
    }
}

/// A file that was not written. What was at the path is still there.
#[derive(Debug, thiserror::Error)]
#[error("{}: cannot be written: {}", .path.display(), reason(.error))]
pub struct NotWritten {
    /// Its path.
    pub path: PathBuf,
    /// What the system said.
    pub error: Error,
}

/// Writes one file: see [`replace_all`].
///
/// # Errors
/// [`NotWritten`].
pub fn replace(path: &Path, bytes: &[u8]) -> std::result::Result<(), NotWritten> {
    replace_all([(path, bytes)])
}

/// Writes a file where there is none, and the folders above it; says whether it did. What is there stays.
///
/// # Errors
/// [`NotWritten`].
pub fn create(path: &Path, bytes: &[u8]) -> std::result::Result<bool, NotWritten> {
    let failed = |error| NotWritten { path: path.to_owned(), error: nameless(error) };
    if std::fs::symlink_metadata(path).is_ok() {
        return Ok(false);
    }
    std::fs::create_dir_all(folder_of(path)).map_err(failed)?;
    let (file, _listed) = prepared(path, bytes).map_err(failed)?;
    match file.persist_noclobber(path) {
        Ok(_) => sync(folder_of(path)),
        Err(error) if error.error.kind() == std::io::ErrorKind::AlreadyExists => return Ok(false),
        Err(error) => return Err(failed(error.error)),
    }
    Ok(true)
}

/// Writes files: each to a new file in the folder of its path; waits until all of them are on the disk,
/// and only then gives them their names. A file that had the name before leaves its permissions to the
/// new one; a link stays, and the file that it leads to is replaced.
///
/// # Errors
/// [`NotWritten`]: the first that cannot be written, without the name of any new file. As long as no
/// name was given, all is as before.
pub fn replace_all<'a>(
    files: impl IntoIterator<Item = (&'a Path, &'a [u8])>,
) -> std::result::Result<(), NotWritten> {
    let failed = |path: &'a Path| move |error| NotWritten { path: path.to_owned(), error };
    let mut ready = Vec::new();
    for (path, bytes) in files {
        let target = followed(path);
        let (file, listed) = prepared(&target, bytes).map_err(nameless).map_err(failed(path))?;
        ready.push((path, target, file, listed));
    }
    // Those that are not renamed are removed when they are dropped.
    for (path, target, file, _listed) in ready {
        file.persist(&target).map_err(|e| nameless(e.error)).map_err(failed(path))?;
        sync(folder_of(&target));
    }
    Ok(())
}

/// A new file with these bytes on the disk, with the permissions of the one at `target`.
fn prepared(target: &Path, bytes: &[u8]) -> Result<(tempfile::NamedTempFile, Unfinished)> {
    let (mut file, listed) = new_file(folder_of(target))?;
    file.write_all(bytes)?;
    if let Ok(present) = std::fs::metadata(target) {
        keep_owner(file.as_file(), &present);
        // A page of a browser keeps files without permissions.
        #[cfg(not(target_family = "wasm"))]
        file.as_file().set_permissions(present.permissions())?;
    }
    file.as_file().sync_all()?;
    Ok((file, listed))
}

fn new_file(folder: &Path) -> Result<(tempfile::NamedTempFile, Unfinished)> {
    // On the list before it is there, so that no moment is left in which it would stay.
    let mut listed = None;
    let file = tempfile::Builder::new().prefix(".wedgebook-").make_in(folder, |path| {
        listed = Some(Unfinished::of(path));
        let mut options = std::fs::File::options();
        options.write(true).create_new(true);
        options.open(path)
    })?;
    let (file, path) = file.into_parts();
    let listed = listed.unwrap_or_else(|| Unfinished::of(&path));
    Ok((tempfile::NamedTempFile::from_parts(file, path), listed))
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
    fn of_several_files_none_is_replaced_where_one_cannot_be_written() {
        let desk = tempfile::tempdir().unwrap();
        let (first, second) = (desk.path().join("a.svg"), desk.path().join("none/b.svg"));
        std::fs::write(&first, "old").unwrap();
        let error = replace_all([(&*first, &b"new"[..]), (&second, b"new")]).unwrap_err();
        assert_eq!(error.path, second);
        assert_eq!(std::fs::read_to_string(&first).unwrap(), "old");
        assert_eq!(names(desk.path()), ["a.svg"]);
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
