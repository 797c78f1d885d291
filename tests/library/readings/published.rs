//! Relations that handbooks print.

use super::{points, read, told};

/// Exposures and their printed logarithms.
///
/// Source: "Radiography in Modern Industry", p. 70 (two decimals); US Army TM 1-1500-335-23,
/// par. 6.4.1.5 (four decimals; 160 as the sum of the logarithms of 20 and 8). Half a unit of the
/// last printed digit.
#[test]
fn printed_logarithms_of_exposures() {
    let printed = [
        (1.0, 0.0, 0.005),
        (2.0, 0.30, 0.005),
        (5.0, 0.70, 0.005),
        (8.0, 0.9031, 0.000_05),
        (10.0, 1.00, 0.005),
        (20.0, 1.3010, 0.000_05),
        (30.0, 1.48, 0.005),
        (150.0, 2.18, 0.005),
        (160.0, 2.2041, 0.000_05),
    ];
    let rows: String =
        printed.iter().map(|(exposure, log, _)| format!("{exposure},{log}\n")).collect();
    let readings = read(&format!("exposure,density\n{rows}"));
    for ((x, _), (exposure, log, half_unit)) in points(&readings.strips[0]).iter().zip(printed) {
        assert!((x - log).abs() <= half_unit, "log10 of {exposure} is {x}, printed {log}");
    }
    assert_eq!(
        told(&readings.notes),
        ["strips.csv: log exposures are log10 of the exposures in lux s"]
    );
}

/// A metered tone at exposure index 100 gives the film 0.1 lux s, log10 of which is -1.0; the speed
/// point of a film of speed 100 lies at 0.8/100 lux s, 1.0969 below (log10 12.5, or 3.64 stops).
///
/// Source: a contribution to a photographers' forum on the two relations 0.8/S and 10/S (the second
/// attributed there to ISO 2721; not checked against the standard).
#[test]
fn metered_exposure_of_a_camera_test() {
    let stops_to_speed_point = 12.5_f64.log2();
    let readings = read(&format!(
        "exposure_index,stops,density\n100,0,0.8\n100,{stops_to_speed_point},0.3\n200,1,0.3\n100,-1,1.0\n100,,0.2\n"
    ));
    let strip = &readings.strips[0];
    let found: Vec<f64> = points(strip).iter().map(|(x, _)| *x).collect();
    let two = std::f64::consts::LOG10_2;
    for (x, expected) in found.iter().zip([-2.096_910_013, -1.0 - 2.0 * two, -1.0, -1.0 + two]) {
        assert!((x - expected).abs() < 1e-9, "{x} {expected}");
    }
    assert_eq!((found.len(), strip.unexposed.len()), (4, 1));
}
