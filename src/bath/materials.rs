//! Whether a bath is of the developer of a pairing.

use super::journal::{Act, Entry};
use crate::development::file::PairingFile;
use crate::development::leader::LeaderFamily;
use crate::development::materials::{Materials, OfAnother};

/// The developer of the bath that entries end with, by its mix.
#[must_use]
pub fn materials(entries: &[Entry]) -> Materials {
    let mixed = entries.iter().rev().find_map(|entry| match &entry.act {
        Act::Mix { what, dilution, .. } => Some((what.as_deref(), dilution.as_deref())),
        _ => None,
    });
    mixed.map_or_else(Materials::default, |(what, dilution)| Materials::of_bath(what, dilution))
}

/// How the bath of a journal differs from what a pairing is of.
#[must_use]
pub fn differences(pairing: &PairingFile, entries: &[Entry], journal: &str) -> Vec<OfAnother> {
    pairing.materials().differences(&materials(entries), &format!("the bath of {journal} is"))
}

/// A leader family of another developer than a bath.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the bath is of the developer {bath}, and the leader family of {family}")]
pub struct OfAnotherFamily {
    /// The developer of the bath.
    pub bath: String,
    /// That of the family.
    pub family: String,
}

/// Whether a leader family is of another developer than the bath that entries end with.
#[must_use]
pub fn another_developer(entries: &[Entry], family: &LeaderFamily) -> Option<OfAnotherFamily> {
    let own = Materials { film: None, developer: family.labels.developer.clone() };
    let others = materials(entries).differences(&own, "the family is");
    let other = others.into_iter().next()?;
    Some(OfAnotherFamily { bath: other.expected, family: other.found })
}
