//! The limits that a pairing brings along.

use crate::bath::limits::{Allowed, Limits};
use crate::development::file::SpecLimits;

/// The limits in a pairing's file, or those that are assumed where it has none.
///
/// # Errors
/// For a limit that is no positive number.
pub fn pairing_limits(own: Option<SpecLimits>) -> Result<Limits, String> {
    let name = if own.is_some() {
        "the pairing's own"
    } else {
        "assumed (contrast: NAVEDTRA 14208, 1995; the others common practice, no source); a section [limits] of the pairing sets its own"
    };
    let own = own.unwrap_or_default();
    let named = |what: &'static str| move |why| format!("[limits] {what}: {why}");
    let mut limits = Limits::new(name);
    let positive = |v: f64| {
        if v > 0.0 {
            Ok(v)
        } else {
            Err(format!("{v} is no distance from an aim: give a positive number"))
        }
    };
    let contrast = positive(own.contrast).and_then(Allowed::symmetric);
    limits.set("contrast", contrast.map_err(named("contrast"))?);
    let fog = positive(own.base_plus_fog).and_then(|f| Allowed::new(None, Some(f)));
    limits.set("base plus fog", fog.map_err(named("base_plus_fog"))?);
    let speed = positive(own.speed_log_h).and_then(Allowed::symmetric);
    limits.set("speed", speed.map_err(named("speed_log_h"))?);
    Ok(limits)
}
