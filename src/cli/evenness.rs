//! `wedgebook evenness`: how even development is over evenly exposed frames.

use super::args::typed;
use super::{Failure, Outcome, show};
use crate::answers::EvennessReport;
use crate::evenness::{Options, Printing};
use crate::readings::read_frames;
use crate::units::typed::number;
use crate::units::{DensitySigma, EdgeDepth, PaperGradient, PaperRange, Pitch, VisibleDifference};
use std::path::PathBuf;

/// Measure how even development is over evenly exposed frames: gradients, edge zones, a wave with the
/// perforations, spots; whether it is seen in a print, and what it may come from.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  wedgebook evenness data/evenness.csv --plot evenness.svg\n\nExit status: 0 nothing is seen in a print, 1 unevenness is seen, 2 wrong usage or unusable input."
)]
pub struct Args {
    /// Readings of frames of an evenly lit, blank surface: CSV, .xlsx or .ods with columns `density`,
    /// `frame` where there are several, `x_mm` along the film from the frame's left side (x grows as
    /// the frame numbers rise) and `y_mm` across it from its lower edge (the long edge that was lowest
    /// in the bath). Several rows of one place are repeated readings, which show the noise of reading.
    pub readings: PathBuf,
    /// Standard uncertainty of a density reading [default: 0.010 (assumed), corrected by the readings'
    /// own scatter].
    #[arg(long, value_name = "SIGMA")]
    pub density_sigma: Option<DensitySigma>,
    /// Length along the film and width across it of a frame in mm [default: 36x24 if all places fit
    /// in (assumed), else as far as was read].
    #[arg(long, value_name = "LxW", value_parser = frame)]
    pub frame_mm: Option<(f64, f64)>,
    /// Depth of the edge zones from the frame's edges in mm [default: a sixth of what was read].
    #[arg(long, value_name = "MM", value_parser = typed::<EdgeDepth>)]
    pub edge_mm: Option<f64>,
    /// Distance of the perforations in mm [default: 4.75, for frames no wider than those of 135 film].
    #[arg(long, value_name = "MM", value_parser = typed::<Pitch>)]
    pub pitch_mm: Option<f64>,
    /// Slope of the paper's curve, print density over negative density [default: that of the straight
    /// part of a paper of this ISO range (assumed)].
    #[arg(long, value_name = "G", value_parser = typed::<PaperGradient>)]
    pub paper_gradient: Option<f64>,
    /// ISO range R of the paper, 100 times its log exposure range [default: 105].
    #[arg(long, value_name = "R", value_parser = typed::<PaperRange>, conflicts_with = "paper_gradient")]
    pub paper_range: Option<f64>,
    /// Density difference that is seen in a print where it has an edge [default: 0.02 (assumed)].
    #[arg(long, value_name = "D", value_parser = typed::<VisibleDifference>)]
    pub visible: Option<f64>,
    /// Density difference over a print that is seen where it changes gradually [default: 0.05].
    #[arg(long, value_name = "D", value_parser = typed::<VisibleDifference>)]
    pub visible_gradual: Option<f64>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
    /// Draw a map of density; the extension says SVG or PNG.
    #[arg(long, value_name = "FILE.svg|.png")]
    pub plot: Option<PathBuf>,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let frames = read_frames(&args.readings, args.density_sigma)?;
    let report = EvennessReport::of(frames, args.options())
        .map_err(|e| Failure(format!("{}: {e}", args.readings.display())))?;
    if let Some(path) = &args.plot {
        report.figure().scene().save(path)?;
    }
    show(&report, args.json)
}

impl Args {
    /// How the frames are to be judged.
    fn options(&self) -> Options {
        Options {
            frame: self.frame_mm,
            edge_mm: self.edge_mm,
            pitch_mm: self.pitch_mm,
            printing: Printing {
                gradient: self.paper_gradient,
                paper_range: self.paper_range,
                visible: self.visible,
                visible_gradual: self.visible_gradual,
            },
        }
    }
}

fn frame(text: &str) -> Result<(f64, f64), String> {
    let side = |side: &str| {
        let value = number(side.trim(), true).ok()?;
        (1.0..=500.0).contains(&value).then_some(value)
    };
    text.split_once(['x', 'X', '×'])
        .and_then(|(length, width)| Some((side(length)?, side(width)?)))
        .ok_or_else(|| {
            format!("{text:?} is not a frame's size; write length by width in mm, as 36x24")
        })
}
