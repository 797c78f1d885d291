//! A year of one bath of the evening class: what was done to it, and the control strips that were
//! developed in it. Its true activity is simulated; the journal is what the class wrote down.
//!
//! The bath holds 5 litres. Using it costs 0.22 of ln a per square metre and litre, age 0.0005 a day;
//! replenishing replaces a share of it by fresh solution. In May somebody carries fixer into it.

use crate::simulation::{Emulsion, noise, seeded};
use rand::Rng;
use std::fmt::Write as _;

const LITRES: f64 = 5.0;
const USE: f64 = 0.22;
const AGE: f64 = 0.0005;
/// Square metres of a roll of 36 exposures.
pub const ROLL: f64 = 0.0560;
const SIGMA: f64 = 0.008;

/// Step, log exposure or nothing, density.
pub type Row = (usize, Option<f64>, f64);

/// Something done on a day.
#[derive(Clone, Debug)]
#[allow(dead_code)]
pub enum Done {
    Mix,
    Film {
        rolls: u32,
    },
    Replenish {
        ml: f64,
    },
    Strip {
        batch: &'static str,
        readings: Vec<Row>,
        celsius: f64,
    },
    Note(&'static str),
    Discard,
}

/// Days since 18 November 2025, a Tuesday, with what was done.
pub fn year(film: impl Fn(f64, f64) -> Emulsion, faster: f64) -> Vec<(i64, Done)> {
    let mut rng = seeded(1125);
    let mut done = vec![(0, Done::Mix)];
    let (mut ln_a, mut fog, mut last) = (0.0_f64, 0.0, 0_i64);
    for week in 0..53_i64 {
        let day = 7 * week;
        // No class at the turn of the year, at Easter and in August.
        if matches!(week, 5 | 6 | 20 | 37..=40) {
            continue;
        }
        ln_a -= AGE * (day - last) as f64 + noise(&mut rng, 0.004);
        last = day;
        if week == 26 {
            fog = 0.075;
            done.push((
                day,
                Done::Note(
                    "a film came back from the fixer to be developed longer; the tank smelt of it",
                ),
            ));
        }
        let celsius = (10.0_f64 * (20.0 + noise(&mut rng, 0.3))).round() / 10.0;
        let strip = |batch: &'static str,
                     shift: f64,
                     ln_a: f64,
                     fog: f64,
                     rng: &mut rand::rngs::SmallRng| {
            let seconds = noise(rng, 3.0);
            let emulsion = film((9.0 + seconds / 60.0) * ln_a.exp(), celsius);
            let rows = std::iter::once(None)
                .chain((0..21).map(|i| Some(-3.05 + 0.15 * f64::from(i))))
                .enumerate()
                .map(|(step, x)| {
                    let density = x.map_or(emulsion.base, |x| emulsion.density(x + faster - shift));
                    (step, x, density + fog + noise(rng, SIGMA))
                });
            Done::Strip {
                batch,
                readings: rows.collect(),
                celsius,
            }
        };
        if week % 2 == 0 || week == 26 {
            let batch = if week < 42 { "one" } else { "two" };
            let shift = if week < 42 { 0.0 } else { 0.03 };
            done.push((day, strip(batch, shift, ln_a, fog, &mut rng)));
            if week == 42 {
                for _ in 0..3 {
                    done.push((day, strip("one", 0.0, ln_a, fog, &mut rng)));
                    done.push((day, strip("two", 0.03, ln_a, fog, &mut rng)));
                }
            }
        }
        if week == 26 {
            done.push((day, Done::Discard));
            done.push((day, Done::Mix));
            (ln_a, fog) = (0.0, 0.0);
        }
        let rolls = rng.random_range(3..=6_u32);
        done.push((day, Done::Film { rolls }));
        ln_a -= USE * ROLL * f64::from(rolls) / LITRES;
        // After the summer the new keeper of the bath gives half of what he should.
        let ml = if week < 41 { 90.0 } else { 30.0 } * f64::from(rolls);
        done.push((day, Done::Replenish { ml }));
        let share = ml / 1000.0 / LITRES;
        ln_a = ((1.0 - share) * ln_a.exp() + share).ln();
    }
    done
}

/// The control strips as a file of readings; their names are their dates.
pub fn controls(strips: &[(String, String, f64, &[Row])], labels: &str) -> String {
    let mut out =
        String::from("strip,step,tablet_density,density,minutes,celsius,film,developer,date\n");
    for (name, date, celsius, rows) in strips {
        for (step, x, density) in *rows {
            let tablet = x.map_or(String::new(), |x| format!("{:.2}", -x));
            let _ = writeln!(
                out,
                "{name},{step},{tablet},{density:.2},9,{celsius},{labels},{date}"
            );
        }
    }
    out
}
