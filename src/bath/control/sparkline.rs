//! A control chart in one line of text.

use super::chart::Chart;

/// What a sparkline is made of, from low to high.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Alphabet {
    /// Block characters: ▁▂▃▄▅▆▇█.
    #[default]
    Blocks,
    /// Plain ASCII: `_.-=+*#^`.
    Ascii,
}

/// Levels of a sparkline: the lowest and the highest are for what is outside the limits.
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

impl Chart {
    /// The last `width` points as a [`sparkline`], each by the limits of its own stretch (the tolerances
    /// where these are all there is), else from the lowest to the highest value.
    #[must_use]
    pub fn sparkline(&self, width: usize, alphabet: Alphabet) -> String {
        let first = self.points().len().saturating_sub(width);
        let value = |n: usize| self.points()[n].value;
        let stretches = self.stretches().iter().filter(|s| s.points.end > first);
        stretches
            .map(|stretch| {
                let places = stretch.points.start.max(first)..stretch.points.end;
                let values: Vec<f64> = places.map(value).collect();
                let lowest = values.iter().copied().fold(f64::INFINITY, f64::min);
                let highest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                let range = match (&stretch.control, &stretch.tolerance) {
                    (Ok(control), _) => (control.lower, control.upper),
                    (Err(_), Some(t)) => {
                        (t.lower().unwrap_or(lowest), t.upper().unwrap_or(highest))
                    }
                    (Err(_), None) => (lowest, highest),
                };
                sparkline(&values, range, values.len(), alphabet)
            })
            .collect()
    }
}
