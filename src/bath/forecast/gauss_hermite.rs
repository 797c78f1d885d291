//! Gauss and Hermite's rule.

/// Points and weights for the mean of a function of a standard normal variable: eigenvalues of the
/// recurrence's matrix and the squares of the eigenvectors' first elements.
///
/// # Source
/// G. H. Golub and J. H. Welsch 1969, Calculation of Gauss quadrature rules.
pub(super) fn gauss_hermite(points: usize) -> Vec<(f64, f64)> {
    const MOST: usize = 16;
    let points = points.min(MOST);
    let matrix = nalgebra::DMatrix::from_fn(points, points, |i, j| {
        if i.abs_diff(j) == 1 { (i.max(j) as f64).sqrt() } else { 0.0 }
    });
    let eigen = matrix.symmetric_eigen();
    let mut rule: Vec<(f64, f64)> =
        (0..points).map(|k| (eigen.eigenvalues[k], eigen.eigenvectors[(0, k)].powi(2))).collect();
    rule.sort_by(|a, b| a.0.total_cmp(&b.0));
    rule
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rule_integrates_polynomials() {
        for points in [3, 4, 6, 11] {
            let rule = gauss_hermite(points);
            // Moments of the standard normal: 1, 0, 1, 0, 3.
            for (power, moment) in [1.0, 0.0, 1.0, 0.0, 3.0].into_iter().enumerate() {
                let sum: f64 = rule.iter().map(|(z, w)| w * z.powi(power as i32)).sum();
                assert!((sum - moment).abs() < 1e-12, "{points}, {power}: {sum}");
            }
        }
    }
}
