//! The faces of an answer: text, JSON, CSV, a printed page. They render what the answer says of itself and
//! compute nothing.

pub mod csv;
pub mod json;
#[cfg(feature = "figures")]
pub mod page;
pub mod text;
