//! What calibrating again changes in a pairing's file, and what it keeps.

use super::Remarks;
use super::aim::{Light, Printing};
use super::file::{Aims, FORMAT, PairingFile, REFERENCE_CELSIUS, SpecLimits, StripRecord};

/// A setting of a pairing's file.
#[derive(Clone, Debug, PartialEq)]
pub enum Setting {
    /// A number.
    Number(f64),
    /// Several numbers.
    Numbers(Vec<f64>),
    /// A name, a remark or a choice.
    Text(String),
}

/// A place in a pairing's file before and after.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// A setting that a person made and that stays.
    Kept {
        /// Its place, as `[limits] contrast`.
        place: &'static str,
        /// What it is.
        setting: Setting,
    },
    /// A setting that is another one now.
    Set {
        /// Its place, as `[limits] contrast`.
        place: &'static str,
        /// What it was; `None` where it was not set.
        before: Option<Setting>,
        /// What it is.
        now: Option<Setting>,
    },
    /// A strip that was not there.
    Added(String),
    /// A strip that was there.
    LeftOut(String),
    /// A strip of the same name with other readings, time, temperature or labels.
    ReadAgain(String),
}

impl PairingFile {
    /// What differs between `before` and this file, and what a person set in both: settings in the order
    /// of the file, then strips.
    #[must_use]
    pub fn changes(&self, before: &Self) -> Vec<Change> {
        let all = settings(before).into_iter().zip(settings(self)).zip(unset());
        let settings = all.filter_map(|(((place, before), (_, now)), (_, unset))| {
            match (before == now, now) {
                (true, Some(setting)) if Some(&setting) != unset.as_ref() => {
                    // What strips are called follows from them unless a person says otherwise.
                    let is_own = place != "name" || self.is_named();
                    is_own.then_some(Change::Kept { place, setting })
                }
                (true, _) => None,
                (false, now) => Some(Change::Set { place, before, now }),
            }
        });
        let mut changes: Vec<Change> = settings.collect();
        if !self.remarks.is_empty() && self.remarks == before.remarks {
            #[expect(clippy::cast_precision_loss, reason = "a count of lines")]
            let setting = Setting::Number(self.remarks.len() as f64);
            changes.push(Change::Kept { place: "lines of comment", setting });
        }
        let named = |strips: &[StripRecord], name: &str| {
            strips.iter().position(|strip| strip.name() == name)
        };
        for strip in &self.strips {
            let name = strip.name();
            match named(&before.strips, name) {
                None => changes.push(Change::Added(name.to_owned())),
                Some(at) if before.strips[at] != *strip => {
                    changes.push(Change::ReadAgain(name.to_owned()));
                }
                Some(_) => {}
            }
        }
        let gone = before.strips.iter().filter(|s| named(&self.strips, s.name()).is_none());
        changes.extend(gone.map(|strip| Change::LeftOut(strip.name().to_owned())));
        changes
    }
}

/// All settings of a file in its order, with their places.
fn settings(file: &PairingFile) -> Vec<(&'static str, Option<Setting>)> {
    let PairingFile {
        format: _,
        name,
        reference_celsius,
        note,
        log_exposure_clear,
        aims,
        limits,
        strips: _,
        remarks: _,
    } = file;
    let Aims { measure, scene_stops, printing } = aims;
    let Printing { paper_range, light, callier, flare, veil } = *printing;
    let light = match light {
        Light::Diffuse => "diffuse",
        Light::Condenser => "condenser",
    };
    let text = |text: &str| Some(Setting::Text(text.to_owned()));
    let limit = |of: fn(&SpecLimits) -> f64| limits.as_ref().map(of).map(Setting::Number);
    vec![
        ("name", text(name)),
        ("reference_celsius", Some(Setting::Number(*reference_celsius))),
        ("note", note.as_deref().and_then(text)),
        ("log_exposure_clear", log_exposure_clear.map(Setting::Number)),
        ("[aims] measure", text(&measure.code().replace('_', "-"))),
        ("[aims] scene_stops", Some(Setting::Numbers(scene_stops.clone()))),
        ("[aims.printing] paper_range", paper_range.map(Setting::Number)),
        ("[aims.printing] light", text(light)),
        ("[aims.printing] callier", callier.map(Setting::Number)),
        ("[aims.printing] flare", flare.map(Setting::Number)),
        ("[aims.printing] veil", Some(Setting::Text(veil.to_string()))),
        ("[limits] contrast", limit(|l| l.contrast)),
        ("[limits] base_plus_fog", limit(|l| l.base_plus_fog)),
        ("[limits] speed_log_h", limit(|l| l.speed_log_h)),
    ]
}

/// The settings of a file in which nobody has set anything.
fn unset() -> Vec<(&'static str, Option<Setting>)> {
    settings(&PairingFile {
        format: FORMAT,
        name: String::new(),
        reference_celsius: REFERENCE_CELSIUS,
        note: None,
        log_exposure_clear: None,
        aims: Aims::default(),
        limits: None,
        strips: Vec::new(),
        remarks: Remarks::default(),
    })
}
