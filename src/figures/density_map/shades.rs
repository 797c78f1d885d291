//! The grey scale: steps of density, darker where the film is denser, and its bar.

use crate::figures::chart::{TICK_TEXT, Ticks, bounds};
use crate::figures::draw::{Colour, GREY, Paint, Path, RULE, Rect, Scene, Stroke, Text};
use crate::words::number;

/// Grey of the thinnest and of the densest step; ink stays legible on both.
const GREYS: (f64, f64) = (248.0, 148.0);
/// Steps of the scale, about.
const STEPS: usize = 9;
/// Smallest range of densities that is spread over the scale.
const LEAST: f64 = 0.02;
const BAR: (f64, f64) = (20.0, 200.0);
const TITLE: f64 = 12.0;

/// A scale of greys.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Shades {
    /// Lower bounds of the steps, and the end of the last.
    levels: Vec<f64>,
    decimals: usize,
}

impl Shades {
    /// A scale that shows all of the values.
    pub fn of(values: impl IntoIterator<Item = f64>) -> Self {
        let (low, high) = bounds(values).unwrap_or((0.0, LEAST));
        let lacking = (LEAST - (high - low)).max(0.0) / 2.0;
        let (low, high) = (low - lacking, high + lacking);
        let ticks = Ticks::nice((low, high), STEPS);
        let [first, second, ..] = ticks.major[..] else {
            let levels = vec![low, high];
            return Self { levels, decimals: 2 };
        };
        let step = second - first;
        let start = (low / step + 1e-6).floor() * step;
        let count = ((high - start) / step - 1e-6).ceil().max(1.0) as u32;
        Self {
            levels: (0..=count).map(|k| start + step * f64::from(k)).collect(),
            decimals: ticks.decimals,
        }
    }

    /// The steps: lower bound and paint.
    pub fn steps(&self) -> impl Iterator<Item = (f64, Paint)> + '_ {
        let last = (self.levels.len() - 2).max(1) as f64;
        self.levels[..self.levels.len() - 1].iter().enumerate().map(move |(k, level)| {
            let share = k as f64 / last;
            let grey = (GREYS.0 + share * (GREYS.1 - GREYS.0)).round() as u8;
            let colour = Colour { red: grey, green: grey, blue: grey };
            (*level, Paint::filled(colour))
        })
    }

    /// The levels between steps.
    pub fn between(&self) -> &[f64] {
        self.levels.get(1..self.levels.len() - 1).unwrap_or(&[])
    }

    /// The distance of two levels, in words.
    pub fn step_in_words(&self) -> String {
        let step = self.levels[1] - self.levels[0];
        number(step, self.decimals)
    }

    /// The label of a level; with its sign where levels are differences.
    pub fn label(&self, level: f64, signed: bool) -> String {
        let text = number(level, self.decimals);
        let zero = text.bytes().all(|b| matches!(b, b'0' | b'.'));
        if signed && level > 0.0 && !zero { format!("+{text}") } else { text }
    }

    /// Draws the bar with its top left corner at a position; gives its height.
    pub fn draw_bar(&self, scene: &mut Scene, (left, top): (f64, f64), titles: &[&str]) -> f64 {
        let mut y = top;
        for title in titles {
            scene.text(Text::new(title, (left, y + 0.75 * TITLE), TITLE).coloured(GREY));
            y += TITLE + 4.0;
        }
        y += 8.0;
        let signed = self.levels[0] < 0.0;
        let count = self.levels.len() - 1;
        let each = BAR.1 / count as f64;
        for (k, (_, paint)) in self.steps().enumerate() {
            let step =
                Rect { x: left, y: y + BAR.1 - each * (k + 1) as f64, width: BAR.0, height: each };
            scene.shape(Path::rect(step), paint);
        }
        let bar = Rect { x: left, y, width: BAR.0, height: BAR.1 };
        let mut ticks = Path::default();
        for (k, level) in self.levels.iter().enumerate() {
            let at = y + BAR.1 - each * k as f64;
            ticks.add_line([(left, at), (left + BAR.0 + 4.0, at)]);
            let label = self.label(*level, signed);
            scene.text(Text::new(label, (left + BAR.0 + 9.0, at), TICK_TEXT).centred());
        }
        scene.shape(ticks, Stroke::solid(RULE, 0.8));
        scene.shape(Path::rect(bar), Stroke::solid(RULE, 1.0));
        y + BAR.1 + 0.5 * TICK_TEXT - top
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_hold_all_values() {
        let shades = Shades::of([0.803, 0.871, 0.84]);
        assert!(shades.levels[0] <= 0.803 && *shades.levels.last().unwrap() >= 0.871);
        assert_eq!(shades.step_in_words(), "0.01");
        assert_eq!(shades.label(0.8, false), "0.80");
        let even = Shades::of([0.8, 0.8]);
        assert!(even.levels.len() >= 2 && even.levels[0] < 0.8);
        assert!(Shades::of([]).levels.len() >= 2);
    }

    #[test]
    fn denser_is_darker() {
        let shades = Shades::of([-0.04, 0.05]);
        let greys: Vec<u8> = shades.steps().map(|(_, p)| p.fill.unwrap().0.red).collect();
        assert!(greys.windows(2).all(|pair| pair[0] > pair[1]), "{greys:?}");
        assert_eq!(shades.label(0.02, true), "+0.02");
        assert_eq!(shades.label(0.0, true), "0.00");
    }
}
