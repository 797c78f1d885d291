//! Checks against published values, one file per source.

mod strd;
