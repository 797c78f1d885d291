//! `wedgebook read`: densities from a picture.

use super::inputs::Made;
use super::options::StripArgs;
use super::{Failure, Outcome, complain, hint, show};
use crate::answers::read::{NoDensities, PictureRead, ReadQuestion, TakenWith};
use crate::files::{Output, Outputs, named_beside};
use crate::picture::bracket::{Exposure, NoShutter, Shutter, merge};
use crate::picture::layout::{Layout, STEP_BOUNDS};
use crate::picture::{Channel, Frames, Image, Options, Origin, Picture, open};
use crate::readings::Tablet;
use crate::units::DensitySigma;
use clap::ValueEnum;
use rayon::prelude::*;
use std::path::{Path, PathBuf};
use std::str::FromStr;

/// No densitometer: what are the densities of the strip in this picture?
///
/// PICTURE shows a step tablet of known densities and the developed strip side by side on a light box, best
/// in the two openings of a black mask: a linear TIFF or PNG of 16 bits. A flat frame is the same without
/// tablet and strip, a dark frame one with the lens covered. Writes the readings for `curve`, `calibrate`
/// and `verify`, and the picture with the measured boxes: look at it. Nothing is written where the picture
/// does not follow the tablet.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  wedgebook read data/box.png --flat data/box-flat.png --tablet data/tablet.csv --out read.csv\n  wedgebook curve read.csv --log-exposure-clear 0\n\nExit status: 0 done, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// Tablet and strip: TIFF or PNG of 16 bits.
    #[arg(value_name = "PICTURE")]
    picture: PathBuf,
    /// File with the tablet's densities: column tablet_density, or else density; sigma where it is known.
    #[arg(long, value_name = "FILE")]
    tablet: PathBuf,
    /// The light box without tablet and strip, with the mask in its place.
    #[arg(long, value_name = "PICTURE")]
    flat: Option<PathBuf>,
    /// The same with the lens covered.
    #[arg(long, value_name = "PICTURE")]
    dark: Option<PathBuf>,
    /// One more picture of the same set-up with another shutter time, as long.png=1/4; once for each. All become
    /// one picture of greater range.
    #[arg(long, value_name = "PICTURE=SECONDS", requires = "shutter")]
    also: Vec<Timed>,
    /// Shutter time of PICTURE, where --also names others.
    #[arg(long, value_name = "SECONDS", requires = "also")]
    shutter: Option<Shutter>,
    /// A dark frame of the shutter time of a picture that --also names; without it, the nearest serves.
    #[arg(long, value_name = "PICTURE=SECONDS", requires = "also")]
    also_dark: Vec<Timed>,
    /// Where tablet and strip lie. Without it, they are looked for in the openings of the flat frame.
    #[arg(long, value_name = "LAYOUT.toml")]
    layout: Option<PathBuf>,
    /// Take the values as linear in light, whatever the file says.
    #[arg(long)]
    linear: bool,
    /// The channel of a picture in colour.
    #[arg(long, value_enum, default_value_t = Colour::Green)]
    channel: Colour,
    /// Length of a step in mm [default: that of the layout, or else 5].
    #[arg(long, value_name = "MM")]
    step_mm: Option<f64>,
    /// Standard uncertainty of the tablet's densities, where its file has none [default: 0.010].
    #[arg(long, value_name = "SIGMA")]
    tablet_sigma: Option<DensitySigma>,
    /// The picture is of a scanner, not of a camera over an opal light box.
    #[arg(long)]
    scanner: bool,
    /// A patch of the same film was compared with its diffuse density.
    #[arg(long, requires = "scanner")]
    callier_checked: bool,
    /// The file of readings to write.
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// The picture with the measured boxes, as SVG or PNG by the file's extension
    /// [default: the name of --out with -steps.svg].
    #[arg(long, value_name = "FILE.svg|.png")]
    overlay: Option<PathBuf>,
    /// Write where the steps lie, for the next picture of the same set-up.
    #[arg(long, value_name = "LAYOUT.toml")]
    save_layout: Option<PathBuf>,
    #[command(flatten)]
    strip: StripArgs,
    /// Print one JSON document instead of text.
    #[arg(long)]
    json: bool,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Colour {
    Red,
    Green,
    Blue,
}

impl From<Colour> for Channel {
    fn from(colour: Colour) -> Self {
        match colour {
            Colour::Red => Self::Red,
            Colour::Green => Self::Green,
            Colour::Blue => Self::Blue,
        }
    }
}

/// A picture with its shutter time.
#[derive(Clone, Debug)]
struct Timed {
    path: PathBuf,
    shutter: Shutter,
}

impl FromStr for Timed {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        match text.rsplit_once('=') {
            Some((path, seconds)) if !path.is_empty() => {
                let shutter = seconds.parse().map_err(|why: NoShutter| why.to_string())?;
                Ok(Self { path: path.into(), shutter })
            }
            _ => Err("write the picture, = and its shutter time, as long.png=1/4".to_owned()),
        }
    }
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let overlay = args
        .overlay
        .clone()
        .unwrap_or_else(|| named_beside(&args.out.with_extension("svg"), "steps"));
    let frames = [Some(&args.picture), args.flat.as_ref(), args.dark.as_ref()];
    let more = args.also.iter().chain(&args.also_dark).map(|timed| &timed.path);
    Outputs::beside(frames.into_iter().flatten())
        .reads(more)
        .reads([Some(&args.tablet), args.layout.as_ref()].into_iter().flatten())
        .writes(Some(&args.out), Output::Readings)
        .writes(Some(&overlay), Output::Picture)
        .writes(args.save_layout.as_ref(), Output::Layout)
        .check()?;
    let step_mm = args.step_mm.map(|mm| STEP_BOUNDS.checked(mm)).transpose()?;
    let (tablet, notes) = Tablet::read(&args.tablet)?;
    hint::notes(&notes);
    let layout = args.layout.as_deref().map(layout).transpose()?;
    let taken = Taken::of(args, args.channel.into())?;
    taken.complain();
    let with = match args.scanner {
        true => TakenWith::Scanner { callier_checked: args.callier_checked },
        false => TakenWith::Camera,
    };
    let named = args.picture.display().to_string();
    let question = ReadQuestion {
        picture: named.clone(),
        frames: taken.frames(),
        times: taken.times.clone(),
        tablet: &tablet,
        tablet_sigma: args.tablet_sigma,
        layout: layout.as_ref(),
        step_mm,
        with,
        about: args.strip.about(&args.out),
    };
    let mut read = PictureRead::of(question).map_err(|why| {
        let option = match &why {
            NoDensities::Scanner => "; then give --callier-checked",
            _ => "",
        };
        Failure(format!("{named}: {why}{option}"))
    })?;
    let mut made = Made::default();
    made.draw(&read.overlay(&taken.picture), &overlay)?;
    if taken.in_colour {
        // One channel at a time is in memory.
        drop(taken);
        let other = match args.channel {
            Colour::Blue => Channel::Green,
            Colour::Red | Colour::Green => Channel::Blue,
        };
        read.compare(&Taken::of(args, other)?.frames(), other == Channel::Blue);
    }
    made.add(&args.out, read.csv().into_bytes());
    if let Some(path) = &args.save_layout {
        made.add(path, read.reading.layout.to_text().into_bytes());
    }
    made.write()?;
    show(&read, args.json)
}

/// What was taken, in one channel.
struct Taken {
    picture: Image,
    flat: Option<Image>,
    dark: Option<Image>,
    /// Marked shutter times of a bracket, and each in units of the shortest.
    times: Vec<(Shutter, f64)>,
    in_colour: bool,
    /// Files whose own encoding was not used.
    against: Vec<PathBuf>,
}

impl Taken {
    /// Reads the frames, all at once, and merges a bracket.
    fn of(args: &Args, channel: Channel) -> Result<Self, Failure> {
        let options = Options { channel, linear: args.linear };
        let read = |path: &Path| open(path, options).map_err(|why| hint::no_picture(&why));
        let of = |timed: &[Timed]| timed.iter().map(|t| t.path.clone()).collect::<Vec<_>>();
        let (also, also_dark) = (of(&args.also), of(&args.also_dark));
        let more = also.iter().chain(&args.flat).chain(&args.dark).chain(&also_dark);
        let paths: Vec<&PathBuf> = std::iter::once(&args.picture).chain(more).collect();
        let all = paths.par_iter().map(|path| read(path)).collect::<Vec<_>>();
        let all = all.into_iter().collect::<Result<Vec<Picture>, Failure>>()?;
        let in_colour = all.iter().all(|picture| picture.in_colour);
        let said = all.iter().zip(&paths);
        let against = said
            .filter(|(picture, _)| picture.origin == Origin::UserAgainstFile)
            .map(|(_, path)| PathBuf::clone(path))
            .collect();
        let mut images = all.into_iter().map(|picture| picture.image);
        let mut next = |count: usize| images.by_ref().take(count).collect::<Vec<Image>>();
        let mut pictures = next(1 + also.len());
        let flat = next(args.flat.iter().len()).pop();
        let dark = next(args.dark.iter().len()).pop();
        let more = next(also_dark.len());
        let Some(first) = args.shutter else {
            let picture = pictures.swap_remove(0);
            return Ok(Self { picture, flat, dark, times: Vec::new(), in_colour, against });
        };
        let others = args.also.iter().map(|timed| timed.shutter);
        let dark_of = |shutter: Shutter| {
            let at = args.also_dark.iter().position(|timed| timed.shutter == shutter);
            at.and_then(|k| more.get(k)).or(dark.as_ref().filter(|_| shutter == first))
        };
        if let Some(none) = args.also_dark.iter().find(|dark| {
            dark.shutter != first && args.also.iter().all(|also| also.shutter != dark.shutter)
        }) {
            return Err(Failure(format!(
                "{}: a dark frame of {}, and no picture has that time: give it the time of its picture",
                none.path.display(),
                none.shutter
            )));
        }
        let exposures: Vec<Exposure<'_>> = pictures
            .iter()
            .zip(std::iter::once(first).chain(others))
            .map(|(image, shutter)| Exposure { image, shutter, dark: dark_of(shutter) })
            .collect();
        let named = args.picture.display();
        let merged = merge(&exposures).map_err(|why| Failure(format!("{named}: {why}")))?;
        let dark = merged.dark.cloned();
        Ok(Self { picture: merged.image, flat, dark, times: merged.times, in_colour, against })
    }

    fn frames(&self) -> Frames<'_> {
        Frames { picture: &self.picture, flat: self.flat.as_ref(), dark: self.dark.as_ref() }
    }

    /// Says which files were taken as linear against what they say.
    fn complain(&self) {
        for path in &self.against {
            complain(format_args!(
                "note: {}: taken as linear, though the file says otherwise",
                path.display()
            ));
        }
    }
}

fn layout(path: &Path) -> Result<Layout, Failure> {
    let named = |why: String| Failure(format!("{}: {why}", path.display()));
    let bytes = crate::readings::contents(path).map_err(|why| named(why.to_string()))?;
    let text = String::from_utf8(bytes).map_err(|_| named("it is no text".to_owned()))?;
    Layout::of_text(&text).map_err(|why| named(why.to_string()))
}
