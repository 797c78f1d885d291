//! What a panel draws: lines, bands, points, bars and rules, in the values of its axes.

use super::legend::Swatch;
use super::marker::{Marker, add_interval_bar};
use super::plot::Plot;
use super::thin;
use crate::figures::draw::{Paint, Path, Rect, Scene, Stroke};

/// From the left edge to the marks of what has no place across, in page units.
pub const EDGE_INSET: f64 = 12.0;

type Free = Box<dyn Fn(&Plot, &mut Scene)>;
/// A line through points.
type Points = Vec<(f64, f64)>;
/// A mark's place, and its radius.
type Spot = ((f64, f64), f64);

/// One layer. A coordinate that is no number breaks a line and leaves out a point.
pub enum Layer {
    /// A line through points.
    Line(Vec<(f64, f64)>, Stroke),
    /// The area between two curves, from (x, low, high).
    Band(Vec<(f64, f64, f64)>, Paint),
    /// Marks of a shape and a radius in page units.
    Points(Vec<(f64, f64)>, Marker, f64, Paint),
    /// Bars with a cap across each end.
    Bars(Vec<[(f64, f64); 2]>, Stroke),
    /// Marks at the left edge at these heights: they have no place across.
    AtEdge(Vec<f64>, f64, Paint),
    /// Rules from edge to edge at these heights.
    Across(Vec<f64>, Stroke),
    /// Rules from the bottom to the top at these places.
    Upright(Vec<f64>, Stroke),
    /// Whatever else; it has no sample in the legend and sets no range.
    Free(Free),
}

impl Layer {
    /// Anything that is drawn on the plot.
    pub fn free(draw: impl Fn(&Plot, &mut Scene) + 'static) -> Self {
        Self::Free(Box::new(draw))
    }

    /// Whether there is nothing to draw.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        match self {
            Self::Line(points, _) | Self::Points(points, ..) => points.is_empty(),
            Self::Band(edges, _) => edges.is_empty(),
            Self::Bars(bars, _) => bars.is_empty(),
            Self::AtEdge(at, ..) | Self::Across(at, _) | Self::Upright(at, _) => at.is_empty(),
            Self::Free(_) => false,
        }
    }

    /// What lies below and what above, where nothing else is asked for.
    pub(super) const fn height(&self) -> u8 {
        match self {
            Self::Band(..) => 0,
            Self::Across(..) | Self::Upright(..) => 2,
            Self::Free(_) => 3,
            Self::Line(..) => 4,
            Self::Bars(..) => 5,
            Self::Points(..) | Self::AtEdge(..) => 6,
        }
    }

    /// The sample in the legend.
    pub(super) fn sample(&self) -> Option<(Swatch, Paint)> {
        Some(match self {
            Self::Line(_, stroke) | Self::Across(_, stroke) | Self::Upright(_, stroke) => {
                (Swatch::Line, Paint::from(*stroke))
            }
            Self::Band(_, paint) => (Swatch::Patch, *paint),
            Self::Points(_, marker, radius, paint) => (Swatch::Mark(*marker, *radius), *paint),
            Self::Bars(_, stroke) => (Swatch::Interval, Paint::from(*stroke)),
            Self::AtEdge(_, radius, paint) => (Swatch::Mark(Marker::TriangleLeft, *radius), *paint),
            Self::Free(_) => return None,
        })
    }

    /// The points that the axes must show; NaN for what has no coordinate there. Bands and bars are
    /// not among them: an interval may be endless.
    pub(super) fn seen(&self) -> Vec<(f64, f64)> {
        match self {
            Self::Line(points, _) | Self::Points(points, ..) => points.clone(),
            Self::AtEdge(at, ..) | Self::Across(at, _) => {
                at.iter().map(|y| (f64::NAN, *y)).collect()
            }
            Self::Upright(at, _) => at.iter().map(|x| (*x, f64::NAN)).collect(),
            Self::Band(..) | Self::Bars(..) | Self::Free(_) => Vec::new(),
        }
    }

    /// The ends of its intervals, across and up.
    pub(super) fn ends(&self) -> Vec<f64> {
        match self {
            Self::Band(edges, _) => edges.iter().flat_map(|e| [e.1, e.2]).collect(),
            Self::Bars(bars, _) => bars.iter().flatten().map(|p| p.1).collect(),
            _ => Vec::new(),
        }
    }

    /// Lines that no words may cross, and marks with their radius, on the page.
    pub(super) fn obstacles(&self, plot: &Plot) -> (Vec<Points>, Vec<Spot>) {
        let area = plot.area;
        match self {
            Self::Line(points, _) => {
                (vec![thin::line(points.iter().map(|p| plot.at(*p)))], Vec::new())
            }
            Self::Bars(bars, _) => {
                let lines = bars.iter().map(|bar| bar.map(|p| plot.at(p)));
                let caps = lines.clone().flatten().map(|end| (end, 3.0));
                (lines.map(Vec::from).collect(), caps.collect())
            }
            Self::Points(points, _, radius, _) => {
                (Vec::new(), points.iter().map(|p| (plot.at(*p), *radius + 0.5)).collect())
            }
            Self::AtEdge(at, radius, _) => {
                let mark = |y: &f64| ((area.x + EDGE_INSET, plot.y.at(*y)), *radius);
                (Vec::new(), at.iter().map(mark).collect())
            }
            Self::Across(at, _) => {
                let line = |y: &f64| vec![(area.x, plot.y.at(*y)), (area.right(), plot.y.at(*y))];
                (at.iter().map(line).collect(), Vec::new())
            }
            Self::Upright(at, _) => {
                let line = |x: &f64| vec![(plot.x.at(*x), area.y), (plot.x.at(*x), area.bottom())];
                (at.iter().map(line).collect(), Vec::new())
            }
            Self::Band(..) | Self::Free(_) => (Vec::new(), Vec::new()),
        }
    }

    pub(super) fn draw(&self, scene: &mut Scene, plot: &Plot) {
        let Rect { x, y, .. } = plot.area;
        match self {
            Self::Line(points, stroke) => {
                let points = thin::line(points.iter().map(|p| plot.at(*p)));
                scene.shape(Path::line(points), *stroke);
            }
            Self::Band(edges, paint) => scene.shape(plot.band(edges), *paint),
            Self::Points(points, marker, radius, paint) => {
                let at = thin::marks(points.iter().map(|p| plot.at(*p)));
                scene.shape(marker.path(at, *radius), *paint);
            }
            Self::Bars(bars, stroke) => {
                let mut path = Path::default();
                for [from, to] in bars {
                    add_interval_bar(&mut path, plot.at(*from), plot.at(*to));
                }
                scene.shape(path, *stroke);
            }
            Self::AtEdge(at, radius, paint) => {
                let at = at.iter().map(|v| (x + EDGE_INSET, plot.y.at(*v)));
                scene.shape(Marker::TriangleLeft.path(at, *radius), *paint);
            }
            Self::Across(at, stroke) => {
                let mut path = Path::default();
                for y in at.iter().map(|v| plot.y.at(*v)) {
                    path.add_line([(x, y), (plot.area.right(), y)]);
                }
                scene.shape(path, *stroke);
            }
            Self::Upright(at, stroke) => {
                let mut path = Path::default();
                for x in at.iter().map(|v| plot.x.at(*v)) {
                    path.add_line([(x, y), (x, plot.area.bottom())]);
                }
                scene.shape(path, *stroke);
            }
            Self::Free(draw) => draw(plot, scene),
        }
    }
}
