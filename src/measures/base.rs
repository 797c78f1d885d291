//! The ends of the curve: base plus fog and greatest density.

use super::Estimate;
use crate::curve::{Curve, FittedCurve};

/// Widest standard error with which base plus fog still means something when no unexposed film was
/// read: a fifth of the 0.10 from which speed is counted.
const WIDEST: f64 = 0.02;
/// Without unexposed film, this many readings must run along base plus fog, no farther above it
/// than this: a toe that still falls says nothing of where it ends.
const STEPS_ALONG: usize = 3;
const ALONG: f64 = 0.02;
/// Share of gamma below which the slope at the last step means that the curve has levelled off.
const LEVEL: f64 = 0.1;

/// Where base plus fog comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Base {
    /// The unexposed film was read.
    Read,
    /// Steps run along it; the toe may still fall a little below them.
    Unsettled,
}

/// Why it comes from nowhere: no unexposed film was read, and
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum NotCarried {
    /// only so many steps run along it,
    FewSteps(usize),
    /// or those that do leave it uncertain.
    Uncertain,
}

impl NotCarried {
    /// The reason in words, of film.
    pub fn of_film(self) -> String {
        self.words("base plus fog", "film")
    }

    /// The reason in words, for what the end is called and the material.
    pub fn words(self, end: &str, material: &str) -> String {
        let why = match self {
            Self::FewSteps(along) => format!(
                "only {along} of the steps lie within {ALONG:.2} of where it seems to be ({STEPS_ALONG} are needed)"
            ),
            Self::Uncertain => {
                format!("the steps in the toe leave it uncertain by more than {WIDEST:.2}")
            }
        };
        format!(
            "{end} is not carried: no unexposed {material} was read, and {why}; read a patch of unexposed {material} (empty exposure cell)"
        )
    }
}

/// Whether and how the readings carry base plus fog: the unexposed film was read, or the toe is in
/// sight.
///
/// # Errors
/// The reason why not.
pub(crate) fn carried(fit: &FittedCurve) -> Result<Base, NotCarried> {
    let observations = &fit.observations;
    let read = (0..observations.unexposed()).any(|i| observations.weight[i] > 0.0);
    if read {
        return Ok(Base::Read);
    }
    let curve = fit.curve.as_ref();
    let level = curve.base_plus_fog() + ALONG;
    let along = (0..observations.len())
        .filter(|&i| observations.weight[i] > 0.0 && observations.density[i] <= level)
        .count();
    if along < STEPS_ALONG {
        return Err(NotCarried::FewSteps(along));
    }
    let mut gradient = vec![0.0; curve.parameters().len()];
    gradient[0] = 1.0;
    if curve.standard_error(&gradient) <= WIDEST {
        Ok(Base::Unsettled)
    } else {
        Err(NotCarried::Uncertain)
    }
}

/// Greatest density: the curve at the last step, once its slope has fallen to a tenth of gamma.
///
/// # Errors
/// The reason why the strip does not show it.
pub(super) fn maximum_density(curve: &dyn Curve) -> Result<Estimate, String> {
    let (_, high) = curve.range();
    let steepest = super::gamma(curve).value;
    let slope = curve.slope(high);
    if slope > LEVEL * steepest {
        return Err(format!(
            "no shoulder's end in sight: the curve still rises by {slope:.2} per unit of log exposure at the last step"
        ));
    }
    let mut gradient = vec![0.0; curve.parameters().len()];
    curve.density_gradient(high, &mut gradient);
    Ok(Estimate { value: curve.density(high), gradient })
}
