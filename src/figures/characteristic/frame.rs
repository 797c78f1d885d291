//! The page around the curves: headings, axes, grid, the place of the legend.

use super::extent::Extent;
use super::{CharacteristicFigure, StripCurve};
use crate::figures::chart::{Heading, Legend, Plot, Scale, Ticks};
use crate::figures::draw::Scene;
use crate::units::STOP;

const LEFT: f64 = 74.0;
const RIGHT: f64 = 20.0;
const BOTTOM: f64 = 64.0;
const TOP_AXIS: f64 = 58.0;
/// Between plot and legend: the value of base plus fog stands here.
const GUTTER: f64 = 48.0;
/// Narrowest and widest column of the legend.
const LEGEND_WIDTH: (f64, f64) = (150.0, 250.0);
const MOST_WIDTH: f64 = 540.0;
const LEAST_WIDTH: f64 = 330.0;
const MOST_HEIGHT: f64 = 540.0;
/// Closest that two grid lines may stand.
const LEAST_GRID: f64 = 34.0;

/// Everything that is fixed before the first curve is drawn.
pub(super) struct Frame {
    pub width: f64,
    pub height: f64,
    pub plot: Plot,
    legend_width: f64,
    heading: Heading,
    exposure: &'static str,
    x_ticks: Ticks,
    y_ticks: Ticks,
    stops: Scale,
    stop_ticks: Ticks,
    stops_from: String,
}

impl Frame {
    pub fn new(figure: &CharacteristicFigure, legend: &Legend) -> Self {
        let mut extent = Extent::of(&figure.strips);
        let (y, span) = (extent.y, |range: (f64, f64)| range.1 - range.0);
        let unit = (MOST_WIDTH / span(extent.x)).min(MOST_HEIGHT / span(y));
        extent = extent.at_least_across(LEAST_WIDTH / unit);
        let heading = Heading::new(&figure.title, figure.subtitle.as_deref());
        let plot = Plot::with_equal_scales((LEFT, heading.height() + TOP_AXIS), unit, extent.x, y);
        // Rounding up leaves room for the whole of the widest line.
        let legend_width = legend.width().ceil().clamp(LEGEND_WIDTH.0, LEGEND_WIDTH.1);
        let width = plot.area.right() + GUTTER + legend_width + RIGHT;
        let height = (plot.area.bottom() + BOTTOM).max(plot.area.y + legend.height() + 24.0);

        let (step, parts) = grid_step(unit);
        let (zero, stops_from) = zero_of_stops(&figure.strips, extent.x.0);
        let in_stops = |x: f64| (x - zero) / STOP;
        let domain = (in_stops(extent.x.0), in_stops(extent.x.1));
        let most_stops = (plot.area.width / LEAST_GRID).floor() as usize;
        Self {
            width: width.ceil(),
            height: height.ceil(),
            heading,
            exposure: if figure.absolute {
                "log exposure (lux·s)"
            } else {
                "relative log exposure"
            },
            x_ticks: Ticks::every(extent.x, step, parts),
            y_ticks: Ticks::every(y, step, parts),
            stops: Scale { domain, page: (plot.area.x, plot.area.right()) },
            stop_ticks: whole_stops(domain, most_stops),
            stops_from,
            plot,
            legend_width,
        }
    }

    /// What lies under the curves.
    pub fn draw_below(&self, scene: &mut Scene) {
        self.plot.draw_grid(scene, &self.x_ticks, &self.y_ticks);
    }

    /// What lies over and around the curves.
    pub fn draw_above(&self, scene: &mut Scene, legend: &Legend) {
        self.heading.draw(scene);
        let plot = &self.plot;
        plot.draw_frame(scene);
        plot.draw_bottom_axis(scene, &self.x_ticks, self.exposure);
        plot.draw_left_axis(scene, &self.y_ticks, "density");
        plot.draw_top_axis(scene, &self.stops, &self.stop_ticks, &self.stops_from);
        let corner = (plot.area.right() + GUTTER, plot.area.y + 2.0);
        legend.draw(scene, corner, self.legend_width);
    }
}

/// Step of the grid and its parts: one stop, 0.3 each way, or a coarser one where the scale is
/// small.
fn grid_step(unit: f64) -> (f64, u32) {
    let steps = [(0.3, 3), (0.6, 2), (1.5, 5), (3.0, 2)];
    steps.into_iter().find(|(step, _)| step * unit >= LEAST_GRID).unwrap_or((6.0, 2))
}

/// Ticks at whole stops, with a true zero among them.
fn whole_stops(domain: (f64, f64), most: usize) -> Ticks {
    let span = domain.1 - domain.0;
    let step = [1.0, 2.0, 5.0, 10.0, 20.0].into_iter().find(|step| span / step <= most as f64);
    Ticks::every(domain, step.unwrap_or(50.0), 1)
}

/// The log exposure where the axis of stops has its zero, and the title that says so.
fn zero_of_stops(strips: &[StripCurve], left: f64) -> (f64, String) {
    let with_speed = strips.iter().enumerate().find_map(|(n, s)| Some((s.label(n), s.speed()?)));
    if let Some((label, (x, _))) = with_speed {
        let title = match strips {
            [_] => "stops from the speed point".to_owned(),
            _ => format!("stops from the speed point of {label}"),
        };
        return (x, title);
    }
    let exposures = strips.iter().flat_map(|s| {
        let readings = s.readings(false).into_iter().chain(s.readings(true));
        readings.chain(s.line().filter(|p| p.0.is_finite())).map(|p| p.0)
    });
    match exposures.reduce(f64::min) {
        Some(lowest) => (lowest, "stops from the lowest exposure".to_owned()),
        None => (left, "stops".to_owned()),
    }
}
