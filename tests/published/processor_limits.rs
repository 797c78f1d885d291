//! Limits of control strips: 21 CFR 900.12(e)(1)(i) to (iii), daily test of mammography film
//! processors (62 FR 55976, 28 Oct 1997); public domain. The rule does not say whether a deviation
//! that equals the limit passes; here it does.

use crate::shapes::table;
use wedgebook::bath::limits::{Limits, Verdict};
use wedgebook::bath::watched::Watched;

fn deviation(cell: &str) -> Option<f64> {
    (!cell.is_empty()).then(|| cell.parse().unwrap())
}

#[test]
fn limits_and_readings_on_them() {
    let limits = Limits::mammography_processors();
    let rows = table("processor_limits.csv");
    assert_eq!(limits.iter().count(), rows.len());
    for row in &rows {
        let (quantity, allowed) = limits.iter().find(|(q, _)| q.code() == &row[1]).unwrap();
        let (lower, upper) = (deviation(&row[2]), deviation(&row[3]));
        assert_eq!((allowed.lower(), allowed.upper()), (lower, upper));
        // Aims and readings as a densitometer writes them, in hundredths: every sum and difference
        // is off by its own rounding in binary.
        for hundredths in 0..300 {
            let aim = f64::from(hundredths) / 100.0;
            let judged = |off: f64| {
                let reading = ((aim + off) * 1000.0).round() / 1000.0;
                limits.judge(quantity, reading - aim).unwrap()
            };
            if let Some(upper) = upper {
                assert_eq!(judged(upper), Verdict::Within, "{quantity} {aim}");
                assert_eq!(judged(upper + 0.001), Verdict::Above, "{quantity} {aim}");
            }
            match lower {
                Some(lower) => {
                    assert_eq!(judged(lower), Verdict::Within, "{quantity} {aim}");
                    assert_eq!(judged(lower - 0.001), Verdict::Below, "{quantity} {aim}");
                }
                None => assert_eq!(judged(-1.0), Verdict::Within),
            }
        }
    }
}

/// The trap itself: 1.35 − 1.20 is more than 0.15 in binary.
#[test]
fn binary_fractions_are_no_deviation() {
    let (reading, aim) = (1.35_f64, 1.20);
    assert!(reading - aim > 0.15);
    let limits = Limits::mammography_processors();
    let judged = limits.judge(Watched::MidDensity, reading - aim).unwrap();
    assert_eq!(judged, Verdict::Within);
}

#[test]
fn they_are_named_as_made_for_radiography() {
    let name = Limits::mammography_processors().from.to_string();
    assert!(name.contains("21 CFR 900.12") && name.contains("not for pictorial film"));
}
