//! What is wanted of the negative, from the pairing's aims and from what was typed.

use super::Failure;
use crate::development::Measure;
use crate::development::aim::{Light, Target};
use crate::development::file::Aims;
use crate::units::{CallierFactor, Contrast, Flare, PaperRange, SceneStops};
use clap::{Args as Group, ValueEnum};

/// What is wanted of the negative.
#[derive(Debug, Group)]
#[group(multiple = false)]
pub struct TargetArgs {
    /// The contrast wanted.
    #[arg(long, value_name = "G")]
    pub contrast: Option<Contrast>,
    /// Range of the scene in stops; the contrast follows from the paper, the light and flare
    /// [default: 7].
    #[arg(long, value_name = "N")]
    pub scene_stops: Option<SceneStops>,
}

/// How contrast is measured and what the negatives are printed with. Without them, the pairing's own
/// aims are used.
#[derive(Debug, Group)]
pub struct AimArgs {
    /// Measure of contrast [default: the pairing's].
    #[arg(long, value_enum)]
    pub measure: Option<MeasureArg>,
    /// ISO range R of the paper, 100 times its log exposure range [default: the pairing's].
    #[arg(long, value_name = "R")]
    pub paper_range: Option<PaperRange>,
    /// Light that the negative is printed with [default: the pairing's].
    #[arg(long, value_enum)]
    pub light: Option<LightArg>,
    /// Callier factor of that light [default: 1 diffuse, 1.3 condenser (assumed)].
    #[arg(long, value_name = "Q")]
    pub callier: Option<CallierFactor>,
    /// Log exposure that the scene's range loses to flare [default: 0.40 (assumed)].
    #[arg(long, value_name = "LOG")]
    pub flare: Option<Flare>,
    /// Take the veil in the camera as the same for every scene: the veil that takes this flare from a
    /// scene of 7 stops. Without it, the flare is the same for every scene.
    #[arg(long)]
    pub veil: bool,
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

impl From<MeasureArg> for Measure {
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

impl From<LightArg> for Light {
    fn from(light: LightArg) -> Self {
        match light {
            LightArg::Diffuse => Self::Diffuse,
            LightArg::Condenser => Self::Condenser,
        }
    }
}

/// The pairing's aims with what was typed in their place.
pub fn aims(kept: &Aims, args: &AimArgs) -> Aims {
    let mut aims = kept.clone();
    if let Some(measure) = args.measure {
        aims.measure = measure.into();
    }
    let printing = &mut aims.printing;
    if let Some(light) = args.light {
        let light = Light::from(light);
        if light != printing.light {
            printing.callier = None;
        }
        printing.light = light;
    }
    printing.callier = args.callier.map(CallierFactor::get).or(printing.callier);
    printing.paper_range = args.paper_range.map(PaperRange::get).or(printing.paper_range);
    printing.veil |= args.veil;
    printing.flare = args.flare.map(Flare::get).or(printing.flare);
    aims
}

/// The contrast wanted: as typed, or for a scene; a normal scene if nothing was typed.
pub fn target(args: &TargetArgs, aims: &Aims) -> Result<Target, Failure> {
    match args.contrast {
        Some(contrast) => Ok(Target::contrast(contrast.get())),
        None => Ok(Target::scene(stops(args), &aims.printing)?),
    }
}

/// Range of the scene in stops; that of a normal scene if nothing was typed.
pub fn stops(args: &TargetArgs) -> f64 {
    args.scene_stops.map_or(Target::NORMAL_STOPS, SceneStops::get)
}
