//! The contact proof: negatives laid on paper and printed with the shortest exposure that gives
//! black through the clear film, so that every negative shows by itself what it is.
//!
//! "Black" is the standard's own shadow point, Dmin + 0.90·(Dmax − Dmin) (ISO 6846:1992, see
//! [`iso_6846`](super::iso_6846)): beyond it more exposure costs highlights and gains next to nothing.

mod black;
mod negative;
mod strip;
mod tables;
mod typed;

pub use negative::{Needed, Negative};
pub use strip::{Exposure, StripError, TestStrip, White};
#[cfg(feature = "files")]
pub use tables::read_negatives;
#[cfg(feature = "files")]
pub use tables::read_test_strip;
pub use tables::{
    NegativesFile, TestStripError, TestStripFile, negatives_of_bytes, test_strip_of_bytes,
};
pub use typed::{NotANegative, NotAnExposure};

use super::iso_6846::PaperMeasures;
use super::why::NoBlack;
use crate::elementary::{antilog, hypot, log10};
use crate::measures::Quantity;
use crate::numerics::chance::NORMAL_95;

/// The shortest exposure that prints the clear film as black.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShortestBlack {
    /// The time in **seconds**.
    pub seconds: Quantity,
    /// Density of the shadow point.
    pub density: f64,
    /// Maximum density of the paper.
    pub d_max: Quantity,
}

/// What a paper's strip was exposed with, to turn its log exposures into seconds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TimeReference {
    /// The tablet was exposed for so many **seconds** by the light of the proof; `clear` is the
    /// strip's log exposure behind clear tablet.
    Tablet {
        /// Time of that exposure.
        seconds: f64,
        /// log10 of the exposure behind clear tablet, on the strip's own scale.
        clear: f64,
    },
    /// The light of the proof is so many **lux**, and the strip's exposures are in lux seconds.
    Lux(f64),
}

impl TimeReference {
    /// log10 of the time in seconds minus log10 of the exposure that it gives.
    #[must_use]
    pub fn log_seconds_less_log_exposure(&self) -> f64 {
        match self {
            Self::Tablet { seconds, clear } => log10(*seconds) - clear,
            Self::Lux(lux) => -log10(*lux),
        }
    }
}

/// The proof's time from a paper's curve, through film of density `base_plus_fog` ± `sigma`:
///
/// ```text
/// t = t0·10^(log HS − log Hclear + b)     or     t = 10^(log HS + b)/E
/// ```
///
/// # Errors
/// The reason why the paper has no shadow point.
pub fn from_paper(
    paper: &PaperMeasures,
    reference: TimeReference,
    base_plus_fog: f64,
    sigma: f64,
) -> Result<ShortestBlack, NoBlack> {
    let (shadow, d_max) = (paper.shadow?, paper.d_max?);
    let density = paper.shadow_density?.value;
    let bare = reference.log_seconds_less_log_exposure();
    let half = |end: f64| hypot(end - shadow.value, NORMAL_95 * sigma);
    let at = |x: f64| antilog(x + bare + base_plus_fog);
    Ok(ShortestBlack {
        seconds: Quantity {
            value: at(shadow.value),
            low: at(shadow.value - half(shadow.low)),
            high: at(shadow.value + half(shadow.high)),
        },
        density,
        d_max,
    })
}

/// What has changed between the test and the proof: what was, and what is. An absent pair is no change.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Change {
    /// Base plus fog of the film.
    pub base_plus_fog: Option<(f64, f64)>,
    /// f-number of the lens.
    pub aperture: Option<(f64, f64)>,
    /// Paper speed P.
    pub paper_speed: Option<(f64, f64)>,
}

impl Change {
    /// What the time is multiplied by:
    ///
    /// ```text
    /// 10^(b' − b) · (N'/N)² · P/P'
    /// ```
    ///
    /// Light falls with the square of the f-number; a paper needs exposure in the inverse of its
    /// speed. Two papers' speeds stand at 0.60 above white, and their blacks may lie otherwise.
    #[must_use]
    pub fn factor(&self) -> f64 {
        let ratio = |pair: Option<(f64, f64)>| pair.map_or(1.0, |(was, is)| is / was);
        let film = self.base_plus_fog.map_or(1.0, |(was, is)| antilog(is - was));
        film * ratio(self.aperture).powi(2) / ratio(self.paper_speed)
    }

    /// Whether nothing changes.
    #[must_use]
    pub fn is_none(&self) -> bool {
        *self == Self::default()
    }

    /// The time after the change.
    #[must_use]
    pub fn scaled(&self, seconds: Quantity) -> Quantity {
        let factor = self.factor();
        Quantity {
            value: factor * seconds.value,
            low: factor * seconds.low,
            high: factor * seconds.high,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn changes_scale_the_time() {
        let change = Change {
            base_plus_fog: Some((0.30, 0.60)),
            aperture: Some((8.0, 11.0)),
            paper_speed: Some((250.0, 500.0)),
        };
        let expected = antilog(0.3) * (11.0_f64 / 8.0).powi(2) * 0.5;
        assert!((change.factor() - expected).abs() < 1e-12);
        assert_eq!(Change::default().factor(), 1.0);
        assert!(Change::default().is_none() && !change.is_none());
    }
}
