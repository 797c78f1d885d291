//! Monotone interpolation and regression.

/// A cubic through given points that rises where they rise: piecewise cubic Hermite interpolation
/// with the slopes of Fritsch and Butland.
///
/// # Source
/// F. N. Fritsch and R. E. Carlson 1980, Monotone piecewise cubic interpolation; inner slopes by the
/// weighted harmonic mean of F. N. Fritsch and J. Butland 1984.
#[derive(Clone, Debug, PartialEq)]
pub struct MonotoneCubic {
    x: Vec<f64>,
    y: Vec<f64>,
    slope: Vec<f64>,
}

impl MonotoneCubic {
    /// Through (x, y) with rising x. `None` for fewer than two points or x that do not rise.
    #[must_use]
    pub fn through(x: Vec<f64>, y: Vec<f64>) -> Option<Self> {
        let n = x.len();
        if n < 2 || y.len() != n || x.windows(2).any(|w| !(w[0] < w[1])) {
            return None;
        }
        let h: Vec<f64> = x.windows(2).map(|w| w[1] - w[0]).collect();
        let m: Vec<f64> = y.windows(2).zip(&h).map(|(w, h)| (w[1] - w[0]) / h).collect();
        let mut slope = vec![m[0]; n];
        if n > 2 {
            for i in 1..n - 1 {
                slope[i] = inner_slope((h[i - 1], h[i]), (m[i - 1], m[i]));
            }
            slope[0] = end_slope((h[0], h[1]), (m[0], m[1]));
            slope[n - 1] = end_slope((h[n - 2], h[n - 3]), (m[n - 2], m[n - 3]));
        }
        Some(Self { x, y, slope })
    }

    /// Value and slope at `at`; beyond the points the curve goes on straight.
    #[must_use]
    pub fn at(&self, at: f64) -> (f64, f64) {
        let n = self.x.len();
        for (end, outside) in [(0, at < self.x[0]), (n - 1, at > self.x[n - 1])] {
            if outside {
                return (self.y[end] + self.slope[end] * (at - self.x[end]), self.slope[end]);
            }
        }
        let i = self.x.partition_point(|x| *x <= at).clamp(1, n - 1) - 1;
        let h = self.x[i + 1] - self.x[i];
        let t = (at - self.x[i]) / h;
        let (y0, y1, d0, d1) = (self.y[i], self.y[i + 1], h * self.slope[i], h * self.slope[i + 1]);
        let (b, c) = (3.0 * (y1 - y0) - 2.0 * d0 - d1, 2.0 * (y0 - y1) + d0 + d1);
        (y0 + t * (d0 + t * (b + t * c)), (d0 + t * (2.0 * b + 3.0 * t * c)) / h)
    }

    /// Slopes at the points.
    #[must_use]
    pub fn slopes(&self) -> &[f64] {
        &self.slope
    }
}

/// 0 where the secants differ in sign, else their weighted harmonic mean.
fn inner_slope((h0, h1): (f64, f64), (m0, m1): (f64, f64)) -> f64 {
    if m0 * m1 <= 0.0 {
        return 0.0;
    }
    let (w0, w1) = (2.0 * h1 + h0, h1 + 2.0 * h0);
    (w0 + w1) / (w0 / m0 + w1 / m1)
}

/// The one-sided three-point slope, held to the sign of the end secant and to three times its size.
fn end_slope((h0, h1): (f64, f64), (m0, m1): (f64, f64)) -> f64 {
    let slope = ((2.0 * h0 + h1) * m0 - h0 * m1) / (h0 + h1);
    if slope * m0 <= 0.0 {
        0.0
    } else if m0 * m1 < 0.0 && slope.abs() > 3.0 * m0.abs() {
        3.0 * m0
    } else {
        slope
    }
}

/// Weighted least squares under rising order, by pooling adjacent violators: the fitted values.
#[must_use]
pub fn isotonic(y: &[f64], weight: &[f64]) -> Vec<f64> {
    let mut pools: Vec<(f64, f64, usize)> = Vec::with_capacity(y.len());
    for (&value, &w) in y.iter().zip(weight) {
        pools.push((value, w, 1));
        while pools.len() > 1 && pools[pools.len() - 2].0 >= pools[pools.len() - 1].0 {
            let Some((b, wb, nb)) = pools.pop() else {
                break;
            };
            let Some((a, wa, na)) = pools.pop() else {
                break;
            };
            pools.push(((a * wa + b * wb) / (wa + wb), wa + wb, na + nb));
        }
    }
    pools.into_iter().flat_map(|(value, _, n)| std::iter::repeat_n(value, n)).collect()
}
