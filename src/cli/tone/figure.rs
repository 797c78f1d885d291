//! The diagram in four quadrants.

use super::Told;
use crate::figures::{ToneFigure, TonePoint, Traced};
use crate::printing::tone::Tone;

/// Points along film and paper.
const POINTS: u32 = 160;

pub fn figure(told: &Told<'_>) -> ToneFigure {
    let chain = &told.chain;
    let camera = chain.camera();
    let point = |t: &Tone| TonePoint {
        luminance: t.luminance,
        film_exposure: t.film_exposure,
        negative: t.negative,
        print: t.print,
    };
    let tones = &told.reproduction.tones;
    let traced = |name: &str, luminance: f64| Traced {
        name: name.to_owned(),
        tone: point(&chain.tone(luminance)),
    };
    let metered = point(&chain.tone(0.0));
    let between =
        |(low, high): (f64, f64), k: u32| low + (high - low) * f64::from(k) / f64::from(POINTS);
    // Beyond the scene by a stop or so each way, and the paper behind every density up to there.
    let exposures = match (tones.first(), tones.last()) {
        (Some(dark), Some(bright)) => (dark.film_exposure - 0.4, bright.film_exposure + 0.4),
        _ => (0.0, 0.0),
    };
    let densest = tones.last().map_or(0.0, |t| t.negative) + 0.6;
    let r = &told.reproduction;
    let ends = [(&r.shadows, "shadows", "below"), (&r.highlights, "highlights", "above")];
    let lost = ends.iter().filter_map(|(lost, name, side)| {
        let lost = lost.as_ref()?;
        let stops = lost.from / super::STOP;
        Some(format!("{name} lost {side} {stops:+.1} stops").replace('-', "\u{2212}"))
    });
    let strip = told.strip();
    let paper = strip.strip.labels.film.as_deref().unwrap_or("paper");
    let bare = chain.paper_exposure(0.0);
    ToneFigure {
        title: format!("{} on {paper}, setting {}", told.name, strip.setting()),
        subtitle: Some(format!(
            "a scene of {} stops, {:.1} min at {} °C",
            camera.stops, told.development.minutes, told.development.celsius
        )),
        absolute: told.pairing.absolute,
        tones: tones.iter().map(point).collect(),
        film: (0..=POINTS).map(|k| between(exposures, k)).map(|x| (x, chain.negative(x))).collect(),
        paper: (0..=POINTS)
            .map(|k| between((0.0, densest), k))
            .map(|d| (d, chain.print(chain.paper_exposure(d))))
            .collect(),
        paper_exposure: (bare, bare - chain.paper_exposure(1.0)),
        limits: Some(chain.limits()),
        traced: vec![
            traced("darkest tone", camera.darkest()),
            traced("metered tone", 0.0),
            traced("brightest tone", camera.brightest()),
        ],
        one_to_one: Some(metered),
        gradient: told.gradient.map(|g| g.value),
        lost: lost.collect(),
    }
}
