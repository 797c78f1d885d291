//! The pairing as text, also the head of its file.

use super::Calibrated;
use crate::cli::inputs::{quantity, time};
use crate::development::temperature::{ASSUMED_ENERGY, factor_per_ten_degrees};
use crate::development::{Form, Growth, Measure};
use crate::words::rounded_clock;
use std::fmt::Write;

pub fn report(Calibrated { file, pairing, rows }: &Calibrated) -> String {
    let mut out = format!(
        "{}: {} strips, reference {} °C\n",
        file.name,
        pairing.strips.len(),
        pairing.reference
    );
    for measure in Measure::ALL {
        let _ = match pairing.growth(measure) {
            Some(growth) => writeln!(out, "  {:<18}{}", measure.name(), law(growth)),
            None => writeln!(out, "  {:<18}not carried by the strips", measure.name()),
        };
    }
    if let Some(surface) = pairing.surface() {
        let strips = pairing.strips.iter().zip(&surface.residual_sd_by_strip);
        let list: Vec<String> = strips.map(|(s, sd)| format!("{} {sd:.3}", s.strip.name)).collect();
        let _ = writeln!(
            out,
            "  surface           leaves {:.3} of all readings (by strip: {})",
            surface.residual_sd,
            list.join(", ")
        );
    }
    temperature(pairing.law(), pairing.energy_is_assumed, &mut out);
    let _ = match pairing.iso_speed() {
        Ok(iso) => {
            let standard = iso
                .standard
                .map_or(String::new(), |s| format!(", ISO {}/{}°", s.arithmetic, s.degrees));
            writeln!(
                out,
                "  ISO speed         {}{standard}, at {}",
                quantity(&iso.speed, 0),
                time(&iso.minutes)
            )
        }
        Err(why) => writeln!(out, "  ISO speed         none: {why}"),
    };
    let aims = &file.aims;
    let _ = writeln!(
        out,
        "\n  scene   trade   {:<18}minutes at {} °C           exposure index",
        aims.measure.name(),
        pairing.reference
    );
    for row in rows {
        let label = row.label.as_deref().unwrap_or("");
        let _ = write!(out, "  {:>2} stops  {label:<5}  {:<18.3}", row.stops, row.contrast);
        let _ = match &row.answer {
            Ok(a) => {
                let q = &a.minutes;
                let minutes = format!(
                    "{:.2} ({}), {:.2} to {:.2}",
                    q.value,
                    rounded_clock(q.value),
                    q.low,
                    q.high
                );
                let index = a
                    .exposure_index
                    .map_or_else(|| "relative exposures".to_owned(), |e| quantity(&e, 0));
                writeln!(
                    out,
                    "{minutes:<32}{index}{}",
                    if a.extrapolated { "  outside the strips" } else { "" }
                )
            }
            Err(_) => writeln!(out, "not reachable"),
        };
    }
    for note in pairing.notes.iter().chain(&aims.printing.assumptions()) {
        let _ = writeln!(out, "  note: {note}");
    }
    out
}

fn law(growth: &Growth) -> String {
    let p = &growth.parameters;
    let form = match growth.form {
        Form::FirstOrder if growth.ceiling_known => {
            format!("first-order growth to {:.2}, rate {:.3} per minute", p[0].exp(), p[1].exp())
        }
        Form::FirstOrder => {
            format!(
                "first-order growth, rate {:.3} per minute; where it ends cannot be told",
                p[1].exp()
            )
        }
        Form::Interpolated => {
            "interpolated between the strips, for no law of growth holds".to_owned()
        }
        Form::LogTime => format!(
            "a line in log time, {:.3} per doubling; where it ends cannot be told",
            p[1] * std::f64::consts::LN_2
        ),
    };
    format!("{form}; strips scatter by {:.3}", growth.residual_sd)
}

fn temperature(law: &Growth, assumed: bool, out: &mut String) {
    let _ = if assumed {
        writeln!(
            out,
            "  temperature       assumed: a factor of {:.1} per 10 °C (published range 2 to 3); strips at a second temperature would tell",
            factor_per_ten_degrees(ASSUMED_ENERGY)
        )
    } else {
        let (energy, half) = (law.energy(), law.quantile * law.energy_sd());
        writeln!(
            out,
            "  temperature       activation energy {energy:.0} kJ/mol ({:.0} to {:.0}), a factor of {:.2} per 10 °C",
            energy - half,
            energy + half,
            factor_per_ten_degrees(energy)
        )
    };
}
