//! Weighted least squares through readings over a frame, against numpy's (`tests/support/plane_fit.py`).

use wedgebook::numerics::linear::Linear;

const COMPUTED: &str = include_str!("data/plane_fit.csv");

/// Rows of a design and kind: the four numbers, NaN where there is none.
fn rows(design: &str, kind: &str) -> Vec<[f64; 4]> {
    let numbers = |line: &str| {
        let cells: Vec<&str> = line.split(',').collect();
        let here = cells[0] == design && cells[1] == kind;
        here.then(|| std::array::from_fn(|k| cells[3 + k].parse().unwrap_or(f64::NAN)))
    };
    COMPUTED.lines().filter(|l| !l.starts_with('#')).filter_map(numbers).collect()
}

#[test]
fn surfaces_agree_with_numpy() {
    let readings = rows("readings", "reading");
    assert_eq!(readings.len(), 24);
    let column = |f: &dyn Fn(f64, f64) -> f64| -> Vec<f64> {
        readings.iter().map(|r| f(r[0], r[1])).collect()
    };
    let density: Vec<f64> = readings.iter().map(|r| r[2]).collect();
    let weights: Vec<f64> = readings.iter().map(|r| r[3]).collect();
    let all = [
        column(&|_, _| 1.0),
        column(&|x, _| x),
        column(&|_, y| y),
        column(&|x, _| x * x),
        column(&|x, y| x * y),
        column(&|_, y| y * y),
    ];
    for (design, columns) in [("line", 2), ("plane", 3), ("curved", 6)] {
        let fit = Linear::fit(&all[..columns], &density, &weights).unwrap();
        let expected = rows(design, "coefficient");
        assert_eq!(expected.len(), columns);
        for (k, [value, error, ..]) in expected.into_iter().enumerate() {
            let found = fit.coefficients[k];
            let found_error = fit.covariance[k * columns + k].sqrt();
            assert!((found - value).abs() < 1e-10 * value.abs().max(1e-3), "{design} {k}: {found}");
            assert!((found_error / error - 1.0).abs() < 1e-10, "{design} {k}: {found_error}");
        }
        let [rest, ..] = rows(design, "sum_of_squares")[0];
        assert!((fit.sum_of_squares / rest - 1.0).abs() < 1e-9, "{design}");
        assert_eq!(fit.degrees_of_freedom, 24 - columns);
    }
}
