//! A year of one bath of the evening class: what was done to it, the control strips that were
//! developed in it, and the journal that the class kept. The bath's true activity is simulated; the
//! journal has what the product itself makes of the strips.
//!
//! The bath holds 5 litres. Using it costs 0.22 of ln a per square metre and litre, age 0.0005 a day;
//! replenishing replaces a share of it by fresh solution. In May somebody carries fixer into it; in
//! September the class goes over to a second batch of control strips, slower by 0.03; from then on
//! the bath gets a third of the replenisher that it should.

use crate::emulsions::{noise, seeded};
use jiff::ToSpan;
use jiff::civil::Date;
use rand::Rng;
use rand::rngs::SmallRng;
use std::fmt::Write as _;
use std::path::Path;
use wedgebook::bath::entered::Entered;
use wedgebook::bath::film::{Films, Format};
use wedgebook::bath::journal::{Act, Entry, Journal};
use wedgebook::bath::verify::{ControlStrip, Verifier, pairing_limits};
use wedgebook::curve::Choice;
use wedgebook::development::{Measure, Pairing};
use wedgebook::measures::analyse;
use wedgebook::readings::{ReadOptions, read_bytes, read_files};
use wedgebook::units::{Celsius, LogExposure};

const LITRES: f64 = 5.0;
const USE: f64 = 0.22;
const AGE: f64 = 0.0005;
const SIGMA: f64 = 0.008;
const MINUTES: f64 = 9.0;
const START: Date = jiff::civil::date(2025, 11, 18);

/// Something done on a day.
struct Done {
    date: Date,
    act: Act,
    note: Option<&'static str>,
    /// Readings of a control strip, as rows of a file.
    readings: Option<String>,
}

/// The bath as it really is.
struct Bath {
    ln_activity: f64,
    fog: f64,
}

/// Base plus fog and the density at a log exposure, of film developed for so many minutes at a
/// temperature, of a batch that is slower by so much.
pub trait Film<C: Fn(f64) -> f64>: Fn(f64, f64, f64) -> (f64, C) {}
impl<C: Fn(f64) -> f64, F: Fn(f64, f64, f64) -> (f64, C)> Film<C> for F {}

/// Rows of a control strip.
fn strip<C: Fn(f64) -> f64>(
    film: &impl Film<C>,
    bath: &Bath,
    shift: f64,
    celsius: f64,
    rng: &mut SmallRng,
) -> Vec<(Option<f64>, f64)> {
    // The class's clock errs by three seconds.
    let minutes = (MINUTES + noise(rng, 0.05)) * bath.ln_activity.exp();
    let (base, density) = film(minutes, celsius, shift);
    let exposures = (0..21).map(|i| Some(-3.05 + 0.15 * f64::from(i)));
    std::iter::once(None)
        .chain(exposures)
        .map(|x| {
            let clean = x.map_or(base, &density);
            (x, clean + bath.fog + noise(rng, SIGMA))
        })
        .collect()
}

/// Writes control strips, the last of them by itself, and the journal into `folder`.
pub fn write<C: Fn(f64) -> f64>(folder: &Path, labels: &str, film: impl Film<C>) {
    let done = year(labels, &film);
    let header = "strip,step,tablet_density,density,minutes,celsius,film,developer,date\n";
    let strips: Vec<&String> = done.iter().filter_map(|d| d.readings.as_ref()).collect();
    let last = strips.last().expect("a year has strips");
    let all: String = strips.iter().map(|s| s.as_str()).collect();
    std::fs::write(folder.join("controls.csv"), format!("{header}{all}")).expect("a file");
    std::fs::write(folder.join("control.csv"), format!("{header}{last}")).expect("a file");
    journal(folder, header, done);
}

fn year<C: Fn(f64) -> f64>(labels: &str, film: &impl Film<C>) -> Vec<Done> {
    let mut rng = seeded(1125);
    let mut year = Vec::new();
    let fresh = Bath { ln_activity: 0.0, fog: 0.0 };
    let mut bath = fresh;
    let mut last = 0;
    let simple = |date, act| Done { date, act, note: None, readings: None };
    let mix = || Act::Mix {
        litres: LITRES,
        what: Some("Quillback 1+6".to_owned()),
        dilution: Some("1+6".to_owned()),
    };
    for week in 0..53_i64 {
        // No class at the turn of the year, at Easter and in August.
        if matches!(week, 5 | 6 | 20 | 37..=40) {
            continue;
        }
        let date = START.saturating_add((7 * week).days());
        bath.ln_activity -= AGE * (7 * (week - last)) as f64 + noise(&mut rng, 0.004);
        last = week;
        if week == 0 {
            year.push(simple(date, mix()));
        }
        if week == 26 {
            bath.fog = 0.075;
        }
        let celsius = (10.0_f64 * (20.0 + noise(&mut rng, 0.3))).round() / 10.0;
        let batches: &[(&str, f64)] = match week {
            // Both batches side by side, five strips of each.
            42 => &[("one", 0.0), ("two", 0.03)],
            0..42 => &[("one", 0.0)],
            _ => &[("two", 0.03)],
        };
        let each = if week == 42 { 5 } else { usize::from(week % 2 == 0) };
        for &(batch, shift) in batches {
            for n in 1..=each {
                let name = match each {
                    1 => date.to_string(),
                    _ => format!("{date} {batch} {n}"),
                };
                let mut rows = String::new();
                for (step, (x, density)) in
                    strip(film, &bath, shift, celsius, &mut rng).into_iter().enumerate()
                {
                    let tablet = x.map_or(String::new(), |x| format!("{:.2}", -x));
                    let _ = writeln!(
                        rows,
                        "{name},{step},{tablet},{density:.2},{MINUTES},{celsius},{labels},{date}"
                    );
                }
                let result = wedgebook::bath::journal::StripResult {
                    name,
                    batch: Some(batch.to_owned()),
                    ..Default::default()
                };
                year.push(Done {
                    date,
                    act: Act::Strip(Box::new(result)),
                    note: None,
                    readings: Some(rows),
                });
            }
        }
        if week == 26 {
            let note = Some("smells of fixer: a film came back from it to be developed longer");
            year.push(Done { note, ..simple(date, Act::Discard) });
            year.push(simple(date, mix()));
            bath = Bath { ln_activity: 0.0, fog: 0.0 };
        }
        let rolls = rng.random_range(3..=6_u32);
        let films = Films(vec![(rolls, Format::Roll135x36)]);
        bath.ln_activity -= USE * films.area_m2() / LITRES;
        let area_m2 = films.area_m2();
        year.push(simple(date, Act::film(films.to_string(), area_m2)));
        let added_ml = if week < 41 { 90.0 } else { 30.0 } * f64::from(rolls);
        year.push(simple(date, Act::Replenish { added_ml, removed_ml: added_ml }));
        let share = added_ml / 1000.0 / LITRES;
        bath.ln_activity = ((1.0 - share) * bath.ln_activity.exp() + share).ln();
    }
    year
}

/// The journal, with what the product makes of each strip.
fn journal(folder: &Path, header: &str, done: Vec<Done>) {
    let options =
        ReadOptions { log_exposure_clear: LogExposure::new(0.0).ok(), ..ReadOptions::default() };
    let family = read_files(&[folder.join("family.csv")], &options).expect("the family");
    let reference = Celsius::new(20.0).expect("a temperature");
    let pairing = Pairing::calibrate(family.strips, Choice::Auto, reference).expect("a pairing");
    let verifier = Verifier {
        pairing: &pairing,
        measure: Measure::ContrastIndex,
        limits: pairing_limits(None).expect("limits"),
    };
    let path = folder.join("bath.csv");
    let _ = std::fs::remove_file(&path);
    for Done { date, mut act, note, readings } in done {
        if let (Act::Strip(result), Some(rows)) = (&mut act, readings) {
            let text = format!("{header}{rows}");
            let strips =
                read_bytes("controls.csv", text.as_bytes(), &options).expect("a strip").strips;
            let analysis = &analyse(strips, Choice::Auto)[0];
            let strip = &analysis.strip;
            let control = ControlStrip {
                analysis,
                minutes: strip.minutes.expect("minutes"),
                celsius: strip.celsius.expect("celsius"),
            };
            let entered = Entered {
                name: result.name.clone(),
                batch: result.batch.clone(),
                pairing: "pairing.toml".to_owned(),
                minutes: control.minutes,
                celsius: control.celsius,
            };
            **result = entered.result(&verifier.verify(&control).expect("a verification"));
        }
        let entry = Entry::new(date, act, note.map(str::to_owned));
        Journal::append(&path, &entry).expect("an entry");
    }
}
