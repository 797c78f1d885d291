//! Names beside marks: each where it hides nothing, or nowhere.

use crate::figures::draw::{CAP_HEIGHT, Rect, Text, text_width};

/// Between a mark and its name.
const OFF: f64 = 4.0;
/// The same, where there is no room closer.
const FARTHER: f64 = 11.0;
/// Kept free around a name.
const CLEAR: f64 = 1.5;

/// The part of a plot that is still free for names.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    area: Rect,
    taken: Vec<Rect>,
    lines: Vec<[(f64, f64); 2]>,
}

impl Room {
    /// A free area.
    #[must_use]
    pub fn new(area: Rect) -> Self {
        Self { area, taken: Vec::new(), lines: Vec::new() }
    }

    /// Keeps names off a square about a mark.
    pub fn take_mark(&mut self, (x, y): (f64, f64), radius: f64) {
        self.taken.push(Rect {
            x: x - radius,
            y: y - radius,
            width: 2.0 * radius,
            height: 2.0 * radius,
        });
    }

    /// Keeps names off a line through points.
    pub fn take_line(&mut self, points: impl IntoIterator<Item = (f64, f64)>) {
        let mut before: Option<(f64, f64)> = None;
        for point in points {
            let drawn = Some(point).filter(|p| p.0.is_finite() && p.1.is_finite());
            if let (Some(from), Some(to)) = (before, drawn) {
                self.lines.push([from, to]);
            }
            before = drawn;
        }
    }

    /// The name beside a mark of this radius, at the first free one of eight places close to it
    /// and eight a little farther; the place is then taken.
    pub fn place(&mut self, name: &str, size: f64, at: (f64, f64), radius: f64) -> Option<Text> {
        let (width, height) = (text_width(name, size), CAP_HEIGHT * size);
        let boxed = |(x, baseline): (f64, f64)| Rect {
            x: x - CLEAR,
            y: baseline - height - CLEAR,
            width: width + 2.0 * CLEAR,
            // Descenders.
            height: height + 0.22 * size + 2.0 * CLEAR,
        };
        let close = places(at, radius, OFF, (width, height));
        let farther = places(at, radius, FARTHER, (width, height));
        let mut all = close.into_iter().chain(farther);
        let free = all.find(|p| self.is_free(&boxed(*p)))?;
        self.taken.push(boxed(free));
        Some(Text::new(name, free, size))
    }

    /// Takes a place, free or not.
    pub fn take(&mut self, place: Rect) {
        self.taken.push(place);
    }

    /// Takes a place if it is free; whether it was.
    pub fn take_if_free(&mut self, place: Rect) -> bool {
        let free = self.is_free(&place);
        if free {
            self.taken.push(place);
        }
        free
    }

    fn is_free(&self, place: &Rect) -> bool {
        let inside = self.area.contains((place.x, place.y))
            && self.area.contains((place.right(), place.bottom()));
        inside
            && !self.taken.iter().any(|r| overlap(r, place))
            && !self.lines.iter().any(|line| place.share_of(*line).is_some())
    }
}

/// Where a name may begin, on its baseline: the best place first.
fn places(at: (f64, f64), radius: f64, off: f64, (width, height): (f64, f64)) -> [(f64, f64); 8] {
    let (near, far) = (radius + off, 0.7 * radius + off);
    let (right, left, middle) = (at.0 + near, at.0 - near - width, at.0 - width / 2.0);
    let (above, below, level) = (at.1 - far, at.1 + far + height, at.1 + height / 2.0);
    [
        (right, below),
        (left, above),
        (right, above),
        (left, below),
        (right, level),
        (left, level),
        (middle, at.1 + near + height),
        (middle, at.1 - near),
    ]
}

fn overlap(a: &Rect, b: &Rect) -> bool {
    a.x < b.right() && b.x < a.right() && a.y < b.bottom() && b.y < a.bottom()
}

#[cfg(test)]
mod tests {
    use super::*;

    const AREA: Rect = Rect { x: 0.0, y: 0.0, width: 200.0, height: 100.0 };

    #[test]
    fn two_names_at_one_mark_stand_apart() {
        let mut room = Room::new(AREA);
        let places: Vec<(f64, f64)> =
            (0..4).map(|_| room.place("name", 11.0, (100.0, 50.0), 4.0).unwrap().at).collect();
        for (n, a) in places.iter().enumerate() {
            assert!(places[..n].iter().all(|b| a != b), "{places:?}");
        }
    }

    #[test]
    fn a_name_keeps_off_lines_and_inside() {
        let mut room = Room::new(AREA);
        room.take_line([(0.0, 58.0), (200.0, 58.0)]);
        let text = room.place("name", 11.0, (198.0, 50.0), 4.0).unwrap();
        assert!(text.at.1 < 50.0 && text.at.0 + text.width() < 198.0, "{text:?}");
    }

    #[test]
    fn no_room_no_name() {
        let mut room = Room::new(AREA);
        room.take_mark((100.0, 50.0), 120.0);
        assert_eq!(room.place("name", 11.0, (100.0, 50.0), 4.0), None);
    }
}
