//! Tone reproduction as text.

use super::{STOP, Told};
use crate::cli::inputs::quantity;
use crate::development::Measure;
use crate::development::SHORTEST;
use crate::printing::tone::{Cause, Change, Link, Lost, PrintFor, Remedy};
use crate::words::rounded_clock;
use std::fmt::Write;

pub fn report(told: &Told<'_>) -> String {
    let strip = told.strip();
    let paper = strip.strip.labels.film.as_deref().unwrap_or("paper");
    let mut out = format!("{}, on {paper}, setting {}\n", told.name, strip.setting());
    conditions(told, &mut out);
    table(told, &mut out);
    let r = &told.reproduction;
    let _ = match &told.gradient {
        Some(gradient) => writeln!(
            out,
            "  overall gradient  {}; 1 is the scene's own contrast",
            quantity(gradient, 2)
        ),
        None => writeln!(out, "  overall gradient  none: no tone of the scene is kept"),
    };
    if r.middle_gradient.is_finite() {
        let _ = writeln!(out, "  at metered tone   {:.2}", r.middle_gradient);
    }
    let _ = writeln!(out, "  shadows           {}", lost(r.shadows.as_ref(), "below"));
    let _ = writeln!(out, "  highlights        {}", lost(r.highlights.as_ref(), "above"));
    remedies(told, &mut out);
    for note in &told.notes {
        let _ = writeln!(out, "  note: {note}");
    }
    out
}

fn conditions(told: &Told<'_>, out: &mut String) {
    let (camera, development) = (told.chain.camera(), &told.development);
    let _ = writeln!(
        out,
        "  scene             {} stops, from {:+.1} to {:+.1} about the metered tone; flare of {:.2}",
        camera.stops,
        camera.darkest() / STOP,
        camera.brightest() / STOP,
        camera.flare
    );
    let contrast = told
        .pairing
        .growth(Measure::ContrastIndex)
        .map_or(String::new(), |g| format!(", contrast index {:.2}", g.value(development.theta)));
    let activity = if development.activity == 1.0 {
        String::new()
    } else {
        format!(" at activity {}", development.activity)
    };
    let _ = writeln!(
        out,
        "  film              {:.2} min ({}) at {} °C{activity}{contrast}, {}",
        development.minutes,
        rounded_clock(development.minutes),
        development.celsius,
        development.reason
    );
    let index = told
        .bench
        .film
        .exposure_index
        .or_else(|| Some(told.pairing.exposure_index(development.theta)?.value))
        .map_or_else(
            || "12.5 times that of the speed point".to_owned(),
            |index| format!("metered at exposure index {index:.0}"),
        );
    let _ = writeln!(out, "  exposure          {index}{}", over(camera.correction));
    let printed = &told.bench.printed;
    let what = match printed.print_for {
        PrintFor::Middle => "the metered tone prints as 18 % grey",
        PrintFor::Highlight => "the brightest tone prints at the highlight point",
        PrintFor::Shadow => "the darkest tone prints at the shadow point",
        PrintFor::Proof => "clear film prints at the shadow point",
    };
    let range = told
        .paper
        .measures
        .range_r
        .as_ref()
        .map_or_else(|_| String::new(), |r| format!("range R {}, ", quantity(r, 0)));
    let _ = writeln!(
        out,
        "  print             {range}Callier factor {}, {what}{}",
        printed.callier,
        over(printed.correction)
    );
}

fn over(stops: f64) -> String {
    if stops == 0.0 { String::new() } else { format!(", {stops:+.1} stops") }
}

fn table(told: &Told<'_>, out: &mut String) {
    let _ =
        writeln!(out, "\n  stops   log luminance   film log H   negative   paper log H   print");
    let (white, black) = told.chain.limits();
    for luminance in told.rows() {
        let tone = told.chain.tone(luminance);
        let mark = if tone.print > black {
            "  black"
        } else if tone.print < white {
            "  white"
        } else {
            ""
        };
        let _ = writeln!(
            out,
            "  {:>+5.1}   {:>13.2}   {:>10.2}   {:>8.2}   {:>11.2}   {:>5.2}{mark}",
            luminance / STOP,
            luminance,
            tone.film_exposure,
            tone.negative,
            tone.paper_exposure,
            tone.print
        );
    }
    out.push('\n');
}

/// What is lost at one end, in words.
pub fn lost(lost: Option<&Lost>, side: &str) -> String {
    let Some(lost) = lost else {
        return "kept".to_owned();
    };
    let cause = match lost.cause {
        Cause::Black => "they print black",
        Cause::White => "they print white",
        Cause::Flat(Link::Flare) => "they hardly differ, for flare veils them",
        Cause::Flat(Link::Film) => "they hardly differ in the flat end of the film's curve",
        Cause::Flat(Link::Paper) => "they hardly differ in the flat end of the paper's curve",
    };
    format!(
        "lost {side} {:+.1} stops ({:.1} stops of the scene): {cause}",
        lost.from / STOP,
        lost.stops
    )
}

fn remedies(told: &Told<'_>, out: &mut String) {
    if told.reproduction.lost_stops() < crate::printing::tone::NOTHING {
        return;
    }
    if told.remedies.is_empty() {
        out.push_str(
            "  no single change of development, exposure, print exposure or setting helps\n",
        );
        return;
    }
    out.push_str("  what would help (tried, one change at a time)\n");
    let changes: Vec<String> = told.remedies.iter().map(|m| change(told, m)).collect();
    let width = changes.iter().map(|c| c.chars().count()).max().unwrap_or(0);
    for (remedy, change) in told.remedies.iter().zip(&changes) {
        let left = if remedy.is_whole() {
            "keeps all".to_owned()
        } else {
            format!("still loses {:.1} stops", remedy.lost_stops)
        };
        let _ =
            writeln!(out, "    {change:<width$}   {left}, overall gradient {:.2}", remedy.gradient);
    }
}

/// A change in words.
pub fn change(told: &Told<'_>, remedy: &Remedy) -> String {
    match &remedy.change {
        Change::Development { theta, contrast } => {
            let minutes = told.development.minutes * theta / told.development.theta;
            let contrast = contrast.map_or(String::new(), |c| format!(", contrast index {c:.2}"));
            let (low, high) = told.pairing.law().range();
            let outside = if minutes < SHORTEST {
                ", too short to be even"
            } else if (low..=high).contains(theta) {
                ""
            } else {
                ", outside the strips"
            };
            format!("develop for {minutes:.1} min ({}){contrast}{outside}", rounded_clock(minutes))
        }
        Change::Exposure(stops) => format!("expose the film by {stops:+.1} stops"),
        Change::PrintExposure(stops) => format!("expose the print by {stops:+.1} stops"),
        Change::Setting { label, range_r } => format!("print at setting {label} (R {range_r:.0})"),
    }
}
