//! Strips distinguished by the temperature of their bath.

use super::STRIP;
use crate::figures::chart::{Layer, Panel, SeriesStyle, key};
use crate::figures::draw::{INK, Stroke};
use crate::measures::Quantity;
use crate::words::{counted, degrees};

/// Temperatures that the legend lists.
const LISTED: usize = 8;
const BAR: f64 = 1.1;

/// The temperatures of some strips: the reference temperature first, then the others from the
/// coldest; in tenths of a degree, with the number of strips.
pub(super) struct Temperatures {
    kinds: Vec<(i32, usize)>,
    reference: i32,
}

fn tenths(celsius: f64) -> i32 {
    (celsius * 10.0).round() as i32
}

impl Temperatures {
    pub fn of(celsius: impl Iterator<Item = f64>, reference: f64) -> Self {
        let reference = tenths(reference);
        let mut kinds: Vec<(i32, usize)> = Vec::new();
        for kind in celsius.map(tenths) {
            match kinds.iter_mut().find(|(known, _)| *known == kind) {
                Some((_, count)) => *count += 1,
                None => kinds.push((kind, 1)),
            }
        }
        kinds.sort_by_key(|(kind, _)| (*kind != reference, *kind));
        Self { kinds, reference }
    }

    /// How strips of a temperature are drawn.
    fn style(&self, kind: i32) -> SeriesStyle {
        if kind == self.reference {
            return SeriesStyle { colour: INK, ..SeriesStyle::nth(0) };
        }
        let place = self.kinds.iter().position(|(known, _)| *known == kind);
        let reference_present = self.kinds.first().is_some_and(|(k, _)| *k == self.reference);
        SeriesStyle::nth(place.unwrap_or(self.kinds.len()) + usize::from(!reference_present))
    }

    /// Adds the marks of strips with their intervals, from temperature, minutes and value; and the
    /// temperatures to the legend, where it is wanted.
    pub fn show(
        &self,
        panel: &mut Panel,
        strips: impl Iterator<Item = (f64, f64, Quantity)>,
        listed: bool,
    ) {
        let strips: Vec<(i32, f64, Quantity)> = strips.map(|s| (tenths(s.0), s.1, s.2)).collect();
        for (n, &(kind, count)) in self.kinds.iter().enumerate() {
            let style = self.style(kind);
            let own = || strips.iter().filter(|s| s.0 == kind);
            let bars = own().map(|(_, x, q)| [(*x, q.low), (*x, q.high)]).collect();
            let points = own().map(|(_, x, q)| (*x, q.value)).collect();
            let count = counted(count, "strip");
            let entry = key(degrees(f64::from(kind) / 10.0)).with_detail(match kind {
                k if k == self.reference => format!("reference, {count}"),
                _ => count,
            });
            panel.show(
                Some(entry).filter(|_| listed && n < LISTED),
                [
                    Layer::Bars(bars, Stroke::solid(style.colour, BAR)),
                    Layer::Points(points, style.marker, STRIP, style.open_mark(1.4)),
                ],
            );
        }
        if listed && self.kinds.len() > LISTED {
            panel.entry(key(format!("and {} more temperatures", self.kinds.len() - LISTED)));
        }
        if listed && !self.kinds.is_empty() {
            let bar = Layer::Bars(Vec::new(), Stroke::solid(INK, BAR));
            panel.sample("95 % interval of a strip", &bar);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reference_comes_first_and_all_differ() {
        let baths = [24.0, 18.0, 20.04, 20.0];
        let groups = Temperatures::of(baths.into_iter(), 20.0);
        assert_eq!(groups.kinds, [(200, 2), (180, 1), (240, 1)]);
        let styles = [200, 180, 240].map(|kind| groups.style(kind));
        for (n, a) in styles.iter().enumerate() {
            assert!(styles[..n].iter().all(|b| a.marker != b.marker));
        }
    }
}
