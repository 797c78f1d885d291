//! A bath: whether it still develops to spec, its journal, its control charts, how long it will last.

pub mod activity;
pub mod control;
pub mod count;
pub mod entered;
pub mod film;
pub mod forecast;
pub mod history;
pub mod journal;
pub mod limits;
pub mod materials;
pub mod standing;
pub mod trace;
pub mod verify;
pub mod watched;
