//! A control chart in one line of text.

use super::chart::{Chart, Standing};
use crate::words::number as shown;

/// What a sparkline is made of, from low to high.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Alphabet {
    /// Block characters: ▁▂▃▄▅▆▇█.
    #[default]
    Blocks,
    /// Plain ASCII: `_.-=+*#^`; words are kept plain too.
    Ascii,
}

/// Levels of a sparkline: the lowest and the highest are for what lies beyond the limits.
const LEVELS: usize = 8;

impl Alphabet {
    const fn characters(self) -> [char; LEVELS] {
        match self {
            Self::Blocks => ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'],
            Self::Ascii => ['_', '.', '-', '=', '+', '*', '#', '^'],
        }
    }

    const fn gap(self) -> char {
        match self {
            Self::Blocks => '·',
            Self::Ascii => ' ',
        }
    }

    /// A text in these characters.
    fn plain(self, text: String) -> String {
        match self {
            Self::Blocks => text,
            Self::Ascii => {
                text.replace('−', "-").chars().map(|c| if c.is_ascii() { c } else { '?' }).collect()
            }
        }
    }
}

/// The last `width` values as one character each. `low` to `high` has six heights; what is below or
/// above it is the lowest or the highest character, which thus always means "beyond". A value that
/// is no number is a dot (in ASCII a space).
///
/// ```
/// use wedgebook::bath::control::{Alphabet, sparkline};
///
/// let values = [0.58, 0.61, 0.63, 0.66, 0.72];
/// assert_eq!(sparkline(&values, (0.57, 0.69), 40, Alphabet::Blocks), "▂▄▅▆█");
/// ```
#[must_use]
pub fn sparkline(values: &[f64], (low, high): (f64, f64), width: usize, a: Alphabet) -> String {
    let characters = a.characters();
    let inner = (LEVELS - 2) as f64;
    let slack = 1e-9 * (high - low).abs();
    let of = |value: f64| {
        if value < low - slack {
            characters[0]
        } else if value > high + slack {
            characters[LEVELS - 1]
        } else if value.is_nan() {
            a.gap()
        } else if high > low {
            let height = ((value - low) / (high - low) * inner).clamp(0.0, inner - 1.0);
            characters[1 + height as usize]
        } else {
            characters[LEVELS / 2]
        }
    };
    let first = values.len().saturating_sub(width);
    values[first..].iter().map(|v| of(*v)).collect()
}

/// One line a chart, in columns: name, sparkline of the last `width` values, last value, centre,
/// limits, and how the bath stands.
///
/// The sparkline runs from limit to limit of each stretch (the tolerances where these are all there
/// is), else from the lowest to the highest value. Numbers are of the last stretch. Values are on the scale of
/// the first batch of strips, as on the chart.
#[must_use]
pub fn sparklines(charts: &[Chart], width: usize, alphabet: Alphabet) -> String {
    let rows: Vec<[String; 5]> = charts
        .iter()
        .map(|chart| row(chart, width, alphabet).map(|cell| alphabet.plain(cell)))
        .collect();
    let mut widths = [0; 5];
    for row in &rows {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = (*width).max(cell.chars().count());
        }
    }
    let mut text = String::new();
    for row in &rows {
        let mut line = String::new();
        for (n, (cell, width)) in row.iter().zip(widths).enumerate() {
            let pad = " ".repeat(width - cell.chars().count());
            // The newest values of all sparklines stand below one another.
            let (before, after) = if n == 1 { (pad, String::new()) } else { (String::new(), pad) };
            line.push_str(&format!("{before}{cell}{after}  "));
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

fn row(chart: &Chart, width: usize, alphabet: Alphabet) -> [String; 5] {
    let last = format!("last {}", shown(chart.last().value, chart.plan().decimals));
    [chart.plan().name.clone(), drawn(chart, width, alphabet), last, limits(chart), standing(chart)]
}

/// The sparkline of the last points, each by the limits of its own stretch.
fn drawn(chart: &Chart, width: usize, alphabet: Alphabet) -> String {
    let first = chart.points().len().saturating_sub(width);
    let value = |n: usize| chart.points()[n].value;
    let stretches = chart.stretches().iter().filter(|s| s.points.end > first);
    stretches
        .map(|stretch| {
            let places = stretch.points.start.max(first)..stretch.points.end;
            let values: Vec<f64> = places.map(value).collect();
            let lowest = values.iter().copied().fold(f64::INFINITY, f64::min);
            let highest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let range = match (&stretch.control, &stretch.tolerance) {
                (Ok(control), _) => (control.lower, control.upper),
                (Err(_), Some(t)) => (t.lower().unwrap_or(lowest), t.upper().unwrap_or(highest)),
                (Err(_), None) => (lowest, highest),
            };
            sparkline(&values, range, values.len(), alphabet)
        })
        .collect()
}

/// Centre and limits of the last stretch in words.
fn limits(chart: &Chart) -> String {
    let stretch = chart.last_stretch();
    let decimals = chart.plan().decimals;
    let number = |v: f64| shown(v, decimals);
    // Limits are finer than readings.
    let fine = |v: f64| shown(v, decimals + 1);
    match (&stretch.control, &stretch.tolerance) {
        (Ok(c), _) => {
            let kind = match (c.provisional, c.values) {
                (true, _) => "provisional limits",
                (false, 0) => "given limits",
                (false, _) => "limits",
            };
            let [centre, lower, upper] = [c.centre, c.lower, c.upper].map(fine);
            format!("centre {centre}, {kind} {lower} to {upper}")
        }
        (Err(_), Some(t)) => {
            let words = match (t.lower().map(number), t.upper().map(number)) {
                (Some(low), Some(high)) => format!("{low} to {high}"),
                (Some(low), None) => format!("from {low}"),
                (None, high) => format!("to {}", high.unwrap_or_default()),
            };
            format!("aim {}, tolerance {words}", number(t.aim))
        }
        (Err(_), None) => "no limits yet".to_owned(),
    }
}

/// How the bath stands, in words: "steady", or "watch" or "out" with the gravest rule that fires at
/// the last strip, how many more do, and since when.
#[must_use]
pub fn standing(chart: &Chart) -> String {
    let word = match chart.standing() {
        Err(why) => return why.to_string(),
        Ok(Standing::Steady) => return "steady".to_owned(),
        Ok(Standing::Watch) => "watch",
        Ok(Standing::Out) => "out",
    };
    let rules = chart.last_signals();
    let gravest = rules.first().map_or("", |s| s.rule.words());
    let more = match rules.len() {
        0 | 1 => String::new(),
        2 => " and 1 more rule".to_owned(),
        n => format!(" and {} more rules", n - 1),
    };
    let since = match chart.since() {
        Some(date) if date < chart.last().date => format!(" (signals since {date})"),
        _ => String::new(),
    };
    format!("{word}: {gravest}{more}{since}")
}
