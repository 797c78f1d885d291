//! A journal's file: opened and locked while it is read or written.
//!
//! The lock is on the journal itself. Entries are added in place and the file is never renamed, so
//! that whoever waits for the lock gets the file that has its name; where a spreadsheet has put
//! another file there meanwhile, it is opened again. No lock file is left lying about, and a journal
//! that may only be read can be read.

use super::errors::JournalError;
use std::fs::{File, TryLockError};
use std::io::{Error, ErrorKind, Read, Result};
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};
use std::time::Duration;
#[cfg(not(target_family = "wasm"))]
use std::time::Instant;

/// Greatest size of a journal in MB.
const LARGEST_MB: u64 = 64;
/// How often a file is opened again that was replaced while its lock was waited for.
const TRIES: usize = 100;

/// How long a lock is waited for, and how often it is asked for meanwhile.
const USUAL_WAIT: Duration = Duration::from_secs(10);
const ASKED_EVERY: Duration = Duration::from_millis(20);
/// After so long a person is told what is waited for.
const TOLD_AFTER: Duration = Duration::from_secs(2);

/// How a lock is waited for that another program has on a journal.
#[derive(Clone, Copy, Debug)]
pub struct Patience {
    /// How long, at most.
    pub at_most: Duration,
    /// Told once, after two seconds, which journal is waited for.
    pub told: fn(&Path),
}

static PATIENCE: OnceLock<Patience> = OnceLock::new();

impl Patience {
    /// Makes this the way of the whole process; the first one that is set stays. Without one, a lock is
    /// waited for in silence, ten seconds at most.
    pub fn set(self) {
        let _ = PATIENCE.set(self);
    }

    fn present() -> Self {
        PATIENCE.get().copied().unwrap_or(Self { at_most: USUAL_WAIT, told: |_| {} })
    }
}

/// A journal that nobody else writes to while this lives.
pub(super) struct Locked {
    pub(super) path: PathBuf,
    pub(super) file: File,
    /// What it holds.
    pub(super) bytes: Vec<u8>,
    /// Whether it was not there before.
    pub(super) created: bool,
}

/// The bytes of the journal at `path`, under a shared lock.
pub(super) fn read(path: &Path) -> std::result::Result<Vec<u8>, JournalError> {
    let read = || {
        ordinary(path)?;
        let mut file = File::open(path)?;
        match waiting(path, || file.try_lock_shared()) {
            // Reading does no harm where there are no locks.
            Err(error) if error.kind() != ErrorKind::Unsupported => Err(error),
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
        waiting(path, || file.try_lock())?;
        if is_at(path, &file)? {
            let bytes = contents(&mut file)?;
            let path = path.to_owned();
            return Ok(Locked { path, file, created: created && bytes.is_empty(), bytes });
        }
    }
    Err(Error::other("it is replaced over and over by another program"))
}

/// In a page of a browser there are no locks of files: the page itself has a lock on the whole folder
/// while the program runs, and there is no other program.
#[cfg(target_family = "wasm")]
fn waiting(_: &Path, _: impl Fn() -> std::result::Result<(), TryLockError>) -> Result<()> {
    Ok(())
}

/// Asks for a lock until it is given, or for as long as patience lasts.
#[cfg(not(target_family = "wasm"))]
fn waiting(path: &Path, lock: impl Fn() -> std::result::Result<(), TryLockError>) -> Result<()> {
    let Patience { at_most, told } = Patience::present();
    let began = Instant::now();
    let mut silent = true;
    loop {
        match lock() {
            Ok(()) => return Ok(()),
            Err(TryLockError::Error(error)) if error.kind() == ErrorKind::Interrupted => {}
            Err(TryLockError::Error(error)) => return Err(error),
            Err(TryLockError::WouldBlock) => {
                let waited = began.elapsed();
                if waited >= at_most {
                    return Err(Error::new(
                        ErrorKind::WouldBlock,
                        format!("{}", at_most.as_secs_f64()),
                    ));
                }
                if silent && waited >= TOLD_AFTER {
                    told(path);
                    silent = false;
                }
                std::thread::sleep(ASKED_EVERY.min(at_most - waited));
            }
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
pub(super) fn is_at(path: &Path, file: &File) -> Result<bool> {
    use std::os::unix::fs::MetadataExt;
    let open = file.metadata()?;
    Ok(std::fs::metadata(path)
        .is_ok_and(|there| (there.dev(), there.ino()) == (open.dev(), open.ino())))
}

#[cfg(not(unix))]
pub(super) fn is_at(path: &Path, _: &File) -> Result<bool> {
    Ok(path.exists())
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
        ErrorKind::WouldBlock => format!("another program has it locked, and {error} seconds were waited for it; close it there, or wait longer"),
        _ => format!("it cannot be {done} ({error})"),
    };
    JournalError::Unusable { file, reason }
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    /// Whoever waits for the lock gets the file that has the name when the lock is free.
    #[test]
    fn a_file_that_was_replaced_while_it_was_waited_for_is_opened_again() {
        let folder = tempfile::tempdir().unwrap();
        let (path, other) = (folder.path().join("bath.csv"), folder.path().join("new.csv"));
        std::fs::write(&path, "old\n").unwrap();
        std::fs::write(&other, "new\n").unwrap();
        let held = lock(&path, false).unwrap();
        std::thread::scope(|scope| {
            let waiting = scope.spawn(|| lock(&path, false).unwrap().bytes);
            std::thread::sleep(std::time::Duration::from_millis(50));
            std::fs::rename(&other, &path).unwrap();
            drop(held);
            assert_eq!(waiting.join().unwrap(), b"new\n");
        });
    }
}
