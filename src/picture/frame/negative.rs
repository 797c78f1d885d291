//! The printing densities of a negative: its lightest and darkest useful areas.

use super::{Cell, FrameReading, NoFrame};
use crate::picture::photometry::{Found, Stated};

/// The share of cells that are lighter than the lightest useful area, and denser than the darkest one: no specks, no
/// bare rebate (common practice, no source).
pub const TAIL: f64 = 0.01;

/// A useful area at one end of a negative's densities.
#[derive(Clone, Debug, PartialEq)]
pub struct Extreme {
    /// The cell that has this density.
    pub cell: Cell,
    /// Its density.
    pub density: f64,
    /// Its standard uncertainty.
    pub sigma: f64,
}

/// The range of a negative's densities that are to print with detail.
#[derive(Clone, Debug, PartialEq)]
pub struct PrintingDensities {
    /// The lightest useful area.
    pub low: Extreme,
    /// The darkest useful area.
    pub high: Extreme,
    /// Base plus fog with its standard uncertainty, where a patch of unexposed film was named.
    pub base_plus_fog: Option<(f64, f64)>,
    /// Standard uncertainty of the difference of the two densities.
    pub range_sigma: f64,
}

impl PrintingDensities {
    /// The first and the ninety-ninth of a hundred cells by their density.
    ///
    /// # Errors
    /// [`NoFrame::Dense`] where the light of the darkest cannot be parted from glare.
    pub fn of(reading: &FrameReading) -> Result<Self, NoFrame> {
        let rank = |cell: &Cell| match cell.stated {
            Stated::Density(found) => found.density,
            Stated::DenserThan(_) | Stated::Withheld => f64::INFINITY,
        };
        let mut order: Vec<&Cell> = reading.cells.iter().collect();
        order.sort_by(|a, b| rank(a).total_cmp(&rank(b)));
        let last = order.len() - 1;
        let tail = (TAIL * last as f64).round() as usize;
        let found = |cell: &Cell| match cell.stated {
            Stated::Density(found) => Ok(found),
            Stated::DenserThan(limit) => {
                let dense = reading.cells.iter().filter(|c| c.stated.found().is_none()).count();
                Err(NoFrame::Dense { cells: dense, of: order.len(), limit })
            }
            Stated::Withheld => Err(NoFrame::NoMask { in_flat: false }),
        };
        let (low, high) = (order[tail], order[last - tail]);
        let (light, dark) = (found(low)?, found(high)?);
        let calibration = &reading.calibration;
        let whole = |a: &Found| (a.sigma.powi(2) + calibration.covariance(a, a)).sqrt();
        let common = calibration.covariance(&light, &light) + calibration.covariance(&dark, &dark)
            - 2.0 * calibration.covariance(&light, &dark);
        let range_sigma = (light.sigma.powi(2) + dark.sigma.powi(2) + common.max(0.0)).sqrt();
        let extreme = |cell: &Cell, found: &Found| Extreme {
            cell: cell.clone(),
            density: found.density.max(0.0),
            sigma: whole(found),
        };
        let base = reading.unexposed.as_ref().and_then(|(_, stated)| stated.found());
        Ok(Self {
            low: extreme(low, &light),
            high: extreme(high, &dark),
            base_plus_fog: base.map(|base| (base.density.max(0.0), whole(base))),
            range_sigma,
        })
    }

    /// The range of densities.
    #[must_use]
    pub fn range(&self) -> f64 {
        self.high.density - self.low.density
    }
}
