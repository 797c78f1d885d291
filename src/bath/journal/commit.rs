//! An entry to the disk: one write, and all of it or nothing.

use super::errors::JournalError;
use super::store::{Locked, is_at, name};
use std::ffi::OsString;
use std::fs::File;
use std::io::{Error, ErrorKind, Result, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

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
            Err(error) => return Err(self.not_written(&error, AS_BEFORE.to_owned())),
        };
        if let Err(error) = self.put(end_at, line) {
            let state = match (self.undo(end_at), kept) {
                (Ok(()), None) => AS_BEFORE.to_owned(),
                (Ok(()), Some(beside)) => format!(
                    "{AS_BEFORE}, but for a last line cut short by a crash, which is now in {}",
                    beside.display()
                ),
                (Err(_), _) => IN_PART.to_owned(),
            };
            return Err(self.not_written(&error, state));
        }
        if is_at(&self.path, &self.file).is_ok_and(|is_at| !is_at) {
            let error = Error::other("another program put another file in its place meanwhile");
            return Err(self.not_written(&error, REPLACED.to_owned()));
        }
        Ok(kept)
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
    pub(super) fn set_aside(&mut self, end: usize) -> Result<Option<PathBuf>> {
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

    /// Removes a file that was begun for an entry which is not made.
    pub(super) fn forget(&self) {
        if self.created {
            let _ = std::fs::remove_file(&self.path);
        }
    }

    /// The journal could not be changed, and is as before.
    pub(super) fn unchanged(&self, reason: &str) -> JournalError {
        let (file, reason) = (name(&self.path), reason.to_owned());
        JournalError::NotWritten { file, reason, state: AS_BEFORE.to_owned() }
    }

    fn not_written(&self, error: &Error, state: String) -> JournalError {
        JournalError::NotWritten { file: name(&self.path), reason: error.to_string(), state }
    }
}

const AS_BEFORE: &str = "the journal is as before";
const IN_PART: &str = "what was written of it will be moved aside when the next entry is made";
const REPLACED: &str = "look at the journal as it is now, and enter it again";

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
                if !matches!(error.kind(), ErrorKind::InvalidInput | ErrorKind::Unsupported) =>
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

#[cfg(all(test, unix))]
mod tests {
    use super::super::store::lock;

    /// A spreadsheet saves by putting a new file in the place of the old one.
    #[test]
    fn an_entry_in_a_file_that_was_replaced_is_not_called_made() {
        let folder = tempfile::tempdir().unwrap();
        let (path, other) = (folder.path().join("bath.csv"), folder.path().join("new.csv"));
        std::fs::write(&path, "old\n").unwrap();
        std::fs::write(&other, "new\n").unwrap();
        let locked = lock(&path, false).unwrap();
        std::fs::rename(&other, &path).unwrap();
        let error = locked.append(4, b"entry\n").unwrap_err().to_string();
        assert!(error.ends_with("(another program put another file in its place meanwhile); look at the journal as it is now, and enter it again"), "{error}");
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "new\n");
        assert!(lock(&path, false).unwrap().append(4, b"entry\n").is_ok());
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "new\nentry\n");
    }
}
