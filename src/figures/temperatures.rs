//! Strips told apart by the temperature of their bath.

use super::chart::{Entry, SeriesStyle, Swatch, interval_bar};
use super::draw::{INK, Scene, Stroke};
use crate::units::Celsius;
use crate::words::number;

/// Radius of a strip's mark.
pub(super) const STRIP: f64 = 4.4;
/// Temperatures that the legend lists.
const LISTED: usize = 8;
const OUTLINE: f64 = 1.4;
const BAR: f64 = 1.1;

/// The temperatures of some strips, each with a style: the reference temperature first, then the
/// others from the coldest, then the unknown.
pub(super) struct Temperatures {
    /// In tenths of a degree, with the number of strips.
    kinds: Vec<(Option<i32>, usize)>,
    reference: Option<i32>,
}

/// A temperature in tenths of a degree, if it can be that of a bath.
fn tenths(celsius: f64) -> Option<i32> {
    let celsius = Celsius::new(celsius).ok()?;
    Some((celsius.get() * 10.0).round() as i32)
}

/// A temperature in words, with a decimal where it has one.
pub(super) fn degrees(celsius: f64) -> String {
    match tenths(celsius) {
        Some(t) if t % 10 == 0 => format!("{} °C", t / 10),
        Some(t) => format!("{} °C", number(f64::from(t) / 10.0, 1)),
        None => "unknown temperature".to_owned(),
    }
}

impl Temperatures {
    pub fn of(celsius: impl Iterator<Item = f64>, reference: f64) -> Self {
        let reference = tenths(reference);
        let mut kinds: Vec<(Option<i32>, usize)> = Vec::new();
        for kind in celsius.map(tenths) {
            match kinds.iter_mut().find(|(known, _)| *known == kind) {
                Some((_, count)) => *count += 1,
                None => kinds.push((kind, 1)),
            }
        }
        let rank = |kind: Option<i32>| (kind.is_none(), kind != reference, kind);
        kinds.sort_by_key(|(kind, _)| rank(*kind));
        Self { kinds, reference }
    }

    /// How strips of this temperature are drawn.
    pub fn style(&self, celsius: f64) -> SeriesStyle {
        let kind = tenths(celsius);
        if kind.is_some() && kind == self.reference {
            return SeriesStyle { colour: INK, ..SeriesStyle::nth(0) };
        }
        let reference_present =
            self.reference.is_some() && self.place(self.reference) < self.kinds.len();
        SeriesStyle::nth(self.place(kind) + usize::from(!reference_present))
    }

    fn place(&self, kind: Option<i32>) -> usize {
        let known = self.kinds.iter().position(|(known, _)| *known == kind);
        known.unwrap_or(self.kinds.len())
    }

    /// The marks by temperature, and what the bars mean.
    pub fn entries(&self) -> Vec<Entry> {
        let mut entries: Vec<Entry> = Vec::new();
        for &(kind, count) in self.kinds.iter().take(LISTED) {
            let celsius = kind.map_or(f64::NAN, |t| f64::from(t) / 10.0);
            let style = self.style(celsius);
            let sample = (Swatch::Mark(style.marker, STRIP), style.open_mark(OUTLINE));
            let strips = match count {
                1 => "1 strip".to_owned(),
                n => format!("{n} strips"),
            };
            let detail = match kind {
                Some(_) if kind == self.reference => format!("reference, {strips}"),
                _ => strips,
            };
            entries.push(Entry::new(degrees(celsius), vec![sample]).with_detail(detail));
        }
        if self.kinds.len() > LISTED {
            let more = format!("and {} more temperatures", self.kinds.len() - LISTED);
            entries.push(Entry::new(more, Vec::new()));
        }
        if !self.kinds.is_empty() {
            let sample = (Swatch::Interval, Stroke::solid(INK, BAR).into());
            entries.push(Entry::new("95 % interval of a strip", vec![sample]));
        }
        entries
    }
}

/// Draws a mark with its interval bars, given by their ends on the page.
pub(super) fn draw_mark(
    scene: &mut Scene,
    style: SeriesStyle,
    at: (f64, f64),
    bars: &[[(f64, f64); 2]],
) {
    for [from, to] in bars {
        let bar = interval_bar(*from, *to);
        scene.shape(bar, Stroke::solid(style.colour, BAR));
    }
    scene.shape(style.marker.path([at], STRIP), style.open_mark(OUTLINE));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reference_comes_first_and_the_unknown_last() {
        let baths = [24.0, f64::NAN, 18.0, 20.04, 20.0, 90.0];
        let groups = Temperatures::of(baths.into_iter(), 20.0);
        let words: Vec<String> = groups.entries().into_iter().map(|e| e.words).collect();
        assert_eq!(words[..3], ["20 °C", "18 °C", "24 °C"]);
        assert_eq!(words[3], "unknown temperature");
        let styles = [20.0, 18.0, 24.0, f64::NAN].map(|c| groups.style(c));
        for (n, a) in styles.iter().enumerate() {
            assert!(styles[..n].iter().all(|b| a.marker != b.marker));
        }
    }

    #[test]
    fn degrees_have_a_decimal_where_they_need_one() {
        assert_eq!([20.0, 21.5].map(degrees), ["20 °C", "21.5 °C"]);
    }
}
