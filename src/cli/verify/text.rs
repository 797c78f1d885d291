//! A verification as text.

use super::{Controls, Verified};
use crate::bath::limits::{Allowed, Verdict};
use crate::bath::verify::{Action, Watched, WatchedReading};
use crate::cli::inputs::{quantity, time};
use std::fmt::Write;

/// Where the maker's sheet is asked for.
const CAUTION: &str =
    "before a bath is poured away: see the maker's safety sheet and the local rules for disposal";

/// The report on one control strip.
pub fn report(controls: &Controls, verified: &Verified) -> String {
    let v = &verified.verification;
    let mut out = format!(
        "{}: control strip {}, {} min at {} °C\n",
        controls.pairing, verified.name, verified.minutes, verified.celsius
    );
    let _ = writeln!(out, "  activity          {}", quantity(&v.activity, 3));
    let _ = writeln!(out, "\n  {:<36}{:>8}{:>8}   {:<28}limits", "", "strip", "aim", "off its aim");
    for w in &v.watched {
        line(&mut out, w);
    }
    let _ = writeln!(out, "  limits: {}\n", controls.limits.name);
    let _ = writeln!(out, "  in spec           {}", if v.in_spec { "yes" } else { "no" });
    let _ = match &v.minutes_to_restore {
        Ok(q) if v.time_can_restore => writeln!(out, "  time restores it  yes: {}", time(q)),
        Ok(_) => writeln!(out, "  time restores it  no"),
        Err(why) => writeln!(out, "  time restores it  no: {why}"),
    };
    let _ = writeln!(out, "  {:<18}{}", v.action.word(), v.why);
    for note in &v.notes {
        let _ = writeln!(out, "  note: {note}");
    }
    if v.action == Action::Replace {
        let _ = writeln!(out, "  caution: {CAUTION}");
    }
    out
}

fn line(out: &mut String, w: &WatchedReading) {
    let Ok(deviation) = &w.deviation else { return };
    let decimals = if w.what == Watched::Speed
        || w.what == Watched::Contrast
        || w.what == Watched::BasePlusFog
    {
        3
    } else {
        2
    };
    let number = |v: Option<f64>| v.map_or("none".to_owned(), |v| format!("{v:.decimals$}"));
    let verdict = match (w.verdict, &w.allowed) {
        (Some(Verdict::Within), Some(a)) => allowed(a),
        (Some(Verdict::Below), Some(a)) => format!("{}  below", allowed(a)),
        (Some(Verdict::Above), Some(a)) => format!("{}  above", allowed(a)),
        (None, Some(_)) => "not judged".to_owned(),
        _ => String::new(),
    };
    let off = format!("{:+.3} ({:+.3} to {:+.3})", deviation.value, deviation.low, deviation.high);
    let row = format!(
        "  {:<36}{:>8}{:>8}   {off:<28}{verdict}",
        w.name,
        number(w.reading.as_ref().ok().map(|q| q.value)),
        number(w.aim)
    );
    let _ = writeln!(out, "{}", row.trim_end());
}

/// "±0.05", "−0.10 to +0.05", "up to +0.03".
fn allowed(a: &Allowed) -> String {
    match (a.lower(), a.upper()) {
        (Some(l), Some(u)) if (l + u).abs() < 1e-12 => format!("±{u:.2}"),
        (Some(l), Some(u)) => format!("{l:+.2} to {u:+.2}"),
        (Some(l), None) => format!("down to {l:+.2}"),
        (None, Some(u)) => format!("up to {u:+.2}"),
        (None, None) => String::new(),
    }
}
