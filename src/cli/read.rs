//! `wedgebook read`: densities from a picture.

mod frame;
mod taken;

use super::inputs::Made;
use super::options::StripArgs;
use super::{Failure, Outcome, hint, progress, show};
use crate::answers::read::{NoDensities, PictureRead, ReadQuestion, TakenWith};
use crate::files::{Output, Outputs, named_beside};
use crate::picture::Channel;
use crate::picture::bracket::Shutter;
use crate::picture::layout::{Layout, STEP_BOUNDS};
use crate::readings::Tablet;
use crate::units::{DensitySigma, FrameSize};
use clap::ValueEnum;
use std::path::{Path, PathBuf};
use taken::{Taken, Timed};

/// No densitometer: what are the densities of the strip in this picture?
///
/// PICTURE shows a step tablet of known densities and the developed strip side by side on a light box, best
/// in the two openings of a black mask: a linear TIFF or PNG of 16 bits. A flat frame is the same without
/// tablet and strip, a dark frame one with the lens covered. Writes the readings for `curve`, `calibrate`
/// and `verify`, and the picture with the measured boxes: look at it. Nothing is written where the picture
/// does not follow the tablet.
///
/// In the strip's place may lie an evenly exposed frame, for `evenness`, or a negative, for `proof`. Then the
/// opening shows the frame to its edges, and the flat frame is taken with the mask in its place.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  wedgebook read data/box.png --flat data/box-flat.png --tablet data/tablet.csv --out read.csv\n  wedgebook curve read.csv --log-exposure-clear 0\n  wedgebook read data/wall.png --flat data/mask.png --tablet data/tablet.csv --as frame --out w.csv\n\nExit status: 0 done, 2 wrong usage or unusable input."
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
    /// What lies beside the tablet.
    #[arg(long = "as", value_name = "WHAT", value_enum, default_value_t = Beside::Strip)]
    beside: Beside,
    /// Length along the film and width across it of the frame in mm, as its opening shows it [default:
    /// 36x24 (assumed)].
    #[arg(long, value_name = "LxW")]
    frame_mm: Option<FrameSize>,
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
    /// [default: the name of --out with -steps.svg; of a frame with -frame.svg].
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

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Beside {
    /// A strip that was exposed through a tablet, for `curve`, `calibrate` and `verify`
    Strip,
    /// A frame of an evenly lit, blank surface, for `evenness`
    Frame,
    /// A negative, for `proof`
    Negative,
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

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    frame::check(args)?;
    let shown = if args.beside == Beside::Strip { "steps" } else { "frame" };
    let overlay = args
        .overlay
        .clone()
        .unwrap_or_else(|| named_beside(&args.out.with_extension("svg"), shown));
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
    let work = progress::begin("reading the picture".into(), None, args.json);
    let taken = Taken::of(args, args.channel.into())?;
    drop(work);
    taken.remark();
    let with = match args.scanner {
        true => TakenWith::Scanner { callier_checked: args.callier_checked },
        false => TakenWith::Camera,
    };
    let question = ReadQuestion {
        picture: args.picture.display().to_string(),
        frames: taken.frames(),
        times: taken.times.clone(),
        tablet: &tablet,
        tablet_sigma: args.tablet_sigma,
        layout: layout.as_ref(),
        step_mm,
        with,
        about: args.strip.about(&args.out),
    };
    if args.beside != Beside::Strip {
        return frame::run(args, question, &taken.picture, &overlay);
    }
    let mut read = PictureRead::of(question).map_err(|why| refused(&args.picture, &why))?;
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

/// Why a picture gives no densities, with the option that helps.
fn refused(picture: &Path, why: &NoDensities) -> Failure {
    let option = match why {
        NoDensities::Scanner => "; then give --callier-checked",
        _ => "",
    };
    Failure(format!("{}: {why}{option}", picture.display()))
}

fn layout(path: &Path) -> Result<Layout, Failure> {
    let named = |why: String| Failure(format!("{}: {why}", path.display()));
    let bytes = crate::readings::contents(path).map_err(|why| named(why.to_string()))?;
    let text = String::from_utf8(bytes).map_err(|_| named("it is no text".to_owned()))?;
    Layout::of_text(&text).map_err(|why| named(why.to_string()))
}
