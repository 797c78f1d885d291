//! Test strips and negatives from files.

use super::{Exposure, Negative, StripError, TestStrip};
use crate::readings::{Cells, Names, Note, Place, ReadError, ReadErrors, SmallTable};
use crate::units::{Density, DensitySigma, StripSeconds};
#[cfg(feature = "files")]
use std::path::Path;

static STRIP: Names = Names {
    needed: &[("time", &["seconds"]), ("density", &["density"])],
    optional: &["note"],
    synonyms: &[
        ("s", "seconds"),
        ("sec", "seconds"),
        ("time", "seconds"),
        ("exposure", "seconds"),
        ("d", "density"),
        ("dens", "density"),
        ("remark", "note"),
    ],
    example: "seconds,density",
};
static NEGATIVES: Names = Names {
    needed: &[("lowest density", &["low"]), ("highest density", &["high"])],
    optional: &["negative", "sigma", "note"],
    synonyms: &[
        ("lowest", "low"),
        ("min", "low"),
        ("d_min", "low"),
        ("highest", "high"),
        ("max", "high"),
        ("d_max", "high"),
        ("name", "negative"),
        ("frame", "negative"),
        ("uncertainty", "sigma"),
        ("remark", "note"),
    ],
    example: "negative,low,high",
};

const WRITE_SECONDS: &str = "seconds, as 8";
const WRITE_DENSITY: &str = "one density, as 0.62";
const WRITE_SIGMA: &str = "one number, as 0.01";
const CHECK: &str = "check what was typed";
const NO_DENSITY: &str = "write the density, or remove the row";

/// A test strip from a file.
#[derive(Clone, Debug, PartialEq)]
pub struct TestStripFile {
    /// The strip.
    pub strip: TestStrip,
    /// Its exposures, without the unexposed paper.
    pub exposures: Vec<Exposure>,
    /// What the reader noticed.
    pub notes: Vec<Note>,
}

/// Why a file gives no test strip.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TestStripError {
    /// The table cannot be read.
    #[error(transparent)]
    Table(#[from] ReadErrors),
    /// One exposure is at fault.
    #[error("{at}: {error}")]
    Exposure {
        /// Its row.
        at: Box<Place>,
        /// Why.
        error: StripError,
    },
    /// The exposures as a whole make no test strip.
    #[error("{file}: {error}")]
    Whole {
        /// The file.
        file: String,
        /// Why.
        error: StripError,
    },
}

/// Reads a test strip. The first row names the columns `seconds` and `density`, in any order; a row of
/// 0 s, or one without a time, is the unexposed paper. `white` is its density where it is known
/// otherwise, and `sigma` the standard uncertainty of one density.
///
/// The formats are those of [`read_files`](crate::readings::read_files), but for ISO 28178 text.
///
/// # Errors
/// [`TestStripError`], with every fault of the table or the first of the strip.
#[cfg(feature = "files")]
pub fn read_test_strip(
    path: &Path,
    white: Option<f64>,
    sigma: f64,
) -> Result<TestStripFile, TestStripError> {
    strip(&path.display().to_string(), SmallTable::read(path, &STRIP)?, white, sigma)
}

/// Reads a test strip from the `bytes` of a file; `name` stands for the file in messages.
///
/// # Errors
/// As [`read_test_strip`].
///
/// # Example
/// ```
/// use wedgebook::printing::proof::test_strip_of_bytes;
///
/// let text = b"seconds;density\n0;0,06\n4;1,35\n8;1,88\n16;2,06\n32;2,07\n";
/// let file = test_strip_of_bytes("strip.csv", text, None, 0.01)?;
/// assert_eq!(file.strip.white().density, 0.06);
/// assert_eq!(file.exposures.len(), 4);
/// # Ok::<(), wedgebook::printing::proof::TestStripError>(())
/// ```
pub fn test_strip_of_bytes(
    name: &str,
    bytes: &[u8],
    white: Option<f64>,
    sigma: f64,
) -> Result<TestStripFile, TestStripError> {
    strip(name, SmallTable::of_bytes(name, bytes, &STRIP)?, white, sigma)
}

fn strip(
    file: &str,
    table: SmallTable,
    white: Option<f64>,
    sigma: f64,
) -> Result<TestStripFile, TestStripError> {
    let (rows, notes) = table.rows(|cells| {
        let seconds = cells.number("seconds", StripSeconds::BOUNDS, WRITE_SECONDS, CHECK)?;
        let density = density(cells, "density")?;
        Ok((Exposure { seconds: seconds.unwrap_or(0.0), density }, cells.row_place()))
    })?;
    let readings: Vec<Exposure> = rows.iter().map(|(exposure, _)| *exposure).collect();
    match TestStrip::of_readings(&readings, white, sigma) {
        Ok((strip, exposures)) => Ok(TestStripFile { strip, exposures, notes }),
        Err(error) => Err(match error.at() {
            Some(at) => TestStripError::Exposure { at: Box::new(rows[at].1.clone()), error },
            None => TestStripError::Whole { file: file.to_owned(), error },
        }),
    }
}

/// Negatives from a file.
#[derive(Clone, Debug, PartialEq)]
pub struct NegativesFile {
    /// The negatives, at least one, in the order of the file.
    pub negatives: Vec<Negative>,
    /// What the reader noticed.
    pub notes: Vec<Note>,
}

/// Reads negatives. The first row names the columns, in any order: `low` and `high`, the densities
/// that are to print with detail; `negative`, the name, and `sigma`, the standard uncertainty of each of
/// both, may be left out.
///
/// The formats are those of [`read_files`](crate::readings::read_files), but for ISO 28178 text.
///
/// # Errors
/// [`ReadErrors`] with every fault of the file.
#[cfg(feature = "files")]
pub fn read_negatives(path: &Path) -> Result<NegativesFile, ReadErrors> {
    negatives(SmallTable::read(path, &NEGATIVES)?)
}

/// Reads negatives from the `bytes` of a file; `name` stands for the file in messages.
///
/// # Errors
/// [`ReadErrors`] with every fault.
pub fn negatives_of_bytes(name: &str, bytes: &[u8]) -> Result<NegativesFile, ReadErrors> {
    negatives(SmallTable::of_bytes(name, bytes, &NEGATIVES)?)
}

fn negatives(table: SmallTable) -> Result<NegativesFile, ReadErrors> {
    let mut number = 0;
    let (negatives, notes) = table.rows(|cells| {
        number += 1;
        let (low, high) = (density(cells, "low")?, density(cells, "high")?);
        if !(low < high) {
            return Err(ReadError::NotBelow { at: cells.place("low"), low, high });
        }
        let name = match cells.text("negative") {
            "" => format!("negative {number}"),
            name => name.to_owned(),
        };
        let sigma = cells.number("sigma", DensitySigma::BOUNDS, WRITE_SIGMA, CHECK)?;
        Ok(Negative { name, low, high, sigma })
    })?;
    Ok(NegativesFile { negatives, notes })
}

fn density(cells: &Cells<'_>, column: &str) -> Result<f64, ReadError> {
    let density = cells.number(column, Density::BOUNDS, WRITE_DENSITY, CHECK)?;
    density.ok_or_else(|| cells.empty(column, NO_DENSITY))
}
