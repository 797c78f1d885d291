//! `wedgebook type`: asks for the readings of a strip, step by step.

use super::options::StripArgs;
use super::{Failure, Outcome, asked_by_page, here, hint, print, show};
use crate::answers::{Typed, TypedSheet, TypedStrip};
use crate::files::{Output, Outputs, create, named_beside, replace};
use crate::readings::{Tablet, TabletScale};
use crate::units::typed::number;
use crate::units::{DensityNoise, LogExposure};
use crate::words::shown;
use std::io::{BufRead, IsTerminal, Read};
use std::path::{Path, PathBuf};

/// How do I write down the readings of a strip?
///
/// Asks for the tablet, and then for the density of the unexposed film and of each step. Draws the curve as
/// it grows and names a reading that is out of line at once. Type - or nothing to leave a step out, back to
/// correct the one before, and end to stop. What was typed is in the file after each reading, as a sheet
/// for `curve`. A file that is there already is never replaced.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  wedgebook type typed.csv --steps 21 --increment 0.15 --minutes 9 -t 20\n  wedgebook type again.csv --tablet data/strip.csv --film Larkfold\n\nExit status: 0 done, 2 wrong usage, or the file cannot be written."
)]
pub struct Args {
    /// The new file of readings.
    #[arg(value_name = "OUT.csv")]
    out: PathBuf,
    /// File with the steps: column tablet_density or log_exposure, or else density.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["steps", "log_exposures"])]
    tablet: Option<PathBuf>,
    /// Number of even steps of the tablet. They are read from the densest one on.
    #[arg(long, value_name = "N", requires = "increment", conflicts_with = "log_exposures")]
    steps: Option<usize>,
    /// Increment of the tablet's density from step to step, as 0.15.
    #[arg(long, value_name = "D", requires = "steps")]
    increment: Option<f64>,
    /// Density of the tablet's thinnest step [default: 0.05].
    #[arg(long, value_name = "D", requires = "steps")]
    thinnest: Option<f64>,
    /// Log exposures of the steps in the order in which they are read, as -2.1,-1.8,-1.5.
    #[arg(long, value_name = "X,X", allow_hyphen_values = true, value_delimiter = ',')]
    log_exposures: Vec<LogExposure>,
    /// Take the log exposures as relative, not as log10 of lux·s.
    #[arg(long, requires = "log_exposures")]
    relative: bool,
    #[command(flatten)]
    strip: StripArgs,
    /// Standard uncertainty of a density reading, as 0.008, or one that grows with density, as 0.005+1%
    /// [default: 0.010].
    #[arg(long, value_name = "SIGMA")]
    density_sigma: Option<DensityNoise>,
    /// Leave out the small drawings of the text.
    #[arg(long)]
    no_drawing: bool,
    /// Print one JSON document instead of text when all is typed; what is asked goes to stderr.
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    Outputs::beside(args.tablet.as_ref()).writes(Some(&args.out), Output::Readings).check()?;
    if args.out.symlink_metadata().is_ok() {
        let out = args.out.display();
        return Err(Failure(format!("{out}: a file is there already; name a new one")));
    }
    let noise = here::or_usual(
        args.density_sigma,
        "density sigma",
        |d| d.density_sigma,
        DensityNoise::to_string,
    )?;
    here::tell();
    let mut desk = Desk {
        lines: std::io::stdin().lock(),
        aside: args.json,
        plain: args.no_drawing,
        unheard: asked_by_page(),
    };
    let Some(tablet) = tablet(args, &mut desk)? else {
        desk.say("no tablet was given, and nothing is written\n")?;
        return Ok(Outcome::Done);
    };
    let mut strip = TypedStrip::new(tablet, args.strip.about(&args.out), noise);
    let mut sheet = Sheet { path: args.out.clone(), written: None };
    desk.say("type each density; - leaves a step out, back corrects the one before, end stops\n")?;
    converse(&mut desk, &mut strip, &mut sheet)?;
    if desk.unheard {
        strip.suspects();
    }
    sheet.keep(&strip, &mut desk)?;
    let file = sheet.written.as_ref().map(|_| sheet.path.display().to_string());
    show(&TypedSheet { file, strip }, args.json)
}

/// Asks for each patch until all are read, or no more is typed.
fn converse(desk: &mut Desk<'_>, strip: &mut TypedStrip, sheet: &mut Sheet) -> Result<(), Failure> {
    loop {
        let all = "all steps were asked for; Enter ends, back corrects the last";
        desk.say(&format!("{}: ", strip.prompt().as_deref().unwrap_or(all)))?;
        let Some(line) = desk.line()? else {
            return desk.say("\n");
        };
        match strip.take(&line) {
            Err(why) => desk.say(&format!("  {why}\n"))?,
            Ok(Typed::End) => return Ok(()),
            Ok(Typed::Back | Typed::Kept) => {}
            // All lines are there at once: what is to be said stands in the answer.
            Ok(_) if desk.unheard => {}
            Ok(Typed::LeftOut) => sheet.keep(strip, desk)?,
            Ok(Typed::Reading(out_of_line)) => {
                sheet.keep(strip, desk)?;
                let suspects = strip.suspects();
                if !desk.plain {
                    desk.say(&strip.plot(super::width()))?;
                }
                if let Some(why) = out_of_line {
                    desk.say(&format!("  ! {} {why}; back corrects it\n", line.trim()))?;
                }
                for (patch, why) in suspects {
                    desk.say(&format!("  ! {patch} {why}; back goes there\n"))?;
                }
            }
        }
    }
}

/// The tablet that the options give, or that is asked for; none where nothing is typed.
fn tablet(args: &Args, desk: &mut Desk<'_>) -> Result<Option<Tablet>, Failure> {
    if let Some(path) = &args.tablet {
        return of_file(path).map(Some);
    }
    if let (Some(steps), Some(increment)) = (args.steps, args.increment) {
        return Ok(Some(Tablet::even(steps, increment, args.thinnest.unwrap_or(THINNEST))?));
    }
    if !args.log_exposures.is_empty() {
        let scale = match args.relative {
            true => TabletScale::RelativeLogExposure,
            false => TabletScale::LogExposure,
        };
        let values = args.log_exposures.iter().map(|x| x.get()).collect();
        return Ok(Some(Tablet::of_values(scale, values)?));
    }
    loop {
        desk.say("tablet: its number of steps and its increment, as 21 0.15, or its file: ")?;
        let Some(line) = desk.line()? else {
            desk.say("\n")?;
            return Ok(None);
        };
        match line.trim() {
            "" => {}
            "end" => return Ok(None),
            text => match asked(text) {
                Ok(tablet) => return Ok(Some(tablet)),
                Err(Failure(why)) => desk.say(&format!("  {why}\n"))?,
            },
        }
    }
}

/// Density of the thinnest step where none is given.
const THINNEST: f64 = 0.05;

/// The tablet that a person types: its steps, increment and thinnest density, or a file.
fn asked(text: &str) -> Result<Tablet, Failure> {
    let numbers: Option<Vec<f64>> =
        text.split_whitespace().map(|word| number(word, true).ok()).collect();
    match numbers.as_deref() {
        Some([steps, increment, rest @ ..]) if rest.len() < 2 && steps.fract() == 0.0 => {
            let thinnest = rest.first().copied().unwrap_or(THINNEST);
            Ok(Tablet::even(steps.clamp(0.0, 1e6) as usize, *increment, thinnest)?)
        }
        Some(_) if !Path::new(text).exists() => Err(Failure(format!(
            "{} is no tablet: type its number of steps and its increment, as 21 0.15",
            shown(text)
        ))),
        _ => of_file(Path::new(text)),
    }
}

fn of_file(path: &Path) -> Result<Tablet, Failure> {
    let (tablet, notes) = Tablet::read(path)?;
    hint::notes(&notes);
    Ok(tablet)
}

/// Where the questions go, and the answers come from.
struct Desk<'a> {
    lines: std::io::StdinLock<'a>,
    /// Questions go to stderr: stdout is for a program.
    aside: bool,
    /// The curve is not drawn.
    plain: bool,
    /// Nobody sees what is said before the answer: a page asks.
    unheard: bool,
}

/// No answer is longer, in bytes.
const LONGEST: u64 = 4096;

impl Desk<'_> {
    fn say(&self, text: &str) -> Result<(), Failure> {
        use std::io::Write;
        if self.unheard {
            return Ok(());
        }
        let text = crate::show::text::filled(&crate::words::visible(text), super::width());
        match self.aside {
            true => {
                let _ = write!(std::io::stderr(), "{text}");
                Ok(())
            }
            false => print(&text),
        }
    }

    /// A line that was typed; none at the end of input.
    fn line(&mut self) -> Result<Option<String>, Failure> {
        let mut bytes = Vec::new();
        let read = self.lines.by_ref().take(LONGEST).read_until(b'\n', &mut bytes);
        // Input that breaks off is at its end: what was typed before is kept.
        match read {
            Ok(1..) => {
                let line = String::from_utf8_lossy(&bytes).into_owned();
                // A terminal shows what is typed; of other input nothing would be seen.
                if !self.lines.is_terminal() {
                    self.say(&format!("{}\n", line.trim_end()))?;
                }
                Ok(Some(line))
            }
            Ok(0) | Err(_) => Ok(None),
        }
    }
}

/// The file, written after each reading. It is a new one, and replaced only where nobody else changed it.
struct Sheet {
    path: PathBuf,
    /// What was written last.
    written: Option<Vec<u8>>,
}

/// Files of other names that are tried beside the one that was named.
const MOST_NAMES: usize = 99;

impl Sheet {
    /// Writes the readings. Where that fails, they are printed.
    fn keep(&mut self, strip: &TypedStrip, desk: &mut Desk<'_>) -> Result<(), Failure> {
        if strip.readings() == 0 && self.written.is_none() {
            return Ok(());
        }
        let bytes = strip.csv().into_bytes();
        if self.written.as_ref() == Some(&bytes) {
            return Ok(());
        }
        let is_ours = match &self.written {
            Some(before) => std::fs::read(&self.path).is_ok_and(|now| now == *before),
            None => false,
        };
        let kept = match is_ours {
            true => replace(&self.path, &bytes).map(|()| true),
            false => self.new_file(&bytes, desk),
        };
        match kept {
            Ok(true) => self.written = Some(bytes),
            Ok(false) => {
                return Err(lost(&self.path, "files of all names are there already", strip));
            }
            Err(why) => return Err(lost(&self.path, &why.to_string(), strip)),
        }
        Ok(())
    }

    /// Writes a new file, of another name where a file of the first is there; whether there was one.
    fn new_file(
        &mut self,
        bytes: &[u8],
        desk: &Desk<'_>,
    ) -> Result<bool, crate::files::NotWritten> {
        if create(&self.path, bytes)? {
            return Ok(true);
        }
        let first = self.path.clone();
        for k in 2..=MOST_NAMES {
            let path = named_beside(&first, &k.to_string());
            if create(&path, bytes)? {
                let (there, new) = (first.display(), path.display());
                let words = format!("  {there} is another file now; the readings go to {new}\n");
                let _ = desk.say(&words);
                self.path = path;
                return Ok(true);
            }
        }
        Ok(false)
    }
}

/// The failure to write, with the readings in it: they are nowhere else.
fn lost(path: &Path, why: &str, strip: &TypedStrip) -> Failure {
    let path = path.display();
    Failure(format!("{path}: {why}; these are the readings so far:\n{}", strip.csv()))
}
