use crate::cli::args::{Model, ReadingArgs, typed};
use crate::units::PaperRange;
use std::path::PathBuf;

/// Measure a paper from a print of the step tablet: minimum and maximum density, speed P and range R of
/// ISO 6846, average gradient and grade, each with its 95 % interval.
///
/// Readings have the same columns as those of film; `density` is the reflection density, and an empty
/// exposure marks the unexposed paper. Strips that differ in a column `filter` (or `grade`) are one paper
/// at several settings.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  wedgebook paper data/paper.csv --log-exposure-clear 2.0 --plot paper.svg\n  wedgebook paper data/paper.csv --range 95\n\nExit status: 0 done, 1 no setting gives the wanted range, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// Readings: CSV, ISO 28178 text, .xlsx or .ods.
    #[arg(required = true)]
    pub readings: Vec<PathBuf>,
    /// Tell the setting that gives this range R.
    #[arg(long, value_name = "R", value_parser = typed::<PaperRange>)]
    pub range: Option<f64>,
    /// The curve's model.
    #[arg(long, value_enum, default_value_t = Model::Auto)]
    pub model: Model,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
    /// Draw the curves; the extension says SVG or PNG.
    #[arg(long, value_name = "FILE.svg|.png")]
    pub plot: Option<PathBuf>,
    #[command(flatten)]
    pub reading: ReadingArgs,
}
