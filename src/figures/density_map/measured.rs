//! The density map of frames that were measured.

use super::{DensityMapFigure, FieldGrid, MapFrame, MapPanel, MapPlace};
use crate::evenness::{Evenness, Field, FrameEvenness};

/// Nodes of the field's grid along the longer side, of the large panel and of small ones.
const NODES: (usize, usize) = (49, 25);

impl DensityMapFigure {
    /// The map of what was measured: the only frame, or what all have in common above the frames.
    #[must_use]
    pub fn of(evenness: &Evenness, subtitle: Option<String>) -> Self {
        let several = evenness.together.is_some();
        let (title, large) = match evenness.frames.as_slice() {
            [only] if !several => {
                (format!("Evenness of frame {}", only.name), panel(evenness, only, false, NODES.0))
            }
            frames => (format!("Evenness of {} frames", frames.len()), together(evenness)),
        };
        let small = evenness.frames.iter().filter(|_| several);
        Self {
            title,
            subtitle,
            frame: MapFrame { along: evenness.geometry.along, across: evenness.geometry.across },
            large,
            small: small.map(|f| panel(evenness, f, true, NODES.1)).collect(),
        }
    }
}

/// The field over what was read, less `mean`.
fn grid(evenness: &Evenness, field: Option<&Field>, mean: f64, nodes: usize) -> FieldGrid {
    let Some(field) = field else {
        return FieldGrid::default();
    };
    let geometry = &evenness.geometry;
    let (x, y) = (geometry.read_along, geometry.read_across);
    let side = |(low, high): (f64, f64)| high - low;
    let longer = side(x).max(side(y));
    let count = |s: f64| ((nodes as f64 * s / longer).ceil() as usize).max(2);
    FieldGrid::of(x, y, (count(side(x)), count(side(y))), |x, y| field.at(geometry, x, y).0 - mean)
}

fn panel(evenness: &Evenness, frame: &FrameEvenness, relative: bool, nodes: usize) -> MapPanel {
    let mean = frame.pattern.mean.as_ref().map_or_else(|_| frame.places.mean(), |q| q.value);
    let level = if relative { mean } else { 0.0 };
    let place = |i: usize| MapPlace {
        x: frame.places.x[i],
        y: frame.places.y[i],
        value: frame.places.density[i] - level,
        spot: frame.spots.iter().find(|s| s.index == i).map(|s| s.size.value),
    };
    MapPanel {
        name: format!("frame {}", frame.name),
        detail: format!("mean {mean:.2}"),
        relative,
        field: grid(evenness, frame.field.as_ref(), level, nodes),
        places: (0..frame.places.len()).map(place).collect(),
    }
}

/// What all frames have in common: each about its own mean, spots left out.
fn together(evenness: &Evenness) -> MapPanel {
    let mut places: Vec<(MapPlace, f64)> = Vec::new();
    for frame in &evenness.frames {
        let Ok(mean) = &frame.pattern.mean else {
            continue;
        };
        for i in 0..frame.places.len() {
            if frame.spots.iter().any(|s| s.index == i) {
                continue;
            }
            let (x, y) = (frame.places.x[i], frame.places.y[i]);
            let value = frame.places.density[i] - mean.value;
            match places.iter_mut().find(|(p, _)| p.x == x && p.y == y) {
                Some((place, count)) => {
                    *count += 1.0;
                    place.value += (value - place.value) / *count;
                }
                None => places.push((MapPlace { x, y, value, spot: None }, 1.0)),
            }
        }
    }
    let places: Vec<MapPlace> = places.into_iter().map(|(place, _)| place).collect();
    let field = evenness.together.as_ref().and_then(|t| t.field.as_ref());
    let mean = field.map_or(0.0, |field| {
        let at = |p: &MapPlace| field.at(&evenness.geometry, p.x, p.y).0;
        places.iter().map(at).sum::<f64>() / places.len().max(1) as f64
    });
    MapPanel {
        name: "all frames together".to_owned(),
        detail: "each about its own mean".to_owned(),
        relative: true,
        field: grid(evenness, field, mean, NODES.0),
        places,
    }
}
