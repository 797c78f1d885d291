//! From a verification to the entry that a journal keeps of it.

use super::journal::{LeaderResult, StripResult};
use super::verify::Verification;
use super::watched::Watched;
use crate::development::leader::Tested;
use crate::measures::Quantity;
use crate::units::{Celsius, Minutes};

/// A control strip as it is entered.
#[derive(Clone, Debug, PartialEq)]
pub struct Entered {
    /// Its name.
    pub name: String,
    /// The batch of film that it was cut from.
    pub batch: Option<String>,
    /// Path of the pairing that it was compared with.
    pub pairing: String,
    /// Time of development.
    pub minutes: Minutes,
    /// Temperature of the bath.
    pub celsius: Celsius,
}

/// What is kept of a number: four decimals are beyond what any strip shows.
fn kept(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}

/// The entry of a piece of leader that was compared with the family in a file.
#[must_use]
pub fn leader(
    name: Option<String>,
    family: String,
    piece: &Tested,
    activity: &Quantity,
) -> LeaderResult {
    LeaderResult {
        name,
        family: Some(family),
        minutes: Some(kept(piece.minutes.get())),
        celsius: Some(kept(piece.celsius.get())),
        density: Some(kept(piece.density())),
        activity: Some(kept(activity.value)),
        activity_low: Some(kept(activity.low)),
        activity_high: Some(kept(activity.high)),
    }
}

impl Entered {
    /// The entry: what the strip had, and how far that is off its aim.
    #[must_use]
    pub fn result(self, v: &Verification) -> StripResult {
        let value = |what: Watched| {
            let w = v.of(what);
            let number = |q: &Quantity| kept(q.value);
            let reading = w.and_then(|w| w.reading.as_ref().ok().map(number));
            let off = w.and_then(|w| w.deviation.as_ref().ok().map(number));
            (reading, off)
        };
        let (contrast, contrast_off) = value(Watched::Contrast);
        let (base_plus_fog, base_plus_fog_off) = value(Watched::BasePlusFog);
        let (speed, speed_gain_log_h) = value(Watched::Speed);
        let (low_density, low_density_off) = value(Watched::LowDensity);
        let (high_density, high_density_off) = value(Watched::HighDensity);
        StripResult {
            name: self.name,
            batch: self.batch,
            pairing: Some(self.pairing),
            minutes: Some(kept(self.minutes.get())),
            celsius: Some(kept(self.celsius.get())),
            activity: Some(kept(v.activity.value)),
            activity_low: Some(kept(v.activity.low)),
            activity_high: Some(kept(v.activity.high)),
            contrast,
            contrast_off,
            base_plus_fog,
            base_plus_fog_off,
            speed_log_h: speed.map(|s| -s),
            speed_gain_log_h,
            low_density,
            low_density_off,
            high_density,
            high_density_off,
            verdict: if v.in_spec {
                "in spec".to_owned()
            } else {
                format!("out of spec: {}", v.advice.action)
            },
        }
    }
}
