//! What becomes of a scene's tones in the print?

use super::adjust::temperature;
use super::bath_today::BathToday;
use super::standing::{NotGiven, Withheld, standing_field};
use super::{Answer, Column, Description, Field, Form, Gather, Note, Section, Table, Value};
use crate::development::aim::{Assumption, LEAST_LOSS};
use crate::development::file::Aims;
use crate::development::{Measure, Pairing, SHORTEST, Unreachable, Wanted};
#[cfg(feature = "figures")]
use crate::figures::draw::Scene;
#[cfg(feature = "figures")]
use crate::figures::tone_reproduction;
use crate::measures::Quantity;
use crate::printing::PaperStrip;
use crate::printing::tone::{
    Camera, Cause, Chain, ChainError, Change, Film, GREY, Link, Lost, PrintFor, PrintSetup,
    Printed, Remedy, Reproduction, Tone,
};
#[cfg(feature = "figures")]
use crate::readings::ExposureScale;
use crate::units::{Celsius, STOP, TemperatureUnit};
use crate::words::{number, rounded_clock, signed, speed_decimals, trimmed};
use std::fmt;

/// Times outside the calibrated development by more than this factor are refused.
const FARTHEST: f64 = 3.0;

/// How the film is developed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DevelopedFor {
    /// The scene, on this paper.
    Scene,
    /// This contrast.
    Contrast(f64),
    /// So many minutes.
    Minutes(f64),
}

/// What is asked.
#[derive(Debug)]
pub struct ToneQuestion<'a> {
    /// What the pairing is called.
    pub name: String,
    /// The pairing.
    pub pairing: &'a Pairing,
    /// The strips of the paper, one for each setting.
    pub papers: &'a [PaperStrip],
    /// The one that is printed on.
    pub paper: usize,
    /// What is aimed at: measure of contrast, flare, light.
    pub aims: Aims,
    /// Whether the aims' paper range was asked for; else that of the paper is taken.
    pub range_is_given: bool,
    /// Range of the scene in stops.
    pub scene_stops: f64,
    /// How far the metered tone lies below the brightest, in stops; an 18 % grey where it is not known.
    pub metered_below: Option<f64>,
    /// Stops of exposure given over what the meter says.
    pub over: f64,
    /// How the film is developed.
    pub developed_for: DevelopedFor,
    /// Temperature of the bath.
    pub celsius: Celsius,
    /// The unit that temperatures are shown in.
    pub unit: TemperatureUnit,
    /// The bath.
    pub bath: BathToday,
    /// Whether to calculate for a bath that is not to be used.
    pub anyway: bool,
    /// Exposure index that the meter is set to; `None` is the pairing's own for this development.
    pub exposure_index: Option<f64>,
    /// What the print is exposed for.
    pub print_for: PrintFor,
    /// Stops of print exposure over that.
    pub print_over: f64,
}

/// Why there is no answer.
#[derive(Clone, Debug, thiserror::Error)]
pub enum ToneError {
    /// The development cannot be reached.
    #[error(transparent)]
    Unreachable(#[from] Unreachable),
    /// The tones cannot be followed.
    #[error(transparent)]
    Chain(#[from] ChainError),
    /// The time is far outside the calibrated development.
    #[error(
        "{theta:.1} effective minutes are far outside the calibrated development ({low:.1} to {high:.1})"
    )]
    FarOutside {
        /// Effective minutes.
        theta: f64,
        /// Least that was calibrated.
        low: f64,
        /// Most that was calibrated.
        high: f64,
    },
    /// The bath is not to be used.
    #[error("the tones are {}", .0.why)]
    Withheld(Box<NotGiven>),
}

/// What is assumed, or to be known.
#[derive(Clone, Debug, PartialEq)]
pub enum ToneNote {
    /// An assumption of printing.
    Printing(Assumption),
    /// The time is for two ranges, and the tones ask for another one.
    Ranges,
    /// The metered tone is assumed.
    GreyAssumed,
    /// The scene exposes the film outside the strips.
    OutsideStrips {
        /// Log exposures of the scene.
        scene: (f64, f64),
        /// Log exposures of the strips.
        strips: (f64, f64),
    },
}

impl fmt::Display for ToneNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Printing(assumption) => assumption.fmt(f),
            Self::Ranges => f.write_str(
                "the time is for two ranges, that of the scene less flare and that of the paper; the remedies follow every tone through the toe and the shoulder of film and paper, so that they can ask for another time",
            ),
            Self::GreyAssumed => f.write_str(
                "the metered tone is assumed to be a grey of 18 %, 2.5 stops below the brightest (common practice, no source)",
            ),
            Self::OutsideStrips { scene, strips } => write!(
                f,
                "the scene exposes the film from {} to {}, and the strips of the pairing from {} to {}: outside them the tones rest on the development surface alone",
                number(scene.0, 2),
                number(scene.1, 2),
                number(strips.0, 2),
                number(strips.1, 2)
            ),
        }
    }
}

/// How the film is developed.
#[derive(Clone, Copy, Debug)]
struct Developed {
    theta: f64,
    minutes: f64,
}

/// Tone reproduction from the scene to the print.
#[derive(Debug)]
pub struct ToneReproduction<'a> {
    question: ToneQuestion<'a>,
    setup: PrintSetup<'a>,
    chain: Chain<'a>,
    developed: Developed,
    /// What becomes of the tones.
    pub reproduction: Reproduction,
    /// Overall gradient with its interval; `None` where all is lost.
    pub gradient: Option<Quantity>,
    /// Changes that help, each tried alone.
    pub remedies: Vec<Remedy>,
    /// What is assumed, or to be known.
    pub notes: Vec<ToneNote>,
}

impl<'a> ToneReproduction<'a> {
    /// Follows the tones.
    ///
    /// # Errors
    /// [`ToneError`]: the answer is a no.
    pub fn of(mut question: ToneQuestion<'a>) -> Result<Self, ToneError> {
        let strip = &question.papers[question.paper];
        let paper = strip.result.as_ref().map_err(|e| ChainError::NoCurve(e.clone()))?;
        // The film is developed for this paper, not for one that the pairing was made for.
        if let (false, Ok(range)) = (question.range_is_given, &paper.measures.range_r) {
            question.aims.printing.paper_range = Some(range.value);
        }
        if let Some(why) = question.bath.withheld(question.anyway) {
            return Err(ToneError::Withheld(Box::new(question.not_given(why))));
        }
        let developed = question.developed()?;
        let printing = &question.aims.printing;
        let setup = PrintSetup {
            camera: Camera {
                stops: question.scene_stops,
                flare: printing.flare_at(question.scene_stops),
                grey: question.metered_below.map_or(GREY, |stops| stops * STOP),
                correction: question.over,
            },
            film: Film {
                pairing: question.pairing,
                theta: developed.theta,
                exposure_index: question.exposure_index,
            },
            printed: Printed {
                callier: printing.factor(),
                print_for: question.print_for,
                correction: question.print_over,
            },
            papers: question.papers,
            paper: question.paper,
        };
        let chain = setup.chain()?;
        let reproduction = chain.reproduction();
        let remedies = setup.remedies();
        let mut notes = question.notes(&reproduction);
        let develops = |r: &Remedy| matches!(r.change, Change::Development { .. });
        if question.developed_for == DevelopedFor::Scene && remedies.iter().any(develops) {
            notes.push(ToneNote::Ranges);
        }
        Ok(Self {
            gradient: setup.gradient(&reproduction),
            remedies,
            notes,
            question,
            setup,
            chain,
            developed,
            reproduction,
        })
    }

    fn strip(&self) -> &PaperStrip {
        &self.question.papers[self.question.paper]
    }

    /// The tones of the table: whole stops from the metered tone, and the scene's two ends.
    #[must_use]
    pub fn rows(&self) -> Vec<Tone> {
        let camera = self.chain.camera();
        let (dark, bright) = (camera.darkest(), camera.brightest());
        let (first, last) = ((dark / STOP).ceil() as i32, (bright / STOP).floor() as i32);
        let whole = (first..=last).map(|k| f64::from(k) * STOP);
        let apart = |l: &f64| (l - dark).abs() > 0.05 && (l - bright).abs() > 0.05;
        let all = [dark].into_iter().chain(whole.filter(apart)).chain([bright]);
        all.map(|luminance| self.chain.tone(luminance)).collect()
    }

    /// The diagram in four quadrants.
    #[must_use]
    #[cfg(feature = "figures")]
    pub fn figure(&self) -> Scene {
        let how = format!(
            "a scene of {} stops, {} min at {} °C",
            trimmed(self.chain.camera().stops, 1),
            number(self.developed.minutes, 1),
            self.question.celsius
        );
        let scale = match self.question.pairing.absolute {
            true => ExposureScale::Absolute,
            false => ExposureScale::Relative,
        };
        let gradient = self.gradient.map(|g| g.value);
        tone_reproduction(
            (&self.question.title(), &how),
            scale,
            &self.chain,
            &self.reproduction,
            gradient,
        )
    }

    fn exposure_index(&self) -> Option<f64> {
        let own = || Some(self.question.pairing.exposure_index(self.developed.theta)?.value);
        self.question.exposure_index.or_else(own)
    }

    fn scene(&self) -> Section {
        let camera = self.chain.camera();
        let mut section = Section::titled("scene").keyed("scene");
        let stops = |v: f64| Value::in_form(v, Form::SignedDecimals(1)).unit(" stops");
        section.field("stops", "range", Value::plain(camera.stops, 2).unit(" stops"));
        let label = "darkest tone, from the metered tone";
        section.field("darkest_stops", label, stops(camera.darkest() / STOP));
        let label = "brightest tone, from the metered tone";
        section.field("brightest_stops", label, stops(camera.brightest() / STOP));
        section.field("flare", "flare (log exposure)", Value::number(camera.flare, 2));
        if camera.correction != 0.0 {
            section.field("over_stops", "exposed over the meter", stops(camera.correction));
        }
        section
    }

    fn film(&self) -> Section {
        let q = &self.question;
        let mut section = Section::titled("film").keyed("film");
        let reason = match q.developed_for {
            DevelopedFor::Minutes(_) => "as given".to_owned(),
            DevelopedFor::Contrast(_) => "for the contrast wanted".to_owned(),
            DevelopedFor::Scene => format!(
                "for the scene on paper of range R {}",
                number(q.aims.printing.range_r(), 0)
            ),
        };
        let minutes = Value::in_form(self.developed.minutes, Form::Clock);
        let words = format!("{}, {reason}", rounded_clock(self.developed.minutes));
        section.field("minutes", "developed for", minutes.worded(words));
        let words = temperature(q.celsius.get(), q.unit);
        let celsius = Value::plain(q.celsius.get(), 1).worded(words);
        section.field("celsius", "temperature", celsius);
        q.bath.add_activity(&mut section);
        let effective = Value::number(self.developed.theta, 2).unit(" min");
        section.field("effective_minutes", "effective development", effective);
        let growth = q.pairing.growth(Measure::ContrastIndex);
        let contrast = growth.map(|g| Value::number(g.value(self.developed.theta), 2));
        section.field("contrast_index", "contrast index", contrast);
        let index = self.exposure_index().map(|index| Value::number(index, speed_decimals(index)));
        section.field("exposure_index", "exposure index on the meter", index);
        section
    }

    fn paper(&self) -> Section {
        let printed = &self.setup.printed;
        let (white, black) = self.chain.limits();
        let strip = self.strip();
        let mut section = Section::titled("paper").keyed("paper");
        section.field("setting", "setting", strip.setting());
        let range = strip.measures().and_then(|m| m.range_r.as_ref().ok());
        let range = range.map(|r| Value::quantity_as(r, Form::Decimals(0)));
        section.field("range_r", "range R", range);
        section.field("callier", "Callier factor", Value::plain(printed.callier, 2));
        let (code, words) = match printed.print_for {
            PrintFor::Middle => ("middle", "the metered tone prints as 18 % grey"),
            PrintFor::Highlight => {
                ("highlight", "the brightest tone prints at the highlight point")
            }
            PrintFor::Shadow => ("shadow", "the darkest tone prints at the shadow point"),
            PrintFor::Proof => ("proof", "clear film prints at the shadow point"),
        };
        section.field("print_for", "exposed so that", Value::term(code, words));
        if printed.correction != 0.0 {
            let stops = Value::in_form(printed.correction, Form::SignedDecimals(1));
            section.field("over_stops", "exposed over that", stops.unit(" stops"));
        }
        let label = "highlight point, density";
        section.field("highlight_density", label, Value::number(white, 2));
        section.field("shadow_density", "shadow point, density", Value::number(black, 2));
        section
    }

    fn tones(&self) -> Table {
        let mut table = Table::new(vec![
            Column::new("stops", "stops"),
            Column::new("log_luminance", "log luminance"),
            Column::new("film_log_exposure", "film, log H"),
            Column::new("negative_density", "negative"),
            Column::new("paper_log_exposure", "paper, log H"),
            Column::new("print_density", "print"),
            Column::new("prints", ""),
        ])
        .keyed("tones")
        .titled("tones, from the metered tone");
        let (white, black) = self.chain.limits();
        for tone in self.rows() {
            table.row(vec![
                Value::in_form(tone.luminance / STOP, Form::SignedDecimals(1)),
                Value::number(tone.luminance, 2),
                Value::number(tone.film_exposure, 2),
                Value::number(tone.negative, 2),
                Value::number(tone.paper_exposure, 2),
                Value::number(tone.print, 2),
                match tone.print {
                    print if print > black => Value::term("black", "black"),
                    print if print < white => Value::term("white", "white"),
                    _ => Value::term("grey", ""),
                },
            ]);
        }
        table
    }

    fn remedies(&self) -> Table {
        let mut table = Table::new(vec![
            Column::new("change", "change"),
            Column::new("to", "to"),
            Column::new("keeps_all", "keeps all"),
            Column::new("lost_stops", "stops lost"),
            Column::new("overall_gradient", "overall gradient"),
        ])
        .keyed("remedies");
        if self.reproduction.lost_stops() < LEAST_LOSS {
            return table;
        }
        table.title = Some("possible remedies (each tried alone)".to_owned());
        for remedy in &self.remedies {
            let (change, to) = self.change(&remedy.change);
            let gradient = Some(remedy.gradient).filter(|g| g.is_finite());
            table.row(vec![
                change,
                to,
                remedy.is_whole().into(),
                Value::number(remedy.lost_stops, 1),
                gradient.map(|g| Value::number(g, 2)).into(),
            ]);
        }
        table
    }

    /// What is changed, and to what.
    fn change(&self, change: &Change) -> (Value, Value) {
        let stops = |stops: f64| {
            let value = Value::in_form(stops, Form::SignedDecimals(1));
            Value::Map(vec![("stops".into(), value)]).worded(format!("{} stops", signed(stops, 1)))
        };
        match change {
            Change::Development { theta, contrast } => {
                let minutes = self.developed.minutes * theta / self.developed.theta;
                let to = Value::Map(vec![
                    ("minutes".into(), Value::in_form(minutes, Form::Clock)),
                    ("contrast_index".into(), contrast.map(|c| Value::number(c, 2)).into()),
                ]);
                let (low, high) = self.question.pairing.law().range();
                let mut words = rounded_clock(minutes);
                if let Some(contrast) = contrast {
                    words.push_str(&format!(", contrast index {contrast:.2}"));
                }
                if minutes < SHORTEST {
                    words.push_str(", too short to be even");
                } else if !(low..=high).contains(theta) {
                    words.push_str(", outside the strips");
                }
                (Value::term("development", "develop for"), to.worded(words))
            }
            Change::Exposure(by) => (Value::term("exposure", "expose the film by"), stops(*by)),
            Change::PrintExposure(by) => {
                (Value::term("print_exposure", "expose the print by"), stops(*by))
            }
            Change::Setting { label, range_r } => {
                let to = Value::Map(vec![
                    ("setting".into(), label.as_str().into()),
                    ("range_r".into(), Value::number(*range_r, 0)),
                ]);
                let words = format!("{label} (R {range_r:.0})");
                (Value::term("setting", "print at setting"), to.worded(words))
            }
        }
    }
}

impl ToneQuestion<'_> {
    fn title(&self) -> String {
        let strip = &self.papers[self.paper];
        let paper = strip.strip.labels.film.as_deref().unwrap_or("paper");
        format!("{} on {paper}, setting {}", self.name, strip.setting())
    }

    fn not_given(&self, why: Withheld) -> NotGiven {
        let missing = ("tones", "tones and time");
        NotGiven { title: self.title(), heading: Vec::new(), missing, why }
    }

    /// The bath's activity, 1 as calibrated.
    fn activity(&self) -> f64 {
        self.bath.activity().map_or(1.0, |q| q.value)
    }

    fn developed(&self) -> Result<Developed, ToneError> {
        let contrast = match self.developed_for {
            DevelopedFor::Minutes(minutes) => {
                let law = self.pairing.growth(self.aims.measure);
                let law = law.unwrap_or_else(|| self.pairing.law());
                let theta = minutes * self.activity() * law.rate(self.celsius);
                let (low, high) = law.range();
                return if (low / FARTHEST..=high * FARTHEST).contains(&theta) {
                    Ok(Developed { theta, minutes })
                } else {
                    Err(ToneError::FarOutside { theta, low, high })
                };
            }
            DevelopedFor::Contrast(contrast) => contrast,
            DevelopedFor::Scene => {
                let stops = self.scene_stops;
                let flare = self.aims.printing.flare_at(stops);
                self.aims.printing.contrast(stops).ok_or(ChainError::Flare { flare, stops })?
            }
        };
        let adjusted = self.pairing.adjust(&Wanted {
            measure: self.aims.measure,
            contrast,
            celsius: self.celsius,
            activity: self.activity(),
            extrapolate: false,
        })?;
        Ok(Developed { theta: adjusted.effective_minutes.value, minutes: adjusted.minutes.value })
    }

    fn notes(&self, reproduction: &Reproduction) -> Vec<ToneNote> {
        let assumptions = self.aims.printing.assumptions_for(&[self.scene_stops]);
        let mut notes: Vec<ToneNote> = assumptions.into_iter().map(ToneNote::Printing).collect();
        if self.metered_below.is_none() {
            notes.push(ToneNote::GreyAssumed);
        }
        let tones = &reproduction.tones;
        if let (Some(dark), Some(bright)) = (tones.first(), tones.last()) {
            let scene = (dark.film_exposure, bright.film_exposure);
            let strips = exposures(self.pairing);
            if scene.0 < strips.0 || scene.1 > strips.1 {
                notes.push(ToneNote::OutsideStrips { scene, strips });
            }
        }
        notes
    }
}

/// Lowest and highest log exposure that all strips of the pairing have.
fn exposures(pairing: &Pairing) -> (f64, f64) {
    let ranges = pairing.strips.iter().filter_map(|s| {
        let analysed = s.result.as_ref().ok()?;
        Some(analysed.fit.curve.range())
    });
    ranges.fold((f64::NEG_INFINITY, f64::INFINITY), |(l, h), (a, b)| (l.max(a), h.min(b)))
}

/// What is lost at one end of the scene, as an object of its own.
fn lost(lost: Option<&Lost>, side: &str) -> Value {
    let Some(lost) = lost else {
        return Value::Missing.worded("kept");
    };
    let (cause, place, words) = match lost.cause {
        Cause::Black => ("black", "paper", "they print black"),
        Cause::White => ("white", "paper", "they print white"),
        Cause::Flat(Link::Flare) => ("flat", "flare", "flare makes them nearly equal"),
        Cause::Flat(Link::Film) => {
            ("flat", "film", "nearly equal in the flat end of the film's curve")
        }
        Cause::Flat(Link::Paper) => {
            ("flat", "paper", "nearly equal in the flat end of the paper's curve")
        }
    };
    let from = lost.from / STOP;
    Value::Map(vec![
        ("from_stops".into(), Value::in_form(from, Form::SignedDecimals(1))),
        ("from_log_luminance".into(), Value::number(lost.from, 2)),
        ("stops".into(), Value::number(lost.stops, 1)),
        ("cause".into(), cause.into()),
        ("where".into(), place.into()),
    ])
    .worded(format!(
        "lost {side} {} stops ({} stops of the scene): {words}",
        signed(from, 1),
        trimmed(lost.stops, 1)
    ))
}

impl Answer for ToneReproduction<'_> {
    fn describe(&self) -> Description {
        let mut all = Description::new(self.question.title());
        all.first = self.question.bath.standing().map(standing_field);
        let r = &self.reproduction;
        let label = "overall gradient";
        match &self.gradient {
            Some(q) => all.add(Field {
                leads: true,
                ..Field::new("overall_gradient", label, Value::quantity_as(q, Form::Decimals(2)))
            }),
            None => {
                all.field("overall_gradient", label, Value::Missing);
                let why = "no tone of the scene is kept";
                all.notes.push(Note::missing("overall_gradient", "overall gradient", why));
            }
        }
        let middle = Some(r.middle_gradient).filter(|g| g.is_finite());
        let middle = middle.map(|g| Value::number(g, 2));
        all.field("metered_gradient", "gradient at the metered tone", middle);
        all.field("shadows_lost", "shadows", lost(r.shadows.as_ref(), "below"));
        all.field("highlights_lost", "highlights", lost(r.highlights.as_ref(), "above"));
        all.field("lost_stops", "stops of the scene lost", Value::number(r.lost_stops(), 1));
        all.add(self.remedies());
        all.add(self.scene());
        all.add(self.film());
        all.add(self.paper());
        all.add(self.tones());
        all.notes(&self.notes);
        all.notes(self.question.bath.notes());
        all
    }
}
