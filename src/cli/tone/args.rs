use crate::cli::aims::AimArgs;
use crate::cli::here;
use crate::cli::options::{BathArgs, TemperatureArgs};
use crate::printing::tone::PrintFor;
use crate::units::{
    Contrast, ExposureChange, ExposureIndex, LogExposure, Minutes, SceneStops, ToneDistance,
};
use std::path::PathBuf;

/// How do the tones of a scene come out in the print?
///
/// Follows them through flare, film, light and paper: the table and the diagram of tone reproduction,
/// what is lost at either end, and what would help. Without --contrast and --minutes the film is
/// developed for the scene and this paper.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples (the pairing is made by `calibrate`):\n  wedgebook tone pairing.toml data/paper.csv --setting 2 --plot tone.svg\n  wedgebook tone pairing.toml data/paper.csv --setting 2 --scene-stops 9 --minutes 12\n  wedgebook tone pairing.toml data/paper.csv --setting 2 --bath data/bath.csv --date 2026-11-17\n\nExit status: 0 done, 1 not reachable, or the bath is not to be used, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// The pairing, or how its name begins.
    #[arg(value_name = "PAIRING", value_parser = here::pairing_named)]
    pub pairing: PathBuf,
    /// Readings of the paper, as for `wedgebook paper`.
    #[arg(value_name = "PAPER.csv")]
    pub paper: PathBuf,
    /// Setting (filter, grade or strip) of the paper; needed where it has several.
    #[arg(long, value_name = "NAME")]
    pub setting: Option<String>,
    /// Range of the scene in stops.
    #[arg(long, value_name = "N", default_value = "7")]
    pub scene_stops: SceneStops,
    /// Contrast that the film is developed to [default: that for the scene and the paper].
    #[arg(long, value_name = "G", conflicts_with = "minutes")]
    pub contrast: Option<Contrast>,
    /// Time that the film is developed for, as 7.5 or 7:30.
    #[arg(long, value_name = "MIN")]
    pub minutes: Option<Minutes>,
    #[command(flatten)]
    pub temperature: TemperatureArgs,
    #[command(flatten)]
    pub bath: BathArgs,
    #[command(flatten)]
    pub aims: AimArgs,
    /// Exposure index that the meter is set to [default: the pairing's own for this development].
    #[arg(long, value_name = "EI")]
    pub exposure_index: Option<ExposureIndex>,
    /// Stops of exposure over the reading of the meter.
    #[arg(long, value_name = "STOPS", default_value = "0", allow_hyphen_values = true)]
    pub over_stops: ExposureChange,
    /// How far the metered tone lies below the brightest, in stops [default: 2.5, an 18 % grey under
    /// white (assumed)].
    #[arg(long, value_name = "STOPS")]
    pub metered_below_stops: Option<ToneDistance>,
    /// The tone that the print is exposed for.
    #[arg(long, value_enum, default_value_t = PrintForArg::Middle)]
    pub print_for: PrintForArg,
    /// Stops of print exposure over that.
    #[arg(long, value_name = "STOPS", default_value = "0", allow_hyphen_values = true)]
    pub print_over_stops: ExposureChange,
    /// Log exposure behind clear tablet, log10 of lux·s, for the paper's tablet densities.
    #[arg(long, value_name = "X", allow_hyphen_values = true)]
    pub log_exposure_clear: Option<LogExposure>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
    /// Draw the diagram in four quadrants, as SVG or PNG by the file's extension.
    #[arg(long, value_name = "FILE.svg|.png")]
    pub plot: Option<PathBuf>,
}

#[derive(Clone, Copy, Debug, clap::ValueEnum)]
pub enum PrintForArg {
    /// The metered tone prints as a grey of 18 % of the paper's white.
    Middle,
    /// The brightest tone prints at the highlight point.
    Highlight,
    /// The darkest tone prints at the shadow point.
    Shadow,
    /// The clear film prints as black, as in a contact proof.
    Proof,
}

impl From<PrintForArg> for PrintFor {
    fn from(arg: PrintForArg) -> Self {
        match arg {
            PrintForArg::Middle => Self::Middle,
            PrintForArg::Highlight => Self::Highlight,
            PrintForArg::Shadow => Self::Shadow,
            PrintForArg::Proof => Self::Proof,
        }
    }
}
