//! The temperature law and growth against worked examples.
//!
//! Sources: OpenStax, Chemistry 2e, section 12.5 (N2O5, read; the decimals recomputed without
//! intermediate rounding); R package respirometry, manual page Q10 (read); Q10 from an activation
//! energy constructed, R = 8.314462618 J/(mol K). Tone reproduction and aims as named beside them.
//! Certified growth of the same form, Misra1a and BoxBOD, runs in `strd.rs`.

use std::path::Path;
use wedgebook::development::aim::Printing;
use wedgebook::development::temperature::{factor_per_ten_degrees, relative_rate};
use wedgebook::development::{Growth, Measure, Pairing, Point, Wanted};
use wedgebook::readings::{ReadOptions, read_files};
use wedgebook::units::{Celsius, LogExposure};

fn celsius(c: f64) -> Celsius {
    Celsius::new(c).unwrap()
}

#[test]
fn factor_of_ten_degrees_from_an_activation_energy() {
    for (energy, t, q10) in [
        (40.0, 0.0, 1.862_696_706_801),
        (50.0, 20.0, 1.967_350_674_523),
        (75.0, 20.0, 2.759_450_880_432),
        (100.0, 15.0, 4.054_995_283_396),
    ] {
        let found = relative_rate(energy, celsius(t + 10.0), celsius(t));
        assert!((found / q10 - 1.0).abs() < 1e-9, "{energy} kJ/mol: {found}, not {q10}");
    }
    // The last row's interval is the one that the factor per 10 °C is given for.
    assert!((factor_per_ten_degrees(100.0) / 4.054_995_283_396 - 1.0).abs() < 1e-9);
}

/// N2O5 from 25 to 65 °C (298 and 338 K): rates 3.0e-5 and 4.3e-3 give 103.9 kJ/mol. Our bounds of a
/// bath end at 60 °C, so the rate at 60 °C is the one checked: ln(k60/k25) = E/R·(1/298.15 − 1/333.15).
#[test]
fn two_rates_and_their_energy() {
    let energy = 103.948_295_245;
    let expected = (103_948.295_245_f64 / 8.314_462_618 * (1.0 / 298.15 - 1.0 / 333.15)).exp();
    let found = relative_rate(energy, celsius(60.0), celsius(25.0));
    assert!((found / expected - 1.0).abs() < 1e-12);
    // The printed rates themselves over 40 K, with the printed constant 8.314: 143.33.
    let ratio = (energy * 1e3 / 8.314 * (1.0 / 298.0 - 1.0 / 338.0)).exp();
    assert!((ratio - 4.3e-3 / 3.0e-5).abs() < 1e-3, "{ratio}");
}

/// Two contrasts at times 1:2 give G∞ = G1²/(2·G1 − G2) and k = ln(G1/(G2 − G1))/t1 where growth starts
/// at once (algebra; the closed form in Hardy and Perrin 1932, from memory).
#[test]
fn closed_form_of_two_contrasts() {
    let growth = |t: f64| 0.85 * (1.0 - (-0.11 * t).exp());
    // The closed form has the contrasts at 6 and 12 minutes alone; the fit has all six.
    let (g1, g2): (f64, f64) = (growth(6.0), growth(12.0));
    let (ceiling, k) = (g1 * g1 / (2.0 * g1 - g2), (g1 / (g2 - g1)).ln() / 6.0);
    let points = [4.0, 6.0, 8.0, 12.0, 16.0, 24.0].map(|minutes| Point {
        minutes,
        celsius: celsius(20.0),
        value: growth(minutes),
        sd: 1e-4,
    });
    let fit = Growth::fit(points.to_vec(), celsius(20.0)).unwrap();
    assert!((fit.parameters[0].exp() / ceiling - 1.0).abs() < 2e-3, "{}", fit.parameters[0].exp());
    assert!((fit.parameters[1].exp() / k - 1.0).abs() < 6e-3, "{}", fit.parameters[1].exp());
}

/// Paper range 1.05 (grade 2, read) over an average scene's 2.20 (read) less flare 0.40 (from
/// memory) is 0.583.
#[test]
fn tone_reproduction() {
    let stops = 2.20 / std::f64::consts::LOG10_2;
    assert!((Printing::default().contrast(stops).unwrap() - 0.583).abs() < 5e-4);
    // A printed aim: rise over run 1.20/2.10 = 0.57 (read; no flare).
    let printing = Printing { paper_range: Some(120.0), flare: Some(0.0), ..Printing::default() };
    assert!((printing.contrast(2.10 / std::f64::consts::LOG10_2).unwrap() - 0.57).abs() < 5e-3);
}

/// Contrast indices of 0.56 to 0.60 for general work (NAVEDTRA 14208, read) are reached by the
/// demonstration's pairing between its strips.
#[test]
fn the_handbooks_aims_are_within_the_demonstration() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/family.csv");
    let options =
        ReadOptions { log_exposure_clear: LogExposure::new(0.0).ok(), ..ReadOptions::default() };
    let strips = read_files(&[path], &options).unwrap().strips;
    let pairing =
        Pairing::calibrate(strips, wedgebook::curve::Choice::Auto, celsius(20.0)).unwrap();
    for contrast in [0.56, 0.60] {
        let wanted = Wanted {
            measure: Measure::ContrastIndex,
            contrast,
            celsius: celsius(20.0),
            activity: 1.0,
            extrapolate: false,
        };
        let adjusted = pairing.adjust(&wanted).unwrap();
        assert!(
            !adjusted.extrapolated && (8.0..14.0).contains(&adjusted.minutes.value),
            "{adjusted:?}"
        );
    }
}
