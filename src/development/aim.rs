//! The contrast that a print needs: from the paper backwards to the film.

use crate::elementary::{antilog, log10};
use crate::measures::Quantity;
use crate::numerics::search::root;
use crate::units::STOP;
use crate::words::{list_and, trimmed};
use std::fmt;

/// Log exposure that flare takes from the scene's range (usual printing practice, from memory).
pub const FLARE: f64 = 0.40;
/// ISO range of a paper of medium grade, 100 times its log exposure range.
///
/// # Source
/// A log exposure range of 1.05 for a medium paper: Focal Encyclopedia of Photography, from
/// exposure to print.
pub const PAPER_RANGE: f64 = 105.0;
/// Callier factor of a condenser enlarger (common practice, no source): the negative prints as if
/// its densities were this much greater.
pub const CONDENSER: f64 = 1.3;

/// What must be left of a scene's range, in log exposure.
const LEAST_RANGE: f64 = 0.05;

/// What the negative is printed with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Light {
    /// A diffuse light source, or a contact print: Callier factor 1.
    #[default]
    Diffuse,
    /// A condenser enlarger.
    Condenser,
}

/// How the negative is printed, as far as contrast goes.
#[derive(Clone, Copy, Debug, Default, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Printing {
    /// ISO range R of the paper, 100 times its log exposure range; if absent, [`PAPER_RANGE`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub paper_range: Option<f64>,
    /// The light source.
    #[serde(default)]
    pub light: Light,
    /// Callier factor; if absent, 1 for diffuse and [`CONDENSER`] for condenser light.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub callier: Option<f64>,
    /// Log exposure lost to flare; if absent, [`FLARE`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flare: Option<f64>,
    /// Whether the camera's veil is the same for every scene: the veil that takes this flare from a
    /// normal scene. If not, the flare is.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub veil: bool,
}

/// The veil of flare over the whole image, as a share of the brightest tone's light: what makes the
/// image's range shorter than the scene's range S by the flare f.
///
/// ```text
/// (1 + v)/(10^−S + v) = 10^(S − f)     so     v = (1 − 10^−f)/(10^(S − f) − 1)
/// ```
///
/// `None` where flare leaves nothing of the scene.
#[must_use]
pub fn veil(stops: f64, flare: f64) -> Option<f64> {
    let left = STOP * stops - flare;
    (left > LEAST_RANGE).then(|| (1.0 - antilog(-flare)) / (antilog(left) - 1.0))
}

/// Log exposure that a veil takes from a scene: log10 (1 + v·10^S)/(1 + v), the inverse of [`veil`].
#[must_use]
pub fn flare_of(stops: f64, veil: f64) -> f64 {
    log10((1.0 + veil * antilog(STOP * stops)) / (1.0 + veil))
}

/// The same flare for every scene, or the same veil: what the other one would ask for a scene.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OtherFlare {
    /// The scene.
    pub stops: f64,
    /// Contrast with the same flare.
    pub by_flare: f64,
    /// Contrast with the same veil.
    pub by_veil: f64,
}

/// What is assumed of the print.
#[derive(Clone, Debug, PartialEq)]
pub enum Assumption {
    /// The scene.
    Scene,
    /// The flare.
    Flare,
    /// The paper's range.
    PaperRange,
    /// The Callier factor of condenser light.
    Callier,
    /// The flare is the same for every scene; what the same veil would ask for these.
    SameFlare(f64, Vec<OtherFlare>),
    /// The veil is the same for every scene; what the same flare would ask for these.
    SameVeil(f64, Vec<OtherFlare>),
}

impl fmt::Display for Assumption {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Scene => write!(
                f,
                "a normal scene of {} stops is assumed (common practice, no source)",
                trimmed(Target::NORMAL_STOPS, 2)
            ),
            Self::Flare => write!(
                f,
                "flare of {FLARE:.2} log exposure is assumed (usual printing practice, from memory)"
            ),
            Self::PaperRange => {
                write!(f, "a paper of range R {PAPER_RANGE} is assumed (a medium grade)")
            }
            Self::Callier => write!(
                f,
                "a Callier factor of {CONDENSER} for condenser light is assumed (common practice, no source)"
            ),
            Self::SameFlare(flare, others) => {
                let others: Vec<String> = others
                    .iter()
                    .map(|o| {
                        format!(
                            "{:.3} instead of {:.3} at {}",
                            o.by_veil,
                            o.by_flare,
                            scene(o.stops)
                        )
                    })
                    .collect();
                write!(
                    f,
                    "the flare is {flare:.2} for every scene (common practice, no source). With the same veil in the camera for every scene, the contrast is {}",
                    list_and(&others)
                )
            }
            Self::SameVeil(flare, others) => {
                let others: Vec<String> = others
                    .iter()
                    .map(|o| {
                        format!(
                            "{:.3} instead of {:.3} at {}",
                            o.by_veil,
                            o.by_flare,
                            scene(o.stops)
                        )
                    })
                    .collect();
                write!(
                    f,
                    "the veil in the camera is the same for every scene: the one that takes {flare:.2} from a scene of {} stops. The contrast is {}",
                    trimmed(Target::NORMAL_STOPS, 2),
                    list_and(&others)
                )
            }
        }
    }
}

impl Printing {
    /// The contrast that fits a scene of `stops` to the paper:
    ///
    /// ```text
    /// G = (R/100) / (Q·(0.30103·stops − flare))
    /// ```
    ///
    /// with the flare of [`flare_at`](Self::flare_at). `None` where flare leaves nothing of the scene.
    ///
    /// # Source
    /// Paper range over scene range less flare; 1.05/(2.20 − 0.40) = 0.583.
    #[must_use]
    pub fn contrast(&self, stops: f64) -> Option<f64> {
        let range = STOP * stops - self.flare_at(stops);
        (range > LEAST_RANGE).then(|| self.range_r() / 100.0 / (self.factor() * range))
    }

    /// The scene in stops that a contrast fits to the paper: the inverse of [`contrast`](Self::contrast);
    /// `None` where none from 1 to 30 stops does.
    #[must_use]
    pub fn scene_for(&self, contrast: f64) -> Option<f64> {
        // 1/G rises with the scene from 0, where flare leaves nothing of it.
        let over = |stops: f64| self.contrast(stops).map_or(0.0, f64::recip) - contrast.recip();
        root(over, 1.0, 30.0)
    }

    /// The same for a contrast with its interval.
    #[must_use]
    pub fn scenes_for(&self, contrast: &Quantity) -> Option<Quantity> {
        Some(Quantity {
            value: self.scene_for(contrast.value)?,
            low: self.scene_for(contrast.high)?,
            high: self.scene_for(contrast.low)?,
        })
    }

    /// The flare of a scene: the same for all, or that of the same veil.
    #[must_use]
    pub fn flare_at(&self, stops: f64) -> f64 {
        let same = self.veil.then(|| veil(Target::NORMAL_STOPS, self.flare())).flatten();
        same.map_or_else(|| self.flare(), |veil| flare_of(stops, veil))
    }

    /// What is assumed in the contrasts of these scenes: [`assumptions`](Self::assumptions), and what
    /// becomes of flare in the shortest and the longest of them.
    #[must_use]
    pub fn assumptions_for(&self, scenes: &[f64]) -> Vec<Assumption> {
        let mut all = self.assumptions();
        let ends = [
            scenes.iter().copied().fold(f64::INFINITY, f64::min),
            scenes.iter().copied().fold(0.0, f64::max),
        ];
        let mut others: Vec<OtherFlare> = ends
            .into_iter()
            .filter_map(|stops| {
                let by = |veil| Self { veil, ..*self }.contrast(stops);
                Some(OtherFlare { stops, by_flare: by(false)?, by_veil: by(true)? })
            })
            .filter(|o| (o.by_flare - o.by_veil).abs() >= 5e-4)
            .collect();
        others.dedup();
        if !others.is_empty() {
            let kind = if self.veil { Assumption::SameVeil } else { Assumption::SameFlare };
            all.push(kind(self.flare(), others));
        }
        all
    }

    /// The paper's range R in use.
    #[must_use]
    pub fn range_r(&self) -> f64 {
        self.paper_range.unwrap_or(PAPER_RANGE)
    }

    /// The flare in use, in log exposure.
    #[must_use]
    pub fn flare(&self) -> f64 {
        self.flare.unwrap_or(FLARE)
    }

    /// The Callier factor in use.
    #[must_use]
    pub fn factor(&self) -> f64 {
        self.callier.unwrap_or(match self.light {
            Light::Diffuse => 1.0,
            Light::Condenser => CONDENSER,
        })
    }

    /// What is assumed in it.
    #[must_use]
    pub fn assumptions(&self) -> Vec<Assumption> {
        let condenser = self.light == Light::Condenser && self.callier.is_none();
        let list = [
            self.flare.is_none().then_some(Assumption::Flare),
            self.paper_range.is_none().then_some(Assumption::PaperRange),
            condenser.then_some(Assumption::Callier),
        ];
        list.into_iter().flatten().collect()
    }
}

/// A contrast that is wanted, what it is for, and what is assumed in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    /// The contrast.
    pub contrast: f64,
    /// The scene and the paper that it is for, where it follows from them.
    pub scene: Option<Scene>,
    /// What is assumed.
    pub assumptions: Vec<Assumption>,
}

/// A scene that is to fit on a paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// Its range in stops.
    pub stops: f64,
    /// The paper's range R.
    pub range_r: f64,
    /// The paper, where the tones were followed on it one by one; `None` where the two ranges decide.
    pub on: Option<OnPaper>,
    /// The whole range of the scene in stops, where its darkest tones have too little exposure.
    pub whole: Option<f64>,
}

/// A paper on which the tones of a scene were followed one by one.
#[derive(Clone, Debug, PartialEq)]
pub struct OnPaper {
    /// What it is called.
    pub paper: String,
    /// Stops of the scene that it does not print.
    pub lost_stops: f64,
}

/// How the contrast for a scene follows from the paper, and what that means.
#[derive(Clone, Debug, PartialEq)]
pub enum AimedBy {
    /// By two ranges.
    Ranges,
    /// Tone by tone; stops of the scene that are lost all the same.
    Tones(f64),
}

impl fmt::Display for AimedBy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Ranges => f.write_str(
                "the time is for two ranges, that of the scene less flare and that of the paper; followed tone by tone, the toe and the shoulder of film and paper can ask for another time",
            ),
            Self::Tones(lost) if *lost < LEAST_LOSS => f.write_str(
                "the longest time that prints all tones of the scene, followed tone by tone through film and paper",
            ),
            Self::Tones(lost) => write!(
                f,
                "no time prints all tones of the scene: this one loses least, {lost:.1} stops"
            ),
        }
    }
}

/// A print that loses fewer stops than this loses nothing that can be seen (common practice, no
/// source).
pub const LEAST_LOSS: f64 = 0.1;

impl Scene {
    /// Whether all its tones print, as far as they were followed.
    #[must_use]
    pub fn keeps_all(&self) -> bool {
        self.on.as_ref().is_none_or(|on| on.lost_stops < LEAST_LOSS)
    }

    /// How its contrast follows from the paper.
    #[must_use]
    pub fn aimed_by(&self) -> AimedBy {
        self.on.as_ref().map_or(AimedBy::Ranges, |on| AimedBy::Tones(on.lost_stops))
    }
}

/// A scene of which flare leaves nothing.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("flare of {flare} leaves nothing of a scene of {stops} stops; the flare must be smaller")]
pub struct NothingLeft {
    /// The flare, in log exposure.
    pub flare: f64,
    /// The scene's range.
    pub stops: f64,
}

impl Target {
    /// Range in stops of a normal scene, which is taken where nothing is asked for.
    pub const NORMAL_STOPS: f64 = 7.0;

    /// A contrast as such.
    #[must_use]
    pub const fn contrast(contrast: f64) -> Self {
        Self { contrast, scene: None, assumptions: Vec::new() }
    }

    /// The contrast that fits a scene to the paper.
    ///
    /// # Errors
    /// [`NothingLeft`] where flare is as long as the scene.
    pub fn scene(stops: f64, printing: &Printing) -> Result<Self, NothingLeft> {
        let (flare, range_r) = (printing.flare_at(stops), printing.range_r());
        let contrast = printing.contrast(stops).ok_or(NothingLeft { flare, stops })?;
        let scene = Some(Scene { stops, range_r, on: None, whole: None });
        Ok(Self { contrast, scene, assumptions: printing.assumptions_for(&[stops]) })
    }

    /// The same aim for the `stops` that are left of its scene; `None` without a scene.
    #[must_use]
    pub fn less(&self, stops: f64, printing: &Printing) -> Option<Self> {
        let scene = self.scene.as_ref()?;
        // What flare leaves nothing of needs a contrast that no film has.
        let contrast = printing.contrast(stops).unwrap_or(f64::MAX);
        let whole = (stops < scene.stops).then_some(scene.stops);
        let scene = Scene { stops, whole, ..scene.clone() };
        Some(Self { contrast, scene: Some(scene), assumptions: self.assumptions.clone() })
    }

    /// The whole range of the scene in stops, whatever of it is lost.
    #[must_use]
    pub fn whole_scene(&self) -> Option<f64> {
        self.scene.as_ref().map(|scene| scene.whole.unwrap_or(scene.stops))
    }

    /// The contrast that fits a normal scene to the paper, which is assumed where nobody names a scene.
    ///
    /// # Errors
    /// As [`scene`](Self::scene).
    pub fn normal_scene(printing: &Printing) -> Result<Self, NothingLeft> {
        let mut target = Self::scene(Self::NORMAL_STOPS, printing)?;
        target.assumptions.insert(0, Assumption::Scene);
        Ok(target)
    }
}

impl fmt::Display for Scene {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.whole {
            Some(whole) => write!(
                f,
                "the {:.1} stops that are left of a scene of {} on ",
                self.stops,
                scene(whole)
            )?,
            None => write!(f, "a scene of {} on ", scene(self.stops))?,
        }
        match &self.on {
            Some(on) => f.write_str(&on.paper),
            None => write!(f, "paper of range R {}", trimmed(self.range_r, 1)),
        }
    }
}

/// `7 stops (N)`.
fn scene(stops: f64) -> String {
    match development_label(stops) {
        Some(label) => format!("{} stops ({label})", trimmed(stops, 2)),
        None => format!("{} stops", trimmed(stops, 2)),
    }
}

/// The trade's name for the development of a scene of `stops`: N for seven stops, N+1 for six.
#[must_use]
pub fn development_label(stops: f64) -> Option<String> {
    let steps = 7.0 - stops;
    (steps.fract() == 0.0 && steps.abs() < 10.0).then(|| match steps as i32 {
        0 => "N".to_owned(),
        n if n > 0 => format!("N+{n}"),
        n => format!("N\u{2212}{}", -n),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_handbook_aim() {
        // Paper range 1.05 over scene 2.20 less flare 0.40 gives 0.583.
        let aim = Printing::default().contrast(2.20 / STOP).unwrap();
        assert!((aim - 0.583).abs() < 0.0005, "{aim}");
        assert_eq!(Printing::default().contrast(1.0), None);
    }

    /// The veil that takes 0.40 from 7 stops: image 10^1.707 = 50.95 to 1, so (1 + v)/(10^−2.107 + v)
    /// = 50.95 and v = 0.01205. A scene of 5 stops then is 1.01205/0.0433 to 1, which is 1.369 in log
    /// exposure, and 1.05/1.369 = 0.767; one of 10 stops 1.890, and 0.555.
    #[test]
    fn the_same_veil_for_every_scene() {
        let same_veil = Printing { veil: true, ..Printing::default() };
        let contrast = [5.0, 7.0, 10.0].map(|stops| same_veil.contrast(stops).unwrap());
        for (found, by_hand) in contrast.iter().zip([0.767, 0.615, 0.555]) {
            assert!((found - by_hand).abs() < 0.0005, "{found} for {by_hand}");
        }
        assert_eq!(same_veil.contrast(7.0), Printing::default().contrast(7.0));
        for (stops, flare) in [(7.0, 0.40), (5.0, 0.9), (10.0, 0.2)] {
            assert!((flare_of(stops, veil(stops, flare).unwrap()) - flare).abs() < 1e-12);
        }
        // The veil leaves something of any scene; the same flare does not.
        assert!(same_veil.contrast(1.0).is_some() && Printing::default().contrast(1.0).is_none());
    }

    #[test]
    fn a_scene_for_a_contrast_and_back() {
        for veil in [false, true] {
            let printing = Printing { veil, ..Printing::default() };
            for stops in [4.0, 7.0, 10.0, 12.5] {
                let back = printing.scene_for(printing.contrast(stops).unwrap()).unwrap();
                assert!((back - stops).abs() < 1e-9, "{back}");
            }
        }
        assert_eq!(Printing::default().scene_for(0.01), None);
    }

    #[test]
    fn labels_of_the_trade() {
        let labels: Vec<_> = [5.0, 6.0, 7.0, 8.0, 7.5].map(development_label).to_vec();
        assert_eq!(
            labels,
            [Some("N+2".into()), Some("N+1".into()), Some("N".into()), Some("N−1".into()), None]
        );
    }
}
