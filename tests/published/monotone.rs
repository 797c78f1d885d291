//! Monotone interpolation and isotonic regression against general-purpose libraries.
//!
//! Source: SciPy 1.17.1 `PchipInterpolator` and scikit-learn 1.9.1 `IsotonicRegression` on constructed
//! points; see `data/monotone/README.md`.

use std::path::Path;
use wedgebook::numerics::monotone::{MonotoneCubic, isotonic};

fn columns(file: &str) -> Vec<Vec<f64>> {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/data/monotone").join(file);
    let mut reader = csv::Reader::from_path(path).unwrap();
    let rows: Vec<Vec<f64>> = reader.deserialize().map(|r| r.unwrap()).collect();
    (0..rows[0].len()).map(|j| rows.iter().map(|r| r[j]).collect()).collect()
}

fn near(found: f64, expected: f64) -> bool {
    (found - expected).abs() <= 1e-12 * (1.0 + expected.abs())
}

#[test]
fn interpolation() {
    for set in ["a", "b", "two_knots", "three_knots"] {
        let knots = columns(&format!("pchip_{set}_knots.csv"));
        let curve = MonotoneCubic::through(knots[0].clone(), knots[1].clone()).unwrap();
        for (found, expected) in curve.slopes().iter().zip(&knots[2]) {
            assert!(near(*found, *expected), "{set}: slope {found}, not {expected}");
        }
        let eval = columns(&format!("pchip_{set}_eval.csv"));
        for ((x, value), slope) in eval[0].iter().zip(&eval[1]).zip(&eval[2]) {
            let found = curve.at(*x);
            assert!(
                near(found.0, *value) && near(found.1, *slope),
                "{set} at {x}: {found:?}, not {value}, {slope}"
            );
        }
    }
}

#[test]
fn regression() {
    for set in ["a", "b"] {
        let columns = columns(&format!("isotonic_{set}.csv"));
        for (found, expected) in isotonic(&columns[1], &columns[2]).iter().zip(&columns[3]) {
            assert!(near(*found, *expected), "{set}: {found}, not {expected}");
        }
    }
}
