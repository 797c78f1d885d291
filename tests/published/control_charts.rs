//! Cumulative sums, weighted averages, single values and the constants of control charts.
//!
//! Sources: NIST/SEMATECH e-Handbook of Statistical Methods, sections 6.3.2.3 (cumulative sum) and
//! 6.3.2.4 (weighted average), doi:10.18434/M32189; Montgomery and Runger, Applied Statistics and
//! Probability for Engineers, 3rd ed., Tables 16-3 and 16-7 (single values); the usual table of
//! factors for control charts. `data/README.md` says how they were read.

use crate::shapes::{number, table};
use serde::Deserialize;
use wedgebook::bath::control::{Rule, constants, cusum, ewma, individuals};

#[derive(Deserialize)]
struct Examples {
    nist_cusum: CusumExample,
    nist_ewma: EwmaExample,
    textbook_individuals: IndividualsExample,
}

#[derive(Deserialize)]
struct CusumExample {
    target: f64,
    k: f64,
    h: f64,
    first_signal_high: usize,
    first_signal_low: usize,
}

#[derive(Deserialize)]
struct EwmaExample {
    lambda: f64,
    ewma0: f64,
    s: f64,
    k: f64,
    ucl_printed: f64,
    lcl_printed: f64,
    ucl_computed: f64,
    lcl_computed: f64,
    signals: usize,
}

#[derive(Deserialize)]
struct IndividualsExample {
    d2: f64,
    mean_printed: f64,
    mean_computed: f64,
    mr_bar_printed: f64,
    mr_bar_computed: f64,
    lcl_printed: f64,
    ucl_printed: f64,
    lcl_computed: f64,
    ucl_computed: f64,
    cusum_target: f64,
    signals: usize,
}

fn examples() -> Examples {
    toml::from_str(include_str!("data/spc/examples.toml")).unwrap()
}

/// The columns of a table from the one given on; an empty cell is NaN.
fn columns<const N: usize>(file: &str, first: usize) -> [Vec<f64>; N] {
    let rows = table(file);
    std::array::from_fn(|k| {
        let cell = |row: &csv::StringRecord| row[first + k].parse().unwrap_or(f64::NAN);
        rows.iter().map(cell).collect()
    })
}

fn assert_near(found: &[f64], expected: &[f64], tolerance: f64) {
    assert_eq!(found.len(), expected.len());
    for (n, (f, e)) in found.iter().zip(expected).enumerate() {
        assert!((f - e).abs() <= tolerance, "row {}: {f}, not {e}", n + 1);
    }
}

#[test]
fn cumulative_sums() {
    let e = examples().nist_cusum;
    let [x, high_printed, low_printed, high, low, _, signal_high, signal_low] =
        columns::<8>("spc/nist_cusum.csv", 1);
    let sums = cusum(&x, e.target, e.k, e.h).unwrap();
    assert_near(&sums.high, &high, 1e-10);
    assert_near(&sums.low, &low, 1e-10);
    // Printed to two decimals.
    assert_near(&sums.high, &high_printed, 0.005 + 1e-9);
    assert_near(&sums.low, &low_printed, 0.005 + 1e-9);
    for (rule, column, first) in [
        (Rule::CusumHigh, signal_high, e.first_signal_high),
        (Rule::CusumLow, signal_low, e.first_signal_low),
    ] {
        let fired = sums.signals.iter().filter(|s| s.rule == rule);
        let at: Vec<usize> = fired.map(|s| s.at + 1).collect();
        let expected: Vec<usize> = (1..=x.len()).filter(|n| column[n - 1] == 1.0).collect();
        assert_eq!(at, expected, "{rule:?}");
        assert_eq!(at.first().copied().unwrap_or(0), first);
    }
}

#[test]
fn weighted_averages() {
    let e = examples().nist_ewma;
    let [x, printed, computed, lower, upper] = columns::<5>("spc/nist_ewma.csv", 1);
    let found = ewma(&x, e.ewma0, e.s, e.lambda, e.k).unwrap();
    assert_near(&found.values, &computed, 1e-9);
    assert_near(&found.values, &printed, 0.005);
    assert_near(&found.lower, &lower, 1e-9);
    assert_near(&found.upper, &upper, 1e-9);
    assert!((found.steady_upper - e.ucl_computed).abs() < 1e-8);
    assert!((found.steady_lower - e.lcl_computed).abs() < 1e-8);
    // The upper limit is printed rounded, the lower one cut off.
    assert!((found.steady_upper - e.ucl_printed).abs() <= 0.00005);
    assert!((0.0..0.0001).contains(&(found.steady_lower - e.lcl_printed)));
    let beyond = (0..x.len())
        .filter(|&n| found.values[n] > found.upper[n] || found.values[n] < found.lower[n])
        .count();
    assert_eq!(beyond, e.signals);
}

#[test]
fn single_values() {
    let e = examples().textbook_individuals;
    let [x, ranges_printed, ranges, sums_printed, sums] =
        columns::<5>("spc/textbook_individuals.csv", 1);
    let chart = individuals(&x).unwrap();
    assert_near(&chart.moving_ranges, &ranges[1..], 1e-9);
    assert_near(&chart.moving_ranges, &ranges_printed[1..], 1e-9);
    assert!((chart.centre - e.mean_computed).abs() < 1e-10);
    assert!((chart.centre - e.mean_printed).abs() <= 0.005 + 1e-9);
    let mean_range = chart.sigma * constants(2).unwrap().d2;
    assert!((mean_range - e.mr_bar_computed).abs() < 1e-10);
    assert!((mean_range - e.mr_bar_printed).abs() <= 0.005);
    // The book takes d2 as 1.128; with that its limits are ours.
    let reach = (chart.upper - chart.centre) * constants(2).unwrap().d2 / e.d2;
    assert!((chart.centre + reach - e.ucl_computed).abs() < 1e-9);
    assert!((chart.centre - reach - e.lcl_computed).abs() < 1e-9);
    // It prints limits from the rounded mean and mean range: half a unit of the mean, 3/1.128 of
    // that of the range, half a unit of the limit itself, and its rounded d2.
    let slack = 0.005 + 3.0 / e.d2 * 0.005 + 0.005 + 0.0025;
    assert!((chart.upper - e.ucl_printed).abs() < slack);
    assert!((chart.lower - e.lcl_printed).abs() < slack);
    assert!(!chart.provisional, "twenty values settle the limits");
    let beyond = |v: &&f64| **v > chart.upper || **v < chart.lower;
    assert_eq!(x.iter().filter(beyond).count(), e.signals);
    // The book's plain sum about 99 is our upper sum without allowance wherever neither has met 0.
    let two_sided = cusum(&x, e.cusum_target, 0.0, 1e9).unwrap();
    let mut plain = 0.0;
    for (n, x) in x.iter().enumerate() {
        plain += x - e.cusum_target;
        assert!((plain - sums[n]).abs() < 1e-9 && (plain - sums_printed[n]).abs() < 1e-9);
        let least = sums[..=n].iter().fold(0.0_f64, |low, s| low.min(*s));
        assert!((two_sided.high[n] - (plain - least)).abs() < 1e-9);
    }
}

#[test]
fn constants_as_computed() {
    for row in table("spc/control_chart_constants.csv") {
        let n: usize = row[0].parse().unwrap();
        let c = constants(n).unwrap();
        let found = [c.d2, c.d3, c.c4, c.a2, c.a3, c.b3, c.b4, c.range_lower, c.range_upper, c.e2];
        for (k, found) in found.into_iter().enumerate() {
            let expected = number(&row, k + 1);
            assert!(
                (found - expected).abs() <= 1e-10,
                "n = {n}, column {}: {found}, not {expected}",
                k + 1
            );
        }
    }
}

/// As printed; D4 of three is printed 2.574 where 2.57459 rounds to 2.575.
#[test]
fn constants_as_printed() {
    let mut exceptions = 0;
    for row in table("spc/control_chart_constants_printed.csv") {
        let c = constants(row[0].parse().unwrap()).unwrap();
        let found = [c.a2, c.a3, c.c4, c.b3, c.b4, c.d2, c.d3, c.range_lower, c.range_upper];
        for (k, found) in found.into_iter().enumerate() {
            let printed = &row[k + 1];
            let decimals = printed.split_once('.').map_or(3, |(_, d)| d.len() as i32);
            let half = 0.5 * 10f64.powi(-decimals) + 1e-12;
            if (found - number(&row, k + 1)).abs() > half {
                assert_eq!((c.n, printed), (3, "2.574"));
                exceptions += 1;
            }
        }
    }
    assert_eq!(exceptions, 1);
}
