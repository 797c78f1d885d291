//! Least squares and other tools that know nothing of film.

pub mod chance;
pub mod least_squares;
pub mod linear;
pub mod mixed;
pub mod monotone;
pub(crate) mod qr;
pub mod search;
pub mod special;
