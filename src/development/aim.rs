//! The contrast that a print needs: from the paper backwards to the film.

use crate::units::STOP;

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
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Printing {
    /// ISO range R of the paper: 100 times its log exposure range.
    pub paper_range: f64,
    /// The light source.
    pub light: Light,
    /// Callier factor; if absent, 1 for diffuse and [`CONDENSER`] for condenser light.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub callier: Option<f64>,
    /// Log exposure lost to flare.
    pub flare: f64,
}

impl Default for Printing {
    fn default() -> Self {
        Self { paper_range: PAPER_RANGE, light: Light::Diffuse, callier: None, flare: FLARE }
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
        let range = STOP * stops - self.flare;
        (range > 0.05).then(|| self.paper_range / 100.0 / (self.factor() * range))
    }

    /// The Callier factor in use.
    #[must_use]
    pub fn factor(&self) -> f64 {
        self.callier.unwrap_or(match self.light {
            Light::Diffuse => 1.0,
            Light::Condenser => CONDENSER,
        })
    }

    /// What is assumed in it, in words.
    #[must_use]
    pub fn assumptions(&self) -> Vec<String> {
        let mut list = Vec::new();
        if self.flare == FLARE {
            list.push(format!(
                "flare of {FLARE:.2} log exposure is assumed (usual printing practice)"
            ));
        }
        if self.light == Light::Condenser && self.callier.is_none() {
            list.push(format!("a Callier factor of {CONDENSER} for condenser light is assumed (common practice, no source)"));
        }
        list
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
