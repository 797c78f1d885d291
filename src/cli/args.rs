//! What a person types.

use crate::curve::Choice;
use crate::readings::ReadOptions;
use crate::units::{
    Activity, CallierFactor, Contrast, DensitySigma, Flare, LogExposure, NotAQuantity, PaperRange,
    SceneStops, Temperature,
};
use clap::{Args as Group, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;
use std::str::FromStr;

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
    /// Calibrate a film in a developer from a family of strips.
    Calibrate(CalibrateArgs),
    /// Tell how long to develop today, and what exposure index to set.
    Adjust(AdjustArgs),
    /// Follow a temperature that wanders during development.
    Drift(DriftArgs),
    /// Verify from a control strip that a bath still develops to spec.
    Verify(super::verify::Args),
    /// Keep the journal of a bath: what went in, how it stands, how long it will last.
    Bath(super::bath::Args),
    /// Measure how even development is over evenly exposed frames.
    Evenness(super::evenness::Args),
    /// Measure a paper from a print of the step tablet: speed P, range R, grade.
    Paper(super::paper::Args),
    /// Find the time of a contact proof, and the paper that each negative needs.
    Proof(super::proof::Args),
    /// Follow a scene's tones through film and paper to the print.
    Tone(super::tone::Args),
    /// Plan a session: batches, volumes, times, and what to enter afterwards.
    Session(super::session::Args),
    /// Find the fixing time from a clearing test, and whether the fixer is spent.
    Fix(super::fix::Args),
    /// Calculate how long to wash, or how much fixer is left.
    Wash(super::wash::Args),
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

/// Calibrate a film in a developer from a family of strips, developed for different times and maybe
/// at different temperatures: the pairing.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook calibrate data/family.csv --log-exposure-clear 0 --out pairing.toml --plot pairing.svg\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct CalibrateArgs {
    /// Readings with columns `minutes` and `celsius`: CSV, ISO 28178 text, .xlsx or .ods.
    #[arg(required = true)]
    pub readings: Vec<PathBuf>,
    /// Write the pairing here.
    #[arg(long, value_name = "PAIRING.toml")]
    pub out: PathBuf,
    /// What to call the pairing [default: film and developer].
    #[arg(long)]
    pub name: Option<String>,
    /// A remark to keep in it.
    #[arg(long)]
    pub note: Option<String>,
    /// Temperature that effective times are for.
    #[arg(long, value_name = "T", default_value = "20")]
    pub reference: Temperature,
    #[command(flatten)]
    pub aims: AimArgs,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
    /// Draw contrast against time here, and beside it, with -family and -speed in their names, the
    /// curves and the exposure index against contrast; the extension says SVG or PNG.
    #[arg(long, value_name = "FILE.svg|.png")]
    pub plot: Option<PathBuf>,
    #[command(flatten)]
    pub reading: ReadingArgs,
}

/// Tell how long to develop today for a contrast, or for a scene and a paper, and what exposure index
/// to set.
#[derive(Debug, Group)]
#[command(
    after_help = "Example:\n  wedgebook adjust pairing.toml --scene-stops 7 --celsius 21.5\n\nExit status: 0 done, 1 not reachable, 2 wrong usage or unusable input."
)]
pub struct AdjustArgs {
    /// The pairing.
    pub pairing: PathBuf,
    #[command(flatten)]
    pub target: TargetArgs,
    #[command(flatten)]
    pub aims: AimArgs,
    /// Temperature of the bath, as 21.5 or 70.5F [default: that of the pairing].
    #[arg(long, value_name = "T")]
    pub celsius: Option<Temperature>,
    /// Take temperatures without a unit as °F.
    #[arg(long)]
    pub fahrenheit: bool,
    /// Activity of the bath: 1 as calibrated, 0.9 where everything takes 1/0.9 of its time
    /// [default: 1].
    #[arg(long, value_parser = typed::<Activity>)]
    pub activity: Option<f64>,
    /// Take the activity from the journal of the bath.
    #[arg(long, value_name = "JOURNAL.csv", conflicts_with = "activity")]
    pub bath: Option<PathBuf>,
    /// Answer also far outside what was calibrated.
    #[arg(long)]
    pub extrapolate: bool,
    /// Draw a time and temperature card for the wall.
    #[arg(long, value_name = "FILE.svg|.png")]
    pub card: Option<PathBuf>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
}

/// Follow a temperature that wanders during development: what the film has had so far and what is
/// still to go.
#[derive(Debug, Group)]
#[command(
    after_help = "Examples:\n  wedgebook drift pairing.toml data/temperatures.csv --contrast 0.56\n  wedgebook drift pairing.toml 0=23.5 2:30=23.0 5=22.4 --contrast 0.56\n\nExit status: 0 done, 1 the film has had too much, 2 wrong usage or unusable input."
)]
pub struct DriftArgs {
    /// The pairing.
    pub pairing: PathBuf,
    /// A CSV file with columns `minutes` (or a clock's `time`) and `celsius`, or pairs MINUTES=T.
    #[arg(required = true, value_name = "TEMPERATURES.csv|MINUTES=T")]
    pub temperatures: Vec<String>,
    #[command(flatten)]
    pub target: TargetArgs,
    #[command(flatten)]
    pub aims: AimArgs,
    /// Activity of the bath.
    #[arg(long, default_value_t = 1.0, value_parser = typed::<Activity>)]
    pub activity: f64,
    /// Take temperatures without a unit as °F.
    #[arg(long)]
    pub fahrenheit: bool,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
}

/// What is wanted of the negative.
#[derive(Debug, Group)]
#[group(multiple = false)]
pub struct TargetArgs {
    /// The contrast wanted.
    #[arg(long, value_name = "G", value_parser = typed::<Contrast>)]
    pub contrast: Option<f64>,
    /// Range of the scene in stops; the contrast follows from the paper, the light and flare.
    #[arg(long, value_name = "N", value_parser = typed::<SceneStops>)]
    pub scene_stops: Option<f64>,
}

/// How contrast is measured and what the negatives are printed with; the pairing's own aims hold
/// where nothing is given.
#[derive(Debug, Group)]
pub struct AimArgs {
    /// Measure of contrast.
    #[arg(long, value_enum)]
    pub measure: Option<MeasureArg>,
    /// ISO range R of the paper, 100 times its log exposure range.
    #[arg(long, value_name = "R", value_parser = typed::<PaperRange>)]
    pub paper_range: Option<f64>,
    /// Light that the negative is printed with.
    #[arg(long, value_enum)]
    pub light: Option<LightArg>,
    /// Callier factor of that light [default: 1 diffuse, 1.3 condenser (assumed)].
    #[arg(long, value_name = "Q", value_parser = typed::<CallierFactor>)]
    pub callier: Option<f64>,
    /// Log exposure that flare takes from the scene's range [default: 0.40 (assumed)].
    #[arg(long, value_name = "LOG", value_parser = typed::<Flare>)]
    pub flare: Option<f64>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum MeasureArg {
    /// Contrast index.
    ContrastIndex,
    /// Average gradient.
    AverageGradient,
    /// Gamma.
    Gamma,
}

impl From<MeasureArg> for crate::development::Measure {
    fn from(measure: MeasureArg) -> Self {
        match measure {
            MeasureArg::ContrastIndex => Self::ContrastIndex,
            MeasureArg::AverageGradient => Self::AverageGradient,
            MeasureArg::Gamma => Self::Gamma,
        }
    }
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum LightArg {
    /// Diffuse light, or a contact print.
    Diffuse,
    /// A condenser enlarger.
    Condenser,
}

impl From<LightArg> for crate::development::aim::Light {
    fn from(light: LightArg) -> Self {
        match light {
            LightArg::Diffuse => Self::Diffuse,
            LightArg::Condenser => Self::Condenser,
        }
    }
}

/// How readings are to be taken.
#[derive(Debug, Group)]
pub struct ReadingArgs {
    /// Log exposure behind clear tablet, log10 of lux·s; without it tablet densities give relative exposures.
    #[arg(long, value_name = "X", allow_hyphen_values = true)]
    pub log_exposure_clear: Option<LogExposure>,
    /// Standard uncertainty of a density reading [default: 0.010, corrected by the readings' own scatter].
    #[arg(long, value_name = "SIGMA")]
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

/// The bare number of a quantity of this type, as it is typed.
pub fn typed<Q: FromStr<Err = NotAQuantity> + Into<f64>>(text: &str) -> Result<f64, NotAQuantity> {
    text.parse::<Q>().map(Into::into)
}
