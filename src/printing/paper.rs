//! From strips of paper to their curves and measures.

use super::iso_6846::PaperMeasures;
use crate::curve::{Choice, FitError, FitNote, FittedCurve, Fitter, Observations};
use crate::readings::{Reading, Strip};
use rayon::prelude::*;

/// A strip of paper with its curve and measures, or the reason why it has none.
#[derive(Debug)]
pub struct PaperStrip {
    /// The strip.
    pub strip: Strip,
    /// Its curve and measures.
    pub result: Result<Paper, FitError>,
}

/// A paper: its curve and its measures.
#[derive(Debug)]
pub struct Paper {
    /// The curve: reflection density against log exposure.
    pub fit: FittedCurve,
    /// Its measures.
    pub measures: PaperMeasures,
}

impl PaperStrip {
    /// Fits and measures one strip.
    #[must_use]
    pub fn of(strip: Strip, choice: Choice, fitter: &mut Fitter) -> Self {
        let fit = fitter.fit(Observations::of(&strip), choice, strip.sigma_is_assumed);
        let result = fit.map(|fit| Paper { measures: PaperMeasures::of(&fit, strip.scale), fit });
        Self { strip, result }
    }

    /// What the strip is told by: its filter or grade, else its name.
    #[must_use]
    pub fn setting(&self) -> &str {
        self.strip.labels.filter.as_deref().unwrap_or(&self.strip.name)
    }

    /// The reading behind observation `index`: unexposed ones come first.
    #[must_use]
    pub fn reading(&self, index: usize) -> &Reading {
        let unexposed = &self.strip.unexposed;
        unexposed.get(index).unwrap_or_else(|| &self.strip.readings[index - unexposed.len()])
    }

    /// What was noticed, in words for a paper.
    #[must_use]
    pub fn notes(&self) -> Vec<String> {
        let mut notes = self.strip.notes.clone();
        match &self.result {
            Err(error) => notes.push(error.to_string()),
            Ok(paper) => notes.extend(paper.fit.notes.iter().map(in_words)),
        }
        notes
    }
}

fn in_words(note: &FitNote) -> String {
    match note {
        FitNote::ToeUnseen { below } => format!(
            "the unexposed paper lies {below:.2} below the lightest step, and no step shows the toe between them: check that reading, for everything is counted from it"
        ),
        other => other.to_string(),
    }
}

/// Fits and measures strips on all cores, in their order.
#[must_use]
pub fn analyse_papers(strips: Vec<Strip>, choice: Choice) -> Vec<PaperStrip> {
    strips
        .into_par_iter()
        .map_init(Fitter::new, |fitter, strip| PaperStrip::of(strip, choice, fitter))
        .collect()
}
