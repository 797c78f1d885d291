//! From strips to their curves and measures.

use super::Measures;
use crate::curve::{Choice, FitError, FitNote, FittedCurve, Fitter, NoiseGrowth, Observations};
use crate::readings::{Reading, Strip};
#[cfg(feature = "threads")]
use rayon::prelude::*;

/// A strip with its curve and its measures `M`, or the reason why it has none.
#[derive(Debug)]
pub struct Analysis<M> {
    /// The strip.
    pub strip: Strip,
    /// Its curve and measures.
    pub result: Result<Analysed<M>, FitError>,
}

/// A strip of film with its curve and measures.
pub type StripAnalysis = Analysis<Measures>;

/// A fitted curve and its measures.
#[derive(Debug)]
pub struct Analysed<M = Measures> {
    /// The curve.
    pub fit: FittedCurve,
    /// Its measures.
    pub measures: M,
}

/// What is measured of a curve: other measures for film than for paper.
pub trait OfCurve: Send {
    /// Measures the curve fitted to a strip. Absolute quantities need exposures in lux seconds.
    fn of_curve(fit: &FittedCurve, strip: &Strip) -> Self;
}

impl OfCurve for Measures {
    fn of_curve(fit: &FittedCurve, strip: &Strip) -> Self {
        let measures = Self::of(fit, strip.scale);
        match strip.exposure_sigma {
            Some(sigma) => measures.exposed_within(sigma.get()),
            None => measures,
        }
    }
}

impl<M: OfCurve> Analysis<M> {
    /// Fits and measures one strip.
    #[must_use]
    pub fn of(strip: Strip, choice: Choice, fitter: &mut Fitter) -> Self {
        let fit = fitter.fit(Observations::of(&strip), choice, strip.sigma_is_assumed);
        let result = fit.map(|fit| Analysed { measures: M::of_curve(&fit, &strip), fit });
        Self { strip, result }
    }
}

impl<M> Analysis<M> {
    /// The reading behind observation `index`: unexposed ones come first.
    #[must_use]
    pub fn reading(&self, index: usize) -> &Reading {
        let unexposed = &self.strip.unexposed;
        unexposed.get(index).unwrap_or_else(|| &self.strip.readings[index - unexposed.len()])
    }

    /// The measures, where the strip has a curve.
    #[must_use]
    pub fn measures(&self) -> Option<&M> {
        self.result.as_ref().ok().map(|a| &a.measures)
    }

    /// What the fit noticed.
    #[must_use]
    pub fn fit_notes(&self) -> &[FitNote] {
        self.result.as_ref().map_or(&[], |a| &a.fit.notes)
    }
}

/// Fits and measures strips of film on all cores (with the feature `threads`), in their order.
#[must_use]
pub fn analyse(strips: Vec<Strip>, choice: Choice) -> Vec<StripAnalysis> {
    analyse_as(strips, choice)
}

/// The same for strips that were read with one densitometer: together they tell more of how its noise grows
/// with density, which is given as well.
#[must_use]
pub fn analyse_together(strips: Vec<Strip>, choice: Choice) -> (Vec<StripAnalysis>, NoiseGrowth) {
    let alone = analyse(strips, choice);
    let assumed = alone.iter().filter(|s| s.strip.sigma_is_assumed);
    let fits = assumed.filter_map(|s| s.result.as_ref().ok()).map(|a| &a.fit);
    let growth = NoiseGrowth::pooled(fits.clone().map(|fit| &fit.growth));
    let grows = |growth: &NoiseGrowth, fit: &FittedCurve| {
        growth.factors(&fit.observations.densities_of(fit.curve.as_ref())).is_some()
    };
    let as_before = fits.clone().all(|fit| !grows(&growth, fit) && !grows(&fit.growth, fit));
    if as_before {
        return (alone, growth);
    }
    let strips = alone.into_iter().map(|s| s.strip).collect();
    (analyse_by(strips, choice, || Fitter::knowing(growth)), growth)
}

/// Fits strips and measures `M` of them on all cores (with the feature `threads`), in their order.
#[must_use]
pub fn analyse_as<M: OfCurve>(strips: Vec<Strip>, choice: Choice) -> Vec<Analysis<M>> {
    analyse_by(strips, choice, Fitter::new)
}

fn analyse_by<M: OfCurve>(
    strips: Vec<Strip>,
    choice: Choice,
    fitter: impl Fn() -> Fitter + Send + Sync,
) -> Vec<Analysis<M>> {
    let fit = |fitter: &mut Fitter, strip| Analysis::of(strip, choice, fitter);
    #[cfg(feature = "threads")]
    return strips.into_par_iter().with_min_len(8).map_init(fitter, fit).collect();
    #[cfg(not(feature = "threads"))]
    {
        let mut fitter = fitter();
        strips.into_iter().map(|strip| fit(&mut fitter, strip)).collect()
    }
}
