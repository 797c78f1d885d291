//! The four-quadrant diagram of tone reproduction: scene to negative to print, after L. A. Jones.
//!
//! Neighbouring quadrants share an axis, so that a tone can be followed round the diagram by straight
//! lines: from the scene down to the film's exposure, left to the negative, up to the print, and
//! right to where that print stands over the scene.

mod layout;

use super::chart::{Entry, Layer, Panel, SeriesStyle, Swatch, key};
use super::curves::{CURVE, steps};
use super::draw::{Anchor, BLUE, GREY, INK, Paint, Path, Scene, Stroke, Text};
use crate::printing::tone::{Chain, Reproduction, Tone};
use crate::readings::ExposureScale;
use crate::units::STOP;
use crate::words::{number, signed};
use layout::Layout;

/// The part of a curve that the scene does not use.
const BEYOND: Stroke = Stroke::solid(BLUE, 1.1).dashed(&[4.0, 2.5]);
const LIMIT: Stroke = Stroke::solid(GREY, 1.0).dashed(&[6.0, 3.5]);
const ONE: Stroke = Stroke::solid(INK, 1.0);
const SHADE: Paint = Paint::tinted(GREY, 0.16);
const CAPTION: f64 = 12.5;
/// Radius of the marks of a tone that is followed.
const TRACED: f64 = 3.6;

/// The figure of a scene's tones: `of` says of what film and paper, `how` how they were developed.
#[must_use]
pub fn tone_reproduction(
    (of, how): (&str, &str),
    scale: ExposureScale,
    chain: &Chain<'_>,
    reproduction: &Reproduction,
    gradient: Option<f64>,
) -> Scene {
    let tones = &reproduction.tones;
    let camera = chain.camera();
    let traced = [
        ("darkest tone", chain.tone(camera.darkest())),
        ("metered tone", chain.tone(0.0)),
        ("brightest tone", chain.tone(camera.brightest())),
    ];
    let layout = Layout::new(chain, tones, &traced.map(|t| t.1));
    let mut panels: [Panel; 4] = Default::default();
    let [film, camera, paper, print] = &mut panels;

    let scene_entry = match gradient {
        Some(gradient) => key("the scene's tones")
            .with_detail(format!("overall gradient {}", number(gradient, 2))),
        None => key("the scene's tones"),
    };
    let through = |f: fn(&Tone) -> (f64, f64)| Layer::Line(tones.iter().map(f).collect(), CURVE);
    film.show(scene_entry, [through(|t| (t.negative, t.film_exposure))]);
    // Beyond the scene by a stop or so each way, and the paper behind every density up to there.
    let exposures = match (tones.first(), tones.last()) {
        (Some(dark), Some(bright)) => (dark.film_exposure - 0.4, bright.film_exposure + 0.4),
        _ => (0.0, 0.0),
    };
    let beyond = steps(exposures).map(|x| (chain.negative(x), x)).collect();
    film.show_at(key("film, paper beyond them"), [(3, Layer::Line(beyond, BEYOND))]);
    camera.show(None, [through(|t| (t.luminance, t.film_exposure))]);
    let densest = tones.last().map_or(0.0, |t| t.negative) + 0.6;
    let beyond = steps((0.0, densest)).map(|d| (d, chain.print(chain.paper_exposure(d))));
    paper.show_at(None, [(3, Layer::Line(beyond.collect(), BEYOND))]);
    paper.show(None, [through(|t| (t.negative, t.print))]);
    print.show(None, [through(|t| (t.luminance, t.print))]);
    let t = traced[1].1;
    let one = [-9.0, 9.0].map(|l| (l, t.print - (l - t.luminance)));
    let entry = key("1:1 line").with_detail("the scene's own contrast");
    print.show_at(entry, [(3, Layer::Line(one.to_vec(), ONE))]);
    show_limits(paper, chain.limits(), false);
    show_limits(print, chain.limits(), true);
    let black = chain.limits().1;
    caption(film, "film", |area, _| area.y + 20.0);
    caption(camera, "camera and flare", |area, _| area.bottom() - 10.0);
    // Below what is shaded as black.
    caption(paper, "paper", move |_, at| at(black) + 20.0);
    caption(print, "tone reproduction", move |_, at| at(black) + 20.0);
    for (n, (name, tone)) in traced.iter().enumerate() {
        let style = trace_style(n);
        let samples = vec![
            (Swatch::Line, style.line(1.0).into()),
            (Swatch::Mark(style.marker, TRACED), Paint::filled(style.colour)),
        ];
        let (negative, density) = (number(tone.negative, 2), number(tone.print, 2));
        let entry = Entry::new(*name, samples);
        print.entry(entry.with_detail(format!("negative {negative}, print {density}")));
    }
    let ends = [
        (&reproduction.shadows, "shadows", "below"),
        (&reproduction.highlights, "highlights", "above"),
    ];
    let mut words =
        "Tone reproduction in four quadrants: camera, film, paper, and the print over the scene."
            .to_owned();
    for (name, t) in &traced {
        let [l, negative, density] = [t.luminance, t.negative, t.print].map(|v| number(v, 2));
        words.push_str(&format!(
            " {name}: log luminance {l}, negative {negative}, print {density}."
        ));
    }
    if let Some(gradient) = gradient {
        words.push_str(&format!(" Overall gradient {}.", number(gradient, 2)));
    }
    for (lost, name, side) in ends {
        if let Some(lost) = lost {
            let lost = format!("{name} lost {side} {} stops", signed(lost.from / STOP, 1));
            words.push_str(&format!(" {lost}."));
            print.entry(key(lost));
        }
    }
    let title = format!("Tone reproduction: {of}");
    layout.scene((&title, how, &words), scale, &panels, |scene, film, print| {
        for (n, (_, tone)) in traced.iter().enumerate() {
            let style = trace_style(n);
            let (x, y) = film.at((tone.negative, tone.film_exposure));
            let (right, top) = print.at((tone.luminance, tone.print));
            let corners = [(right, y), (x, y), (x, top), (right, top)];
            scene.shape(Path::line(corners.into_iter().chain([corners[0]])), style.line(1.0));
            scene.shape(style.marker.path(corners, TRACED), Paint::dot(style.colour));
        }
    })
}

fn trace_style(place: usize) -> SeriesStyle {
    SeriesStyle::nth(place + 1)
}

/// The paper's highlight and shadow point, and what is outside them.
fn show_limits(panel: &mut Panel, (white, black): (f64, f64), listed: bool) {
    let far = 99.0;
    let shade = [(-far, white), (black, far)]
        .map(|(from, to)| Layer::Band(vec![(-far, from, to), (far, from, to)], SHADE));
    let [low, high] = shade;
    panel.show(None, [low]);
    let entry = key("lost in black, in white").with_detail("beyond the points of ISO 6846");
    let layers = [high, Layer::Across(vec![white, black], LIMIT)];
    panel.show(Some(entry).filter(|_| listed), layers);
}

/// What a quadrant shows, in the corner that its curve leaves free.
fn caption(
    panel: &mut Panel,
    words: &'static str,
    height: impl Fn(&super::draw::Rect, &dyn Fn(f64) -> f64) -> f64 + 'static,
) {
    panel.over(move |plot, scene| {
        let area = plot.area;
        let y = height(&area, &|d| plot.y.at(d)).clamp(area.y + 14.0, area.bottom() - 10.0);
        // The curve of the print begins at the left, the others leave it free.
        let (x, anchor) = match words {
            "tone reproduction" => (area.right() - 8.0, Anchor::End),
            _ => (area.x + 8.0, Anchor::Start),
        };
        let text = Text::new(words, (x, y), CAPTION).anchored(anchor);
        if text.width() + 16.0 < area.width {
            scene.text(text.coloured(GREY));
        }
    });
}
