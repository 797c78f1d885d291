//! From strips of paper to their curves and measures.

use super::iso_6846::PaperMeasures;
use crate::curve::{Choice, FittedCurve};
use crate::measures::{Analysed, Analysis, OfCurve, analyse_as};
use crate::readings::Strip;

/// A strip of paper with its curve (reflection density against log exposure) and measures, or the
/// reason why it has none.
pub type PaperStrip = Analysis<PaperMeasures>;

/// A paper: its curve and its measures.
pub type Paper = Analysed<PaperMeasures>;

impl OfCurve for PaperMeasures {
    fn of_curve(fit: &FittedCurve, strip: &Strip) -> Self {
        let measures = Self::of(fit, strip.scale);
        match strip.exposure_sigma {
            Some(sigma) => measures.exposed_within(sigma.get(), strip.scale),
            None => measures,
        }
    }
}

impl PaperStrip {
    /// What distinguishes the strip: its filter or grade, else its name.
    #[must_use]
    pub fn setting(&self) -> &str {
        self.strip.labels.filter.as_deref().unwrap_or(&self.strip.name)
    }
}

/// What the paper is called: the name that its strips agree on.
#[must_use]
pub fn name(papers: &[PaperStrip]) -> Option<&str> {
    let mut names = papers.iter().map(|p| p.strip.labels.film.as_deref());
    let first = names.next()??;
    names.all(|n| n == Some(first)).then_some(first)
}

/// Fits and measures strips on all cores, in their order.
#[must_use]
pub fn analyse_papers(strips: Vec<Strip>, choice: Choice) -> Vec<PaperStrip> {
    analyse_as(strips, choice)
}
