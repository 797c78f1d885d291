//! What holds for evenness of any frames: no panic, intervals in order, and the symmetries of a frame.

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use wedgebook::evenness::{Evenness, Options, Pattern, causes, measure};
use wedgebook::measures::Measured;
use wedgebook::readings::{Frame, Frames, Labels, PlaceReading, frames_of_bytes};
use wedgebook::units::{Density, DensitySigma, Millimetres};

/// Readings as (x, y in half mm, density in thousandths).
type Drawn = Vec<Vec<(u16, u16, u16)>>;

fn frames(drawn: &Drawn, place: impl Fn(f64, f64, f64) -> (f64, f64, f64)) -> Frames {
    let reading = |&(x, y, d): &(u16, u16, u16)| {
        let (x, y, d) = place(f64::from(x) / 2.0, f64::from(y) / 2.0, f64::from(d) / 1000.0);
        PlaceReading {
            x: Millimetres::new(x).unwrap(),
            y: Millimetres::new(y).unwrap(),
            density: Density::new(d).unwrap(),
            sigma: DensitySigma::new(0.01).unwrap(),
            line: 1,
        }
    };
    let frame = |(n, readings): (usize, &Vec<(u16, u16, u16)>)| Frame {
        name: n.to_string(),
        readings: readings.iter().map(reading).collect(),
    };
    Frames {
        source: "drawn".to_owned(),
        frames: drawn.iter().enumerate().map(frame).collect(),
        labels: Labels::default(),
        sigma_is_assumed: true,
        notes: Vec::new(),
    }
}

fn anywhere() -> impl Strategy<Value = Drawn> {
    let reading = (0..73_u16, 0..49_u16, 700..900_u16);
    prop::collection::vec(prop::collection::vec(reading, 1..30), 1..5)
}

/// Places on few columns and rows: lines, repeats, grids with holes.
fn on_a_grid() -> impl Strategy<Value = Drawn> {
    let reading =
        (0..4_u16, 0..4_u16, 795..805_u16).prop_map(|(x, y, d)| (20 * x + 4, 15 * y + 1, d));
    prop::collection::vec(prop::collection::vec(reading, 1..40), 1..4)
}

fn numbers(p: &Pattern) -> [&Measured<wedgebook::evenness::Why>; 14] {
    [
        &p.mean,
        &p.along,
        &p.along_per_10_mm,
        &p.across,
        &p.across_per_10_mm,
        &p.long_edges.first,
        &p.long_edges.second,
        &p.long_edges.both,
        &p.sides.first,
        &p.sides.second,
        &p.sides.both,
        &p.perforations,
        &p.range,
        &p.scatter,
    ]
}

fn check(evenness: &Evenness, options: &Options) {
    let together = evenness.together.iter().map(|t| &t.pattern);
    for pattern in evenness.frames.iter().map(|f| &f.pattern).chain(together) {
        for measured in numbers(pattern) {
            match measured {
                Ok(q) => {
                    assert!(q.low <= q.value + 1e-12 && q.value <= q.high + 1e-12, "{q:?}");
                    assert!(q.low.is_finite() && q.high.is_finite(), "{q:?}");
                }
                Err(why) => assert!(!why.to_string().is_empty()),
            }
        }
    }
    let findings = evenness.findings(&options.printing);
    assert!(
        evenness.uneven() || findings.is_empty(),
        "nothing stands out of even film: {findings:?}"
    );
    for finding in &findings {
        assert!(!finding.name().is_empty() && finding.in_print.is_finite());
    }
    assert!(findings.is_empty() || !causes(&findings, false).is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig {
        rng_seed: RngSeed::Fixed(17),
        failure_persistence: None,
        cases: 200,
        ..ProptestConfig::default()
    })]

    #[test]
    fn any_frames_are_measured_or_refused(drawn in prop_oneof![anywhere(), on_a_grid()], edge in prop::option::of(0.1..20.0)) {
        let options = Options { edge_mm: edge, ..Options::default() };
        if let Ok(evenness) = measure(&frames(&drawn, |x, y, d| (x, y, d)), &options) {
            check(&evenness, &options);
        }
    }

    /// Seen in a mirror the gradient along turns round, sides change places, nothing else changes; more
    /// density everywhere changes the mean only.
    #[test]
    fn mirrors_and_levels(drawn in anywhere()) {
        let options = Options::default();
        let plain = measure(&frames(&drawn, |x, y, d| (x, y, d)), &options);
        let mirrored = measure(&frames(&drawn, |x, y, d| (36.0 - x, y, d + 0.5)), &options);
        prop_assert_eq!(plain.is_ok(), mirrored.is_ok());
        let (Ok(plain), Ok(mirrored)) = (plain, mirrored) else { return Ok(()); };
        for (a, b) in plain.frames.iter().zip(&mirrored.frames) {
            let (a, b) = (&a.pattern, &b.pattern);
            let same = |a: &Measured<wedgebook::evenness::Why>, b: &Measured<wedgebook::evenness::Why>, sign: f64, more: f64| match (a, b) {
                (Ok(a), Ok(b)) => (sign * a.value + more - b.value).abs() < 1e-9,
                (Err(_), Err(_)) => true,
                _ => false,
            };
            prop_assert!(same(&a.mean, &b.mean, 1.0, 0.5));
            prop_assert!(same(&a.along, &b.along, -1.0, 0.0));
            prop_assert!(same(&a.across, &b.across, 1.0, 0.0));
            prop_assert!(same(&a.long_edges.both, &b.long_edges.both, 1.0, 0.0));
            prop_assert!(same(&a.sides.first, &b.sides.second, 1.0, 0.0));
        }
    }

    #[test]
    fn any_text_is_read_or_refused(text in "(x_mm|y_mm|density|frame|sigma|[,;\t\"\n]|[0-9.]{1,4}|.){0,60}") {
        if let Ok(frames) = frames_of_bytes("a.csv", text.as_bytes(), None) {
            prop_assert!(frames.frames.iter().all(|f| !f.readings.is_empty()));
        }
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let _ = frames_of_bytes("a.csv", &bytes, None);
    }
}
