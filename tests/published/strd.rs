//! NIST/ITL Statistical Reference Datasets through the solver that fits the curves.
//!
//! Source: NIST/ITL, Statistical Reference Datasets, nonlinear and linear regression; public domain.
//! Certified values carry 11 digits (nonlinear) and 15 (linear). Every nonlinear set is run from
//! both official starts, every linear set from zero; parameters, standard errors and the residual
//! sum of squares are compared. Where the certified residuals vanish (Wampler1, Wampler2) the digits
//! are those of the absolute error.

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
    let bell =
        |height: C, centre: C, width: C| height * (-((C::from(t) - centre) / width).powi(2)).exp();
    match name {
        "Chwirut1" => (-b[0] * t).exp() / (b[1] + b[2] * t),
        "DanWood" => b[0] * (b[1] * t.ln()).exp(),
        "Gauss1" | "Gauss3" => {
            b[0] * (-b[1] * t).exp() + bell(b[2], b[3], b[4]) + bell(b[5], b[6], b[7])
        }
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
    let error =
        if certified == 0.0 { found.abs() } else { ((found - certified) / certified).abs() };
    (-error.log10()).min(11.0)
}

#[test]
fn nonlinear_sets_from_both_starts() {
    let exact = Stopping::default();
    println!(
        "{:10} {:>5} {:>6} {:>10} {:>10} {:>8}",
        "set", "start", "evals", "parameters", "std errors", "RSS"
    );
    let mut failures = Vec::new();
    for set in collection("datasets.toml") {
        let rows = rows(&set.file);
        for (number, start) in [(1, &set.start1), (2, &set.start2)] {
            let mut problem = Problem { name: &set.name, rows: &rows };
            let solution =
                minimise(&mut problem, start.as_ref().unwrap(), exact, &mut Workspace::default());
            let variance = solution.sum_of_squares / set.degrees_of_freedom as f64;
            let parameters = set
                .certified
                .iter()
                .zip(&solution.parameters)
                .map(|(c, f)| digits(*f, *c))
                .fold(11.0, f64::min);
            let errors = (0..set.certified.len())
                .map(|j| {
                    digits(
                        solution.standard_error(j).unwrap_or(f64::NAN) * variance.sqrt(),
                        set.certified_sd[j],
                    )
                })
                .fold(11.0, f64::min);
            let rss = digits(solution.sum_of_squares, set.residual_sum_of_squares);
            println!(
                "{:10} {number:5} {:6} {parameters:10.1} {errors:10.1} {rss:8.1}",
                set.name, solution.evaluations
            );
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

/// y = Σ bⱼ·xⱼ.
struct Linear {
    design: Vec<Vec<f64>>,
    response: Vec<f64>,
}

impl Linear {
    /// The design of a data set: powers of the one predictor, or an intercept and the predictors.
    fn new(set: &Dataset) -> Self {
        let rows = rows(&format!("linear/{}", set.file));
        let terms = set.certified.len();
        let design = |row: &Vec<f64>| match set.name.as_str() {
            "NoInt1" => vec![row[1]],
            "Longley" => std::iter::once(1.0).chain(row[1..].iter().copied()).collect(),
            _ => (0..terms as i32).map(|power| row[1].powi(power)).collect(),
        };
        Self {
            design: rows.iter().map(design).collect(),
            response: rows.iter().map(|row| row[0]).collect(),
        }
    }
}

impl Residuals for Linear {
    fn len(&self) -> usize {
        self.response.len()
    }

    fn evaluate(&mut self, p: &[f64], residuals: &mut [f64], jacobian: &mut [f64]) -> bool {
        let m = self.len();
        for (i, (row, y)) in self.design.iter().zip(&self.response).enumerate() {
            residuals[i] = row.iter().zip(p).map(|(x, b)| x * b).sum::<f64>() - y;
            for (j, x) in row.iter().enumerate() {
                jacobian[j * m + i] = *x;
            }
        }
        true
    }
}

/// One Gauss and Newton step solves a linear set; the damped iteration and the polishing repeat it on
/// what rounding left over.
#[test]
fn linear_sets_from_zero() {
    let exact = Stopping { damping: 0.0, ..Stopping::default() };
    println!("{:10} {:>6} {:>10} {:>10} {:>8}", "set", "evals", "parameters", "std errors", "RSS");
    let mut failures = Vec::new();
    for set in collection("linear/datasets.toml") {
        let start = vec![0.0; set.certified.len()];
        let solution = minimise(&mut Linear::new(&set), &start, exact, &mut Workspace::default());
        let variance = solution.sum_of_squares / set.degrees_of_freedom as f64;
        let least = |found: &dyn Fn(usize) -> f64, certified: &[f64]| {
            certified.iter().enumerate().map(|(j, c)| digits(found(j), *c)).fold(11.0, f64::min)
        };
        let parameters = least(&|j| solution.parameters[j], &set.certified);
        let error = |j| solution.standard_error(j).unwrap_or(f64::NAN) * variance.sqrt();
        let errors = least(&error, &set.certified_sd);
        let rss = digits(solution.sum_of_squares, set.residual_sum_of_squares);
        println!(
            "{:10} {:6} {parameters:10.1} {errors:10.1} {rss:8.1}",
            set.name, solution.evaluations
        );
        let needed = match set.name.as_str() {
            // Powers up to the tenth of numbers from -9 to -3, uncentred: a condition number of 1e15
            // in the raw columns. 7.4 digits are attained.
            "Filip" => (7.0, 7.0, 7.0),
            // Residuals of 2e7 about parameters of 1: rounding of the data alone, magnified by the
            // square of the design's condition, leaves 6.0 digits.
            "Wampler5" => (5.8, 10.0, 10.0),
            "Wampler3" => (9.0, 10.0, 10.0),
            _ => (10.0, 10.0, 10.0),
        };
        if parameters < needed.0 || errors < needed.1 || rss < needed.2 {
            failures.push(format!("{}: {:?}", set.name, solution.stop));
        }
    }
    assert!(failures.is_empty(), "short of digits: {failures:#?}");
}
