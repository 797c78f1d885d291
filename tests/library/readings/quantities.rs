//! From columns to quantities: the kinds of exposure, times, temperatures, labels, reversed order.

use wedgebook::readings::{ExposureScale, ReadOptions};
use wedgebook::units::LogExposure;

use super::{base, faults_of, points, read, read_with, told};

fn close(found: &[(f64, f64)], expected: &[(f64, f64)]) {
    let near = |(a, b): (&(f64, f64), &(f64, f64))| (a.0 - b.0).abs() < 1e-12 && a.1 == b.1;
    assert!(
        found.len() == expected.len() && found.iter().zip(expected).all(near),
        "{found:?} {expected:?}"
    );
}

#[test]
fn relative_log_exposures() {
    let text = "relative_log_exposure,density\n0.15,0.3\n0.30,0.4\n";
    assert_eq!(read(text).strips[0].scale, ExposureScale::Relative);
    let absolute = text.replace("relative_", "");
    assert_eq!(read(&absolute).strips[0].scale, ExposureScale::Absolute);
    let relative = ReadOptions { relative: true, ..Default::default() };
    assert_eq!(read_with(&absolute, &relative).strips[0].scale, ExposureScale::Relative);
}

#[test]
fn tablet_densities_with_and_without_the_exposure_behind_clear_tablet() {
    let text = "tablet_density,density\n3.05,0.3\n0.05,1.9\n,0.2\n";
    let readings = read(text);
    close(&points(&readings.strips[0]), &[(-3.05, 0.3), (-0.05, 1.9)]);
    assert_eq!(readings.strips[0].scale, ExposureScale::Relative);
    assert_eq!(
        told(&readings.notes),
        ["strips.csv: log exposures are relative to the exposure behind clear tablet; \
          for lux s the log exposure behind clear tablet is needed"]
    );
    let options =
        ReadOptions { log_exposure_clear: LogExposure::new(0.75).ok(), ..Default::default() };
    let readings = read_with(text, &options);
    close(&points(&readings.strips[0]), &[(-2.3, 0.3), (0.7, 1.9)]);
    assert_eq!(base(&readings.strips[0]), [0.2]);
    assert_eq!(readings.strips[0].scale, ExposureScale::Absolute);
    assert!(readings.notes.is_empty());
    let readings = read_with("log_exposure,density\n-1,0.3\n", &options);
    assert_eq!(
        told(&readings.notes),
        [
            "strips.csv: the log exposure behind clear tablet is not used, for there is no column tablet_density"
        ]
    );
}

#[test]
fn times_in_minutes_or_minutes_and_seconds() {
    for (cell, minutes) in [("6.5", 6.5), ("6:30", 6.5), ("0:45", 0.75), ("90", 90.0)] {
        let text = format!("log_exposure,density,minutes\n-1.5,0.3,\n-1.2,0.4,{cell}\n");
        assert_eq!(read(&text).strips[0].minutes.map(|m| m.get()), Some(minutes), "{cell}");
    }
    let same = "log_exposure,density,minutes\n-1.5,0.3,6:30\n-1.2,0.4,6.5\n";
    assert_eq!(read(same).strips[0].minutes.unwrap().get(), 6.5);
}

#[test]
fn temperatures_in_either_unit() {
    for (heading, cell) in [
        ("celsius", "20"),
        ("celsius", "68F"),
        ("celsius", "20 °C"),
        ("fahrenheit", "68"),
        ("Fahrenheit", "20c"),
    ] {
        let text = format!("log_exposure,density,{heading}\n-1.5,0.3,{cell}\n-1.2,0.4,\n");
        assert_eq!(read(&text).strips[0].celsius.unwrap().get(), 20.0, "{heading} {cell}");
    }
    let options = ReadOptions { fahrenheit: true, ..Default::default() };
    let readings = read_with("log_exposure,density,celsius\n-1.5,0.3,68\n-1.2,0.4,20C\n", &options);
    assert_eq!(readings.strips[0].celsius.unwrap().get(), 20.0);
    assert_eq!(told(&readings.notes), ["strips.csv: temperatures without a unit are taken as °F"]);
}

#[test]
fn labels_are_the_first_of_the_strip() {
    let text = "log_exposure,density,film,developer,date,note\n-1.5,0.3,,Stock A,,\n\
                -1.2,0.4,Grey 100,Stock A,2026-03-15,dust\n-0.9,0.5,Grey 400,,,\n-0.6,0.6,Grey 50,,,\n";
    let strip = &read(text).strips[0];
    assert_eq!(strip.labels.film.as_deref(), Some("Grey 100"));
    assert_eq!(strip.labels.developer.as_deref(), Some("Stock A"));
    assert_eq!(strip.labels.date.as_deref(), Some("2026-03-15"));
    assert_eq!(strip.labels.note.as_deref(), Some("dust"));
    assert_eq!(
        told(&strip.notes),
        ["film is \"Grey 100\" in line 3 and \"Grey 400\" in line 4; the first is kept"]
    );
}

#[test]
fn reversed_order_on_request() {
    let text = "step,log_exposure,density\n1,0.0,1.4\n2,0.3,1.0\n2,0.3,1.1\n3,0.6,0.6\n4,0.9,0.3\nb,,0.2\n";
    let options = ReadOptions { reversed: true, ..Default::default() };
    let strip = &read_with(text, &options).strips[0];
    assert_eq!(points(strip), [(0.0, 0.3), (0.3, 0.6), (0.6, 1.0), (0.6, 1.1), (0.9, 1.4)]);
    assert_eq!(strip.readings.iter().map(|r| r.line).collect::<Vec<_>>(), [6, 5, 3, 4, 2]);
    assert_eq!(base(strip), [0.2], "the unexposed film stays");
    assert_eq!(
        told(&strip.notes),
        ["the densities are paired with the exposures in the opposite order"]
    );
}

#[test]
fn ordinary_log_exposures_are_no_exposures() {
    let steps = |first: f64, step: f64, n: u32| -> String {
        let row = |i: u32| {
            format!("{:.2},{:.2}\n", first + step * f64::from(i), 0.2 + 0.05 * f64::from(i))
        };
        (0..n).map(row).collect()
    };
    for (first, step, n) in [(0.15, 0.15, 20), (0.05, 0.15, 21), (0.1, 0.3, 11), (-2.8, 0.1, 31)] {
        let text = format!("log_exposure,density\n{}", steps(first, step, n));
        assert_eq!(read(&text).strips[0].readings.len(), n as usize);
    }
}

#[test]
fn strips_without_an_image_or_with_one_step_are_read() {
    assert_eq!(read("log_exposure,density\n-1,0.3\n").strips[0].readings.len(), 1);
    let even = "log_exposure,density\n-1.5,0.21\n-1.2,0.20\n-0.9,0.20\n-0.6,0.19\n,0.2\n";
    assert_eq!(read(even).strips[0].readings.len(), 4);
    let same = "log_exposure,density\n-1.5,0.2\n-1.2,0.2\n-0.9,0.2\n";
    assert_eq!(read(same).strips[0].readings.len(), 3);
}

#[test]
fn a_negative_that_turns_over_at_its_end_is_read() {
    let text = "log_exposure,density\n0,0.2\n0.5,0.6\n1,1.2\n1.5,1.8\n2,2.1\n2.5,2.0\n3,1.8\n";
    assert_eq!(read(text).strips[0].readings.len(), 7);
}

#[test]
fn what_all_densities_of_a_strip_have_in_common() {
    let text = |offset: &str, slope: &str| {
        format!(
            "log_exposure,density,sigma,offset_sigma,slope_sigma\n-1.5,0.3,0.004,{offset},{slope}\n-1.2,0.4,0.004,,\n"
        )
    };
    let common = read(&text("0.003", "0.0006")).strips[0].common_sigma.unwrap();
    assert_eq!((common.offset.get(), common.slope.get()), (0.003, 0.0006));
    let common = read(&text("", "0.0006")).strips[0].common_sigma.unwrap();
    assert_eq!((common.offset.get(), common.slope.get()), (0.0, 0.0006));
    assert_eq!(read(&text("", "")).strips[0].common_sigma, None);
    let faults = faults_of(&text("0.9", "0.3"));
    assert!(faults.contains("strips.csv:2, column \"offset_sigma\""), "{faults}");
    assert!(
        faults.contains("between 0 and 0.5") && faults.contains("between 0 and 0.2"),
        "{faults}"
    );
    let differs = "log_exposure,density,slope_sigma\n-1.5,0.3,0.001\n-1.2,0.4,0.002\n";
    assert!(faults_of(differs).contains("slope_sigma"), "{}", faults_of(differs));
}
