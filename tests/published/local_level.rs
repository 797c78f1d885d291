//! The filter of a bath's log activity against a general-purpose statistics package.
//!
//! Source: statsmodels 0.15.0 (`UnobservedComponents`, `KalmanFilter`) on constructed series, made by
//! `tests/support/local_level_likelihood.py` into `data/local_level.csv`.

use std::collections::BTreeMap;
use std::path::Path;
use wedgebook::bath::forecast::{Assumptions, Event, EventKind, Values, passed};

#[derive(serde::Deserialize)]
struct Row {
    series: String,
    mixing_sd: f64,
    by_use: f64,
    by_age: f64,
    dispersion: f64,
    day: f64,
    m2_per_litre: f64,
    ln_activity: f64,
    sd: f64,
    expected: f64,
    expected_sd: f64,
    filtered: f64,
    filtered_sd: f64,
    log_likelihood: f64,
}

#[test]
fn expectations_and_likelihoods() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/data/local_level.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).unwrap();
    let mut series: BTreeMap<String, Vec<Row>> = BTreeMap::new();
    for row in reader.deserialize() {
        let row: Row = row.unwrap();
        series.entry(row.series.clone()).or_default().push(row);
    }
    assert_eq!(series.len(), 4);
    for (name, rows) in series {
        let first = &rows[0];
        let assumptions = Assumptions { mixing_sd: first.mixing_sd, ..Assumptions::default() };
        let values =
            Values { by_use: first.by_use, by_age: first.by_age, dispersion: first.dispersion };
        // Two litres, and the film in two pieces: only their sum over the volume may matter.
        let mut events = vec![Event { day: 0.0, kind: EventKind::Mix { litres: 2.0 } }];
        for row in &rows {
            let film = EventKind::Film { area_m2: row.m2_per_litre };
            let strip = EventKind::Strip { ln_activity: row.ln_activity, sd: row.sd };
            let kinds = if row.m2_per_litre > 0.0 { vec![film, film, strip] } else { vec![strip] };
            let day = row.day;
            events.extend(kinds.into_iter().map(|kind| Event { day, kind }));
        }
        let found = passed(&events, &assumptions, &values).unwrap();
        assert_eq!(found.len(), rows.len());
        let (mut sum, mut sum_found) = (0.0, 0.0);
        for (i, (row, found)) in rows.iter().zip(&found).enumerate() {
            for (what, expected, found) in [
                ("expected", row.expected, found.expected.0),
                ("its sd", row.expected_sd, found.expected.1),
                ("filtered", row.filtered, found.filtered.0),
                ("its sd", row.filtered_sd, found.filtered.1),
                ("log-likelihood", row.log_likelihood, found.log_likelihood),
            ] {
                assert!(
                    (found - expected).abs() <= 1e-10 * (1.0 + expected.abs()),
                    "{name}, strip {i}, {what}: {found}, not {expected}"
                );
            }
            sum += row.log_likelihood;
            sum_found += found.log_likelihood;
        }
        assert!((sum - sum_found).abs() <= 1e-8, "{name}: {sum_found}, not {sum}");
    }
}
