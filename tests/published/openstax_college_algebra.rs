//! A worked example of Newton's law of cooling: OpenStax, College Algebra, Exponential and Logarithmic
//! Models (read; rate and time recomputed without intermediate rounding). In °F and minutes.

use wedgebook::session::Cooling;

/// 165 °F in surroundings of 35 °F has 150 °F after ten minutes, and 70 °F after about 107.
#[test]
fn a_cake_in_the_cold() {
    let cooling = Cooling::from_readings(165.0, 10.0, 150.0, 35.0).unwrap();
    assert!((cooling.rate() - 0.012_260_232_209).abs() < 1e-12);
    assert!((cooling.rate() - 0.0123).abs() < 5e-5, "as printed");
    let minutes = cooling.minutes(165.0, 70.0).unwrap();
    assert!((minutes - 107.027_857_757_698).abs() < 1e-9, "{minutes}");
    assert!((minutes - 107.0).abs() < 0.5, "as printed");
}
