//! What smooth fields are sums of: products of polynomials, and waves along the perforated edges.

use super::geometry::Geometry;
use super::perforations::resolves;
use super::places::{Places, distinct, levels};
use crate::elementary::{exp, sin_cos};

/// Highest degree of a polynomial.
pub(super) const HIGHEST: usize = 8;
/// Fewest places at which waves are told from the rest of a field.
const DENSE: usize = 40;
/// Depth within which a wave dies away from its edge, in mm (common practice, no source).
const WAVE_DEPTH: f64 = 4.0;

/// One term.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Term {
    /// Pᵢ(u)·Pⱼ(v), Legendre's polynomials, of mean square 1 over the frame.
    Product(usize, usize),
    /// A cosine or sine with the pitch of the perforations, dying away from the lower or upper edge.
    Wave { upper: bool, sine: bool, pitch: f64 },
}

/// A list of terms: the constant, the plane, waves if there are any, products of higher degree.
#[derive(Clone, Debug, PartialEq)]
pub struct Basis {
    terms: Vec<Term>,
}

impl Basis {
    /// All products of degree `degree` at most that the places can tell apart.
    #[must_use]
    pub fn of_degree(places: &Places, degree: usize) -> Self {
        let (columns, mut rows) = (distinct(&places.x), distinct(&places.y));
        if columns > 1 && places.on_one_line() {
            rows = 1;
        }
        let terms = (0..=degree)
            .flat_map(|total| (0..=total).map(move |j| (total - j, j)))
            .filter(|(i, j)| *i < columns && *j < rows)
            .map(|(i, j)| Term::Product(i, j))
            .collect();
        Self { terms }
    }

    /// With waves, where the places stand close enough for them.
    #[must_use]
    pub fn with_waves(mut self, geometry: &Geometry, places: &Places) -> Self {
        let Ok(pitch) = geometry.pitch else {
            return self;
        };
        if places.len() < DENSE || resolves(&levels(&places.x), pitch).is_err() {
            return self;
        }
        let plane = |term: &Term| matches!(term, Term::Product(i, j) if i + j <= 1);
        let after = self.terms.iter().take_while(|term| plane(term)).count();
        for (upper, sine) in [(false, false), (false, true), (true, false), (true, true)] {
            self.terms.insert(after, Term::Wave { upper, sine, pitch });
        }
        self
    }

    /// Only the products that change along the film, and the constant.
    #[must_use]
    pub fn along(mut self) -> Self {
        self.terms.retain(|term| matches!(term, Term::Product(_, 0)));
        self
    }

    /// Without the constant.
    #[must_use]
    pub fn without_level(mut self) -> Self {
        self.terms.retain(|term| *term != Term::Product(0, 0));
        self
    }

    /// Number of terms.
    #[must_use]
    pub fn len(&self) -> usize {
        self.terms.len()
    }

    /// The spread of each term beyond the plane and the waves, (i² + j²)⁻¹.
    pub fn spreads(&self) -> impl Iterator<Item = f64> + '_ {
        self.terms.iter().filter_map(|term| match term {
            Term::Product(i, j) if i + j > 1 => Some(((i * i + j * j) as f64).recip()),
            _ => None,
        })
    }

    /// The terms at a place.
    pub fn at<'a>(
        &'a self,
        geometry: &Geometry,
        x: f64,
        y: f64,
    ) -> impl Iterator<Item = f64> + use<'a> {
        let (u, v) = geometry.scaled(x, y);
        let (u, v) = (legendre(u), legendre(v));
        let depths = [y - geometry.across.0, geometry.across.1 - y];
        self.terms.iter().map(move |term| match *term {
            Term::Product(i, j) => u[i] * v[j],
            Term::Wave { upper, sine, pitch } => {
                let (sin, cos) = sin_cos(std::f64::consts::TAU * x / pitch);
                let depth = depths[usize::from(upper)];
                exp(-depth / WAVE_DEPTH) * if sine { sin } else { cos }
            }
        })
    }

    /// One column a term, one row a place.
    #[must_use]
    pub fn columns(&self, geometry: &Geometry, places: &Places) -> Vec<Vec<f64>> {
        let mut columns = vec![Vec::with_capacity(places.len()); self.len()];
        for (x, y) in places.x.iter().zip(&places.y) {
            for (column, value) in columns.iter_mut().zip(self.at(geometry, *x, *y)) {
                column.push(value);
            }
        }
        columns
    }
}

/// √(2i + 1)·Pᵢ(t) for i up to [`HIGHEST`].
fn legendre(t: f64) -> [f64; HIGHEST + 1] {
    let mut p = [1.0; HIGHEST + 1];
    p[1] = t;
    for i in 2..=HIGHEST {
        let n = i as f64;
        p[i] = ((2.0 * n - 1.0) * t * p[i - 1] - (n - 1.0) * p[i - 2]) / n;
    }
    for (i, value) in p.iter_mut().enumerate() {
        *value *= (2.0 * i as f64 + 1.0).sqrt();
    }
    p
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evenness::Options;

    #[test]
    fn products_have_mean_square_one() {
        let squares = (0..20_000).map(|k| legendre(f64::from(k) / 10_000.0 - 0.999_95));
        let mut sums = [0.0; HIGHEST + 1];
        for p in squares {
            for (sum, v) in sums.iter_mut().zip(p) {
                *sum += v * v / 20_000.0;
            }
        }
        assert!(sums.iter().all(|s| (s - 1.0).abs() < 1e-3), "{sums:?}");
    }

    #[test]
    fn waves_need_close_places() {
        let with = |step: f64| {
            let mut places = Places::default();
            for row in [1.0, 12.0, 23.0] {
                for k in 0..=(34.0 / step) as u32 {
                    places.push((1.0 + step * f64::from(k), row), 0.8, 1e4);
                }
            }
            let geometry = Geometry::of(&[places.clone()], &Options::default()).unwrap();
            Basis::of_degree(&places, 1).with_waves(&geometry, &places).len()
        };
        assert_eq!((with(1.0), with(8.0)), (7, 3));
    }
}
