//! Readings as they are typed: one strip, step by step. Each reading is judged at once, can be taken back
//! or left out, and all of them are a long sheet at any time.

mod judge;
mod plot;

pub use judge::OutOfLine;

use super::{Answer, Description, Gather, Value};
use crate::readings::{ReadOptions, Tablet, TabletScale, read_bytes};
use crate::units::typed::number;
use crate::units::{Celsius, Density, DensityNoise, DensitySigma, Minutes, OutOfBounds};
use crate::words::{counted, no_formula, number as written, shown};
use judge::Point;
use std::fmt;

/// What is known of the strip before its densities are read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AboutStrip {
    /// Its name.
    pub name: String,
    /// Time of development.
    pub minutes: Option<Minutes>,
    /// Temperature of development.
    pub celsius: Option<Celsius>,
    /// The film.
    pub film: Option<String>,
    /// The developer.
    pub developer: Option<String>,
    /// The date.
    pub date: Option<String>,
    /// A remark.
    pub note: Option<String>,
}

impl AboutStrip {
    /// What is known as columns of a readings file: name and value.
    pub(super) fn columns(&self) -> Vec<(&'static str, String)> {
        let text = |text: &Option<String>| text.as_ref().map(|t| no_formula(t).into_owned());
        [
            ("minutes", self.minutes.map(|m| plain(Minutes::get(m)))),
            ("celsius", self.celsius.map(|c| plain(Celsius::get(c)))),
            ("film", text(&self.film)),
            ("developer", text(&self.developer)),
            ("date", text(&self.date)),
            ("note", text(&self.note)),
        ]
        .into_iter()
        .filter_map(|(name, value)| Some((name, value?)))
        .collect()
    }
}

/// A strip whose densities are typed one after the other: first that of the unexposed film, then those of
/// the steps.
#[derive(Clone, Debug)]
pub struct TypedStrip {
    tablet: Tablet,
    about: AboutStrip,
    noise: DensityNoise,
    /// The unexposed film, then the steps.
    patches: Vec<Patch>,
    /// The patch that is asked for; their number where all were.
    at: usize,
}

/// One patch of the strip.
#[derive(Clone, Debug, Default)]
struct Patch {
    /// The density, as it is written in the file.
    density: Option<(f64, String)>,
    out_of_line: Option<OutOfLine>,
}

/// What was typed at a prompt.
#[derive(Clone, Debug, PartialEq)]
pub enum Typed {
    /// A density; what speaks against it.
    Reading(Option<OutOfLine>),
    /// Nothing: the patch keeps the reading that it has.
    Kept,
    /// That the patch is left out.
    LeftOut,
    /// One patch back.
    Back,
    /// That it is enough.
    End,
}

/// Why what was typed is not taken.
#[derive(Clone, Debug, PartialEq)]
pub enum NotTaken {
    /// It is no number.
    NotANumber(String),
    /// It is no density.
    OutOfBounds(OutOfBounds),
    /// The first patch has none before it.
    First,
}

impl fmt::Display for NotTaken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotANumber(text) => write!(
                f,
                "{} is not a density; type one, as 0.62, or - to leave the step out, back or end",
                shown(text)
            ),
            Self::OutOfBounds(bounds) => write!(f, "{bounds}; check the decimal point"),
            Self::First => f.write_str("this is the first reading; there is none before it"),
        }
    }
}

impl TypedStrip {
    /// A strip without readings, exposed through `tablet`; `noise` is the uncertainty by which its readings
    /// are judged.
    #[must_use]
    pub fn new(tablet: Tablet, about: AboutStrip, noise: Option<DensityNoise>) -> Self {
        let sigma = DensitySigma::new(0.010).expect("0.010 lies within the bounds of the type");
        let noise = noise.unwrap_or_else(|| sigma.into());
        let patches = vec![Patch::default(); tablet.steps.len() + 1];
        Self { tablet, about, noise, patches, at: 0 }
    }

    /// What is asked for; none where all patches were.
    #[must_use]
    pub fn prompt(&self) -> Option<String> {
        let patch = self.patches.get(self.at)?;
        let kept = patch.density.as_ref().map(|(_, density)| format!(", Enter keeps {density}"));
        Some(format!("{}{}", self.named(self.at), kept.unwrap_or_default()))
    }

    /// A patch by its name: `step 3 (tablet density 2.75)`.
    fn named(&self, patch: usize) -> String {
        let Some(step) = patch.checked_sub(1).map(|k| &self.tablet.steps[k]) else {
            return "unexposed film".to_owned();
        };
        let scale = match self.tablet.scale {
            TabletScale::Density => "tablet density",
            TabletScale::LogExposure => "log exposure",
            TabletScale::RelativeLogExposure => "relative log exposure",
        };
        format!("step {} ({scale} {})", step.name, written(step.value, 2))
    }

    /// Takes in a line that was typed at the prompt.
    ///
    /// # Errors
    /// [`NotTaken`]: the same patch is asked for again.
    pub fn take(&mut self, line: &str) -> Result<Typed, NotTaken> {
        let text = line.trim();
        match text.to_ascii_lowercase().as_str() {
            "end" => return Ok(Typed::End),
            "back" => {
                self.at = self.at.checked_sub(1).ok_or(NotTaken::First)?;
                return Ok(Typed::Back);
            }
            _ if self.at == self.patches.len() && text.is_empty() => return Ok(Typed::End),
            "" if self.patches[self.at].density.is_some() => {
                self.at += 1;
                return Ok(Typed::Kept);
            }
            "" | "-" | "−" => {
                if self.at < self.patches.len() {
                    self.set(None);
                }
                return Ok(Typed::LeftOut);
            }
            _ => {}
        }
        let not_a_number = || NotTaken::NotANumber(text.to_owned());
        if self.at == self.patches.len() {
            return Err(not_a_number());
        }
        let value = number(text, true).map_err(|_| not_a_number())?;
        let density = Density::new(value).map_err(NotTaken::OutOfBounds)?.get();
        self.set(Some((density, in_file(density, text))));
        let patch = self.at - 1;
        self.patches[patch].out_of_line = self.judged(patch);
        // A correction can put others in line.
        for k in 0..self.patches.len() {
            let of_neighbours =
                !matches!(self.patches[k].out_of_line, None | Some(OutOfLine::OffTheCurve { .. }));
            if k != patch && of_neighbours && self.judged(k).is_none() {
                self.patches[k].out_of_line = None;
            }
        }
        Ok(Typed::Reading(self.patches[patch].out_of_line.clone()))
    }

    /// Sets the density of the patch that is asked for, and goes on to the next.
    fn set(&mut self, density: Option<(f64, String)>) {
        self.patches[self.at] = Patch { density, out_of_line: None };
        self.at += 1;
    }

    /// The log exposure of a patch, relative in any case; none of the unexposed film.
    fn x(&self, patch: usize) -> Option<f64> {
        let step = &self.tablet.steps[patch.checked_sub(1)?];
        Some(match self.tablet.scale {
            TabletScale::Density => -step.value,
            TabletScale::LogExposure | TabletScale::RelativeLogExposure => step.value,
        })
    }

    fn judged(&self, patch: usize) -> Option<OutOfLine> {
        let points: Vec<Point> = (0..self.patches.len())
            .filter_map(|k| {
                let density = self.patches[k].density.as_ref()?.0;
                let sigma = self.noise.at(density).get();
                let (x, is_doubtful) = (self.x(k), self.patches[k].out_of_line.is_some());
                Some(Point { patch: k, x, density, sigma, is_doubtful })
            })
            .collect();
        judge::judged(&points, patch, |k| self.named(k))
    }

    /// The readings that the curve through the others contradicts, from seven readings on: those that were
    /// not out of line before, which they are from now on, each with its name.
    pub fn suspects(&mut self) -> Vec<(String, OutOfLine)> {
        let typed: Vec<usize> =
            (0..self.patches.len()).filter(|k| self.patches[*k].density.is_some()).collect();
        let options = ReadOptions { density_sigma: Some(self.noise), ..ReadOptions::default() };
        let found = read_bytes("typed", self.csv().as_bytes(), &options).ok();
        let found = found.map(|read| judge::suspects(read.strips)).unwrap_or_default();
        let is_by_curve = |out: &OutOfLine| matches!(out, OutOfLine::OffTheCurve { .. });
        let mut before = vec![false; self.patches.len()];
        for (patch, before) in self.patches.iter_mut().zip(&mut before) {
            *before = patch.out_of_line.take_if(|out| is_by_curve(out)).is_some();
        }
        let mut new = Vec::new();
        for (line, off) in found {
            // The readings stand below the row of headings.
            let Some(patch) = (line as usize).checked_sub(2).and_then(|k| typed.get(k)) else {
                continue;
            };
            if self.patches[*patch].out_of_line.is_none() {
                let out = OutOfLine::OffTheCurve { off };
                self.patches[*patch].out_of_line = Some(out.clone());
                if !before[*patch] {
                    new.push((self.named(*patch), out));
                }
            }
        }
        new
    }

    /// The curve so far as a plot of letters: `*` a reading, `!` one out of line. Empty with fewer than two
    /// readings of steps. No line has more than `width` columns, as far as those of a plot may be fewer.
    #[must_use]
    pub fn plot(&self, width: usize) -> String {
        let points = self.patches.iter().enumerate().filter_map(|(k, patch)| {
            Some((self.x(k)?, patch.density.as_ref()?.0, patch.out_of_line.is_some()))
        });
        let exposures = (1..self.patches.len()).filter_map(|k| self.x(k));
        plot::plot(&points.collect::<Vec<_>>(), exposures, width)
    }

    /// How many readings there are.
    #[must_use]
    pub fn readings(&self) -> usize {
        self.patches.iter().filter(|patch| patch.density.is_some()).count()
    }

    /// The readings as a long sheet with commas, a row a reading.
    #[must_use]
    pub fn csv(&self) -> String {
        let about = &self.about;
        let optional = about.columns();
        let headings = ["strip", "step", self.tablet.scale.column(), "density"].into_iter();
        let headings: Vec<String> =
            headings.chain(optional.iter().map(|(name, _)| *name)).map(str::to_owned).collect();
        let mut writer = csv::Writer::from_writer(Vec::new());
        let mut write = |cells: &[String]| writer.write_record(cells).is_ok();
        let mut all = write(&headings);
        let name = no_formula(&about.name).into_owned();
        for (k, patch) in self.patches.iter().enumerate() {
            let Some((_, density)) = &patch.density else { continue };
            let step = k.checked_sub(1).map(|k| &self.tablet.steps[k]);
            let (step, value) = step.map_or((String::new(), String::new()), |step| {
                (no_formula(&step.name).into_owned(), plain(step.value))
            });
            let mut cells = vec![name.clone(), step, value, density.clone()];
            cells.extend(optional.iter().map(|(_, value)| value.clone()));
            all &= write(&cells);
        }
        debug_assert!(all, "memory takes any number of records");
        let bytes = writer.into_inner().unwrap_or_default();
        String::from_utf8_lossy(&bytes).into_owned()
    }
}

/// A number for a file, without the noise of binary fractions.
fn plain(value: f64) -> String {
    ((value * 1e6).round() / 1e6).to_string()
}

/// A density for a file: with the decimals that were typed, two at least.
fn in_file(density: f64, typed: &str) -> String {
    let after = typed.split(['.', ',']).nth(1).unwrap_or("");
    match after.bytes().all(|b| b.is_ascii_digit()) {
        true => format!("{density:.*}", after.len().clamp(2, 6)),
        false => plain(density),
    }
}

/// What became of a strip that was typed.
#[derive(Clone, Debug)]
pub struct TypedSheet {
    /// The file with its readings; none where nothing was typed.
    pub file: Option<String>,
    /// The strip.
    pub strip: TypedStrip,
}

impl TypedSheet {
    /// The patches that are out of line, for programs: the step (none of the unexposed film), the density,
    /// and why.
    fn out_of_line(&self) -> Value {
        let strip = &self.strip;
        let one = |(k, patch): (usize, &Patch)| {
            let (density, _) = patch.density.as_ref()?;
            let why = patch.out_of_line.as_ref()?.to_string();
            let step = k.checked_sub(1).map(|k| Value::from(strip.tablet.steps[k].name.as_str()));
            Some(Value::Map(vec![
                ("place".into(), Value::Count(k as i64)),
                ("step".into(), Value::or_missing(step)),
                ("density".into(), Value::plain(*density, 6)),
                ("why".into(), Value::from(why.as_str())),
            ]))
        };
        Value::List(strip.patches.iter().enumerate().filter_map(one).collect())
    }
}

impl Answer for TypedSheet {
    fn describe(&self) -> Description {
        let strip = &self.strip;
        let patches = strip.patches.len();
        let read = strip.readings();
        let mut all = Description::new(match &self.file {
            Some(file) => {
                format!("{file}: {}, {} not read", counted(read as u64, "reading"), patches - read)
            }
            None => "Nothing was typed, and no file is written".to_owned(),
        });
        all.data("file", self.file.as_deref().map(Value::from));
        all.data("strip", strip.about.name.as_str());
        all.data("readings", read);
        all.data("not_read", patches - read);
        let out_of_line = strip.patches.iter().enumerate().filter_map(|(k, patch)| {
            let (_, density) = patch.density.as_ref()?;
            Some(format!("{}: {density} {}", strip.named(k), patch.out_of_line.as_ref()?))
        });
        all.notes(out_of_line);
        all.data("out_of_line", self.out_of_line());
        all
    }
}
