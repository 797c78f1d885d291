//! What are the densities of a strip in a picture?

use super::typed::AboutStrip;
use super::value::{Amount, Form};
use super::{Answer, Column, Description, Gather, Note, Table, Value};
use crate::picture::bracket::Shutter;
use crate::picture::frame::NoFrame;
use crate::picture::photometry::{Known, Stated};
use crate::picture::stain::{Difference, Stain};
use crate::picture::{Asked, Frames, NotRead, PictureNote, Reading, StripStep};
use crate::readings::{NoTablet, Tablet, TabletScale};
use crate::units::{DensitySigma, OffsetSigma, SlopeSigma};
use crate::words::{counted, no_formula};
use std::fmt;

/// Standard uncertainty of a tablet's densities where none is given: assumed.
pub const TABLET_SIGMA: f64 = 0.010;

/// What the picture was taken with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TakenWith {
    /// A camera over an opal light box.
    #[default]
    Camera,
    /// A scanner with a light above the film.
    Scanner {
        /// Whether a patch of the same film was compared with a diffuse density.
        callier_checked: bool,
    },
}

/// What is asked.
#[derive(Clone, Debug)]
pub struct ReadQuestion<'a> {
    /// Name of the picture.
    pub picture: String,
    /// The frames.
    pub frames: Frames<'a>,
    /// The pictures of a bracket that were merged into one: marked times, and each in units of the shortest. Empty
    /// for a single picture.
    pub times: Vec<(Shutter, f64)>,
    /// The tablet.
    pub tablet: &'a Tablet,
    /// Standard uncertainty of its densities, for steps whose file gives none.
    pub tablet_sigma: Option<DensitySigma>,
    /// Where the steps lie, if that is given.
    pub layout: Option<&'a crate::picture::layout::Layout>,
    /// Length of a step in **mm**, if it is stated.
    pub step_mm: Option<f64>,
    /// What the picture was taken with.
    pub with: TakenWith,
    /// What is known of the strip.
    pub about: AboutStrip,
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq)]
pub enum NoDensities {
    /// The picture gives none.
    NotRead(NotRead),
    /// The tablet is not given by its densities.
    Tablet(TabletScale),
    /// The tablet's file is not usable.
    File(NoTablet),
    /// The frame in the strip's place is not measured.
    Frame(NoFrame),
    /// A scanner's light is not diffuse, and it was not checked what that does to this film.
    Scanner,
}

impl fmt::Display for NoDensities {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotRead(why) => why.fmt(f),
            Self::Frame(why) => why.fmt(f),
            Self::Tablet(scale) => write!(
                f,
                "the tablet's file gives {}, and a picture is read by densities: give a file with the column tablet_density",
                scale.column()
            ),
            Self::File(why) => why.fmt(f),
            Self::Scanner => f.write_str(
                "a scanner's light is not diffuse: it shows densities of silver too high by a factor that changes with development, so that times come out wrong. Compare a patch of the same film, developed for the same contrast, with its diffuse density first",
            ),
        }
    }
}

impl std::error::Error for NoDensities {}

impl From<NotRead> for NoDensities {
    fn from(why: NotRead) -> Self {
        Self::NotRead(why)
    }
}

/// Something to know of the densities.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum ReadNote {
    Diffuse,
    Scanner,
    NoUnexposed,
    AssumedSigma,
    Shared,
    SeenWithoutTest,
}

impl fmt::Display for ReadNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Diffuse => f.write_str(
                "a camera over an opal light box sees diffuse density (the geometry of ISO 5-2, with light and eye exchanged). A stained film has another density in each colour",
            ),
            Self::Scanner => f.write_str(
                "a scanner's densities are not diffuse ones; the check of a patch is yours. Its response falls from the middle of the glass to the sides: lay the tablet and the strip alike about its middle line",
            ),
            Self::NoUnexposed => f.write_str(
                "no unexposed film was read, and contrast index and speed are counted from it where the toe is short: name a patch of it with unexposed = [four corners] below [strip] in the layout",
            ),
            Self::AssumedSigma => write!(
                f,
                "the tablet's file gives no sigma: a standard uncertainty of {TABLET_SIGMA:.3} of each of its densities is assumed"
            ),
            Self::Shared => f.write_str(
                "sigma is what each step has by itself. The offset is common to all steps: it cancels in what is counted from base plus fog, and adds to base plus fog itself. The slope is a relative error of contrast. The readings file has both as offset_sigma and slope_sigma, and all intervals that are made of it include them",
            ),
            Self::SeenWithoutTest => f.write_str(
                "the way of reading was tested on rendered pictures, not on photographs: compare a few steps with a densitometer before you rely on it, and look at the overlay",
            ),
        }
    }
}

/// The tablet's steps, and whether the uncertainty of some is assumed.
///
/// # Errors
/// [`NoDensities::Tablet`], [`NoDensities::Scanner`].
pub(super) fn known(question: &ReadQuestion<'_>) -> Result<(Vec<Known>, bool), NoDensities> {
    let tablet = question.tablet;
    if tablet.scale != TabletScale::Density {
        return Err(NoDensities::Tablet(tablet.scale));
    }
    if question.with == (TakenWith::Scanner { callier_checked: false }) {
        return Err(NoDensities::Scanner);
    }
    let given = question.tablet_sigma.map(DensitySigma::get);
    let known = tablet.steps.iter().map(|step| Known {
        density: step.value,
        sigma: step.sigma.or(given).unwrap_or(TABLET_SIGMA),
    });
    let is_assumed = given.is_none() && tablet.steps.iter().any(|s| s.sigma.is_none());
    Ok((known.collect(), is_assumed))
}

/// The densities that a picture gave.
#[derive(Clone, Debug)]
pub struct PictureRead {
    /// Name of the picture.
    pub picture: String,
    /// The tablet.
    pub tablet: Tablet,
    /// What the picture gave.
    pub reading: Reading,
    /// What is known of the strip.
    pub about: AboutStrip,
    /// Density in blue less density in green, of a picture in colour.
    pub stain: Option<Stain>,
    /// The bracket.
    pub times: Vec<(Shutter, f64)>,
    known: Vec<Known>,
    sigma_is_assumed: bool,
    with: TakenWith,
}

impl PictureRead {
    /// Reads the strip in a picture.
    ///
    /// # Errors
    /// [`NoDensities`].
    pub fn of(question: ReadQuestion<'_>) -> Result<Self, NoDensities> {
        let (known, sigma_is_assumed) = known(&question)?;
        let ReadQuestion { picture, frames, times, tablet, layout, step_mm, with, about, .. } =
            question;
        let asked = Asked { tablet: &known, layout, step_mm };
        let mut reading = Reading::of(&frames, &asked)?;
        if times.len() > 1 {
            reading.notes.push(PictureNote::Times(times.clone()));
        }
        let tablet = tablet.clone();
        Ok(Self {
            picture,
            tablet,
            reading,
            about,
            stain: None,
            times,
            known,
            sigma_is_assumed,
            with,
        })
    }

    /// Looks for a stain: reads the same strip in frames of the other channel, which is blue or else green. Where that
    /// channel gives no densities, no stain is stated.
    pub fn compare(&mut self, other: &Frames<'_>, other_is_blue: bool) {
        let Ok(other) = self.reading.again(other, &self.known) else { return };
        self.stain = match other_is_blue {
            true => Stain::between(&other, &self.reading),
            false => Stain::between(&self.reading, &other),
        };
        let seen = self.stain.filter(Stain::is_seen).map(PictureNote::Stain);
        self.reading.notes.extend(seen);
    }

    /// The readings as a long sheet with commas, a row a density: `tablet_density`, `density` and its own `sigma`; what
    /// the errors have in common is `offset_sigma` and `slope_sigma`.
    #[must_use]
    pub fn csv(&self) -> String {
        let about = &self.about;
        let shared = &self.reading.shared;
        let common = |sigma: f64, highest: f64| format!("{:.5}", sigma.min(highest));
        let mut optional = vec![
            ("offset_sigma", common(shared.offset, OffsetSigma::HIGHEST)),
            ("slope_sigma", common(shared.slope, SlopeSigma::HIGHEST)),
        ];
        optional.extend(about.columns());
        let mut writer = csv::Writer::from_writer(Vec::new());
        let headings = ["strip", "step", "tablet_density", "density", "sigma"].into_iter();
        let headings: Vec<&str> = headings.chain(optional.iter().map(|(name, _)| *name)).collect();
        let mut all = writer.write_record(&headings).is_ok();
        let unexposed = self.reading.unexposed.as_ref().and_then(|(_, stated)| stated.found());
        let unexposed = unexposed.map(|found| (String::new(), String::new(), found));
        let steps = self.reading.steps.iter().filter_map(|step| {
            let of = &self.tablet.steps[step.step];
            let name = no_formula(&of.name).into_owned();
            Some((name, of.value.to_string(), step.stated.found()?))
        });
        for (step, tablet, found) in unexposed.into_iter().chain(steps) {
            let sigma = found.sigma.clamp(DensitySigma::LOWEST, DensitySigma::HIGHEST);
            let mut cells = vec![
                no_formula(&about.name).into_owned(),
                step,
                tablet,
                // A density of clear film that is below 0 by its error is 0.
                format!("{:.4}", found.density.max(0.0)),
                format!("{sigma:.4}"),
            ];
            cells.extend(optional.iter().map(|(_, value)| value.clone()));
            all &= writer.write_record(&cells).is_ok();
        }
        debug_assert!(all, "memory takes any number of records");
        String::from_utf8_lossy(&writer.into_inner().unwrap_or_default()).into_owned()
    }

    /// The boxes of the steps over the picture.
    #[cfg(feature = "figures")]
    #[must_use]
    pub fn overlay(&self, image: &crate::picture::Image) -> crate::figures::draw::Scene {
        use crate::figures::MarkedBox;
        use crate::words::number;
        let boxes = self.reading.layout.tablet.boxes.iter().flatten();
        let tablet = boxes.zip(&self.tablet.steps).map(|(area, step)| MarkedBox {
            area: *area,
            number: step.name.clone(),
            value: Some(number(step.value, 2)),
            is_tablet: true,
        });
        let strip = self.reading.steps.iter().map(|step| MarkedBox {
            area: step.area,
            number: self.tablet.steps[step.step].name.clone(),
            value: step.stated.found().map(|found| number(found.density, 2)),
            is_tablet: false,
        });
        let unexposed = self.reading.unexposed.map(|(area, stated)| MarkedBox {
            area,
            number: "0".to_owned(),
            value: stated.found().map(|found| number(found.density, 2)),
            is_tablet: false,
        });
        let boxes: Vec<MarkedBox> = tablet.chain(strip).chain(unexposed).collect();
        crate::figures::overlay(image, &boxes, &format!("Steps in {}", self.picture))
    }

    fn rows(&self) -> Table {
        let mut table = Table::new(vec![
            Column::new("step", "step"),
            Column::new("tablet_density", "tablet"),
            Column::new("density", "density"),
            Column::new("sigma", "sigma"),
            Column::new("denser_than", "denser than"),
        ])
        .keyed("readings");
        for StripStep { step, stated, .. } in &self.reading.steps {
            let of = &self.tablet.steps[*step];
            let missing = || Value::Missing;
            let (density, sigma, limit) = match stated {
                Stated::Density(f) => {
                    (Value::number(f.density, 3), Value::number(f.sigma, 4), missing())
                }
                Stated::DenserThan(limit) => (missing(), missing(), Value::number(*limit, 2)),
                Stated::Withheld => (missing(), missing(), missing()),
            };
            let tablet = Value::number(of.value, 2);
            table.row(vec![of.name.as_str().into(), tablet, density, sigma, limit]);
        }
        table
    }
}

impl Answer for PictureRead {
    fn describe(&self) -> Description {
        let reading = &self.reading;
        let found = reading.steps.iter().filter(|s| s.stated.found().is_some()).count();
        let mut all = Description::new(format!(
            "{}: {} of {}",
            self.picture,
            counted(found as u64, "density"),
            counted(reading.steps.len() as u64, "step")
        ));
        all.data("picture", self.picture.as_str());
        all.data("strip", self.about.name.as_str());
        all.field(
            "reduced_chi",
            "fit of the tablet (reduced chi)",
            Value::number(reading.calibration.chi, 2),
        );
        all.field(
            "offset_sigma",
            "offset of all steps, sigma",
            Value::number(reading.shared.offset, 4),
        );
        all.field(
            "slope_sigma",
            "slope of all steps, sigma",
            Value::number(reading.shared.slope, 4),
        );
        if let Some(tone) = &reading.tone {
            let half = tone.half();
            all.field(
                "tone_curve_contrast",
                "contrast error by a tone curve",
                Value::Amount(Amount {
                    value: tone.contrast,
                    interval: Some((tone.contrast - half, tone.contrast + half)),
                    form: Form::SignedDecimals(3),
                    unit: "",
                }),
            );
        }
        if let Some(stain) = &self.stain {
            let amount = |d: &Difference| {
                let half = d.half();
                Value::Amount(Amount {
                    value: d.value,
                    interval: Some((d.value - half, d.value + half)),
                    form: Form::SignedDecimals(3),
                    unit: "",
                })
            };
            all.field("stain", "blue less green, mean", amount(&stain.mean));
            all.field("stain_densest", "blue less green, densest", amount(&stain.densest));
        }
        if self.times.len() > 1 {
            let each = self.times.iter().map(|(shutter, time)| {
                Value::Map(vec![
                    ("marked_seconds".into(), Value::number(shutter.get(), 6)),
                    ("times_shortest".into(), Value::number(*time, 4)),
                ])
            });
            all.data("bracket", Value::List(each.collect()));
        }
        all.data("mask", reading.calibration.set_up.mask);
        all.data("flat", reading.calibration.set_up.flat);
        all.data("tablet_sigma_is_assumed", self.sigma_is_assumed);
        if let Some((_, stated)) = &self.reading.unexposed {
            let found = stated.found().map(|found| Value::number(found.density, 3));
            all.field("unexposed", "unexposed film", Value::or_missing(found));
        }
        all.add(self.rows());
        let name = |step: &StripStep| self.tablet.steps[step.step].name.as_str();
        let of = |wanted: fn(&Stated) -> bool| {
            let steps = reading.steps.iter().filter(|s| wanted(&s.stated)).map(name);
            steps.collect::<Vec<_>>()
        };
        let dense = of(|stated| matches!(stated, Stated::DenserThan(_)));
        if !dense.is_empty() {
            all.notes.push(Note::missing(
                "density",
                format!("density of step {}", crate::words::list_and(&dense)),
                "the light of the step cannot be parted from the glare; it is denser than the table says",
            ));
        }
        let withheld = of(|stated| matches!(stated, Stated::Withheld));
        if !withheld.is_empty() {
            all.notes.push(Note::missing(
                "density",
                format!("density of step {}", crate::words::list_and(&withheld)),
                "above 1.5 and without a mask, where glare decides",
            ));
        }
        all.notes(&reading.notes);
        if reading.unexposed.is_none() {
            all.note(ReadNote::NoUnexposed);
        }
        if self.sigma_is_assumed {
            all.note(ReadNote::AssumedSigma);
        }
        all.note(ReadNote::Shared);
        all.note(match self.with {
            TakenWith::Camera => ReadNote::Diffuse,
            TakenWith::Scanner { .. } => ReadNote::Scanner,
        });
        all.note(ReadNote::SeenWithoutTest);
        all
    }
}
