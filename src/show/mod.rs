//! The faces of an answer: text, JSON, a printed page. They render what the answer says of itself and
//! compute nothing.

pub mod json;
pub mod page;
pub mod text;
