use crate::cli::aims::LightArg;
use crate::cli::options::Given;
use crate::printing::proof::{Exposure, Negative};
use crate::units::{
    CallierFactor, Density, DensitySigma, ExposureSeconds, FNumber, LogExposure, Lux, PaperSpeed,
};
use std::path::PathBuf;

/// How long is a contact proof exposed, and what paper does each negative need?
///
/// The time is the shortest that prints clear film as black: 0.90 of the net maximum density, the
/// shadow point of ISO 6846. It comes from a test strip (paper exposed through clear film for several
/// times) or from the curve of a paper.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  wedgebook proof data/proof-strip.csv --plot proof.svg\n  wedgebook proof 4=1.28 5.6=1.53 8=1.77 11=1.95 16=2.05 22=2.05 --white 0.06\n  wedgebook proof --paper data/paper.csv --setting 2 --paper-s 30 --base-plus-fog 0.30\n  wedgebook proof --negative 0.42:1.21 --paper data/paper.csv\n\nExit status: 0 done, 1 something that was asked for cannot be determined, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// A test strip: seconds and densities, as 4=1.28 8=1.77. Or a file (CSV, .xlsx, .ods) with columns
    /// `seconds` and `density`; 0 s is the unexposed paper.
    #[arg(value_name = "SECONDS=DENSITY|STRIP.csv")]
    pub strip: Vec<Given<Exposure>>,
    /// Density of the unexposed paper, where the strip has none [default: 0.06 ± 0.03 (assumed)].
    #[arg(long, value_name = "D")]
    pub white: Option<Density>,
    /// Readings of the paper, as for `wedgebook paper`: for the time, and for the settings that
    /// negatives need.
    #[arg(long, value_name = "PAPER.csv")]
    pub paper: Option<PathBuf>,
    /// Setting (filter, grade or strip) of the paper that the proof is printed on.
    #[arg(long, value_name = "NAME")]
    pub setting: Option<String>,
    /// Seconds for which the paper's step tablet was exposed, by the light of the proof.
    #[arg(long, value_name = "S", conflicts_with_all = ["strip", "lux"], requires = "paper")]
    pub paper_s: Option<ExposureSeconds>,
    /// Light of the proof in lux at the paper, where the paper's exposures are in lux·s.
    #[arg(long, value_name = "E", conflicts_with = "strip", requires = "paper")]
    pub lux: Option<Lux>,
    /// Log exposure behind clear tablet, log10 of lux·s, for the paper's tablet densities.
    #[arg(long, value_name = "X", allow_hyphen_values = true)]
    pub log_exposure_clear: Option<LogExposure>,
    /// Base plus fog of the film: that of the test strip or, with the curve of a paper, of the proof.
    #[arg(long, value_name = "D")]
    pub base_plus_fog: Option<Density>,
    /// Scale the time to film of this base plus fog.
    #[arg(long, value_name = "D", requires = "base_plus_fog")]
    pub to_base_plus_fog: Option<Density>,
    /// f-number of the test.
    #[arg(long, value_name = "N")]
    pub aperture: Option<FNumber>,
    /// Scale the time to this f-number.
    #[arg(long, value_name = "N", requires = "aperture")]
    pub to_aperture: Option<FNumber>,
    /// Speed P of the test's paper.
    #[arg(long, value_name = "P")]
    pub paper_speed: Option<PaperSpeed>,
    /// Scale the time to paper of this speed P.
    #[arg(long, value_name = "P", requires = "paper_speed")]
    pub to_paper_speed: Option<PaperSpeed>,
    /// A negative by the lowest and the highest density that are to print with detail, as 0.42:1.21. Or
    /// a file (CSV, .xlsx, .ods) with columns `negative`, `low`, `high` and, where it is known, `sigma`,
    /// as `wedgebook read --as negative` writes it. May be repeated.
    #[arg(long, value_name = "LOW:HIGH|FILE.csv")]
    pub negative: Vec<Given<Negative>>,
    /// Light that the negatives are printed with.
    #[arg(long, value_enum, default_value_t = LightArg::Diffuse)]
    pub light: LightArg,
    /// Callier factor of that light [default: 1 diffuse, 1.3 condenser (assumed)].
    #[arg(long, value_name = "Q")]
    pub callier: Option<CallierFactor>,
    /// Standard uncertainty of a density reading [default: 0.010].
    #[arg(long, value_name = "SIGMA")]
    pub density_sigma: Option<DensitySigma>,
    /// Draw the density over the seconds, as SVG or PNG by the file's extension.
    #[arg(long, value_name = "FILE.svg|.png")]
    pub plot: Option<PathBuf>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
}
