//! `wedgebook read --as frame` and `--as negative`: what lies beside the tablet is no strip.

use super::{Args, Beside};
use crate::answers::read::ReadQuestion;
use crate::answers::{Answer, EvenFrame, NegativeRead};
use crate::cli::inputs::Made;
use crate::cli::{Failure, Outcome, hint, show};
use crate::figures::draw::Scene;
use crate::picture::Image;
use std::path::Path;

/// Refuses options that do not fit what lies beside the tablet.
pub fn check(args: &Args) -> Result<(), Failure> {
    let wrong = |words: &str| Err(Failure(words.to_owned()));
    match (args.beside, args.frame_mm, args.step_mm) {
        (Beside::Strip, Some(_), _) => {
            wrong("--frame-mm is the size of a frame: give --as frame or --as negative too")
        }
        (Beside::Frame | Beside::Negative, _, Some(_)) => {
            wrong("--step-mm is for strips: lengths in the picture of a frame come from --frame-mm")
        }
        _ => Ok(()),
    }
}

/// Measures the frame, writes what was found, and says what it is for.
pub fn run(
    args: &Args,
    question: ReadQuestion<'_>,
    image: &Image,
    overlay: &Path,
) -> Result<Outcome, Failure> {
    let refused = |why| super::refused(&args.picture, &why);
    match args.beside {
        Beside::Negative => {
            let read = NegativeRead::of(question, args.frame_mm).map_err(refused)?;
            let layout = read.reading().layout.to_text();
            let outcome =
                write(args, (read.csv(), layout), (&read.overlay(image), overlay), &read)?;
            hint::for_proof(&args.out, read.found().base_plus_fog.map(|(base, _)| base));
            Ok(outcome)
        }
        _ => {
            let read = EvenFrame::of(question, args.frame_mm).map_err(refused)?;
            let layout = read.reading().layout.to_text();
            let outcome =
                write(args, (read.csv(), layout), (&read.overlay(image), overlay), &read)?;
            hint::for_evenness(&args.out, args.frame_mm);
            Ok(outcome)
        }
    }
}

fn write(
    args: &Args,
    (csv, layout): (String, String),
    (scene, overlay): (&Scene, &Path),
    answer: &impl Answer,
) -> Result<Outcome, Failure> {
    let mut made = Made::default();
    made.add(&args.out, csv.into_bytes());
    made.draw(scene, overlay)?;
    if let Some(path) = &args.save_layout {
        made.add(path, layout.into_bytes());
    }
    made.write()?;
    show(answer, args.json)
}
