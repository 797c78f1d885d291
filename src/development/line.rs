//! What changes slowly with development: nearly a straight line in the logarithm of effective time.

use crate::elementary::{exp, ln};
use nalgebra::{Cholesky, Matrix3, Vector3};

/// Share of a strip's variance that all strips have in common: a curve model misses the same emulsion in the
/// same way each time, and one densitometer's zero, one tablet and one lamp stand behind all. More strips do
/// not average that away.
const SHARED: f64 = 0.2;

/// y = a + b·u + c·u² with u = ln(θ/θm), fitted by weighted least squares; c is near 0, as its prior says.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    coefficients: Vector3<f64>,
    covariance: Matrix3<f64>,
    middle: f64,
    /// Variance that all strips share.
    shared: f64,
}

impl Line {
    /// Fits (θ, y, standard error of y), with the standard deviation of the prior on c and of an error that
    /// all points have in common. With one time the line is level.
    #[must_use]
    pub fn fit(points: &[(f64, f64, f64)], bend: f64, common: f64) -> Option<Self> {
        let weight = |sd: f64| 1.0 / (sd * sd);
        let total: f64 = points.iter().map(|p| weight(p.2)).sum();
        if points.is_empty() || !total.is_finite() {
            return None;
        }
        let middle = points.iter().map(|p| weight(p.2) * ln(p.0)).sum::<f64>() / total;
        let of = |theta: f64| {
            let u = ln(theta) - middle;
            Vector3::new(1.0, u, u * u)
        };
        let spread: f64 = points.iter().map(|p| weight(p.2) * of(p.0)[2]).sum();
        let level = spread < 1e-9;
        // Priors: c near 0, and with one time b as well.
        let firm = if level { 1e12 } else { 0.0 };
        let prior = Vector3::new(0.0, firm, weight(bend) + firm);
        let mut information = Matrix3::from_diagonal(&prior);
        let mut right = Vector3::zeros();
        for (theta, y, sd) in points {
            let row = of(*theta);
            information += row * row.transpose() * weight(*sd);
            right += row * (y * weight(*sd));
        }
        let inverse = Cholesky::new(information)?.inverse();
        let coefficients = inverse * right;
        let misfit = |p: &(f64, f64, f64)| weight(p.2) * (p.1 - of(p.0).dot(&coefficients)).powi(2);
        let chi_squared =
            points.iter().map(misfit).sum::<f64>() + coefficients[2].powi(2) * weight(bend);
        let freedom = points.len() as f64 - 2.0;
        // Where the strips scatter more than their readings say, their scatter counts.
        let scale = if freedom > 0.0 { (chi_squared / freedom).max(1.0) } else { 1.0 };
        let shared = SHARED * points.len() as f64 / total + common * common;
        let own = scale * (1.0 - SHARED);
        Some(Self { coefficients, covariance: inverse * own, middle: exp(middle), shared })
    }

    /// Value and standard error at θ.
    #[must_use]
    pub fn at(&self, theta: f64) -> (f64, f64) {
        let u = ln(theta / self.middle);
        let row = Vector3::new(1.0, u, u * u);
        let variance = row.dot(&(self.covariance * row)) + self.shared;
        (row.dot(&self.coefficients), variance.sqrt())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LINE: [(f64, f64, f64); 3] = [(2.0, 1.0, 0.1), (4.0, 1.5, 0.1), (8.0, 2.0, 0.1)];

    #[test]
    fn an_exact_line_is_found() {
        let (value, sd) = Line::fit(&LINE, 1e-9, 0.0).unwrap().at(16.0);
        assert!((value - 2.5).abs() < 1e-9);
        // Var = 0.01·(0.8·(1/3 + (2·ln 2)²/(2·ln² 2)) + 0.2).
        let variance = 0.01_f64 * (0.8 * (1.0 / 3.0 + 2.0) + 0.2);
        assert!((sd - variance.sqrt()).abs() < 1e-9, "{sd}");
    }

    #[test]
    fn a_bend_is_found_where_the_strips_show_it_and_is_doubted_beyond_them() {
        let bent = [4.0, 6.0, 9.0, 13.0, 20.0].map(|t: f64| (t, 0.1 * ln(t).powi(2), 0.001));
        let straight = Line::fit(&bent, 1e-6, 0.0).unwrap();
        let curved = Line::fit(&bent, 0.1, 0.0).unwrap();
        let truth = 0.1 * ln(7.3_f64).powi(2);
        assert!((curved.at(7.3).0 - truth).abs() < 1e-3);
        assert!((straight.at(7.3).0 - truth).abs() > 5e-3);
        let doubt = |bend: f64, theta: f64| Line::fit(&LINE, bend, 0.0).unwrap().at(theta).1;
        assert!(doubt(0.1, 16.0) > doubt(1e-6, 16.0));
    }

    #[test]
    fn one_time_gives_a_level_line() {
        let one = Line::fit(&[(6.0, 0.3, 0.02)], 0.1, 0.0).unwrap();
        assert!((one.at(6.0).0 - 0.3).abs() < 1e-9 && (one.at(12.0).0 - 0.3).abs() < 1e-9);
        assert!((one.at(6.0).1 - 0.02).abs() < 1e-9);
    }
}
