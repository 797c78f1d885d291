//! A journal's file: locked while it is read or written, one write for an entry, on the disk before
//! success is told.
//!
//! The lock is on the journal itself. Entries are added in place and the file is never renamed, so
//! that whoever waits for the lock gets the file that has its name; where a spreadsheet has put
//! another file there meanwhile, it is opened again. No lock file is left lying about, and a journal
//! that may only be read can be read.

use super::errors::JournalError;
use std::ffi::OsString;
use std::fs::File;
use std::io::{Error, ErrorKind, Read, Result, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Greatest size of a journal in MB.
const LARGEST_MB: u64 = 64;
/// How often a file is opened again that was replaced while its lock was waited for.
const TRIES: usize = 100;

/// A journal that nobody else writes to while this lives.
pub(super) struct Locked {
    path: PathBuf,
    file: File,
    /// What it holds.
    pub(super) bytes: Vec<u8>,
    /// Whether it was not there before.
    created: bool,
}

/// The bytes of the journal at `path`, under a shared lock.
pub(super) fn read(path: &Path) -> std::result::Result<Vec<u8>, JournalError> {
    let read = || {
        ordinary(path)?;
        let mut file = File::open(path)?;
        match again(|| file.lock_shared()) {
            // Reading does no harm where there are no locks.
            Err(error) if error.kind() != ErrorKind::Unsupported => return Err(error),
            _ => contents(&mut file),
        }
    };
    read().map_err(|error| unusable(path, &error, "read"))
}

/// The journal at `path`, under an exclusive lock; a new one if it is not there and `may_create`.
pub(super) fn lock(path: &Path, may_create: bool) -> std::result::Result<Locked, JournalError> {
    open(path, may_create).map_err(|error| unusable(path, &error, "written"))
}

fn open(path: &Path, may_create: bool) -> Result<Locked> {
    let mut options = File::options();
    options.read(true).write(true);
    for _ in 0..TRIES {
        let (mut file, created) = match ordinary(path).and_then(|()| options.open(path)) {
            Err(error) if error.kind() == ErrorKind::NotFound && may_create => {
                match options.clone().create_new(true).open(path) {
                    Err(error) if error.kind() == ErrorKind::AlreadyExists => continue,
                    file => (file?, true),
                }
            }
            file => (file?, false),
        };
        again(|| file.lock())?;
        if is_at(path, &file)? {
            let bytes = contents(&mut file)?;
            let path = path.to_owned();
            return Ok(Locked {
                path,
                file,
                created: created && bytes.is_empty(),
                bytes,
            });
        }
    }
    Err(Error::other(
        "it is replaced over and over by another program",
    ))
}

/// Waits for a lock also where a signal comes between.
fn again(lock: impl Fn() -> Result<()>) -> Result<()> {
    loop {
        match lock() {
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            outcome => return outcome,
        }
    }
}

/// Devices and directories are no journals, and may never end.
fn ordinary(path: &Path) -> Result<()> {
    let kind = std::fs::metadata(path)?.file_type();
    if kind.is_dir() {
        return Err(ErrorKind::IsADirectory.into());
    }
    match kind.is_file() {
        true => Ok(()),
        false => Err(Error::other("it is not an ordinary file")),
    }
}

fn contents(file: &mut File) -> Result<Vec<u8>> {
    let limit = LARGEST_MB << 20;
    let mut bytes = Vec::new();
    file.take(limit + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > limit {
        let message = format!("it is larger than {LARGEST_MB} MB, which no journal is");
        return Err(Error::other(message));
    }
    Ok(bytes)
}

/// Whether the file that `path` names is still the open one.
#[cfg(unix)]
fn is_at(path: &Path, file: &File) -> Result<bool> {
    use std::os::unix::fs::MetadataExt;
    let open = file.metadata()?;
    Ok(std::fs::metadata(path)
        .is_ok_and(|there| (there.dev(), there.ino()) == (open.dev(), open.ino())))
}

#[cfg(not(unix))]
fn is_at(path: &Path, _: &File) -> Result<bool> {
    Ok(path.exists())
}

impl Locked {
    /// Puts `line` after the first `end` bytes, which are good, and waits until it is on the disk.
    /// What follows them is first kept in a file beside; its path is returned.
    pub(super) fn append(
        mut self,
        end: usize,
        line: &[u8],
    ) -> std::result::Result<Option<PathBuf>, JournalError> {
        let end_at = end as u64;
        let kept = match self.set_aside(end) {
            Ok(kept) => kept,
            Err(error) => return Err(self.not_written(&error, true)),
        };
        let outcome = self.put(end_at, line);
        match outcome {
            Ok(()) => Ok(kept),
            Err(error) => {
                let undone = self.undo(end_at).is_ok();
                Err(self.not_written(&error, undone))
            }
        }
    }

    fn put(&mut self, at: u64, line: &[u8]) -> Result<()> {
        self.file.seek(SeekFrom::Start(at))?;
        write_at_once(&mut self.file, line)?;
        if self.created {
            self.file.sync_all()?;
            sync_folder(&self.path)
        } else {
            self.file.sync_data()
        }
    }

    fn undo(&mut self, end: u64) -> Result<()> {
        if self.created {
            return std::fs::remove_file(&self.path);
        }
        self.file.set_len(end)?;
        self.file.sync_data()
    }

    /// Moves what follows the first `end` bytes to the end of the file beside.
    fn set_aside(&mut self, end: usize) -> Result<Option<PathBuf>> {
        let torn = &self.bytes[end..];
        if torn.is_empty() {
            return Ok(None);
        }
        let beside = beside(&self.path);
        let mut options = File::options();
        let mut file = options.append(true).create(true).open(&beside)?;
        let mut line = torn.to_vec();
        line.push(b'\n');
        file.write_all(&line)?;
        file.sync_all()?;
        sync_folder(&beside)?;
        self.file.set_len(end as u64)?;
        Ok(Some(beside))
    }

    fn not_written(&self, error: &Error, undone: bool) -> JournalError {
        JournalError::NotWritten {
            file: name(&self.path),
            reason: error.to_string(),
            state: if undone {
                "the journal is as before"
            } else {
                "what was written of it will be moved aside when the next entry is made"
            },
        }
    }
}

/// Writes all of `bytes` in one call; a second one could leave a part of a line behind.
fn write_at_once(file: &mut File, bytes: &[u8]) -> Result<()> {
    let written = loop {
        match file.write(bytes) {
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            outcome => break outcome?,
        }
    };
    match written == bytes.len() {
        true => Ok(()),
        false => Err(Error::new(
            ErrorKind::StorageFull,
            format!("only {written} of its {} bytes found room", bytes.len()),
        )),
    }
}

/// Where what is torn off `path` is kept.
pub(super) fn beside(path: &Path) -> PathBuf {
    let mut name = OsString::from(path);
    name.push(".torn");
    name.into()
}

/// Makes the name of a new file last, where the system can.
fn sync_folder(path: &Path) -> Result<()> {
    #[cfg(unix)]
    {
        let folder = path.parent().filter(|p| !p.as_os_str().is_empty());
        let folder = File::open(folder.unwrap_or(Path::new(".")))?;
        match folder.sync_all() {
            // Some file systems cannot, and need not.
            Err(error)
                if !matches!(
                    error.kind(),
                    ErrorKind::InvalidInput | ErrorKind::Unsupported
                ) =>
            {
                Err(error)
            }
            _ => Ok(()),
        }
    }
    #[cfg(not(unix))]
    {
        let _ = path;
        Ok(())
    }
}

/// A path as messages name it.
pub(super) fn name(path: &Path) -> Arc<str> {
    path.display().to_string().into()
}

fn unusable(path: &Path, error: &Error, done: &str) -> JournalError {
    let file = name(path);
    let reason = match error.kind() {
        ErrorKind::NotFound if done == "read" || path.parent().is_none_or(|p| p.as_os_str().is_empty() || p.exists()) => return JournalError::Missing { file },
        ErrorKind::NotFound => "its folder does not exist; check the path".to_owned(),
        ErrorKind::IsADirectory => "this is a directory; name the journal in it".to_owned(),
        ErrorKind::PermissionDenied => format!("it may not be {done}; change its permissions"),
        ErrorKind::Unsupported => "its file system has no locks, so that two programs could spoil it; keep it on another disk".to_owned(),
        _ if cfg!(windows) && error.raw_os_error() == Some(32) => "another program has it open; close it there".to_owned(),
        _ => format!("it cannot be {done} ({error})"),
    };
    JournalError::Unusable { file, reason }
}
