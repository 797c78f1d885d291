//! From strips to their curves and measures, many at a time.

use super::Measures;
use crate::curve::{Choice, FitError, FittedCurve, Fitter, Observations};
use crate::readings::{Reading, Strip};
use rayon::prelude::*;

/// A strip with its curve and measures, or the reason why it has none.
#[derive(Debug)]
pub struct StripAnalysis {
    /// The strip.
    pub strip: Strip,
    /// Its curve and measures.
    pub result: Result<Analysed, FitError>,
}

/// A fitted curve and its measures.
#[derive(Debug)]
pub struct Analysed {
    /// The curve.
    pub fit: FittedCurve,
    /// Its measures.
    pub measures: Measures,
}

impl StripAnalysis {
    /// Fits and measures one strip.
    #[must_use]
    pub fn of(strip: Strip, choice: Choice, fitter: &mut Fitter) -> Self {
        let fit = fitter.fit(Observations::of(&strip), choice, strip.sigma_is_assumed);
        let result = fit.map(|fit| Analysed { measures: Measures::of(&fit, strip.scale), fit });
        Self { strip, result }
    }

    /// The reading behind observation `index`: unexposed ones come first.
    #[must_use]
    pub fn reading(&self, index: usize) -> &Reading {
        let unexposed = &self.strip.unexposed;
        unexposed.get(index).unwrap_or_else(|| &self.strip.readings[index - unexposed.len()])
    }
}

/// Fits and measures strips on all cores, in their order.
#[must_use]
pub fn analyse(strips: Vec<Strip>, choice: Choice) -> Vec<StripAnalysis> {
    let fit = |fitter: &mut Fitter, strip| StripAnalysis::of(strip, choice, fitter);
    strips.into_par_iter().with_min_len(8).map_init(Fitter::new, fit).collect()
}
