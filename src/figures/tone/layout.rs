//! The page of the diagram: four plots about one cross, their axes, heading and legend.

use crate::figures::chart::{
    Heading, LEFT, Legend, Panel, Plot, Scale, TICK_TEXT, Ticks, WIDTH, bounds,
};
use crate::figures::draw::{Path, RULE, Rect, Scene, Stroke};
use crate::printing::tone::{Chain, Tone};
use crate::readings::ExposureScale;
use crate::units::STOP;

const MARGIN: f64 = 22.0;
const ABOVE: f64 = 58.0;
const BELOW: f64 = 64.0;
/// Largest diagram in page units.
const MOST: (f64, f64) = (600.0, 600.0);

/// Where everything stands.
pub(super) struct Layout {
    /// Film, camera, paper, print.
    plots: [Plot; 4],
    luminance: (f64, f64),
    exposure: (f64, f64),
    negative: (f64, f64),
    print: (f64, f64),
    /// log10 of the paper's exposure behind the densest and behind no negative.
    paper_exposure: (f64, f64),
}

impl Layout {
    pub fn new(chain: &Chain<'_>, tones: &[Tone], traced: &[Tone]) -> Self {
        let of = |f: fn(&Tone) -> f64| bounds(tones.iter().chain(traced).map(f));
        let tenth = |(low, high): (f64, f64), room: f64| {
            (((low - room) * 10.0).floor() / 10.0, ((high + room) * 10.0).ceil() / 10.0)
        };
        let luminance = tenth(of(|t| t.luminance).unwrap_or((-1.4, 0.7)), 0.12);
        let exposure = tenth(of(|t| t.film_exposure).unwrap_or((-2.0, 0.0)), 0.22);
        let densest = of(|t| t.negative).map_or(1.2, |b| b.1);
        let darkest = of(|t| t.print).map_or(2.0, |b| b.1);
        let darkest = darkest.max(chain.print(chain.paper_exposure(0.0)));
        let negative = (0.0, ((densest + 0.25) * 10.0).ceil() / 10.0);
        let print = (0.0, ((darkest + 0.15) * 10.0).ceil() / 10.0);
        let span = |r: (f64, f64)| r.1 - r.0;
        // Equal scales, so that the 1:1 line stands at 45°.
        let unit = (MOST.0 / (span(luminance) + span(negative)))
            .min(MOST.1 / (span(exposure) + span(print)));
        let top = Heading::new("", Some("")).height() + ABOVE;
        let centre = (LEFT + unit * span(negative), top + unit * span(print));
        let (right, bottom) = (centre.0 + unit * span(luminance), centre.1 + unit * span(exposure));
        let plot =
            |(x0, x1): (f64, f64), (y0, y1): (f64, f64), x: (f64, f64), y: (f64, f64)| Plot {
                area: Rect { x: x0, y: y0, width: x1 - x0, height: y1 - y0 },
                x: Scale { domain: x, page: (x0, x1) },
                y: Scale { domain: y, page: (y1, y0) },
            };
        let flipped = |(a, b): (f64, f64)| (b, a);
        let (west, east) = ((LEFT, centre.0), (centre.0, right));
        let (north, south) = ((top, centre.1), (centre.1, bottom));
        Self {
            plots: [
                plot(west, south, flipped(negative), flipped(exposure)),
                plot(east, south, luminance, flipped(exposure)),
                plot(west, north, flipped(negative), print),
                plot(east, north, luminance, print),
            ],
            luminance,
            exposure,
            negative,
            print,
            paper_exposure: (chain.paper_exposure(negative.1), chain.paper_exposure(0.0)),
        }
    }

    /// The diagram of four panels; `over` draws on the plots of film and print.
    pub fn scene(
        &self,
        (title, subtitle, description): (&str, &str, &str),
        scale: ExposureScale,
        panels: &[Panel; 4],
        over: impl FnOnce(&mut Scene, &Plot, &Plot),
    ) -> Scene {
        let legend = Legend { entries: panels.iter().flat_map(Panel::entries).cloned().collect() };
        let legend = legend.in_columns(WIDTH - 2.0 * MARGIN);
        let foot = self.plots[0].area.bottom() + BELOW;
        let height = (foot + Legend::height_of(&legend) + 20.0).ceil();
        let mut scene = Scene::new(WIDTH, height, title, description);
        Heading::new(title, Some(subtitle)).draw(&mut scene);
        let [x, y] = [[self.negative, self.luminance], [self.exposure, self.print]]
            .map(|both| both.map(ticks));
        for (n, (panel, plot)) in panels.iter().zip(&self.plots).enumerate() {
            plot.draw_grid(&mut scene, &x[n % 2], &y[n / 2]);
            panel.draw(&mut scene, plot);
        }
        over(&mut scene, &self.plots[0], &self.plots[3]);
        self.draw_axes(&mut scene, scale);
        Legend::draw_columns(&legend, &mut scene, (MARGIN, foot), WIDTH - 2.0 * MARGIN);
        scene
    }

    fn draw_axes(&self, scene: &mut Scene, scale: ExposureScale) {
        let [film, camera, paper, print] = &self.plots;
        let mut cross =
            Path::line([(film.area.x, film.area.y), (camera.area.right(), film.area.y)]);
        cross.add_line([(print.area.x, print.area.y), (print.area.x, camera.area.bottom())]);
        scene.shape(cross, Stroke::solid(RULE, 1.6));
        film.draw_bottom_axis(scene, &ticks(self.negative), "density of the negative");
        // The first label would stand on the last of the other half.
        let mut luminances = ticks(self.luminance);
        luminances.major.retain(|v| camera.x.at(*v) - camera.area.x > 34.0);
        camera.draw_bottom_axis(scene, &luminances, "scene log luminance");
        // The cross is shared: its lowest print density and lowest exposure would stand on one another.
        let unit = film.area.height / (self.exposure.1 - self.exposure.0);
        let inner = |range: (f64, f64)| {
            let mut ticks = ticks(range);
            ticks.major.retain(|v| (v - range.0).abs() * unit > 0.7 * TICK_TEXT);
            ticks
        };
        let exposure = match scale {
            ExposureScale::Absolute => "film log exposure (lux·s)",
            ExposureScale::Relative => "film log exposure (relative)",
        };
        film.draw_left_axis(scene, &inner(self.exposure), exposure);
        paper.draw_left_axis(scene, &inner(self.print), "density of the print");
        let stops = (self.luminance.0 / STOP, self.luminance.1 / STOP);
        let across = Scale { domain: stops, page: (print.area.x, print.area.right()) };
        let room = print.area.width / (stops.1 - stops.0);
        let step = [1.0, 2.0, 5.0].into_iter().find(|s| s * room >= 22.0).unwrap_or(10.0);
        let ticks_of_stops = Ticks::every(stops, step, 1);
        print.draw_top_axis(scene, &across, &ticks_of_stops, "stops from the metered tone");
        let page = (paper.area.x, paper.area.right());
        let across = Scale { domain: self.paper_exposure, page };
        // The last label would stand on the first of the other half.
        let mut exposures = ticks(self.paper_exposure);
        exposures.major.retain(|v| paper.area.right() - across.at(*v) > 16.0);
        paper.draw_top_axis(scene, &across, &exposures, "log exposure of the paper");
    }
}

fn ticks(range: (f64, f64)) -> Ticks {
    Ticks::every(range, if range.1 - range.0 > 8.0 { 2.0 } else { 0.5 }, 5)
}
