//! What is wrong with a plan, and where.

use std::path::PathBuf;

/// Why a plan cannot be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// It cannot be opened.
    #[error("{}: {reason}", .path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// Why not.
        reason: String,
    },
    /// Something that a plan must have is not there.
    #[error("{}:{line}: {key}: is missing", .path.display())]
    Missing {
        /// The file.
        path: PathBuf,
        /// The line of the section that should have it, from 1.
        line: usize,
        /// Its name.
        key: String,
    },
    /// Something in it cannot be.
    #[error("{}:{line}: {message}", .path.display())]
    Faulty {
        /// The file.
        path: PathBuf,
        /// The line, from 1.
        line: usize,
        /// What was found, and what to do.
        message: String,
    },
}
