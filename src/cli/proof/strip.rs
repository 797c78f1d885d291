//! The test strip and the negatives, as they are typed or from files.

use super::Args;
use crate::cli::options::{Given, one_file_or_typed};
use crate::cli::{Failure, hint};
use crate::printing::proof::{
    Exposure, Negative, TestStrip, TestStripError, read_negatives, read_test_strip,
};
use crate::units::Density;

/// The test strip that was given, with its readings, if one was.
pub fn strip(args: &Args, sigma: f64) -> Result<Option<(TestStrip, Vec<Exposure>)>, Failure> {
    if args.strip.is_empty() {
        return Ok(None);
    }
    let white = args.white.map(Density::get);
    match one_file_or_typed(&args.strip, "SECONDS=DENSITY as 8=1.77")? {
        Given::Typed(readings) => TestStrip::of_readings(&readings, white, sigma)
            .map(Some)
            .map_err(|error| Failure(format!("the test strip: {error}"))),
        Given::File(path) => match read_test_strip(&path, white, sigma) {
            Ok(file) => {
                hint::notes(&file.notes);
                Ok(Some((file.strip, file.exposures)))
            }
            Err(TestStripError::Table(errors)) => Err(hint::faults(&errors)),
            Err(error) => Err(error.into()),
        },
    }
}

/// The negatives that were given, in their order.
pub fn negatives(given: &[Given<Negative>]) -> Result<Vec<Negative>, Failure> {
    let mut negatives = Vec::new();
    for one in given {
        match one {
            Given::Typed(negative) => negatives.push(negative.clone()),
            Given::File(path) => {
                let file = read_negatives(path).map_err(|errors| hint::faults(&errors))?;
                hint::notes(&file.notes);
                negatives.extend(file.negatives);
            }
        }
    }
    Ok(negatives)
}
