//! The folder of a darkroom: what is usual there, the files that names stand for, and how one is laid down.

mod defaults;
mod find;
#[cfg(feature = "sheets")]
mod sheet;
mod templates;

pub use crate::session::plan::PlanError as DefaultsError;
pub use defaults::Defaults;
pub use find::{Found, NotFound, Sort};
pub use templates::{Template, templates};

use std::path::{Path, PathBuf};

/// The file that says what is usual in a folder.
pub const FILE: &str = "wedgebook.toml";

/// A folder, seen from where the program was called.
#[derive(Clone, Debug)]
pub struct Folder {
    /// The folder of [`FILE`], as a path from here; where there is no such file, here.
    pub root: PathBuf,
    /// Whether it has that file.
    pub laid_down: bool,
    /// What is usual in it.
    pub defaults: Defaults,
}

impl Folder {
    /// The nearest folder at `here` or above it that has a [`FILE`]; where there is none, `here`, with no
    /// defaults.
    ///
    /// # Errors
    /// [`DefaultsError`]: the first fault of that file, with its line.
    pub fn of(here: &Path) -> Result<Self, DefaultsError> {
        let levels = here.ancestors().position(|above| above.join(FILE).is_file());
        let Some(levels) = levels else {
            let defaults = Defaults::default();
            return Ok(Self { root: PathBuf::new(), laid_down: false, defaults });
        };
        let root: PathBuf = std::iter::repeat_n("..", levels).collect();
        let defaults = Defaults::read(&root.join(FILE), &here.join(&root).join(FILE))?;
        Ok(Self { root, laid_down: true, defaults })
    }

    /// Its file of defaults, as a path from here.
    #[must_use]
    pub fn file(&self) -> PathBuf {
        self.root.join(FILE)
    }
}
