//! How long things take. `cargo bench -- pairing` runs one group, `cargo bench -- "pairing/adjust"`
//! one measurement.
//!
//! With `WEDGEBOOK_COMPARE=strips.csv` the strips of that file are fitted instead, and times and
//! parameters are printed for `compare_scipy.py`, which makes such a file.

#[path = "../../tests/support/emulsions/mod.rs"]
mod emulsions;

mod control;
mod curve;
mod evenness;
mod figures;
mod forecast;
mod journal;
mod pairing;
mod picture;
mod printing;
mod readings;
mod report;
mod session;
mod verify;

use criterion::Criterion;
use std::path::{Path, PathBuf};
use wedgebook::curve::Choice;
use wedgebook::development::Pairing;
use wedgebook::readings::{ReadOptions, Strip, read_files};
use wedgebook::units::{Celsius, LogExposure};

/// Path of a file of the demonstration.
fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data").join(name)
}

/// Strips of a file of the demonstration, with this log exposure behind clear tablet.
fn strips(name: &str, log_exposure_clear: f64) -> Vec<Strip> {
    let options = ReadOptions {
        log_exposure_clear: LogExposure::new(log_exposure_clear).ok(),
        ..ReadOptions::default()
    };
    read_files(&[data(name)], &options).unwrap().strips
}

/// The demonstration's pairing.
fn family() -> Pairing {
    let reference = Celsius::new(20.0).unwrap();
    Pairing::calibrate(strips("family.csv", 0.0), Choice::Auto, reference).unwrap()
}

fn main() {
    if let Some(path) = std::env::var_os("WEDGEBOOK_COMPARE") {
        return curve::compare(Path::new(&path));
    }
    let mut criterion = Criterion::default().configure_from_args();
    for group in [
        control::control,
        curve::curve,
        evenness::evenness,
        figures::figures,
        forecast::forecast,
        journal::journal,
        pairing::pairing,
        picture::picture,
        printing::printing,
        readings::readings,
        report::report,
        session::session,
        verify::verify,
    ] {
        group(&mut criterion);
    }
    criterion.final_summary();
}
