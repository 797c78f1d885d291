//! Remedies for a print that loses tones: every change is tried, and what it prints is measured.

use super::camera::Camera;
use super::chain::{Chain, Film, Printed};
use super::print_table::PrintTable;
use super::reproduction::Reproduction;
use crate::development::Measure;
use crate::development::aim::LEAST_LOSS;
use crate::elementary::{hypot, ln};
use crate::measures::Quantity;
use crate::printing::paper::PaperStrip;
use std::sync::Arc;

/// Greatest change of exposure that is tried, in thirds of a stop.
const THIRDS: i32 = 9;

/// A change of one thing.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// Development, in effective minutes, and the contrast index that it gives.
    Development {
        /// Effective minutes.
        theta: f64,
        /// Contrast index there, where the pairing has one.
        contrast: Option<f64>,
    },
    /// Exposure of the film, in stops more than now.
    Exposure(f64),
    /// Exposure of the print, in stops more than now.
    PrintExposure(f64),
    /// Another setting of the paper.
    Setting {
        /// What it is called.
        label: String,
        /// Its range R.
        range_r: f64,
    },
}

/// A change that was tried and helps.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// The change.
    pub change: Change,
    /// Stops of the scene still lost with it.
    pub lost_stops: f64,
    /// Overall gradient with it.
    pub gradient: f64,
}

impl Remedy {
    /// Whether it remedies all.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.lost_stops < LEAST_LOSS
    }
}

/// Everything that can be changed.
#[derive(Clone, Copy, Debug)]
pub struct PrintSetup<'a> {
    /// The camera and the scene.
    pub camera: Camera,
    /// The film.
    pub film: Film<'a>,
    /// The light, and what is printed for.
    pub printed: Printed,
    /// The strips of the paper, one for each setting.
    pub papers: &'a [PaperStrip],
    /// The one in use.
    pub paper: usize,
}

impl<'a> PrintSetup<'a> {
    /// The chain as it stands.
    ///
    /// # Errors
    /// [`ChainError`](super::ChainError).
    pub fn chain(&self) -> Result<Chain<'a>, super::ChainError> {
        let strip = &self.papers[self.paper];
        let paper = strip.result.as_ref().map_err(|e| super::ChainError::NoCurve(e.clone()))?;
        Chain::new(self.camera, self.film, self.printed, paper)
    }

    /// The overall gradient of what became of the scene, with an interval from the film's contrast and
    /// the paper's greatest slope, whose relative errors add in quadrature; what flare may be wrong by
    /// is not in it. `None` where all is lost.
    #[must_use]
    pub fn gradient(&self, reproduction: &Reproduction) -> Option<Quantity> {
        let value = reproduction.gradient;
        if !value.is_finite() {
            return None;
        }
        let (pairing, theta) = (self.film.pairing, self.film.theta);
        let growth = pairing
            .growth(Measure::AverageGradient)
            .or_else(|| pairing.growth(Measure::ContrastIndex))?;
        let film = growth.quantile * growth.value_sd(theta) / growth.value(theta);
        let paper = self.papers[self.paper].result.as_ref().ok()?;
        let own = paper.measures.gamma.as_ref().ok()?;
        let (down, up) = (1.0 - own.low / own.value, own.high / own.value - 1.0);
        Some(Quantity {
            value,
            low: value * (1.0 - hypot(film, down)),
            high: value * (1.0 + hypot(film, up)),
        })
    }

    /// What becomes of the scene on the paper of this table.
    pub(super) fn tried(&self, paper: &Arc<PrintTable>) -> Option<Reproduction> {
        let chain = Chain::on(self.camera, self.film, self.printed, Arc::clone(paper));
        Some(chain.ok()?.reproduction())
    }

    /// The table of one of the papers.
    pub(super) fn table(&self, paper: usize) -> Option<Arc<PrintTable>> {
        let paper = self.papers.get(paper)?.result.as_ref().ok()?;
        PrintTable::of(paper).ok().map(Arc::new)
    }

    /// The best change of each kind: the smallest of those that lose nothing, else the one that loses
    /// least; kinds of which none helps are left out. The best come first.
    #[must_use]
    pub fn remedies(&self) -> Vec<Remedy> {
        let Some(paper) = self.table(self.paper) else {
            return Vec::new();
        };
        let lost = self.tried(&paper).map(|r| r.lost_stops());
        let Some(now) = lost.filter(|l| *l >= LEAST_LOSS) else {
            return Vec::new();
        };
        let kinds = [
            self.developments(&paper),
            self.exposures(&paper),
            self.print_exposures(&paper),
            self.settings(),
        ];
        let mut remedies: Vec<Remedy> =
            kinds.into_iter().filter_map(|tries| best(tries, now)).collect();
        remedies.sort_by(|a, b| {
            let key = |m: &Remedy| if m.is_whole() { 0.0 } else { m.lost_stops };
            key(a).total_cmp(&key(b))
        });
        remedies
    }

    /// Changes of development, each with its size: the log of the factor.
    fn developments(&self, paper: &Arc<PrintTable>) -> Vec<(f64, Remedy)> {
        let growth = self.film.pairing.growth(Measure::ContrastIndex);
        let tries = self.developed(paper).map(|(theta, tried)| {
            let contrast = growth.map(|g| g.value(theta));
            let change = Change::Development { theta, contrast };
            (ln(theta / self.film.theta).abs(), remedy(change, &tried))
        });
        tries.collect()
    }

    fn exposures(&self, paper: &Arc<PrintTable>) -> Vec<(f64, Remedy)> {
        thirds()
            .filter_map(|stops| {
                let mut camera = self.camera;
                camera.correction += stops;
                let tried = Self { camera, ..*self }.tried(paper)?;
                Some((stops.abs(), remedy(Change::Exposure(stops), &tried)))
            })
            .collect()
    }

    fn print_exposures(&self, paper: &Arc<PrintTable>) -> Vec<(f64, Remedy)> {
        thirds()
            .filter_map(|stops| {
                let mut printed = self.printed;
                printed.correction += stops;
                let tried = Self { printed, ..*self }.tried(paper)?;
                Some((stops.abs(), remedy(Change::PrintExposure(stops), &tried)))
            })
            .collect()
    }

    fn settings(&self) -> Vec<(f64, Remedy)> {
        let range = |k: usize| {
            let paper = self.papers[k].result.as_ref().ok()?;
            paper.measures.range_r.as_ref().ok().map(|r| r.value)
        };
        (0..self.papers.len())
            .filter(|k| *k != self.paper)
            .filter_map(|paper| {
                let tried = self.tried(&self.table(paper)?)?;
                let range_r = range(paper)?;
                let label = self.papers[paper].setting().to_owned();
                let size = (range_r - range(self.paper)?).abs();
                Some((size, remedy(Change::Setting { label, range_r }, &tried)))
            })
            .collect()
    }
}

fn thirds() -> impl Iterator<Item = f64> {
    (-THIRDS..=THIRDS).filter(|k| *k != 0).map(|k| f64::from(k) / 3.0)
}

fn remedy(change: Change, tried: &Reproduction) -> Remedy {
    Remedy { change, lost_stops: tried.lost_stops(), gradient: tried.gradient }
}

/// The smallest change that loses nothing, else the one that loses least, if it helps at all.
fn best(tries: Vec<(f64, Remedy)>, now: f64) -> Option<Remedy> {
    let key = |(size, remedy): &(f64, Remedy)| {
        if remedy.is_whole() { (0.0, *size) } else { (remedy.lost_stops, *size) }
    };
    let found = tries.into_iter().min_by(|a, b| {
        let (a, b) = (key(a), key(b));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    })?;
    (found.1.lost_stops < now - LEAST_LOSS).then_some(found.1)
}
