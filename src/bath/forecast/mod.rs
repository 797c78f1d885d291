//! How long a bath will last.
