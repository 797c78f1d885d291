//! What the errors of a strip's densities have in common: an offset and a slope.

use super::{Calibration, Found};

/// Standard uncertainties that all densities of a strip have in common. An offset cancels in what is counted
/// from base plus fog; a slope goes into gamma and contrast index.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shared {
    /// Standard uncertainty of the offset, at the mean density.
    pub offset: f64,
    /// Standard uncertainty of the slope: relative error of a difference of densities.
    pub slope: f64,
}

impl Shared {
    /// Puts what the densities have in common into an offset and a slope. What is neither, the bend by
    /// an error of glare, goes into the densities' own `sigma`.
    pub fn parted(calibration: &Calibration, found: &mut [Found]) -> Self {
        let n = found.len() as f64;
        if found.is_empty() {
            return Self::default();
        }
        let mean = found.iter().map(|f| f.density).sum::<f64>() / n;
        let square: f64 = found.iter().map(|f| (f.density - mean).powi(2)).sum();
        // Coefficients of the mean and of the slope by least squares, and the derivatives of both.
        let by_mean: [f64; 2] = [0, 1].map(|j| found.iter().map(|f| f.by[j]).sum::<f64>() / n);
        let by_slope: [f64; 2] = [0, 1].map(|j| match square > 0.0 {
            true => found.iter().map(|f| f.by[j] * (f.density - mean)).sum::<f64>() / square,
            false => 0.0,
        });
        let [cc, ck, kk] = calibration.covariance;
        let variance =
            |by: [f64; 2]| by[0] * by[0] * cc + 2.0 * by[0] * by[1] * ck + by[1] * by[1] * kk;
        for one in &mut *found {
            let away = one.density - mean;
            let rest = [0, 1].map(|j| one.by[j] - by_mean[j] - by_slope[j] * away);
            one.sigma = (one.sigma.powi(2) + variance(rest).max(0.0)).sqrt();
        }
        Self {
            offset: variance(by_mean).max(0.0).sqrt(),
            slope: variance(by_slope).max(0.0).sqrt(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::elementary::antilog;
    use crate::picture::photometry::SetUp;

    #[test]
    fn an_error_of_exposure_is_all_offset_and_one_of_glare_bends() {
        let set_up = SetUp { mask: true, flat: true };
        let mut calibration = Calibration {
            set_up,
            clear: 1.0,
            kappa: 1.0,
            covariance: [1e-4, 0.0, 0.0],
            chi: 1.0,
            excess: 0.0,
            residuals: Vec::new(),
            tone: None,
        };
        let densities = [0.2, 0.8, 1.4, 2.0];
        let of = |density: f64| Found { density, sigma: 0.003, by: [0.4, 0.01 * antilog(density)] };
        let mut found = densities.map(of);
        let shared = Shared::parted(&calibration, &mut found);
        assert!((shared.offset - 0.004).abs() < 1e-12 && shared.slope < 1e-12, "{shared:?}");
        assert!(found.iter().all(|f| (f.sigma - 0.003).abs() < 1e-12));
        calibration.covariance = [0.0, 0.0, 1e-4];
        let shared = Shared::parted(&calibration, &mut found);
        assert!(shared.slope > 1e-3 && found[3].sigma > 0.0031, "{shared:?} {found:?}");
    }
}
