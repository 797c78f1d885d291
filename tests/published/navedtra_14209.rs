//! Fixing and washing by US Navy, Photography (Basic), NAVEDTRA 14209, 1993 (read).

use crate::shapes::{number, table};
use wedgebook::bath::film::{Films, Format};
use wedgebook::session::fixing::{ClearingTest, FACTOR, SPENT};
use wedgebook::session::washing::{HALF_TIME, LEAST_BY_HANDBOOK, Running};

/// A value of `fixing_washing.csv`.
pub fn value(quantity: &str) -> f64 {
    let rows = table("fixing_washing.csv");
    let row = rows.iter().find(|row| &row[0] == quantity);
    number(row.expect(quantity), 1)
}

#[test]
fn fixing_takes_twice_the_clearing_time() {
    let factor = value("film_fixing_time_over_clearing_time");
    let test = ClearingTest { seconds: 45.0, fresh_seconds: None };
    assert_eq!(test.fixing_seconds(FACTOR), factor * 45.0);
}

#[test]
fn a_fixer_is_spent_at_twice_its_fresh_clearing_time() {
    let limit = value("fixer_spent_when_clearing_time_over_fresh_clearing_time");
    assert_eq!(SPENT, limit);
    let spent = |seconds: f64| {
        let test = ClearingTest { seconds, fresh_seconds: Some(45.0) };
        test.is_spent().unwrap()
    };
    assert!(spent(limit * 45.0) && spent(limit * 45.0 + 1.0));
    assert!(!spent(limit * 45.0 - 1.0));
}

#[test]
fn fixer_left_in_running_water() {
    let law = Running::default();
    assert_eq!(law.half_time, value("hypo_half_time_running_water"));
    assert_eq!(HALF_TIME, law.half_time);
    for minutes in [1.0, 2.0, 5.0] {
        let left = value(&format!("hypo_fraction_left_after_{minutes}_min"));
        assert!((law.fraction_left(minutes) - left).abs() < 1e-12, "{minutes}");
        assert!((law.minutes(left).unwrap() - minutes).abs() < 1e-12);
    }
    assert_eq!(LEAST_BY_HANDBOOK, value("minimum_wash_full_change_every_3_min"));
}

/// 200 prints of 8 × 10 inches are 111.1 square feet: areas of sheets.
#[test]
fn prints_to_an_area() {
    let prints = value("print_capacity_8x10in_per_us_gallon") as u32;
    let sheet: Format = "8x10in".parse().unwrap();
    let square_feet = Films(vec![(prints, sheet)]).area_m2() / (0.3048 * 0.3048);
    let printed = value("print_capacity_area_per_us_gallon");
    assert!((square_feet - printed).abs() < 0.05, "{square_feet}");
}
