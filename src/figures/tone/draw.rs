//! The four curves, the tones that are followed, and the words.

use super::layout::Layout;
use super::{ToneFigure, TonePoint, Traced};
use crate::figures::chart::{Entry, Legend, Plot, SeriesStyle, Swatch};
use crate::figures::draw::{
    Anchor, BLUE, GREY, INK, Paint, Path, Rect, Scene, Stroke, Text, WHITE,
};
use crate::words::number;

/// One of the four plots.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Quadrant {
    /// Lower left: density of the negative over the film's exposure.
    Film,
    /// Lower right: the film's exposure over the scene's luminance.
    Camera,
    /// Upper left: density of the print over the density of the negative.
    Paper,
    /// Upper right: density of the print over the scene's luminance.
    Print,
}

pub(super) const QUADRANTS: [Quadrant; 4] =
    [Quadrant::Film, Quadrant::Camera, Quadrant::Paper, Quadrant::Print];

const CURVE: Stroke = Stroke::solid(BLUE, 2.2);
/// The part of a curve that the scene does not use.
const BEYOND: Stroke = Stroke::solid(BLUE, 1.1).dashed(&[4.0, 2.5]);
const LIMIT: Stroke = Stroke::solid(GREY, 1.0).dashed(&[6.0, 3.5]);
const ONE: Stroke = Stroke::solid(INK, 1.0);
const SHADE: Paint = Paint::tinted(GREY, 0.16);
const CAPTION: f64 = 12.5;
/// Tones that can be followed and told apart.
const MOST: usize = 6;

fn trace_style(place: usize) -> SeriesStyle {
    SeriesStyle::nth(place + 1)
}

/// Draws one quadrant inside its area.
pub(super) fn quadrant(scene: &mut Scene, plot: &Plot, figure: &ToneFigure, quadrant: Quadrant) {
    let through = |f: fn(&TonePoint) -> (f64, f64)| plot.line(figure.drawn().map(f));
    match quadrant {
        Quadrant::Film => {
            let swapped =
                ToneFigure::curve(&figure.film).map(|(exposure, density)| (density, exposure));
            scene.shape(plot.line(swapped), BEYOND);
            scene.shape(through(|t| (t.negative, t.film_exposure)), CURVE);
        }
        Quadrant::Camera => scene.shape(through(|t| (t.luminance, t.film_exposure)), CURVE),
        Quadrant::Paper => {
            limits(scene, plot, figure);
            scene.shape(plot.line(ToneFigure::curve(&figure.paper)), BEYOND);
            scene.shape(through(|t| (t.negative, t.print)), CURVE);
        }
        Quadrant::Print => {
            limits(scene, plot, figure);
            if let Some(t) = figure.one_to_one.filter(TonePoint::is_drawable) {
                let (low, high) = plot.x.domain;
                let at = |l: f64| (l, t.print - (l - t.luminance));
                scene.shape(plot.line([at(low), at(high)]), ONE);
            }
            scene.shape(through(|t| (t.luminance, t.print)), CURVE);
        }
    }
    caption(scene, plot, figure, quadrant);
}

/// The paper's highlight and shadow point, and what lies beyond them.
fn limits(scene: &mut Scene, plot: &Plot, figure: &ToneFigure) {
    let Some((white, black)) = figure.limits() else {
        return;
    };
    let (bottom, top) = plot.y.domain;
    let (left, width) = (plot.area.x, plot.area.width);
    for (from, to) in [(bottom, white), (black, top)] {
        let (y, foot) = (plot.y.at(to), plot.y.at(from));
        if foot > y {
            let lost = Rect { x: left, y, width, height: foot - y };
            scene.shape(Path::rect(lost), SHADE);
        }
    }
    let (low, high) = plot.x.domain;
    for d in [white, black] {
        scene.shape(plot.line([(low, d), (high, d)]), LIMIT);
    }
}

/// What the quadrant shows, in the corner that its curve leaves free.
fn caption(scene: &mut Scene, plot: &Plot, figure: &ToneFigure, quadrant: Quadrant) {
    let (words, right) = match quadrant {
        Quadrant::Film => ("film", false),
        Quadrant::Camera => ("camera and flare", false),
        Quadrant::Paper => ("paper", false),
        Quadrant::Print => ("tone reproduction", true),
    };
    let y = match quadrant {
        Quadrant::Film => plot.area.y + 20.0,
        Quadrant::Camera => plot.area.bottom() - 10.0,
        // Below what is shaded as black.
        Quadrant::Paper | Quadrant::Print => {
            let black = figure.limits().map_or(plot.area.y, |l| plot.y.at(l.1));
            black.clamp(plot.area.y, plot.area.bottom() - 40.0) + 20.0
        }
    };
    let (x, anchor) = if right {
        (plot.area.right() - 8.0, Anchor::End)
    } else {
        (plot.area.x + 8.0, Anchor::Start)
    };
    let text = Text::new(words, (x, y), CAPTION).anchored(anchor);
    if text.width() + 16.0 < plot.area.width {
        scene.text(text.coloured(GREY));
    }
}

/// Follows each traced tone round the four quadrants.
pub(super) fn traces(scene: &mut Scene, layout: &Layout, figure: &ToneFigure) {
    let (film, print) = (layout.plot(Quadrant::Film), layout.plot(Quadrant::Print));
    for (place, Traced { tone, .. }) in figure.traced().take(MOST).enumerate() {
        let style = trace_style(place);
        let (x, y) = (film.x.at(tone.negative), film.y.at(tone.film_exposure));
        let (right, top) = (print.x.at(tone.luminance), print.y.at(tone.print));
        let corners = [(right, y), (x, y), (x, top), (right, top)];
        let round = corners.into_iter().chain([corners[0]]);
        scene.shape(Path::line(round), style.line(1.0));
        let paint =
            Paint { fill: Some((style.colour, 1.0)), stroke: Some(Stroke::solid(WHITE, 1.0)) };
        scene.shape(style.marker.path(corners, 3.6), paint);
    }
}

/// What is drawn, with its values.
pub(super) fn legend(figure: &ToneFigure) -> Legend {
    let mut entries = Vec::new();
    if figure.drawn().next().is_some() {
        let mut entry = Entry::new("the scene's tones", vec![(Swatch::Line, CURVE.into())]);
        if let Some(gradient) = figure.gradient.filter(|g| g.abs() < 1e3) {
            entry = entry.with_detail(format!("overall gradient {}", number(gradient, 2)));
        }
        entries.push(entry);
    }
    if !figure.film.is_empty() || !figure.paper.is_empty() {
        let sample = vec![(Swatch::Line, BEYOND.into())];
        entries.push(Entry::new("film, paper beyond them", sample));
    }
    if figure.one_to_one.is_some_and(|t| t.is_drawable()) {
        let entry = Entry::new("1:1 line", vec![(Swatch::Line, ONE.into())]);
        entries.push(entry.with_detail("the scene's own contrast"));
    }
    if figure.limits().is_some() {
        let samples = vec![(Swatch::Patch, SHADE), (Swatch::Line, LIMIT.into())];
        let entry = Entry::new("lost in black, in white", samples);
        entries.push(entry.with_detail("beyond the points of ISO 6846"));
    }
    for (place, traced) in figure.traced().take(MOST).enumerate() {
        let style = trace_style(place);
        let samples = vec![
            (Swatch::Line, style.line(1.0).into()),
            (Swatch::Mark(style.marker, 3.6), Paint::filled(style.colour)),
        ];
        let t = &traced.tone;
        let entry = Entry::new(traced.name.trim(), samples);
        entries.push(entry.with_detail(format!(
            "negative {}, print {}",
            number(t.negative, 2),
            number(t.print, 2)
        )));
    }
    for lost in &figure.lost {
        entries.push(Entry::new(lost.clone(), Vec::new()));
    }
    if entries.is_empty() {
        entries.push(Entry::new("no tones", Vec::new()));
    }
    Legend { entries }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::chart::Marker;

    #[test]
    fn every_followed_tone_has_a_style_of_its_own() {
        let styles: Vec<SeriesStyle> = (0..MOST).map(trace_style).collect();
        for (n, a) in styles.iter().enumerate() {
            assert!(styles[..n].iter().all(|b| a.marker != b.marker));
        }
        assert!(styles.iter().all(|s| s.marker != Marker::Circle));
    }
}
