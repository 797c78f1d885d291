//! A bath: whether it still develops to spec, its journal, its control charts, how long it will last.

pub mod control;
pub mod forecast;
pub mod journal;
pub mod limits;
