//! Options that several commands have, each with one name and one meaning.

use super::{Failure, here};
use crate::answers::{AboutStrip, BathToday};
use crate::bath::journal::Patience;
use crate::curve::Choice;
use crate::development::file::PairingFile;
use crate::readings::ReadOptions;
use crate::units::{
    Activity, Celsius, DensityNoise, ExposureSigma, LogExposure, Minutes, Temperature,
    TemperatureUnit, WaitSeconds,
};
use crate::words::trimmed;
use clap::builder::UnknownArgumentValueParser;
use clap::{Args as Group, ValueEnum};
use jiff::civil::Date;
use std::path::{Path, PathBuf};
use std::str::FromStr;
use std::time::Duration;

/// How readings are taken.
#[derive(Debug, Group)]
pub struct ReadingArgs {
    /// Log exposure behind clear tablet, log10 of lux·s. Without it, exposures from tablet densities
    /// are relative.
    #[arg(long, value_name = "X", allow_hyphen_values = true)]
    pub log_exposure_clear: Option<LogExposure>,
    /// Standard uncertainty of a density reading, as 0.008, or one that grows with density, as 0.005+1%
    /// [default: 0.010, corrected by the readings' own scatter].
    #[arg(long, value_name = "SIGMA")]
    pub density_sigma: Option<DensityNoise>,
    /// Standard uncertainty of the log exposure that all readings have in common (lamp, shutter, tablet), as
    /// 0.03. Speeds and the points that they are taken from are that much less sure.
    #[arg(long, value_name = "SIGMA")]
    pub exposure_sigma: Option<ExposureSigma>,
    /// Take log exposures as relative, not as log10 of lux·s.
    #[arg(long)]
    pub relative: bool,
    /// Pair densities and exposures in the opposite order: the tablet was read from its other end.
    #[arg(long)]
    pub reversed: bool,
    /// Take temperatures of the readings that have no unit as °F.
    #[arg(long)]
    pub fahrenheit: bool,
}

impl ReadingArgs {
    /// For strips of film; `kept` is the exposure behind clear tablet that a pairing keeps.
    pub fn options(&self, kept: Option<LogExposure>) -> Result<ReadOptions, Failure> {
        let stated = self.log_exposure_clear.or(kept);
        let log_exposure_clear = match self.relative {
            true => stated,
            false => here::or_usual(
                stated,
                "log exposure behind clear tablet",
                |d| d.log_exposure_clear,
                |x| trimmed(x.get(), 4),
            )?,
        };
        let usual_clear = self.log_exposure_clear.is_none();
        Ok(ReadOptions { log_exposure_clear, usual_clear, ..self.without_exposure()? })
    }

    /// For papers, which are exposed otherwise than film: the exposure that is usual for film is not theirs.
    pub fn options_of_paper(&self) -> Result<ReadOptions, Failure> {
        Ok(ReadOptions { log_exposure_clear: self.log_exposure_clear, ..self.without_exposure()? })
    }

    fn without_exposure(&self) -> Result<ReadOptions, Failure> {
        Ok(ReadOptions {
            log_exposure_clear: None,
            usual_clear: false,
            density_sigma: here::or_usual(
                self.density_sigma,
                "density sigma",
                |d| d.density_sigma,
                DensityNoise::to_string,
            )?,
            exposure_sigma: here::or_usual(
                self.exposure_sigma,
                "exposure sigma",
                |d| d.exposure_sigma,
                |sigma| trimmed(sigma.get(), 4),
            )?,
            relative: self.relative,
            reversed: self.reversed,
            fahrenheit: self.fahrenheit,
            minutes: None,
            celsius: None,
        })
    }
}

/// How strips were developed whose file has no column for it.
#[derive(Debug, Group)]
pub struct DevelopedArgs {
    /// How long strips were developed whose file has no time, as 9 or 9:30.
    #[arg(long, value_name = "MIN")]
    pub minutes: Option<Minutes>,
    /// Temperature of the bath of strips whose file has none, as 21.5 or 70F.
    #[arg(short, long, value_name = "T", value_parser = here::temperature)]
    pub temperature: Option<Temperature>,
    #[command(flatten)]
    former: FormerOptions,
}

impl DevelopedArgs {
    /// The options of reading, with time and temperature for strips that lack them.
    pub fn with(&self, options: ReadOptions) -> ReadOptions {
        let celsius = self.temperature.map(|typed| typed.celsius);
        ReadOptions { minutes: self.minutes, celsius, ..options }
    }
}

/// How a journal is waited for that another program has locked.
#[derive(Debug, Group)]
pub struct LockArgs {
    /// Seconds to wait for a journal that another program has locked [default: 10].
    #[arg(long, value_name = "SECONDS", global = true)]
    wait: Option<WaitSeconds>,
}

impl LockArgs {
    /// Makes it the way of this process.
    pub fn set(&self) {
        let seconds = self.wait.map_or(10.0, WaitSeconds::get);
        let told = |journal: &Path| {
            super::remark(format_args!(
                "note: {}: another program has it locked; waiting",
                journal.display()
            ));
        };
        Patience { at_most: Duration::from_secs_f64(seconds), told }.set();
    }
}

/// The temperature of the bath today.
#[derive(Debug, Group)]
pub struct TemperatureArgs {
    /// Temperature of the bath, as 21.5 or 70F [default: that of the pairing].
    #[arg(short, long, value_name = "T", value_parser = here::temperature)]
    pub temperature: Option<Temperature>,
    #[command(flatten)]
    former: FormerOptions,
}

/// What a strip is, that a command writes the readings of.
#[derive(Debug, Group)]
pub struct StripArgs {
    /// Name of the strip [default: that of the file].
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
    /// The film.
    #[arg(long, value_name = "NAME")]
    film: Option<String>,
    /// The developer.
    #[arg(long, value_name = "NAME")]
    developer: Option<String>,
    /// The day.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::bath::date)]
    date: Option<Date>,
    /// A remark to keep with the strip.
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    /// How long the strip was developed, as 9 or 9:30.
    #[arg(long, value_name = "MIN")]
    minutes: Option<Minutes>,
    /// Temperature of its bath, as 21.5 or 70F.
    #[arg(short, long, value_name = "T", value_parser = here::temperature)]
    temperature: Option<Temperature>,
    #[command(flatten)]
    former: FormerOptions,
}

impl StripArgs {
    /// The same as the reader of its file finds it; `out` is that file.
    pub fn about(&self, out: &Path) -> AboutStrip {
        let stem = || out.file_stem().map(|stem| stem.to_string_lossy().into_owned());
        AboutStrip {
            name: self.name.clone().or_else(stem).unwrap_or_default(),
            minutes: self.minutes,
            celsius: self.temperature.map(|typed| typed.celsius),
            film: self.film.clone(),
            developer: self.developer.clone(),
            date: self.date.map(|date| date.to_string()),
            note: self.note.clone(),
        }
    }
}

impl TemperatureArgs {
    /// What was typed, or `known`, and the unit to show temperatures in.
    pub fn or(&self, known: Celsius) -> (Celsius, TemperatureUnit) {
        let typed = self.temperature;
        (typed.map_or(known, |t| t.celsius), typed.map(|t| t.unit).unwrap_or_default())
    }
}

/// Options of another name: who types one reads the present name.
#[derive(Debug, Group)]
pub struct FormerOptions {
    #[arg(long, hide = true, value_parser = UnknownArgumentValueParser::suggest_arg("--temperature"))]
    celsius: Option<String>,
}

/// The bath that the film goes into.
#[derive(Debug, Group)]
pub struct BathArgs {
    /// Activity of the bath: 1 as calibrated, 0.9 where everything takes 1/0.9 of its time
    /// [default: 1].
    #[arg(long, value_name = "A")]
    activity: Option<Activity>,
    /// Take the activity from the journal of the bath.
    #[arg(long, value_name = "JOURNAL", value_parser = here::journal_named, conflicts_with = "activity")]
    bath: Option<PathBuf>,
    /// Day for which the journal is read [default: today].
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::bath::date, conflicts_with = "activity")]
    date: Option<Date>,
    /// Calculate also for a bath that is not to be used, or that is of another developer than the pairing.
    #[arg(long, conflicts_with = "activity")]
    pub anyway: bool,
}

impl BathArgs {
    /// The journal of the bath that was named, where one was.
    pub fn journal(&self) -> Option<&Path> {
        self.bath.as_deref()
    }

    /// The day that was typed.
    pub const fn date(&self) -> Option<Date> {
        self.date
    }

    /// The bath as it is today, or on the day that was typed.
    pub fn bath(&self, pairing: &PairingFile) -> Result<BathToday, Failure> {
        let usual = match self.bath.is_none() && self.activity.is_none() {
            true => here::bath()?,
            false => None,
        };
        // A usual bath of another developer is not the one that is meant.
        let usual = match usual {
            Some(path) if super::bath::is_of_another(&path, pairing)? => {
                super::complain(format_args!(
                    "note: {}: this bath is of another developer than {}, and is not used",
                    path.display(),
                    pairing.name
                ));
                None
            }
            usual => usual,
        };
        let Some(journal) = self.bath.clone().or(usual) else {
            let alone = [("--date", self.date.is_some()), ("--anyway", self.anyway)];
            return match alone.iter().find(|(_, typed)| *typed) {
                Some((option, _)) => Err(Failure(format!(
                    "{option} is for the journal of a bath: give --bath JOURNAL"
                ))),
                None => Ok(BathToday::Given(self.activity.map_or(1.0, Activity::get))),
            };
        };
        let kept = super::bath::kept(&journal, self.date, pairing, self.anyway)?;
        Ok(BathToday::Kept(kept))
    }
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum Model {
    /// Smooth for seven readings or more, else shoulder or toe, as the readings allow.
    Auto,
    /// A penalised spline of the logarithm of the slope.
    Smooth,
    /// Toe, straight line and shoulder: six parameters.
    Shoulder,
    /// Toe and straight line: four parameters.
    Toe,
}

impl From<Model> for Choice {
    fn from(model: Model) -> Self {
        match model {
            Model::Auto => Self::Auto,
            Model::Smooth => Self::Smooth,
            Model::Shoulder => Self::Shoulder,
            Model::Toe => Self::Toe,
        }
    }
}

/// A file, or what a person types in its place: two values about `=` or `:`.
#[derive(Clone, Debug)]
pub enum Given<T> {
    File(PathBuf),
    Typed(T),
}

impl<T: FromStr> FromStr for Given<T> {
    type Err = T::Err;

    fn from_str(text: &str) -> Result<Self, T::Err> {
        match text.contains(['=', ':']) && !Path::new(text).is_file() {
            true => text.parse().map(Self::Typed),
            false => Ok(Self::File(text.into())),
        }
    }
}

impl<T> Given<T> {
    /// The file, where one was given.
    pub fn file(&self) -> Option<&Path> {
        match self {
            Self::File(path) => Some(path),
            Self::Typed(_) => None,
        }
    }
}

/// The one file that was given, or all that was typed; `pairs` says what may be typed.
pub fn one_file_or_typed<T: Copy>(
    given: &[Given<T>],
    pairs: &str,
) -> Result<Given<Vec<T>>, Failure> {
    if let [Given::File(path)] = given {
        return Ok(Given::File(path.clone()));
    }
    let typed = |one: &Given<T>| match one {
        Given::Typed(typed) => Some(*typed),
        Given::File(_) => None,
    };
    match given.iter().map(typed).collect() {
        Some(typed) => Ok(Given::Typed(typed)),
        None => Err(Failure(format!("give one file, or pairs {pairs}"))),
    }
}
