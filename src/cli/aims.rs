//! What is wanted of the negative, from the pairing's aims and from what was typed.

use super::{Failure, here};
use crate::development::Measure;
use crate::development::aim::{Light, Target};
use crate::development::file::Aims;
use crate::units::{CallierFactor, Contrast, Flare, PaperRange, SceneStops};
use crate::words::trimmed;
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

/// The pairing's aims with what was typed in their place; where neither says it, what is usual here.
pub fn aims(kept: &Aims, args: &AimArgs) -> Result<Aims, Failure> {
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
    let number = |value: &f64| trimmed(*value, 3);
    if printing.light == Light::Condenser {
        let stated = args.callier.map(CallierFactor::get).or(printing.callier);
        printing.callier = here::or_usual(stated, "Callier factor", |d| d.callier, number)?;
    } else {
        printing.callier = args.callier.map(CallierFactor::get).or(printing.callier);
    }
    let stated = args.paper_range.map(PaperRange::get).or(printing.paper_range);
    printing.paper_range = here::or_usual(stated, "paper range", |d| d.paper_range, number)?;
    printing.veil |= args.veil;
    let stated = args.flare.map(Flare::get).or(printing.flare);
    printing.flare = here::or_usual(stated, "flare", |d| d.flare, number)?;
    Ok(aims)
}

/// The aims of a pairing that is new: with the light that is usual here.
pub fn new_aims() -> Result<Aims, Failure> {
    let mut aims = Aims::default();
    let name = |light: &Light| match light {
        Light::Diffuse => "diffuse".to_owned(),
        Light::Condenser => "condenser".to_owned(),
    };
    let usual = here::or_usual(None, "light", |d| d.light, name)?;
    aims.printing.light = usual.unwrap_or_default();
    Ok(aims)
}

/// The contrast wanted: as typed, or for a scene; a normal scene if nothing was typed.
pub fn target(args: &TargetArgs, aims: &Aims) -> Result<Target, Failure> {
    if let Some(contrast) = args.contrast {
        return Ok(Target::contrast(contrast.get()));
    }
    Ok(match stops(args)? {
        Some(stops) => Target::scene(stops, &aims.printing)?,
        None => Target::normal_scene(&aims.printing)?,
    })
}

/// Range of the scene in stops, as typed or as usual here.
pub fn stops(args: &TargetArgs) -> Result<Option<f64>, Failure> {
    let typed = args.scene_stops.map(SceneStops::get);
    here::or_usual(typed, "scene stops", |d| d.scene_stops, |stops| trimmed(*stops, 2))
}
