//! Curves given by a formula, so that the measures of a curve can be held against answers derived
//! by hand.

use csv::{ReaderBuilder, StringRecord};
use std::path::Path;
use wedgebook::curve::{Curve, FittedCurve, Observations, Stop};

/// D(x) = b + rise(x), b being the one parameter, known to 0.001.
#[derive(Clone, Copy)]
pub struct Formula {
    pub base: [f64; 1],
    pub range: (f64, f64),
    /// Density above base plus fog, and slope.
    pub rise: fn(f64) -> (f64, f64),
}

impl std::fmt::Debug for Formula {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "a formula over {:?}", self.range)
    }
}

impl Curve for Formula {
    fn name(&self) -> &'static str {
        "formula"
    }
    fn parameters(&self) -> &[f64] {
        &self.base
    }
    fn named_parameters(&self) -> Vec<(String, f64)> {
        vec![("base_plus_fog".to_owned(), self.base[0])]
    }
    fn covariance(&self) -> &[f64] {
        &[1e-6]
    }
    fn range(&self) -> (f64, f64) {
        self.range
    }
    fn density(&self, x: f64) -> f64 {
        self.base[0] + (self.rise)(x).0
    }
    fn slope(&self, x: f64) -> f64 {
        (self.rise)(x).1
    }
    fn density_gradient(&self, _: f64, out: &mut [f64]) {
        out[0] = 1.0;
    }
}

/// A straight line that leaves base plus fog at a sharp corner.
#[derive(Clone, Copy, Debug)]
pub struct StraightLine {
    /// Base plus fog, slope, log exposure of the corner.
    pub parameters: [f64; 3],
    pub range: (f64, f64),
}

impl StraightLine {
    pub fn new(base: f64, slope: f64, corner: f64) -> Self {
        Self { parameters: [base, slope, corner], range: (corner - 1.0, corner + 4.0) }
    }
}

impl Curve for StraightLine {
    fn name(&self) -> &'static str {
        "straight line"
    }
    fn parameters(&self) -> &[f64] {
        &self.parameters
    }
    fn named_parameters(&self) -> Vec<(String, f64)> {
        let [base, slope, corner] = self.parameters;
        vec![
            ("base_plus_fog".to_owned(), base),
            ("gamma".to_owned(), slope),
            ("log_inertia".to_owned(), corner),
        ]
    }
    fn covariance(&self) -> &[f64] {
        &[1e-6, 0.0, 0.0, 0.0, 1e-6, 0.0, 0.0, 0.0, 1e-6]
    }
    fn range(&self) -> (f64, f64) {
        self.range
    }
    fn density(&self, x: f64) -> f64 {
        let [base, slope, corner] = self.parameters;
        base + slope * (x - corner).max(0.0)
    }
    fn slope(&self, x: f64) -> f64 {
        let [_, slope, corner] = self.parameters;
        if x < corner { 0.0 } else { slope }
    }
    fn density_gradient(&self, x: f64, out: &mut [f64]) {
        let [_, slope, corner] = self.parameters;
        out[0] = 1.0;
        out[1] = (x - corner).max(0.0);
        out[2] = if x < corner { 0.0 } else { -slope };
    }
    fn slope_gradient(&self, x: f64, out: &mut [f64]) {
        out.fill(0.0);
        out[1] = if x < self.parameters[2] { 0.0 } else { 1.0 };
    }
}

/// A curve as if it had been fitted to a strip whose unexposed film was read.
pub fn as_fitted(curve: impl Curve + 'static) -> FittedCurve {
    let mut observations = Observations::default();
    let (low, high) = curve.range();
    observations.push(f64::NEG_INFINITY, curve.base_plus_fog(), 0.01);
    for x in [low, high] {
        observations.push(x, curve.density(x), 0.01);
    }
    FittedCurve {
        curve: Box::new(curve),
        observations,
        suspects: Vec::new(),
        readings_used: 3,
        degrees_of_freedom: 1.0,
        stop: Stop::Exact,
        residual_sd: 0.0,
        variance: 1.0,
        quantile: 1.96,
        growth: wedgebook::curve::NoiseGrowth::default(),
        notes: Vec::new(),
    }
}

/// The rows of a file of `data/`.
pub fn table(file: &str) -> Vec<StringRecord> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/data").join(file);
    ReaderBuilder::new().from_path(path).unwrap().records().map(Result::unwrap).collect()
}

/// The number in a column of a row.
pub fn number(row: &StringRecord, column: usize) -> f64 {
    row[column].parse().unwrap()
}
