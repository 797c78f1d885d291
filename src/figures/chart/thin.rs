//! Thinning out what stands closer than can be drawn.

use std::collections::HashSet;

/// Widest stretch of the page of which a line keeps only its ends and its extremes.
const COLUMN: f64 = 1.0;

/// The points of a line from left to right, without those that nobody could see: of all points in
/// one column of the page the first, the lowest, the highest and the last are kept.
pub(super) fn line(points: impl Iterator<Item = (f64, f64)>) -> Vec<(f64, f64)> {
    let points: Vec<(f64, f64)> = points.collect();
    let column = |p: &(f64, f64)| (p.0 / COLUMN).floor();
    let mut kept = Vec::new();
    for group in points.chunk_by(|a, b| column(a) == column(b)) {
        if group.len() <= 4 {
            kept.extend_from_slice(group);
            continue;
        }
        let (mut low, mut high) = (0, 0);
        for (n, p) in group.iter().enumerate() {
            if p.1 < group[low].1 {
                low = n;
            }
            if p.1 > group[high].1 {
                high = n;
            }
        }
        let mut places = [0, low, high, group.len() - 1];
        places.sort_unstable();
        let mut last = None;
        for place in places {
            if last.replace(place) != Some(place) {
                kept.push(group[place]);
            }
        }
    }
    kept
}

/// Marks without those that would cover another one exactly: to half a page unit.
pub(super) fn marks(points: impl Iterator<Item = (f64, f64)>) -> Vec<(f64, f64)> {
    let mut seen = HashSet::new();
    let place = |p: &(f64, f64)| ((2.0 * p.0).round() as i64, (2.0 * p.1).round() as i64);
    points.filter(|p| seen.insert(place(p))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn extremes_are_kept_and_few_points_stay() {
        let dense: Vec<(f64, f64)> = (0..5000)
            .map(|n| {
                let off = if n == 1234 { 40.0 } else { f64::from(n % 7) };
                (f64::from(n) * 0.02, off)
            })
            .collect();
        let kept = line(dense.iter().copied());
        assert!(kept.len() <= 400 && kept.contains(&dense[1234]));
        assert_eq!((kept[0], kept.last()), (dense[0], dense.last()));
        assert!(kept.windows(2).all(|w| w[0].0 <= w[1].0));
        let sparse = [(0.0, 1.0), (5.0, 2.0), (9.0, 0.0)];
        assert_eq!(line(sparse.into_iter()), sparse);
    }

    #[test]
    fn equal_marks_are_drawn_once() {
        let points = [(1.0, 1.0), (1.1, 1.1), (9.0, 1.0)];
        assert_eq!(marks(points.into_iter()).len(), 2);
    }
}
