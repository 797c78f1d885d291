//! The page of the diagram: four plots about one cross, their axes, heading and legend.

use super::ToneFigure;
use super::draw::Quadrant;
use crate::figures::chart::{Heading, Legend, Plot, Scale, TICK_TEXT, TITLE_TEXT, Ticks, bounds};
use crate::figures::draw::{Anchor, GREY, Path, RULE, Rect, Scene, Stroke, Text, shortened};
use crate::units::STOP;

const LEFT: f64 = 74.0;
const RIGHT: f64 = 20.0;
const ABOVE: f64 = 58.0;
const BELOW: f64 = 64.0;
const GUTTER: f64 = 26.0;
const LEGEND_WIDTH: (f64, f64) = (150.0, 260.0);
/// Largest diagram in page units.
const MOST: (f64, f64) = (600.0, 600.0);

/// The page.
pub(super) struct Layout {
    pub width: f64,
    pub height: f64,
    /// Film, camera, paper, print: in the order of [`Quadrant`].
    plots: [Plot; 4],
    heading: Heading,
    legend_width: f64,
    luminance: (f64, f64),
    exposure: (f64, f64),
    negative: (f64, f64),
    print: (f64, f64),
}

impl Layout {
    pub fn new(figure: &ToneFigure, legend: &Legend) -> Self {
        let tones = || figure.drawn().chain(figure.traced().map(|t| &t.tone));
        let tenth = |(low, high): (f64, f64), room: f64| {
            (((low - room) * 10.0).floor() / 10.0, ((high + room) * 10.0).ceil() / 10.0)
        };
        let of = |f: fn(&super::TonePoint) -> f64, otherwise| {
            bounds(tones().map(f)).unwrap_or(otherwise)
        };
        let luminance = tenth(of(|t| t.luminance, (-1.4, 0.7)), 0.12);
        let exposure = tenth(of(|t| t.film_exposure, (-2.0, 0.0)), 0.22);
        let densest = of(|t| t.negative, (0.1, 1.2)).1;
        let prints = ToneFigure::curve(&figure.paper).map(|p| p.1);
        let darkest = bounds(prints.chain(tones().map(|t| t.print))).map_or(2.0, |b| b.1);
        let negative = (0.0, ((densest + 0.25) * 10.0).ceil() / 10.0);
        let print = (0.0, ((darkest + 0.15) * 10.0).ceil() / 10.0);
        let span = |r: (f64, f64)| r.1 - r.0;
        // Equal scales, so that the 1:1 line stands at 45°.
        let unit = (MOST.0 / (span(luminance) + span(negative)))
            .min(MOST.1 / (span(exposure) + span(print)));
        let heading = Heading::new(&figure.title, figure.subtitle.as_deref());
        let (left, top) = (LEFT, heading.height() + ABOVE);
        let centre = (left + unit * span(negative), top + unit * span(print));
        let (right, bottom) = (centre.0 + unit * span(luminance), centre.1 + unit * span(exposure));
        let plot =
            |(x0, x1): (f64, f64), (y0, y1): (f64, f64), x: (f64, f64), y: (f64, f64)| Plot {
                area: Rect { x: x0, y: y0, width: x1 - x0, height: y1 - y0 },
                x: Scale { domain: x, page: (x0, x1) },
                y: Scale { domain: y, page: (y1, y0) },
            };
        let flipped = |(a, b): (f64, f64)| (b, a);
        let (west, east) = ((left, centre.0), (centre.0, right));
        let (north, south) = ((top, centre.1), (centre.1, bottom));
        let legend_width = legend.width().ceil().clamp(LEGEND_WIDTH.0, LEGEND_WIDTH.1);
        Self {
            width: (right + GUTTER + legend_width + RIGHT).ceil(),
            height: (bottom + BELOW).max(top + legend.height() + 24.0).ceil(),
            plots: [
                plot(west, south, flipped(negative), flipped(exposure)),
                plot(east, south, luminance, flipped(exposure)),
                plot(west, north, flipped(negative), print),
                plot(east, north, luminance, print),
            ],
            heading,
            legend_width,
            luminance,
            exposure,
            negative,
            print,
        }
    }

    pub fn plot(&self, quadrant: Quadrant) -> &Plot {
        &self.plots[quadrant as usize]
    }

    fn ticks(range: (f64, f64)) -> Ticks {
        let step = if range.1 - range.0 > 8.0 { 2.0 } else { 0.5 };
        Ticks::every(range, step, 5)
    }

    /// What lies under the curves.
    pub fn draw_below(&self, scene: &mut Scene) {
        let (negative, exposure) = (Self::ticks(self.negative), Self::ticks(self.exposure));
        let (luminance, print) = (Self::ticks(self.luminance), Self::ticks(self.print));
        let pairs = [
            (Quadrant::Film, &negative, &exposure),
            (Quadrant::Camera, &luminance, &exposure),
            (Quadrant::Paper, &negative, &print),
            (Quadrant::Print, &luminance, &print),
        ];
        for (quadrant, x, y) in pairs {
            self.plot(quadrant).draw_grid(scene, x, y);
        }
    }

    /// Frames, axes, heading and legend.
    pub fn draw_around(&self, scene: &mut Scene, figure: &ToneFigure, legend: &Legend) {
        self.heading.draw(scene);
        let [film, camera, paper, print] = &self.plots;
        for plot in &self.plots {
            plot.draw_frame(scene);
        }
        let cross = [
            [(film.area.x, film.area.y), (camera.area.right(), film.area.y)],
            [(paper.area.right(), paper.area.y), (paper.area.right(), film.area.bottom())],
        ];
        let mut lines = Path::default();
        cross.into_iter().for_each(|line| lines.add_line(line));
        scene.shape(lines, Stroke::solid(RULE, 1.6));
        let exposure = if figure.absolute {
            "film log exposure (lux·s)"
        } else {
            "film log exposure (relative)"
        };
        film.draw_bottom_axis(scene, &Self::ticks(self.negative), "density of the negative");
        // The first label would stand on the last of the other half.
        let mut luminances = Self::ticks(self.luminance);
        let clear = |v: &f64| camera.x.at(*v) - camera.area.x > 34.0;
        luminances.major.retain(clear);
        camera.draw_bottom_axis(scene, &luminances, "scene log luminance");
        // The cross is shared: its lowest print density and lowest exposure would stand on one another.
        let inner = |ticks: Ticks, edge: f64, unit: f64| Ticks {
            major: ticks
                .major
                .into_iter()
                .filter(|v| (v - edge).abs() * unit > 0.7 * TICK_TEXT)
                .collect(),
            ..ticks
        };
        let unit = film.area.height / (self.exposure.1 - self.exposure.0);
        let exposures = inner(Self::ticks(self.exposure), self.exposure.0, unit);
        film.draw_left_axis(scene, &exposures, exposure);
        let prints = inner(Self::ticks(self.print), self.print.0, unit);
        paper.draw_left_axis(scene, &prints, "density of the print");
        self.draw_top(scene, figure);
        let corner = (print.area.right() + GUTTER, print.area.y + 2.0);
        legend.draw(scene, corner, self.legend_width);
    }

    /// Above: the paper's exposure on the left, stops of the scene on the right.
    fn draw_top(&self, scene: &mut Scene, figure: &ToneFigure) {
        let (paper, print) = (self.plot(Quadrant::Paper), self.plot(Quadrant::Print));
        let stops = (self.luminance.0 / STOP, self.luminance.1 / STOP);
        let scale = Scale { domain: stops, page: (print.area.x, print.area.right()) };
        let room = print.area.width / (stops.1 - stops.0);
        let step = [1.0, 2.0, 5.0].into_iter().find(|s| s * room >= 22.0).unwrap_or(10.0);
        let ticks = Ticks::every(stops, step, 1);
        print.draw_top_axis(scene, &scale, &ticks, "stops from the metered tone");
        let (bare, factor) = figure.paper_exposure;
        let of = |negative: f64| bare - factor * negative;
        let ends = (of(self.negative.1), of(self.negative.0));
        let possible = |v: f64| (-12.0..=12.0).contains(&v);
        if factor > 0.0 && possible(ends.0) && possible(ends.1) {
            let scale = Scale { domain: ends, page: (paper.area.x, paper.area.right()) };
            // The last label would stand on the first of the other half.
            let mut ticks = Self::ticks(ends);
            ticks.major.retain(|v| paper.area.right() - scale.at(*v) > 16.0);
            paper.draw_top_axis(scene, &scale, &ticks, "log exposure of the paper");
        } else {
            let at = (paper.area.x + paper.area.width / 2.0, paper.area.y - TICK_TEXT);
            let words = shortened("density of the negative", TITLE_TEXT, paper.area.width);
            let text = Text::new(words, at, TITLE_TEXT).anchored(Anchor::Middle);
            scene.text(text.coloured(GREY));
        }
    }
}
