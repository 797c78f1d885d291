//! A control chart in one line of text.

use super::chart::{Chart, Standing};
use super::plan::Basis;
use super::shown;

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
            Self::Ascii => text
                .replace('−', "-")
                .chars()
                .map(|c| if c.is_ascii() { c } else { '?' })
                .collect(),
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
/// The sparkline runs from limit to limit (those of the last stretch; the tolerances where these
/// are all there is), else from the lowest to the highest value shown. Values are on the scale of
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
            let (before, after) = if n == 1 {
                (pad, String::new())
            } else {
                (String::new(), pad)
            };
            line.push_str(&format!("{before}{cell}{after}  "));
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

fn row(chart: &Chart, width: usize, alphabet: Alphabet) -> [String; 5] {
    let points = chart.points();
    let first = points.len().saturating_sub(width);
    let values: Vec<f64> = points[first..].iter().map(|p| p.value).collect();
    let number = |v: f64| shown(v, chart.plan().decimals);
    let stretch = chart.last_stretch();
    let lowest = values.iter().copied().fold(f64::INFINITY, f64::min);
    let highest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let (range, limits) = match (&stretch.control, &stretch.tolerance) {
        (Ok(c), _) => {
            let kind = match (c.provisional, chart.plan().basis) {
                (true, _) => "provisional limits",
                (false, Basis::Given { .. }) => "given limits",
                _ => "limits",
            };
            // Limits are finer than readings.
            let fine = |v| shown(v, chart.plan().decimals + 1);
            (
                (c.lower, c.upper),
                format!(
                    "centre {}, {kind} {} to {}",
                    fine(c.centre),
                    fine(c.lower),
                    fine(c.upper)
                ),
            )
        }
        (Err(_), Some(t)) => {
            let words = match (t.lower(), t.upper()) {
                (Some(low), Some(high)) => format!("{} to {}", number(low), number(high)),
                (Some(low), None) => format!("from {}", number(low)),
                (None, high) => format!("to {}", number(high.unwrap_or(f64::NAN))),
            };
            (
                (t.lower().unwrap_or(lowest), t.upper().unwrap_or(highest)),
                format!("aim {}, tolerance {words}", number(t.aim)),
            )
        }
        (Err(_), None) => ((lowest, highest), "no limits yet".to_owned()),
    };
    [
        chart.plan().name.clone(),
        sparkline(&values, range, width, alphabet),
        format!("last {}", number(chart.last().value)),
        limits,
        standing(chart),
    ]
}

/// How the bath stands, in words: "steady", or "watch" or "out" with the gravest rule that fires at
/// the last strip, how many more do, and since when.
#[must_use]
pub fn standing(chart: &Chart) -> String {
    let word = match chart.standing() {
        Err(why) => return why,
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
