//! How many values pass until a chart signals, by simulation, against published average run lengths.
//!
//! Sources, all numbers from memory: Lucas and Saccucci, Exponentially weighted moving average control
//! schemes: properties and enhancements, Technometrics 32(1), 1990, 1-12 (λ = 0.20, limits of 2.962);
//! Montgomery, Introduction to Statistical Quality Control, 6th ed., 2009, tables of cumulative sums
//! with k = 1/2 and h = 4 or 5; Champ and Woodall, Exact results for Shewhart control charts with
//! supplementary runs rules, Technometrics 29(4), 1987, 393-399 (the four Western Electric rules,
//! 91.75). Of single values beyond 3: 1/(1 − Φ(3 − δ) + Φ(−3 − δ)).

use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};
use rand_distr::StandardNormal;
use wedgebook::bath::control::{RuleSet, cusum, ewma, run_rules};

const RUNS: usize = 2000;

/// The average of the first signal's place, from 1, and its standard error.
fn run_length(shift: f64, first: impl Fn(&[f64]) -> Option<usize>) -> (f64, f64) {
    let mut rng = StdRng::seed_from_u64(1987);
    let lengths: Vec<f64> = (0..RUNS)
        .map(|_| {
            let mut values: Vec<f64> = Vec::new();
            loop {
                let more = values.len().max(64);
                values.extend((0..more).map(|_| shift + rng.sample::<f64, _>(StandardNormal)));
                if let Some(at) = first(&values) {
                    return (at + 1) as f64;
                }
            }
        })
        .collect();
    let mean = lengths.iter().sum::<f64>() / RUNS as f64;
    let squares: f64 = lengths.iter().map(|l| (l - mean).powi(2)).sum();
    (mean, squares.sqrt() / RUNS as f64)
}

#[track_caller]
fn assert_published(shift: f64, published: f64, first: impl Fn(&[f64]) -> Option<usize>) {
    let (found, error) = run_length(shift, first);
    // The tables are rounded to the last figure that they print.
    let off = (found - published).abs();
    assert!(off < 4.0 * error + 0.005 * published, "{found} ± {error}, published {published}");
}

#[test]
fn weighted_average() {
    for (shift, published) in [(0.0, 500.0), (1.0, 10.5), (2.0, 3.7)] {
        assert_published(shift, published, |values| {
            let chart = ewma(values, 0.0, 1.0, 0.2, 2.962).unwrap();
            let out = |z: &f64| *z < chart.steady_lower || *z > chart.steady_upper;
            chart.values.iter().position(out)
        });
    }
}

#[test]
fn cumulative_sum() {
    for (h, published) in [(4.0, [168.0, 8.38, 3.34]), (5.0, [465.0, 10.4, 4.01])] {
        for (shift, published) in [0.0, 1.0, 2.0].into_iter().zip(published) {
            assert_published(shift, published, |values| {
                cusum(values, 0.0, 0.5, h).unwrap().signals.first().map(|s| s.at)
            });
        }
    }
}

#[test]
fn single_values_and_run_rules() {
    for (set, shift, published) in [
        (RuleSet::LimitAlone, 0.0, 370.4),
        (RuleSet::LimitAlone, 1.0, 43.9),
        (RuleSet::LimitAlone, 2.0, 6.30),
        (RuleSet::WesternElectric, 0.0, 91.75),
    ] {
        assert_published(shift, published, |values| {
            run_rules(values, set).iter().map(|s| s.at).min()
        });
    }
}
