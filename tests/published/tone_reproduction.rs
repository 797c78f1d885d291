//! Numbers of tone reproduction that were read in forum texts and in an article on the Callier
//! coefficient; those from memory are left to the documentation.

use crate::shapes::{number, table};
use wedgebook::development::aim::Printing;
use wedgebook::printing::proof::{Change, Negative};
use wedgebook::printing::tone::{Camera, GREY, METERED};

fn read(quantity: &str) -> f64 {
    let row = table("tone_reproduction.csv")
        .into_iter()
        .find(|row| &row[0] == quantity && row[3].starts_with("read"));
    number(&row.expect(quantity), 1)
}

/// An average scene of 7 1/3 stops has a log luminance range of 2.20; one of 10 stops, of 3.0.
#[test]
fn ranges_of_scenes() {
    for (stops, range) in [
        ("average_scene_range_in_stops", "average_scene_log_luminance_range"),
        ("extended_scene_range_in_stops", "extended_scene_range_with_speculars_and_cavities"),
    ] {
        let camera = Camera { stops: read(stops), flare: 0.0, grey: GREY, correction: 0.0 };
        let found = camera.brightest() - camera.darkest();
        let half_unit = if read(range) == 3.0 { 0.05 } else { 0.01 };
        assert!((found - read(range)).abs() <= half_unit, "{found}");
    }
}

/// The metered exposure lies 1.0969 above the speed point in log exposure, as the text has it for
/// 10/S over 0.8/S; at speed 100 it is 0.1 lux·s, log −1.
#[test]
fn the_metered_exposure() {
    let row = table("exposure_meter_relations.csv")
        .into_iter()
        .find(|row| &row[0] == "metered_exposure_Hg_ISO2721_form" || row[0].contains("ISO2721"))
        .unwrap();
    assert!(row[5].contains("read"));
    let speed_point = (0.8_f64 / 100.0).log10();
    assert!((METERED.log10() - number(&row, 4)).abs() <= 0.000_05);
    assert!((speed_point + METERED.log10() - number(&row, 3)).abs() <= 0.000_05);
    assert!((10_f64.powf(speed_point) * METERED - number(&row, 2)).abs() <= 0.000_5);
}

/// A diffuse light has the lower bound of the Callier coefficient, 1: printing densities as they are.
#[test]
fn a_diffuse_light_prints_densities_as_they_are() {
    let bound = read("callier_coefficient_lower_bound");
    assert!((Printing::default().factor() - bound).abs() < 1e-12);
    let negative = Negative {
        name: String::new(),
        low: 0.25,
        high: 0.25 + read("grade_2_paper_log_exposure_range"),
        sigma: None,
    };
    let needed = negative.needed(bound, 0.01);
    assert!((needed.log_range.value - read("grade_2_paper_log_exposure_range")).abs() < 1e-12);
}

/// Exposures scale as the printed logarithms of exposures have it: a density of the printed log asks
/// for that many times the exposure.
#[test]
fn density_scales_the_exposure_by_its_antilogarithm() {
    for row in table("log_exposures.csv") {
        let (times, log, half_unit) = (number(&row, 0), number(&row, 1), number(&row, 2));
        let change = Change { base_plus_fog: Some((0.0, log)), ..Change::default() };
        assert!(
            (change.factor() / times).log10().abs() <= half_unit,
            "{times}: {}",
            change.factor()
        );
    }
}
