//! `wedgebook evenness`: how even development is over evenly exposed frames.

use super::{Failure, Outcome, progress, show};
use crate::answers::EvennessReport;
use crate::evenness::{Options, Printing};
use crate::files::{Output, Outputs};
use crate::readings::read_frames;
use crate::units::{
    DensityNoise, EdgeDepth, FrameSize, PaperGradient, PaperRange, Pitch, VisibleDifference,
};
use crate::words::counted;
use std::path::PathBuf;

/// How even is development over the frame, and what may unevenness come from?
///
/// Measures evenly exposed frames: gradients, edge zones, a wave with the perforations, spots. Says
/// whether they are seen in a print.
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
    /// Standard uncertainty of a density reading, as 0.008, or one that grows with density, as 0.005+1%
    /// [default: 0.010 (assumed), corrected by the readings' own scatter].
    #[arg(long, value_name = "SIGMA")]
    pub density_sigma: Option<DensityNoise>,
    /// Length along the film and width across it of a frame in mm [default: 36x24 if all places fit
    /// in (assumed), else as far as was read].
    #[arg(long, value_name = "LxW")]
    pub frame_mm: Option<FrameSize>,
    /// Depth of the edge zones from the frame's edges in mm [default: a sixth of what was read].
    #[arg(long, value_name = "MM")]
    pub edge_mm: Option<EdgeDepth>,
    /// Distance of the perforations in mm [default: 4.75, for frames no wider than those of 135 film].
    #[arg(long, value_name = "MM")]
    pub pitch_mm: Option<Pitch>,
    /// Slope of the paper's curve, print density over negative density [default: that of the straight
    /// part of a paper of this ISO range (assumed)].
    #[arg(long, value_name = "G")]
    pub paper_gradient: Option<PaperGradient>,
    /// ISO range R of the paper, 100 times its log exposure range [default: 105].
    #[arg(long, value_name = "R", conflicts_with = "paper_gradient")]
    pub paper_range: Option<PaperRange>,
    /// Density difference that is seen in a print where it has an edge [default: 0.02 (assumed)].
    #[arg(long, value_name = "D")]
    pub visible: Option<VisibleDifference>,
    /// Density difference over a print that is seen where it changes gradually [default: 0.05].
    #[arg(long, value_name = "D")]
    pub visible_gradual: Option<VisibleDifference>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
    /// Draw a map of density, as SVG or PNG by the file's extension.
    #[arg(long, value_name = "FILE.svg|.png")]
    pub plot: Option<PathBuf>,
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    Outputs::beside([&args.readings]).writes(args.plot.as_ref(), Output::Picture).check()?;
    let frames = read_frames(&args.readings, args.density_sigma)?;
    let what = format!("measuring {}", counted(frames.frames.len(), "frame"));
    let work = progress::begin(what, None, args.json);
    let report = EvennessReport::of(frames, args.options())
        .map_err(|e| Failure(format!("{}: {e}", args.readings.display())))?;
    drop(work);
    if let Some(path) = &args.plot {
        crate::cli::inputs::draw(&report.figure().scene(), path)?;
    }
    show(&report, args.json)
}

impl Args {
    /// How the frames are to be judged.
    fn options(&self) -> Options {
        Options {
            frame: self.frame_mm.map(|frame| (frame.length, frame.width)),
            edge_mm: self.edge_mm.map(EdgeDepth::get),
            pitch_mm: self.pitch_mm.map(Pitch::get),
            printing: Printing {
                gradient: self.paper_gradient.map(PaperGradient::get),
                paper_range: self.paper_range.map(PaperRange::get),
                visible: self.visible.map(VisibleDifference::get),
                visible_gradual: self.visible_gradual.map(VisibleDifference::get),
            },
        }
    }
}
