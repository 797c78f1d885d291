//! A worked example of Newton's law of cooling: R. Blitzer, Precalculus, 6th ed., chapter 3, review
//! exercise 89 (secondary, by an answer site; rate and time recomputed without intermediate rounding).
//! In °F and minutes.

use wedgebook::session::Cooling;

/// 185 °F in a room of 65 °F has 155 °F after two minutes, and 105 °F after about 8.
#[test]
fn a_drink_in_a_room() {
    let cooling = Cooling::from_readings(185.0, 2.0, 155.0, 65.0).unwrap();
    assert!((cooling.rate() - 0.143_841_036_226).abs() < 1e-12);
    assert!((cooling.rate() - 0.1438).abs() < 5e-5, "as printed");
    let minutes = cooling.minutes(185.0, 105.0).unwrap();
    assert!((minutes - 7.637_683_358_613).abs() < 1e-9, "{minutes}");
    assert!((minutes - 8.0).abs() < 0.5, "as printed");
}
