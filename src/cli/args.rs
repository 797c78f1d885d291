//! What a person types.

use crate::curve::Choice;
use crate::readings::ReadOptions;
use crate::units::DensitySigma;
use clap::{Args as Group, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Sensitometry for people who develop black-and-white film by hand.
#[derive(Debug, Parser)]
#[command(name = "wedgebook", version, arg_required_else_help = true)]
pub struct Args {
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Fit the characteristic curve of each strip and measure it.
    Curve(CurveArgs),
}

/// Fit the characteristic curve of each strip and measure it: base plus fog, gamma, contrast index,
/// average gradient, speed points and ISO speed, each with its 95 % interval.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook curve data/strip.csv --plot curve.svg\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct CurveArgs {
    /// Readings: CSV, ISO 28178 text, .xlsx or .ods.
    #[arg(required = true)]
    pub readings: Vec<PathBuf>,
    /// The curve's model.
    #[arg(long, value_enum, default_value_t = Model::Auto)]
    pub model: Model,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
    /// Write the fitted curves as a table.
    #[arg(long, value_name = "OUT")]
    pub csv: Option<PathBuf>,
    /// Draw the curves; the extension says SVG or PNG.
    #[arg(long, value_name = "FILE.svg|.png")]
    pub plot: Option<PathBuf>,
    #[command(flatten)]
    pub reading: ReadingArgs,
}

/// How readings are to be taken.
#[derive(Debug, Group)]
pub struct ReadingArgs {
    /// Log exposure behind clear tablet, log10 of lux·s; without it tablet densities give relative exposures.
    #[arg(long, value_name = "X", allow_negative_numbers = true)]
    pub log_exposure_clear: Option<f64>,
    /// Standard uncertainty of a density reading [default: 0.010, corrected by the readings' own scatter].
    #[arg(long, value_name = "SIGMA", value_parser = sigma)]
    pub density_sigma: Option<DensitySigma>,
    /// Take log exposures as relative, not as log10 of lux·s.
    #[arg(long)]
    pub relative: bool,
    /// Pair densities and exposures in the opposite order: the tablet was read from its other end.
    #[arg(long)]
    pub reversed: bool,
    /// Take temperatures without a unit as °F.
    #[arg(long)]
    pub fahrenheit: bool,
}

impl ReadingArgs {
    pub fn options(&self) -> ReadOptions {
        ReadOptions {
            log_exposure_clear: self.log_exposure_clear,
            density_sigma: self.density_sigma,
            relative: self.relative,
            reversed: self.reversed,
            fahrenheit: self.fahrenheit,
        }
    }
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum Model {
    /// Smooth for nine readings or more, else shoulder or toe, whichever the readings ask for.
    Auto,
    /// A penalised spline of the logarithm of the slope.
    Smooth,
    /// Toe, straight line and shoulder: six parameters.
    Shoulder,
    /// Toe and straight line: four parameters.
    Toe,
}

impl From<Model> for Choice {
    fn from(model: Model) -> Self {
        match model {
            Model::Auto => Self::Auto,
            Model::Smooth => Self::Smooth,
            Model::Shoulder => Self::Shoulder,
            Model::Toe => Self::Toe,
        }
    }
}

fn sigma(text: &str) -> Result<DensitySigma, String> {
    let value: f64 = text
        .parse()
        .map_err(|_| format!("{text:?} is not a number"))?;
    DensitySigma::new(value).map_err(|e| e.to_string())
}
