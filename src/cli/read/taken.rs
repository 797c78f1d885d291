//! The frames of a picture: read from their files, a bracket merged.

use super::Args;
use crate::cli::{Failure, hint, remark};
use crate::picture::bracket::{Exposure, NoShutter, Shutter, merge};
use crate::picture::{Channel, Frames, Image, Options, Origin, Picture, open};
use rayon::prelude::*;
use std::path::{Path, PathBuf};
use std::str::FromStr;

/// A picture with its shutter time.
#[derive(Clone, Debug)]
pub struct Timed {
    pub path: PathBuf,
    pub shutter: Shutter,
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

/// What was taken, in one channel.
pub struct Taken {
    pub picture: Image,
    flat: Option<Image>,
    dark: Option<Image>,
    /// Marked shutter times of a bracket, and each in units of the shortest.
    pub times: Vec<(Shutter, f64)>,
    pub in_colour: bool,
    /// Files whose own encoding was not used.
    against: Vec<PathBuf>,
}

impl Taken {
    /// Reads the frames, all at once, and merges a bracket.
    pub fn of(args: &Args, channel: Channel) -> Result<Self, Failure> {
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

    pub fn frames(&self) -> Frames<'_> {
        Frames { picture: &self.picture, flat: self.flat.as_ref(), dark: self.dark.as_ref() }
    }

    /// Says which files were taken as linear against what they say.
    pub fn remark(&self) {
        for path in &self.against {
            remark(format_args!(
                "note: {}: taken as linear, though the file says otherwise",
                path.display()
            ));
        }
    }
}
