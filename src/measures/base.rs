//! The ends of the curve: base plus fog and greatest density.

use super::{Estimate, Why};
use crate::curve::{Curve, FittedCurve};

/// Widest standard error with which base plus fog still means something when no unexposed film was
/// read: a fifth of the 0.10 from which speed is counted.
pub(super) const WIDEST: f64 = 0.02;
/// Without unexposed film, this many readings must run along base plus fog, no farther above it
/// than this: a toe that still falls says nothing of where it ends.
pub(super) const STEPS_ALONG: usize = 3;
pub(super) const ALONG: f64 = 0.02;
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

/// Why the steps do not give the lowest density where no unexposed patch was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotFound {
    /// Only so many steps run along it.
    FewSteps(usize),
    /// Those that do leave it uncertain.
    Uncertain,
}

/// Whether and how the readings give the lowest density: an unexposed patch was read, or steps run along it.
///
/// # Errors
/// The reason why not.
pub(crate) fn lowest_density(fit: &FittedCurve) -> Result<Base, NotFound> {
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
        return Err(NotFound::FewSteps(along));
    }
    let mut gradient = vec![0.0; curve.parameters().len()];
    curve.base_gradient(&mut gradient);
    if curve.standard_error(&gradient) <= WIDEST {
        Ok(Base::Unsettled)
    } else {
        Err(NotFound::Uncertain)
    }
}

/// Greatest density: the curve at the last step, once its slope has fallen to a tenth of gamma.
///
/// # Errors
/// The reason why the strip does not show it.
pub(super) fn maximum_density(curve: &dyn Curve) -> Result<Estimate, Why> {
    let (_, high) = curve.range();
    let steepest = super::gamma(curve).value;
    let slope = curve.slope(high);
    if slope > LEVEL * steepest {
        return Err(Why::NotLevelledOff { slope });
    }
    let mut gradient = vec![0.0; curve.parameters().len()];
    curve.density_gradient(high, &mut gradient);
    Ok(Estimate { value: curve.density(high), gradient })
}
