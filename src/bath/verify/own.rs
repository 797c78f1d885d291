//! The limits that a pairing states.

use crate::bath::limits::{Allowed, DISTANCE, Limits, LimitsFrom, NoLimit};
use crate::bath::watched::Watched;
use crate::development::file::SpecLimits;

/// A limit in a pairing that cannot be one.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("[limits] {key}: {why}")]
pub struct BadLimit {
    /// Its key in the file.
    pub key: &'static str,
    /// What is wrong with it.
    pub why: NoLimit,
}

/// The limits in a pairing's file, or those that are assumed where it has none.
///
/// # Errors
/// For a limit whose distance from its aim is not within [`DISTANCE`].
pub fn pairing_limits(own: Option<SpecLimits>) -> Result<Limits, BadLimit> {
    let mut limits = Limits::new(match own {
        Some(_) => LimitsFrom::Pairing,
        None => LimitsFrom::Assumed,
    });
    let own = own.unwrap_or_default();
    let distance = |v: f64| DISTANCE.checked(v).map_err(NoLimit::from);
    let named = |key: &'static str| move |why| BadLimit { key, why };
    let contrast = distance(own.contrast).and_then(Allowed::symmetric);
    limits.set(Watched::Contrast, contrast.map_err(named("contrast"))?);
    let fog = distance(own.base_plus_fog).and_then(|f| Allowed::new(None, Some(f)));
    limits.set(Watched::BasePlusFog, fog.map_err(named("base_plus_fog"))?);
    let speed = distance(own.speed_log_h).and_then(Allowed::symmetric);
    limits.set(Watched::Speed, speed.map_err(named("speed_log_h"))?);
    Ok(limits)
}
