//! The contrast that a print needs: from the paper backwards to the film.

use crate::units::STOP;
use crate::words::trimmed;
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
}

/// What is assumed of the print where the user has not said it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Assumption {
    /// The flare.
    Flare,
    /// The paper's range.
    PaperRange,
    /// The Callier factor of condenser light.
    Callier,
}

impl fmt::Display for Assumption {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
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
    /// `None` where flare leaves nothing of the scene.
    ///
    /// # Source
    /// Paper range over scene range less flare; 1.05/(2.20 − 0.40) = 0.583.
    #[must_use]
    pub fn contrast(&self, stops: f64) -> Option<f64> {
        let range = STOP * stops - self.flare();
        (range > 0.05).then(|| self.range_r() / 100.0 / (self.factor() * range))
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
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scene {
    /// Its range in stops.
    pub stops: f64,
    /// The paper's range R.
    pub range_r: f64,
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
        let (flare, range_r) = (printing.flare(), printing.range_r());
        let contrast = printing.contrast(stops).ok_or(NothingLeft { flare, stops })?;
        let scene = Some(Scene { stops, range_r });
        Ok(Self { contrast, scene, assumptions: printing.assumptions() })
    }
}

impl fmt::Display for Scene {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a scene of {} stops", trimmed(self.stops, 2))?;
        if let Some(label) = development_label(self.stops) {
            write!(f, " ({label})")?;
        }
        write!(f, " on paper of range R {}", trimmed(self.range_r, 1))
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

    #[test]
    fn labels_of_the_trade() {
        let labels: Vec<_> = [5.0, 6.0, 7.0, 8.0, 7.5].map(development_label).to_vec();
        assert_eq!(
            labels,
            [Some("N+2".into()), Some("N+1".into()), Some("N".into()), Some("N−1".into()), None]
        );
    }
}
