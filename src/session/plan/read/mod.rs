//! From the text of a plan to the plan.

mod after;
mod developer;
mod vessel;

use super::section::{Section, Source as Text};
use super::{Aim, NamedDeveloper, Part, Placed, Plan, PlanError, Stated};
use crate::bath::film::Format;
use crate::development::Measure;
use crate::units::{Bounds, Contrast, Millilitres, SceneStops, StepMinutes};
use std::path::{Path, PathBuf};
use toml::de::DeTable;

/// Most films of one format.
const MOST_FILMS: u32 = 1000;
/// Minutes to load a vessel and set up a batch (common practice, no source).
const LOAD_MINUTES: f64 = 10.0;
/// Minutes to dry (common practice, no source).
const DRY_MINUTES: f64 = 120.0;

const ML: Bounds = Millilitres::BOUNDS;
const MINUTES: Bounds = StepMinutes::BOUNDS;

pub(super) fn plan(text: Text<'_>) -> Result<Plan, PlanError> {
    let table = DeTable::parse(text.text).map_err(|error| {
        let at = error.span().map_or(0, |span| span.start);
        text.fault(at, error.message().replace('\n', " "))
    })?;
    let root = Section::root(text, &table);
    root.only(&[
        "title",
        "start",
        "pairing",
        "film",
        "aim",
        "vessel",
        "bath",
        "one_shot",
        "temperature",
        "stop",
        "fix",
        "wash",
        "wetting",
        "load_minutes",
        "dry_minutes",
    ])?;
    let required = |key| root.section(key)?.ok_or_else(|| root.missing(key));
    let usual = path(text, &root, "pairing", "pairing.toml")?;
    let aim = aim(&root)?;
    let developers = developer::developers(text, &root)?;
    let temperature = developer::temperature(&required("temperature")?)?;
    let (films, parts) = films(text, &root, usual.as_deref(), aim, &developers)?;
    let first = parts.first().map(|part: &Part| part.pairing.clone());
    let pairing = usual.or(first).unwrap_or_default();
    let developer = developers[0].developer.clone();
    let mut plan = Plan {
        file: text.path.to_owned(),
        title: root.text("title", "Tuesday class")?.unwrap_or("Session").to_owned(),
        start: start(&root)?,
        pairing,
        films,
        parts,
        aim,
        vessel: vessel::vessel(&required("vessel")?)?,
        developer,
        developers,
        temperature,
        stop: after::stop(&root)?,
        fix: after::fix(&required("fix")?)?,
        wash: after::wash(&root)?,
        wetting: after::wetting(&root)?,
        load_minutes: stated(&root, "load_minutes", MINUTES, "10", LOAD_MINUTES)?,
        dry_minutes: stated(&root, "dry_minutes", MINUTES, "120", DRY_MINUTES)?,
    };
    if !plan.is_class_night() {
        let all: Vec<usize> = (0..plan.parts.len()).collect();
        plan = plan.with_parts(&all);
    }
    Ok(plan)
}

/// A number, or what is assumed in its place.
fn stated(
    section: &Section<'_>,
    key: &str,
    bounds: Bounds,
    example: &str,
    otherwise: f64,
) -> Result<Stated, PlanError> {
    let found = section.number(key, bounds, example)?;
    Ok(Stated { value: found.unwrap_or(otherwise), assumed: found.is_none() })
}

/// A path, from the plan's folder.
fn path(
    text: Text<'_>,
    section: &Section<'_>,
    key: &str,
    example: &str,
) -> Result<Option<PathBuf>, PlanError> {
    let folder = text.path.parent().unwrap_or(Path::new(""));
    Ok(section.text(key, example)?.map(|name| folder.join(name)))
}

/// A time of day as 18:30, in minutes after midnight.
fn start(root: &Section<'_>) -> Result<Option<u32>, PlanError> {
    let Some(text) = root.text("start", "18:30")? else {
        return Ok(None);
    };
    let part = |part: &str, most: u32| part.parse::<u32>().ok().filter(|n| *n < most);
    let parsed = text
        .split_once(':')
        .and_then(|(hours, minutes)| Some(60 * part(hours, 24)? + part(minutes, 60)?));
    match parsed {
        Some(start) => Ok(Some(start)),
        None => {
            Err(root.fault("start", format!("{text:?} is no time of day; write it as \"18:30\"")))
        }
    }
}

/// Entries of films by format, and what each is of and for.
type Films = (Vec<(u32, Placed<Format>)>, Vec<Part>);

fn films(
    text: Text<'_>,
    root: &Section<'_>,
    usual: Option<&Path>,
    aim: Aim,
    developers: &[NamedDeveloper],
) -> Result<Films, PlanError> {
    let sections = root.sections("film")?;
    if sections.is_empty() {
        return Err(root.fault(
            "film",
            "is missing; say which films, each in a section [[film]] with its format and count",
        ));
    }
    let one = |section: &Section<'_>| {
        section.only(&[
            "format",
            "count",
            "name",
            "pairing",
            "contrast",
            "scene_stops",
            "developer",
        ])?;
        section.one_of(["contrast", "scene_stops"])?;
        let missing =
            |key| section.fault(key, "is missing; each [[film]] has a format and a count");
        let format = section.format("format")?.ok_or_else(|| missing("format"))?;
        let count = section.count("count", MOST_FILMS)?.ok_or_else(|| missing("count"))?;
        let line = section.line("format");
        let own = path(text, section, "pairing", "pairing.toml")?;
        let pairing = own.or_else(|| usual.map(Path::to_owned)).ok_or_else(|| {
            root.fault("pairing", "is missing; name the file of the calibrated film and developer")
        })?;
        let contrast = section.number("contrast", Contrast::BOUNDS, "0.58")?;
        let scene_stops = section.number("scene_stops", SceneStops::BOUNDS, "7")?;
        let aim = match (contrast, scene_stops) {
            (None, None) => aim,
            _ => Aim { contrast, scene_stops, ..aim },
        };
        let part = Part {
            name: section.text("name", "Ada")?.map(str::to_owned),
            pairing,
            aim,
            developer: developer::named(section, developers)?,
            line,
        };
        Ok(((count, Placed { value: format, line }), part))
    };
    let (films, parts): (Vec<_>, Vec<_>) =
        sections.iter().map(one).collect::<Result<Vec<_>, PlanError>>()?.into_iter().unzip();
    let total: u32 = films.iter().map(|(count, _)| count).sum();
    if total > MOST_FILMS {
        return Err(root.fault(
            "film",
            format!("{total} films are no session: plan up to {MOST_FILMS} at a time"),
        ));
    }
    Ok((films, parts))
}

fn aim(root: &Section<'_>) -> Result<Aim, PlanError> {
    let Some(section) = root.section("aim")? else {
        return Ok(Aim { contrast: None, scene_stops: None, measure: None });
    };
    section.only(&["contrast", "scene_stops", "measure"])?;
    section.one_of(["contrast", "scene_stops"])?;
    let measures = [
        ("contrast-index", Measure::ContrastIndex),
        ("average-gradient", Measure::AverageGradient),
        ("gamma", Measure::Gamma),
    ];
    Ok(Aim {
        contrast: section.number("contrast", Contrast::BOUNDS, "0.58")?,
        scene_stops: section.number("scene_stops", SceneStops::BOUNDS, "7")?,
        measure: section.choice("measure", &measures)?,
    })
}

fn agitation(section: &Section<'_>) -> Result<Option<String>, PlanError> {
    let text = section.text("agitation", "30 s, then 10 s in every minute")?;
    Ok(text.map(str::to_owned))
}
