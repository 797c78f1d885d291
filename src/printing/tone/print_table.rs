//! A paper's curve, quick to ask.

use super::chain::ChainError;
use crate::measures::Measured;
use crate::printing::iso_6846::HIGHLIGHT;
use crate::printing::paper::Paper;

/// A paper's curve as a table, for it is asked thousands of times; linear in between, to 0.0001.
#[derive(Clone, Debug)]
pub(super) struct PrintTable {
    low: f64,
    step: f64,
    density: Vec<f64>,
    /// Densities of highlight and shadow point.
    pub limits: (f64, f64),
    /// Log exposures of highlight and shadow point.
    pub printable: (f64, f64),
    pub d_min: f64,
}

const PIECES: u32 = 512;

impl PrintTable {
    pub fn of(paper: &Paper) -> Result<Self, ChainError> {
        let m = &paper.measures;
        let missing = [&m.range_r, &m.d_min, &m.shadow_density]
            .into_iter()
            .find_map(|q| q.as_ref().err().cloned());
        if let Some(why) = missing {
            return Err(ChainError::Paper(why));
        }
        let of = |q: &Measured| q.as_ref().map_or(f64::NAN, |q| q.value);
        let curve = paper.fit.curve.as_ref();
        let (low, high) = curve.range();
        let step = (high - low) / f64::from(PIECES);
        let d_min = of(&m.d_min);
        Ok(Self {
            low,
            step,
            density: (0..=PIECES).map(|k| curve.density(low + step * f64::from(k))).collect(),
            limits: (d_min + HIGHLIGHT, of(&m.shadow_density)),
            printable: (of(&m.highlight), of(&m.shadow)),
            d_min,
        })
    }

    /// Print density; beyond the strip's ends what it was at them.
    pub fn density(&self, x: f64) -> f64 {
        let last = self.density.len() - 1;
        let at = ((x - self.low) / self.step).clamp(0.0, last as f64);
        let k = (at.floor() as usize).min(last - 1);
        let share = at - k as f64;
        self.density[k] + share * (self.density[k + 1] - self.density[k])
    }

    /// Log exposure of a print density between the strip's ends.
    pub fn log_exposure(&self, density: f64) -> f64 {
        let last = self.density.len() - 1;
        let k = self.density.partition_point(|d| *d < density).clamp(1, last);
        let rise = (self.density[k] - self.density[k - 1]).max(1e-12);
        let share = ((density - self.density[k - 1]) / rise).clamp(0.0, 1.0);
        self.low + self.step * ((k - 1) as f64 + share)
    }
}
