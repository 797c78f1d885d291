//! The faces of an answer: text, JSON and its schema, CSV, a printed page, pages for a browser. They render
//! what the answer says of itself and compute nothing.

#[cfg(feature = "html")]
pub mod bench;
pub mod csv;
#[cfg(feature = "html")]
mod html;
pub mod json;
#[cfg(feature = "figures")]
pub mod page;
#[cfg(feature = "html")]
pub mod piece;
#[cfg(all(feature = "figures", feature = "html"))]
pub mod report;
#[cfg(feature = "cli")]
pub mod schema;
pub mod text;
