//! NIST/ITL Statistical Reference Datasets through the solver that fits the curves.
//!
//! Source: NIST/ITL, Statistical Reference Datasets, nonlinear and linear regression; public domain.
//! Certified values carry 11 digits (nonlinear) and 15 (linear). Every nonlinear set is run from
//! both official starts; parameters, standard errors and the residual sum of squares are compared.

use num_complex::Complex64 as C;
use serde::Deserialize;
use std::path::{Path, PathBuf};
use wedgebook::numerics::least_squares::{Residuals, Stopping, Workspace, minimise};

#[derive(Deserialize)]
struct Collection {
    dataset: Vec<Dataset>,
}

#[derive(Deserialize)]
struct Dataset {
    name: String,
    file: String,
    start1: Option<Vec<f64>>,
    start2: Option<Vec<f64>>,
    certified: Vec<f64>,
    certified_sd: Vec<f64>,
    residual_sum_of_squares: f64,
    degrees_of_freedom: usize,
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/strd")
}

fn collection(file: &str) -> Vec<Dataset> {
    let text = std::fs::read_to_string(folder().join(file)).unwrap();
    toml::from_str::<Collection>(&text).unwrap().dataset
}

/// Rows of a data file: y first, then the predictors.
fn rows(file: &str) -> Vec<Vec<f64>> {
    let mut reader = csv::Reader::from_path(folder().join(file)).unwrap();
    reader.deserialize().map(|row| row.unwrap()).collect()
}

/// The mean of a data set at predictors `x` for parameters `b`, complex so that the derivative with
/// respect to b[j] is Im f(b + ih·eⱼ)/h, exact to rounding.
fn model(name: &str, b: &[C], x: &[f64]) -> C {
    let t = x[0];
    let pi = std::f64::consts::PI;
    let bell = |height: C, centre: C, width: C| height * (-((C::from(t) - centre) / width).powi(2)).exp();
    match name {
        "Chwirut1" => (-b[0] * t).exp() / (b[1] + b[2] * t),
        "DanWood" => b[0] * (b[1] * t.ln()).exp(),
        "Gauss1" | "Gauss3" => b[0] * (-b[1] * t).exp() + bell(b[2], b[3], b[4]) + bell(b[5], b[6], b[7]),
        "Lanczos1" | "Lanczos3" => {
            b[0] * (-b[1] * t).exp() + b[2] * (-b[3] * t).exp() + b[4] * (-b[5] * t).exp()
        }
        "Misra1a" | "BoxBOD" => b[0] * (1.0 - (-b[1] * t).exp()),
        "ENSO" => {
            let wave = |period: C, c: C, s: C| {
                let angle = C::from(2.0 * pi * t) / period;
                c * angle.cos() + s * angle.sin()
            };
            b[0] + wave(C::from(12.0), b[1], b[2]) + wave(b[3], b[4], b[5]) + wave(b[6], b[7], b[8])
        }
        "Hahn1" => {
            (b[0] + t * (b[1] + t * (b[2] + t * b[3]))) / (1.0 + t * (b[4] + t * (b[5] + t * b[6])))
        }
        "MGH17" => b[0] + b[1] * (-b[3] * t).exp() + b[2] * (-b[4] * t).exp(),
        "Misra1c" => b[0] * (1.0 - (1.0 + 2.0 * b[1] * t).powf(-0.5)),
        "Nelson" => b[0] - b[1] * t * (-b[2] * x[1]).exp(),
        "Roszman1" => b[0] - b[1] * t - arctangent(b[2] / (t - b[3])) / pi,
        "Bennett5" => b[0] * (-(b[1] + t).ln() / b[2]).exp(),
        "Eckerle4" => b[0] / b[1] * (-0.5 * ((t - b[2]) / b[1]).powi(2)).exp(),
        "MGH09" => b[0] * (t * t + t * b[1]) / (t * t + t * b[2] + b[3]),
        "Rat42" => b[0] / (1.0 + (b[1] - b[2] * t).exp()),
        other => panic!("no model for {other}"),
    }
}

/// The arctangent of a number with an infinitesimal imaginary part.
fn arctangent(z: C) -> C {
    C::new(z.re.atan(), z.im / (1.0 + z.re * z.re))
}

struct Problem<'a> {
    name: &'a str,
    rows: &'a [Vec<f64>],
}

impl Residuals for Problem<'_> {
    fn len(&self) -> usize {
        self.rows.len()
    }

    fn evaluate(&mut self, p: &[f64], residuals: &mut [f64], jacobian: &mut [f64]) -> bool {
        const H: f64 = 1e-30;
        let m = self.rows.len();
        let mut b: Vec<C> = p.iter().map(|&v| C::from(v)).collect();
        for (i, row) in self.rows.iter().enumerate() {
            let y = if self.name == "Nelson" { row[0].ln() } else { row[0] };
            residuals[i] = y - model(self.name, &b, &row[1..]).re;
        }
        for j in 0..p.len() {
            b[j].im = H;
            for (i, row) in self.rows.iter().enumerate() {
                jacobian[j * m + i] = -model(self.name, &b, &row[1..]).im / H;
            }
            b[j].im = 0.0;
        }
        residuals.iter().chain(jacobian.iter()).all(|v| v.is_finite())
    }
}

/// Digits to which `found` agrees with `certified`.
fn digits(found: f64, certified: f64) -> f64 {
    let error = if certified == 0.0 { found.abs() } else { ((found - certified) / certified).abs() };
    (-error.log10()).min(11.0)
}

#[test]
fn nonlinear_sets_from_both_starts() {
    let exact = Stopping { relative_decrease: 1e-22, relative_step: 1e-14, evaluations: 20_000, damping: 100.0, polishing: 40 };
    println!("{:10} {:>5} {:>6} {:>10} {:>10} {:>8}", "set", "start", "evals", "parameters", "std errors", "RSS");
    let mut failures = Vec::new();
    for set in collection("datasets.toml") {
        let rows = rows(&set.file);
        for (number, start) in [(1, &set.start1), (2, &set.start2)] {
            let mut problem = Problem { name: &set.name, rows: &rows };
            let solution = minimise(&mut problem, start.as_ref().unwrap(), exact, &mut Workspace::default());
            let variance = solution.sum_of_squares / set.degrees_of_freedom as f64;
            let parameters = set.certified.iter().zip(&solution.parameters).map(|(c, f)| digits(*f, *c)).fold(11.0, f64::min);
            let errors = (0..set.certified.len())
                .map(|j| digits(solution.standard_error(j).unwrap_or(f64::NAN) * variance.sqrt(), set.certified_sd[j]))
                .fold(11.0, f64::min);
            let rss = digits(solution.sum_of_squares, set.residual_sum_of_squares);
            println!("{:10} {number:5} {:6} {parameters:10.1} {errors:10.1} {rss:8.1}", set.name, solution.evaluations);
            // Lanczos1's certified sum of squares is 1.4e-25: rounding the data to f64 alone gives
            // more, so neither it nor the standard errors scaled by it can be met; the parameters can.
            let met = if set.name == "Lanczos1" {
                parameters >= 8.0 && solution.sum_of_squares < 1e-20
            } else {
                parameters >= 8.0 && errors >= 8.0 && rss >= 8.0
            };
            if !met {
                failures.push(format!("{} from start {number}: {:?}", set.name, solution.stop));
            }
        }
    }
    assert!(failures.is_empty(), "short of 8 digits: {failures:#?}");
}
