//! The page of a chart with a legend: heading, plot, room beside it for labels, legend.

use super::heading::Heading;
use super::legend::Legend;
use super::plot::Plot;
use super::scale::Ticks;
use crate::figures::draw::{Rect, Scene};

const LEFT: f64 = 74.0;
const RIGHT: f64 = 20.0;
const ABOVE: f64 = 20.0;
const BOTTOM: f64 = 64.0;
/// Narrowest and widest column of the legend.
const LEGEND_WIDTH: (f64, f64) = (150.0, 250.0);

/// A plot on its page.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The plot.
    pub plot: Plot,
    /// Width of the page in page units.
    pub width: f64,
    /// Height of the page in page units.
    pub height: f64,
    heading: Heading,
    legend: Legend,
    legend_at: (f64, f64),
    legend_width: f64,
}

impl Sheet {
    /// A plot of `size` for the two ranges, below its heading; right of it `gutter` for labels,
    /// then the legend.
    #[must_use]
    pub fn new(
        heading: Heading,
        legend: Legend,
        (size, gutter): ((f64, f64), f64),
        x: (f64, f64),
        y: (f64, f64),
    ) -> Self {
        let area = Rect { x: LEFT, y: heading.height() + ABOVE, width: size.0, height: size.1 };
        // Rounding up leaves room for the whole of the widest line.
        let legend_width = legend.width().ceil().clamp(LEGEND_WIDTH.0, LEGEND_WIDTH.1);
        let legend_at = (area.right() + gutter, area.y + 2.0);
        let width = legend_at.0 + legend_width + RIGHT;
        let height = (area.bottom() + BOTTOM).max(area.y + legend.height() + 24.0);
        Self {
            plot: Plot::new(area, x, y),
            width: width.ceil(),
            height: height.ceil(),
            heading,
            legend,
            legend_at,
            legend_width,
        }
    }

    /// The frame of the plot, its axes with their titles, the heading and the legend.
    pub fn draw_around(&self, scene: &mut Scene, x: (&Ticks, &str), y: (&Ticks, &str)) {
        self.heading.draw(scene);
        self.plot.draw_frame(scene);
        self.plot.draw_bottom_axis(scene, x.0, x.1);
        self.plot.draw_left_axis(scene, y.0, y.1);
        self.legend.draw(scene, self.legend_at, self.legend_width);
    }
}
