//! Crossing over to a new batch of control strips: a worked example with five strips of each.
//!
//! Source: a densitometer maker's service note on crossing over. It prints the shift of base plus fog
//! with the sign reversed, against its own rule (aim + new − old); the rule is followed here.

use crate::shapes::{number, table};
use wedgebook::bath::control::crossover;

#[test]
fn five_strips_of_each_batch() {
    let readings = table("crossover_readings.csv");
    for (k, row) in table("crossover_expected.csv").iter().enumerate() {
        let of = |batch: &str| -> Vec<f64> {
            let own = readings.iter().filter(|r| &r[0] == batch);
            own.map(|r| number(r, k + 2)).collect()
        };
        let (old, new) = (of("old"), of("new"));
        assert_eq!((old.len(), new.len()), (5, 5));
        let found = crossover(&old, &new).unwrap();
        // Averages are printed to two decimals, and the shift is the difference of those.
        assert!((found.old_average - number(row, 1)).abs() <= 0.005, "{row:?}");
        assert!((found.new_average - number(row, 2)).abs() <= 0.005, "{row:?}");
        assert!((found.shift - number(row, 3)).abs() <= 0.01, "{row:?}");
        assert!((found.shift - (found.new_average - found.old_average)).abs() < 1e-12);
        // Every shift is seen beyond its own error, which the source does not give.
        let u = found.uncertainty.unwrap();
        assert!(u.low > 0.0 && u.high > found.shift, "{row:?} {u:?}");
    }
}
