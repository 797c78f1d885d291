//! One error for everything that can go wrong.

use crate::{bath, curve, development, evenness, measures, printing, readings, session, units};

/// Why there is no answer: what any fallible function of this crate gives converts into it.
///
/// A program that needs the details matches the variant; its field is the error of that room, with
/// all that is known. [`Display`](std::fmt::Display) and [`source`](std::error::Error::source) are
/// those of the field.
///
/// ```
/// use wedgebook::{Error, ReadOptions, read_bytes};
///
/// fn first_density(text: &[u8]) -> wedgebook::Result<f64> {
///     let readings = read_bytes("roll.csv", text, &ReadOptions::default())?;
///     Ok(readings.strips[0].readings[0].density.get())
/// }
///
/// assert_eq!(first_density(b"log_exposure,density\n-1.5,0.34\n").unwrap(), 0.34);
/// let fault = first_density(b"log_exposure,density\n-1.5,0.3.4\n").unwrap_err();
/// assert!(matches!(fault, Error::Readings(_)));
/// assert!(fault.to_string().starts_with("roll.csv:2"));
/// ```
#[derive(Debug, thiserror::Error)]
#[error(transparent)]
#[non_exhaustive]
pub enum Error {
    /// Readings, or another table, that cannot be read.
    Readings(#[from] readings::ReadErrors),
    /// A number outside the bounds of its quantity.
    OutOfBounds(#[from] units::OutOfBounds),
    /// Text that is no quantity.
    NotAQuantity(#[from] units::NotAQuantity),
    /// Text that is no temperature.
    NotATemperature(#[from] units::NotATemperature),
    /// Readings without a curve.
    Fit(#[from] curve::FitError),
    /// A measure that the readings do not give.
    Measure(#[from] measures::Why),
    /// Strips that make no pairing.
    Pairing(#[from] development::PairingError),
    /// A pairing's file that cannot be read.
    PairingFile(#[from] development::file::FileError),
    /// A time of development that a pairing does not give.
    Unreachable(#[from] development::Unreachable),
    /// An aim that flare leaves nothing of.
    NothingLeft(#[from] development::aim::NothingLeft),
    /// A control strip that cannot be verified.
    Verify(#[from] bath::verify::VerifyError),
    /// A journal that cannot be read or written.
    Journal(#[from] bath::journal::JournalError),
    /// A format of film that is not known.
    Format(#[from] bath::film::FormatError),
    /// A control chart that cannot be made.
    Control(#[from] bath::control::ControlError),
    /// A forecast that cannot be made.
    Forecast(#[from] bath::forecast::ForecastError),
    /// Frames whose evenness cannot be measured.
    Evenness(#[from] evenness::Unusable),
    /// A print without black.
    NoBlack(#[from] printing::NoBlack),
    /// A test strip without a time.
    TestStrip(#[from] printing::proof::StripError),
    /// A test strip's file that cannot be read.
    TestStripFile(#[from] printing::proof::TestStripError),
    /// Tones that cannot be followed from the scene to the print.
    Tone(#[from] printing::tone::ChainError),
    /// A session's plan that cannot be read.
    Plan(#[from] session::PlanError),
    /// A session that cannot be planned.
    Session(#[from] session::SessionError),
    /// A dilution that is none.
    Dilution(#[from] session::DilutionError),
    /// Films that make no batches.
    Batch(#[from] session::BatchError),
    /// A wait for a temperature that has no end.
    Cooling(#[from] session::CoolingError),
    /// A picture that cannot be read.
    #[cfg(feature = "pictures")]
    Picture(#[from] crate::picture::PictureError),
    /// A figure that cannot be drawn or written.
    #[cfg(feature = "figures")]
    Figure(#[from] crate::figures::FigureError),
    /// A file that cannot be written.
    File(#[from] std::io::Error),
}

/// What a function gives that may fail for any reason of this crate.
pub type Result<T, E = Error> = std::result::Result<T, E>;

#[cfg(test)]
mod tests {
    use super::*;
    use std::error::Error as _;

    #[test]
    fn an_error_reads_as_that_of_its_room() {
        let bounds = units::Celsius::new(2000.0).unwrap_err();
        let words = bounds.to_string();
        let error = Error::from(bounds);
        assert!(matches!(error, Error::OutOfBounds(_)));
        assert_eq!(error.to_string(), words);
        let disk = Error::from(std::io::Error::other(std::fmt::Error));
        assert_eq!(disk.to_string(), std::fmt::Error.to_string());
        assert!(disk.source().is_none_or(|cause| cause.to_string() == disk.to_string()));
    }
}
