//! Properties of a pairing, on the demonstration's family of strips.

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use std::path::Path;
use std::sync::OnceLock;
use wedgebook::curve::Choice;
use wedgebook::development::drift::{Reading, effective_minutes, remaining_minutes};
use wedgebook::development::file::{Aims, PairingFile};
use wedgebook::development::{AdjustNote, Measure, Pairing, PairingError, PairingNote, Wanted};
use wedgebook::readings::{ExposureScale, ReadOptions, Strip, read_files};
use wedgebook::units::{Celsius, LogExposure, Minutes};

fn celsius(c: f64) -> Celsius {
    Celsius::new(c).unwrap()
}

fn family() -> Vec<Strip> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/family.csv");
    let options =
        ReadOptions { log_exposure_clear: LogExposure::new(0.0).ok(), ..ReadOptions::default() };
    read_files(&[path], &options).unwrap().strips
}

fn calibrated(strips: Vec<Strip>) -> Result<Pairing, PairingError> {
    Pairing::calibrate(strips, Choice::Auto, celsius(20.0))
}

fn demonstration() -> &'static Pairing {
    static PAIRING: OnceLock<Pairing> = OnceLock::new();
    PAIRING.get_or_init(|| calibrated(family()).unwrap())
}

fn wanted(measure: Measure, contrast: f64, c: f64, activity: f64) -> Wanted {
    Wanted { measure, contrast, celsius: celsius(c), activity, extrapolate: false }
}

fn minutes(measure: Measure, contrast: f64, c: f64, activity: f64) -> f64 {
    demonstration().adjust(&wanted(measure, contrast, c, activity)).unwrap().minutes.value
}

fn measures() -> impl Strategy<Value = Measure> {
    prop::sample::select(Measure::ALL.to_vec())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, rng_seed: RngSeed::Fixed(1922), ..ProptestConfig::default() })]

    #[test]
    fn time_rises_with_contrast_and_falls_with_warmth_and_activity(
        measure in measures(),
        contrast in 0.44..0.62_f64,
        more in 0.002..0.03_f64,
        c in 18.0..25.0_f64,
        warmer in 0.1..2.0_f64,
        activity in 0.6..1.3_f64,
    ) {
        let here = minutes(measure, contrast, c, activity);
        prop_assert!(minutes(measure, contrast + more, c, activity) > here);
        prop_assert!(minutes(measure, contrast, c + warmer, activity) < here);
        // Time and activity trade one for one.
        let full = minutes(measure, contrast, c, 1.0);
        prop_assert!((here * activity / full - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_time_gives_the_contrast(measure in measures(), contrast in 0.44..0.64_f64, c in 18.0..26.0_f64, activity in 0.6..1.3_f64) {
        let adjusted = demonstration().adjust(&wanted(measure, contrast, c, activity)).unwrap();
        let growth = demonstration().growth(measure).unwrap();
        let theta = adjusted.minutes.value * activity * growth.rate(celsius(c));
        prop_assert!((theta / adjusted.effective_minutes.value - 1.0).abs() < 1e-9);
        prop_assert!((growth.value(theta) - contrast).abs() < 1e-9);
        prop_assert!(adjusted.minutes.low < adjusted.minutes.value && adjusted.minutes.value < adjusted.minutes.high);
        let expected = adjusted.expected.iter().find(|(m, _)| *m == measure).unwrap().1;
        prop_assert!((expected.value - contrast).abs() < 1e-9);
    }

    /// A temperature that stands still: what is left is what `adjust` says, less what has passed.
    #[test]
    fn drift_at_a_constant_temperature_is_adjust(c in 17.0..26.0_f64, passed in 0.5..5.0_f64, activity in 0.6..1.3_f64) {
        let measure = Measure::ContrastIndex;
        let adjusted = demonstration().adjust(&wanted(measure, 0.58, c, activity)).unwrap();
        let law = demonstration().growth(measure).unwrap();
        let readings = [0.0, 0.4 * passed, passed].map(|minutes| Reading { minutes, celsius: celsius(c) });
        let left = remaining_minutes(law, &readings, activity, adjusted.effective_minutes.value).unwrap();
        prop_assert!((left + passed - adjusted.minutes.value).abs() < 1e-9);
    }
}

/// A ramp against the integral in closed pieces: the mean of many short constant stretches.
#[test]
fn a_falling_temperature_is_integrated() {
    let law = demonstration().law();
    let reading = |minutes, c| Reading { minutes, celsius: celsius(c) };
    let ramp = effective_minutes(law, &[reading(0.0, 24.0), reading(8.0, 18.0)], 0.9);
    let pieces = 200_000;
    let sum: f64 = (0..pieces)
        .map(|i| {
            let share = (f64::from(i) + 0.5) / f64::from(pieces);
            law.rate(celsius(24.0 - 6.0 * share)) * 8.0 / f64::from(pieces)
        })
        .sum();
    assert!((ramp - 0.9 * sum).abs() < 1e-8, "{ramp} {}", 0.9 * sum);
}

#[test]
fn the_file_gives_back_the_pairing() {
    let strips = family();
    let file = PairingFile::new(
        "x".into(),
        celsius(20.0),
        Some("a \"note\"".into()),
        Aims::default(),
        &strips,
    );
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("x.toml");
    std::fs::write(&path, file.text("results\nof two lines").unwrap()).unwrap();
    let read = PairingFile::read(&path).unwrap();
    assert_eq!(read, file);
    let again = read.pairing(&path).unwrap();
    let ask = wanted(Measure::ContrastIndex, 0.58, 21.0, 1.0);
    assert_eq!(again.adjust(&ask).unwrap(), demonstration().adjust(&ask).unwrap());
}

#[test]
fn strips_of_one_temperature_assume_the_law_and_widen_away_from_it() {
    let strips: Vec<Strip> =
        family().into_iter().filter(|s| s.celsius == Some(celsius(20.0))).collect();
    let pairing = calibrated(strips).unwrap();
    assert!(pairing.law().energy_is_assumed() && !demonstration().law().energy_is_assumed());
    let width = |c: f64| {
        let m = pairing.adjust(&wanted(Measure::ContrastIndex, 0.55, c, 1.0)).unwrap();
        assert_eq!(m.notes.iter().any(|n| matches!(n, AdjustNote::LawAssumed { .. })), c != 20.0);
        (m.minutes.high / m.minutes.low).ln()
    };
    assert!(width(23.0) > 1.3 * width(20.0));
}

/// The law is taken for granted away from the strips, not away from the reference temperature.
#[test]
fn strips_away_from_the_reference_are_sure_where_they_were_developed() {
    let warm = |mut strip: Strip| {
        strip.celsius = Some(celsius(24.0));
        strip
    };
    let strips = family().into_iter().filter(|s| s.celsius == Some(celsius(20.0))).map(warm);
    let pairing = calibrated(strips.collect()).unwrap();
    let at = |c: f64| pairing.adjust(&wanted(Measure::ContrastIndex, 0.55, c, 1.0)).unwrap();
    let noted = |c: f64| at(c).notes.iter().any(|n| n.to_string().contains("away from 24 °C"));
    assert!(noted(20.0) && !noted(24.0), "{:?} {:?}", at(20.0).notes, at(24.0).notes);
    let width = |c: f64| (at(c).minutes.high / at(c).minutes.low).ln();
    assert!(width(20.0) > 1.3 * width(24.0), "{} {}", width(20.0), width(24.0));
}

#[test]
fn too_few_strips_and_strips_without_a_time_are_refused() {
    let one: Vec<Strip> = family().into_iter().take(1).collect();
    assert_eq!(calibrated(one).unwrap_err(), PairingError::TooFew { found: 1, needed: 2 });
    let two = calibrated(family().into_iter().step_by(2).take(2).collect()).unwrap();
    let note = two.notes.iter().find_map(|note| match note {
        PairingNote::TwoTimes { third, half, with_third } => Some((*third, *half, *with_third)),
        _ => None,
    });
    let (third, half, with_third) = note.unwrap();
    // A third strip beyond the two narrows what is known there.
    assert!(third > two.law().range().1 && half > 1.5 * with_third, "{half} {with_third}");
    let mut undated = family();
    undated[2].minutes = None;
    let message = calibrated(undated).unwrap_err().to_string();
    assert_eq!(
        message,
        "strip \"C\" has no time of development; a column \"minutes\" must give it"
    );
    let mut mixed = family();
    mixed[0].scale = ExposureScale::Relative;
    assert_eq!(calibrated(mixed).unwrap_err(), PairingError::MixedScales);
}

#[test]
fn a_strip_out_of_line_is_named() {
    let mut strips = family();
    // Strip B was in for eleven minutes, not seven.
    strips[1].minutes = Some(Minutes::new(11.0).unwrap());
    let pairing = calibrated(strips).unwrap();
    assert!(
        pairing
            .notes
            .iter()
            .any(|n| matches!(n, PairingNote::OutOfLine { strip, .. } if strip == "B")),
        "{:?}",
        pairing.notes
    );
    assert!(demonstration().notes.is_empty(), "{:?}", demonstration().notes);
}
