//! How long is film developed today, and what exposure index is set on the meter?

#[cfg(feature = "figures")]
mod card;
mod developed;
mod grid;
mod table;

pub use developed::{DevelopedQuestion, Got};
pub use table::{DevelopedTable, TimesTable};

use super::standing::{Withheld, standing_field};
use super::{Answer, BathToday, Description, Field, Form, Gather, PaperAim, Section, Value};
use crate::development::aim::{Printing, Scene, Target};
use crate::development::{Adjusted, Exposed, Longest, Measure, Pairing, Unreachable, Wanted};
use crate::units::{Celsius, ExposureIndex, TemperatureUnit};
use crate::words::{degrees, degrees_both, number};

/// What is asked.
#[derive(Clone, Debug)]
pub struct AdjustQuestion<'a> {
    /// Film and developer.
    pub name: &'a str,
    /// The pairing.
    pub pairing: &'a Pairing,
    /// The measure of contrast.
    pub measure: Measure,
    /// The contrast that is wanted.
    pub target: Target,
    /// What the meter was set to, where it was not the exposure index of the development.
    pub exposed_at: Option<ExposureIndex>,
    /// How the bath is moved today, in words.
    pub agitation: Option<&'a str>,
    /// Temperature of the bath.
    pub celsius: Celsius,
    /// The unit that temperatures are shown in.
    pub unit: TemperatureUnit,
    /// The bath.
    pub bath: BathToday,
    /// Whether to calculate far outside what was calibrated.
    pub extrapolate: bool,
    /// Whether to calculate for a bath that is not to be used.
    pub anyway: bool,
    /// Scenes for the columns of the card, in stops.
    pub scene_stops: &'a [f64],
    /// How the negatives are printed.
    pub printing: Printing,
    /// The paper on which tones are followed one by one, for the columns of the card.
    pub paper: Option<PaperAim<'a>>,
}

/// Why there is no time.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoTime {
    /// The pairing cannot give it.
    #[error(transparent)]
    Unreachable(#[from] Unreachable),
    /// The bath is not to be used.
    #[error("{0}")]
    Withheld(Withheld),
    /// What an exposure index means is not known.
    #[error(
        "the pairing's exposures are relative: what another exposure index means cannot be determined"
    )]
    NoIndex,
    /// One strip does not show the time.
    #[error("one strip does not show the time for another contrast than its own")]
    OneStrip,
}

/// How long to develop today.
#[derive(Clone, Debug)]
pub struct Adjust<'a> {
    /// What was asked.
    pub question: AdjustQuestion<'a>,
    /// The same in the terms of the pairing.
    pub wanted: Wanted,
    /// The time and what to expect.
    pub result: Result<Adjusted, NoTime>,
    /// What the exposure of the film means for it.
    pub exposed: Option<Exposed>,
}

impl<'a> Adjust<'a> {
    /// The answer.
    #[must_use]
    pub fn of(mut question: AdjustQuestion<'a>) -> Self {
        let left = question.exposed_at.and_then(|index| question.left_of_scene(index));
        if let Some(target) = left {
            question.target = target;
        }
        let activity = question.bath.activity();
        let wanted = Wanted {
            measure: question.measure,
            contrast: question.target.contrast,
            celsius: question.celsius,
            activity: activity.map_or(1.0, |q| q.value),
            extrapolate: question.extrapolate,
        };
        let unknown = question.exposed_at.is_some() && !question.pairing.absolute;
        let result = match question.bath.withheld(question.anyway) {
            Some(withheld) => Err(NoTime::Withheld(withheld)),
            None if unknown => Err(NoTime::NoIndex),
            None => match question.pairing.adjust(&wanted) {
                Ok(adjusted) => Ok(match activity.filter(|q| q.low < q.high) {
                    Some(activity) => adjusted.allowing_for(&activity),
                    None => adjusted,
                }),
                Err(why) => Err(why.into()),
            },
        };
        let theta = result.as_ref().ok().map(|a: &Adjusted| a.effective_minutes.value);
        let exposed = question.exposed_at.zip(theta);
        let exposed = exposed.and_then(|(index, theta)| question.pairing.exposed(index, theta));
        Self { question, wanted, result, exposed }
    }

    /// What the longest time gives, where film was exposed at an index that no time is right for.
    #[must_use]
    pub fn longest(&self) -> Option<Longest> {
        let q = &self.question;
        let (index, stops) = (q.exposed_at?, q.target.whole_scene()?);
        let Err(NoTime::Unreachable(Unreachable::Contrast { .. })) = self.result else {
            return None;
        };
        q.pairing.longest(stops, index, &self.wanted, &q.printing)
    }
}

impl AdjustQuestion<'_> {
    /// The aim for what is left of the scene when film is exposed at `index`.
    fn left_of_scene(&self, index: ExposureIndex) -> Option<Target> {
        let stops = self.target.scene.as_ref().filter(|scene| scene.on.is_none())?.stops;
        let (measure, far) = (self.measure, self.extrapolate);
        let left = self.pairing.left_of_scene(stops, index, measure, &self.printing, far)?;
        self.target.less(left, &self.printing)
    }
}

/// A temperature in the unit that was typed: `21.5 °C`, or `70 °F (21.1 °C)`.
#[must_use]
pub(super) fn temperature(celsius: f64, unit: TemperatureUnit) -> String {
    match unit {
        TemperatureUnit::Celsius => degrees(celsius),
        TemperatureUnit::Fahrenheit => degrees_both(celsius),
    }
}

/// The aim in words: `contrast index 0.615, for a scene of 7 stops (N) on paper of range R 105`.
pub(super) fn aim_words(measure: Measure, target: &Target) -> String {
    let aim = format!("{} {}", measure.name(), number(target.contrast, 3));
    match &target.scene {
        Some(scene) => format!("{aim}, for {scene}"),
        None => aim,
    }
}

/// The aim as a field, with what it follows from for programs.
pub(super) fn aim_fields(all: &mut Description, measure: Measure, target: &Target) {
    let aim = Value::number(target.contrast, 3).worded(aim_words(measure, target));
    all.field("contrast", "aim", aim);
    all.data("measure", measure.code());
    let scene = target.scene.as_ref();
    all.data("scene_stops", scene.map(|s| Value::plain(s.stops, 2)));
    all.data("paper_range_r", scene.map(|s| Value::plain(s.range_r, 1)));
    if let Some(on) = scene.and_then(|s| s.on.as_ref()) {
        all.data("paper", on.paper.as_str());
        all.data("lost_stops", Value::number(on.lost_stops, 2));
    }
}

impl Answer for Adjust<'_> {
    fn describe(&self) -> Description {
        let q = &self.question;
        let mut all = Description::new(q.name);
        all.first = q.bath.standing().map(standing_field);
        let minutes = self.result.as_ref().map(|a| a.minutes).map_err(Clone::clone);
        let (field, note) = Field::measured("minutes", "develop for", &minutes, Value::time);
        all.add(Field { leads: true, ..field });
        all.notes.extend(note);
        all.notes(self.longest());
        let adjusted = self.result.as_ref().ok();
        let index = adjusted.and_then(|a| a.exposure_index);
        all.field("exposure_index", "exposure index", index.as_ref());
        if adjusted.is_some() && index.is_none() {
            all.notes.push(super::Note::missing(
                "exposure_index",
                "exposure index",
                "the pairing's exposures are relative",
            ));
        }
        if let Some(index) = q.exposed_at {
            all.field("exposed_at", "exposed at", Value::plain(index.get(), 2));
            let lost = self.exposed.map(|e| e.lost());
            let lost =
                lost.as_ref().map(|l| Value::quantity_as(l, Form::Decimals(1)).unit(" stops"));
            all.field("lost_shadow_stops", "lost in the shadows", Value::or_missing(lost));
        }
        aim_fields(&mut all, q.measure, &q.target);
        let words = temperature(q.celsius.get(), q.unit);
        all.field("celsius", "temperature", Value::plain(q.celsius.get(), 2).worded(words));
        q.bath.add_activity(&mut all);
        add_agitation(&mut all, q.pairing, q.agitation);
        all.data("effective_minutes", adjusted.map(|a| Value::quantity(&a.effective_minutes)));
        all.data("extrapolated", adjusted.map(|a| a.extrapolated));
        if let Some(adjusted) = adjusted {
            all.add(expected(adjusted));
            all.notes(self.exposed);
            all.notes(&adjusted.notes);
            all.notes(q.bath.notes());
            all.notes(&q.target.assumptions);
            all.notes(q.target.scene.as_ref().map(Scene::aimed_by));
        }
        all
    }

    fn is_no(&self) -> bool {
        self.result.is_err()
    }
}

/// The agitation that the time holds for, where the strips state it, and whether today's is another.
pub(super) fn add_agitation(all: &mut Description, pairing: &Pairing, today: Option<&str>) {
    if let Some(strips) = pairing.agitation() {
        all.field("agitation", "agitation of the strips", strips.as_str());
    }
    all.notes(pairing.agitated_otherwise(today));
}

/// What the negative will measure.
fn expected(adjusted: &Adjusted) -> Section {
    let mut section = Section::titled("to expect").keyed("expected");
    let decimals = super::curve::three_decimals;
    section.field("base_plus_fog", "base plus fog", adjusted.base_plus_fog.as_ref().map(decimals));
    for (measure, value) in &adjusted.expected {
        section.field(measure.code(), measure.name(), decimals(value));
    }
    section
}
