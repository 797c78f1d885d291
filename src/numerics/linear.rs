//! Weighted linear least squares on the QR factorisation.

use super::qr;

/// A pivot below this share of its column's norm is taken for zero.
const SINGULAR: f64 = 1e-9;

/// The least-squares solution of y ≈ Σ βⱼ·columnⱼ.
#[derive(Clone, Debug, PartialEq)]
pub struct Linear {
    /// The coefficients β.
    pub coefficients: Vec<f64>,
    /// Their covariance for weighted residuals of unit variance, column-major.
    pub covariance: Vec<f64>,
    /// Weighted sum of squared residuals.
    pub sum_of_squares: f64,
    /// Observations less coefficients.
    pub degrees_of_freedom: usize,
}

impl Linear {
    /// Fits `y` by `columns`, each as long as `y`; a weight is 1/σ² of its observation.
    ///
    /// `None` where there are fewer observations than columns, or a column is a combination of those
    /// before it.
    #[must_use]
    pub fn fit(columns: &[Vec<f64>], y: &[f64], weights: &[f64]) -> Option<Self> {
        let (m, n) = (y.len(), columns.len());
        if m < n || n == 0 {
            return None;
        }
        let roots: Vec<f64> = weights.iter().map(|w| w.sqrt()).collect();
        let mut a: Vec<f64> = Vec::with_capacity(m * n);
        for column in columns {
            a.extend(column.iter().zip(&roots).map(|(v, w)| v * w));
        }
        let norms: Vec<f64> = a.chunks_exact(m).map(|c| qr::dot(c, c).sqrt()).collect();
        let mut rotated: Vec<f64> = y.iter().zip(&roots).map(|(v, w)| v * w).collect();
        let mut diagonal = vec![0.0; n];
        qr::factor(&mut a, m, &mut rotated, &mut diagonal);
        let whole = |(pivot, norm): (&f64, &f64)| pivot.abs() > SINGULAR * norm;
        if !diagonal.iter().zip(&norms).all(whole) {
            return None;
        }
        let mut r = vec![0.0; n * n];
        qr::upper_triangle(&a, m, &diagonal, &mut r);
        let mut coefficients = rotated[..n].to_vec();
        if !qr::solve_upper(&r, &mut coefficients) {
            return None;
        }
        let inverse = qr::inverse_upper(&r, n)?;
        Some(Self {
            coefficients,
            covariance: qr::outer_inverse(&inverse, n),
            sum_of_squares: qr::dot(&rotated[n..], &rotated[n..]),
            degrees_of_freedom: m - n,
        })
    }

    /// The combination Σ aⱼ·βⱼ and its standard error for weighted residuals of unit variance.
    #[must_use]
    pub fn combination(&self, a: &[f64]) -> (f64, f64) {
        let n = self.coefficients.len();
        let variance: f64 = self
            .covariance
            .chunks_exact(n)
            .zip(a)
            .map(|(column, aj)| aj * qr::dot(column, a))
            .sum();
        (qr::dot(&self.coefficients, a), variance.max(0.0).sqrt())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_weighted_line() {
        // Two readings of weight 4 at 0 and 1, one of weight 1 at 2: the normal equations by hand
        // are 9b + 6s = 22 and 6b + 8s = 24 for y = (1, 3, 6).
        let columns = [vec![1.0; 3], vec![0.0, 1.0, 2.0]];
        let fit = Linear::fit(&columns, &[1.0, 3.0, 6.0], &[4.0, 4.0, 1.0]).unwrap();
        assert!((fit.coefficients[0] - 32.0 / 36.0).abs() < 1e-14 * 10.0);
        assert!((fit.coefficients[1] - 84.0 / 36.0).abs() < 1e-14 * 10.0);
        assert!((fit.covariance[3] - 9.0 / 36.0).abs() < 1e-14);
        assert_eq!(fit.degrees_of_freedom, 1);
        let (sum, error) = fit.combination(&[1.0, 1.0]);
        assert!((sum - 116.0 / 36.0).abs() < 1e-13);
        assert!((error - (5.0_f64 / 36.0).sqrt()).abs() < 1e-13);
    }

    #[test]
    fn a_column_that_says_nothing_new_is_refused() {
        let columns = [vec![1.0; 3], vec![2.0; 3]];
        assert_eq!(Linear::fit(&columns, &[1.0, 2.0, 3.0], &[1.0; 3]), None);
        assert_eq!(Linear::fit(&[vec![1.0], vec![2.0]], &[1.0], &[1.0]), None);
    }
}
