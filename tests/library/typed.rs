//! Readings that are typed: what is out of line is named, and what is in line is not.

use crate::desk::data;
use wedgebook::answers::{AboutStrip, Answer, NotTaken, Typed, TypedSheet, TypedStrip};
use wedgebook::readings::{ReadOptions, Strip, Tablet, TabletScale, read_bytes, read_files};
use wedgebook::show::json;

fn about() -> AboutStrip {
    AboutStrip { name: "A".to_owned(), ..AboutStrip::default() }
}

fn strips() -> Vec<Strip> {
    let files = ["strip.csv", "family.csv", "control.csv"].map(|name| data(name).into());
    read_files(&files, &ReadOptions::default()).unwrap().strips
}

/// The density of the unexposed film and those of the steps.
fn densities(strip: &Strip) -> Vec<f64> {
    let readings = strip.unexposed.iter().take(1).chain(&strip.readings);
    readings.map(|reading| reading.density.get()).collect()
}

fn sheet_of(strip: &Strip) -> TypedStrip {
    let exposures = strip.readings.iter().map(|r| r.log_exposure.unwrap().get()).collect();
    let tablet = Tablet::of_values(TabletScale::RelativeLogExposure, exposures).unwrap();
    TypedStrip::new(tablet, about(), None)
}

#[test]
fn the_demonstration_is_in_line() {
    for strip in strips() {
        let mut sheet = sheet_of(&strip);
        for density in densities(&strip) {
            let typed = sheet.take(&format!("{density:.2}")).unwrap();
            assert_eq!(typed, Typed::Reading(None), "{} {density}", strip.name);
        }
        assert_eq!(sheet.suspects(), []);
    }
}

/// A slip of 0.30 either way in any step is named when it is typed, or with the next reading.
#[test]
fn slips_are_named_at_once() {
    let (mut at_once, mut next, mut all) = (0, 0, 0);
    for strip in strips() {
        let densities = densities(&strip);
        for slip in [0.3, -0.3] {
            for wrong in 3..densities.len() - 1 {
                let mut sheet = sheet_of(&strip);
                let mut flagged = [false; 2];
                for (k, density) in densities.iter().take(wrong + 2).enumerate() {
                    let density = if k == wrong { density + slip } else { *density };
                    let typed = sheet.take(&format!("{density:.2}")).unwrap();
                    if k >= wrong {
                        flagged[k - wrong] = !matches!(typed, Typed::Reading(None));
                    }
                }
                all += 1;
                at_once += usize::from(flagged[0]);
                next += usize::from(flagged[0] || flagged[1]);
            }
        }
    }
    println!("{at_once} at once, {next} with the next, of {all}");
    assert!(all > 200 && 10 * at_once >= 9 * all && next == all, "{at_once} {next} {all}");
}

#[test]
fn a_small_slip_is_named_by_the_curve() {
    let strip = strips().remove(0);
    let mut sheet = sheet_of(&strip);
    let mut named = Vec::new();
    for (k, density) in densities(&strip).into_iter().enumerate() {
        let density = if k == 14 { density + 0.08 } else { density };
        assert!(matches!(sheet.take(&format!("{density:.2}")), Ok(Typed::Reading(_))));
        named.extend(sheet.suspects());
    }
    let [(patch, why)] = named.as_slice() else { panic!("{named:?}") };
    assert!(patch.starts_with("step 14 "), "{patch}");
    assert!(why.to_string().contains("off the curve of the others"), "{why}");
    // Corrected, it is in line again.
    for _ in 0..strip.readings.len() + 1 - 14 {
        assert_eq!(sheet.take("back"), Ok(Typed::Back));
    }
    assert_eq!(sheet.take(&format!("{:.2}", densities(&strip)[14])), Ok(Typed::Reading(None)));
    assert_eq!(sheet.suspects(), []);
    let answer = TypedSheet { file: Some("a.csv".to_owned()), strip: sheet };
    assert_eq!(json::value(&answer.describe())["notes"], serde_json::json!([]));
}

#[test]
fn the_prompt_goes_back_keeps_and_leaves_out() {
    let tablet = Tablet::even(4, 0.3, 0.05).unwrap();
    let mut sheet = TypedStrip::new(tablet, about(), None);
    assert_eq!(sheet.take("back"), Err(NotTaken::First));
    assert_eq!(sheet.prompt().unwrap(), "unexposed film");
    assert!(matches!(sheet.take("x"), Err(NotTaken::NotANumber(_))));
    assert!(matches!(sheet.take("62"), Err(NotTaken::OutOfBounds(_))));
    assert_eq!(sheet.take(""), Ok(Typed::LeftOut));
    assert_eq!(sheet.prompt().unwrap(), "step 1 (tablet density 0.95)");
    assert_eq!(sheet.take("0,3"), Ok(Typed::Reading(None)));
    assert_eq!(sheet.take(" 0.345 "), Ok(Typed::Reading(None)));
    assert_eq!(sheet.take("BACK"), Ok(Typed::Back));
    assert_eq!(sheet.prompt().unwrap(), "step 2 (tablet density 0.65), Enter keeps 0.345");
    assert_eq!(sheet.take(""), Ok(Typed::Kept));
    assert_eq!(sheet.take("−"), Ok(Typed::LeftOut));
    assert_eq!(sheet.take("0.80"), Ok(Typed::Reading(None)));
    assert_eq!(sheet.prompt(), None);
    assert!(matches!(sheet.take("0.9"), Err(NotTaken::NotANumber(_))));
    assert_eq!(sheet.take("-"), Ok(Typed::LeftOut));
    assert_eq!(sheet.take(""), Ok(Typed::End));
    assert_eq!(
        sheet.csv(),
        "strip,step,tablet_density,density\nA,1,0.95,0.30\nA,2,0.65,0.345\nA,4,0.05,0.80\n"
    );
    let read = read_bytes("a.csv", sheet.csv().as_bytes(), &ReadOptions::default()).unwrap();
    assert_eq!(read.strips[0].readings.len(), 3);
    assert_eq!(sheet.plot(80).matches('*').count(), 3);
}
