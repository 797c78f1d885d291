//! Gradients and edge zones of a frame against weighted least squares of a general-purpose package.
//!
//! Source: statsmodels 0.15.0 `WLS` with known scale, on constructed readings; `tests/support/evenness_fit.py`
//! makes `data/evenness_fit.csv`.

use std::path::Path;
use wedgebook::evenness::{Options, measure};
use wedgebook::measures::Measured;
use wedgebook::readings::frames_of_bytes;

/// Half the width of a 95 % interval over the standard error: the normal quantile.
const QUANTILE: f64 = 1.959_963_984_540_054;

#[test]
fn weighted_least_squares() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/data/evenness_fit.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).unwrap();
    let rows: Vec<(String, String, f64, f64)> = reader.deserialize().map(|r| r.unwrap()).collect();
    let mut text = String::from("x_mm,y_mm,density,sigma\n");
    for (_, place, density, sigma) in rows.iter().filter(|r| r.0 == "reading") {
        text.push_str(&format!("{},{density},{sigma}\n", place.replace(' ', ",")));
    }
    let frames = frames_of_bytes("a.csv", text.as_bytes(), None).unwrap();
    let evenness = measure(&frames, &Options::default()).unwrap();
    let frame = &evenness.frames[0];
    assert!(frame.spots.is_empty());
    let p = &frame.pattern;
    let (length, width) = (36.0, 24.0);
    let numbers: [(&str, &Measured<wedgebook::evenness::Why>, f64); 8] = [
        ("mean", &p.mean, 1.0),
        ("along", &p.along, length),
        ("along", &p.along_per_10_mm, 10.0),
        ("across", &p.across, width),
        ("across", &p.across_per_10_mm, 10.0),
        ("lower", &p.long_edges.first, 1.0),
        ("upper", &p.long_edges.second, 1.0),
        ("long", &p.long_edges.both, 1.0),
    ];
    for (name, measured, factor) in numbers {
        let row = rows.iter().find(|r| r.0 == "number" && r.1 == name).unwrap();
        let (value, error) = (row.2 * factor, row.3 * factor);
        let q = measured.as_ref().unwrap();
        assert!((q.value - value).abs() < 1e-10, "{name}: {} not {value}", q.value);
        let half = QUANTILE * error;
        assert!((q.high - q.value - half).abs() < 1e-8, "{name}: {} not {half}", q.high - q.value);
    }
}
