//! Readings files: every format, every fault with its message, and properties that hold for any file.

mod faults;
mod formats;
mod properties;
mod published;
mod quantities;
mod small;
mod wide;

use std::path::PathBuf;

use wedgebook::readings::{Note, ReadOptions, Readings, Strip, read_bytes};

/// A file that lies beside the tests.
fn fixture(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/library/readings").join(name)
}

/// Reads `text` as the file `strips.csv` with the usual options.
fn read(text: &str) -> Readings {
    read_with(text, &ReadOptions::default())
}

fn read_with(text: &str, options: &ReadOptions) -> Readings {
    read_bytes("strips.csv", text.as_bytes(), options)
        .unwrap_or_else(|faults| panic!("{faults}\n--- in\n{text}"))
}

/// The messages of all faults of `text`, read as the file `strips.csv`.
fn faults_of(text: &str) -> String {
    faults_with(text, &ReadOptions::default())
}

fn faults_with(text: &str, options: &ReadOptions) -> String {
    match read_bytes("strips.csv", text.as_bytes(), options) {
        Ok(readings) => panic!("no fault was found: {readings:?}"),
        Err(faults) => faults.to_string(),
    }
}

/// The log exposure and density of each exposed reading.
fn points(strip: &Strip) -> Vec<(f64, f64)> {
    let point = |r: &wedgebook::readings::Reading| (r.log_exposure.unwrap().get(), r.density.get());
    strip.readings.iter().map(point).collect()
}

/// The densities of the unexposed film.
fn base(strip: &Strip) -> Vec<f64> {
    strip.unexposed.iter().map(|reading| reading.density.get()).collect()
}

/// The notes as a user sees them.
fn told(notes: &[Note]) -> Vec<String> {
    notes.iter().map(ToString::to_string).collect()
}

fn names(readings: &Readings) -> Vec<&str> {
    readings.strips.iter().map(|strip| strip.name.as_str()).collect()
}
