//! A straight line in the logarithm of effective time, for what changes slowly with development.

/// y = a + b·ln(θ/θm), fitted by weighted least squares.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    a: f64,
    b: f64,
    middle: f64,
    /// Variance of a and of b; they are uncorrelated about the weighted middle.
    variance: (f64, f64),
}

impl Line {
    /// Fits (θ, y, standard error of y). With one point the line is level.
    #[must_use]
    pub fn fit(points: &[(f64, f64, f64)]) -> Option<Self> {
        let weight = |sd: f64| 1.0 / (sd * sd);
        let total: f64 = points.iter().map(|p| weight(p.2)).sum();
        if points.is_empty() || !total.is_finite() {
            return None;
        }
        let mean = |f: &dyn Fn(&(f64, f64, f64)) -> f64| {
            points.iter().map(|p| weight(p.2) * f(p)).sum::<f64>() / total
        };
        let (u, a) = (mean(&|p| p.0.ln()), mean(&|p| p.1));
        let spread: f64 = points.iter().map(|p| weight(p.2) * (p.0.ln() - u).powi(2)).sum();
        let b = if spread > 1e-9 {
            points.iter().map(|p| weight(p.2) * (p.0.ln() - u) * (p.1 - a)).sum::<f64>() / spread
        } else {
            0.0
        };
        let chi_squared: f64 =
            points.iter().map(|p| weight(p.2) * (p.1 - a - b * (p.0.ln() - u)).powi(2)).sum();
        let freedom = points.len() as f64 - 2.0;
        // Where the strips scatter more than their readings say, their scatter counts.
        let scale = if freedom > 0.0 { (chi_squared / freedom).max(1.0) } else { 1.0 };
        let of_b = if spread > 1e-9 { scale / spread } else { 0.0 };
        Some(Self { a, b, middle: u.exp(), variance: (scale / total, of_b) })
    }

    /// Value and standard error at θ.
    #[must_use]
    pub fn at(&self, theta: f64) -> (f64, f64) {
        let u = (theta / self.middle).ln();
        (self.a + self.b * u, (self.variance.0 + self.variance.1 * u * u).sqrt())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_exact_line_is_found() {
        let points = [(2.0, 1.0, 0.1), (4.0, 1.5, 0.1), (8.0, 2.0, 0.1)];
        let (value, sd) = Line::fit(&points).unwrap().at(16.0);
        assert!((value - 2.5).abs() < 1e-12);
        // Var = 0.01·(1/3 + (2·ln 2)²/(2·ln² 2)).
        assert!((sd - (0.01_f64 * (1.0 / 3.0 + 2.0)).sqrt()).abs() < 1e-12);
    }
}
