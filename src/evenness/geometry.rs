//! The frame, and how far it was read.

use super::options::Options;
use super::places::{Places, extent};
use super::why::Why;

/// Length and width of a frame of 135 film in mm (ISO 1007, from memory).
pub const FRAME_135: (f64, f64) = (36.0, 24.0);
/// Distance of the perforations of 135 film in mm.
///
/// # Source
/// 4.750 mm: the long pitch of 35 mm film, read in a film archive's glossary; that ISO 1007 gives it
/// to 135 film, from memory.
pub const PITCH_135: f64 = 4.75;
/// How far beyond a frame's edge a place may be said to lie, in mm: placing is not exact.
const SLACK: f64 = 0.5;

/// From where the size of the frame is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FrameSize {
    /// It was given.
    Given,
    /// A frame of 135 film, because all places fit into one.
    Assumed135,
    /// No more of it is known than was read.
    AsRead,
}

/// Places that lie outside the frame.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error(
    "places reach from {} to {} mm along and from {} to {} mm across, beyond a frame of {} × {} mm; x counts from each frame's own left side, y from its lower edge",
    .along.0, .along.1, .across.0, .across.1, .frame.0, .frame.1
)]
pub struct OutsideFrame {
    /// How far places reach along the film, in mm.
    pub along: (f64, f64),
    /// How far across it, in mm.
    pub across: (f64, f64),
    /// Length and width of the frame, in mm.
    pub frame: (f64, f64),
}

/// The frame and the readings in it, in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Geometry {
    /// Left and right side of the frame.
    pub along: (f64, f64),
    /// Lower and upper edge of the frame.
    pub across: (f64, f64),
    /// From where that is known.
    pub size: FrameSize,
    /// Lowest and highest place along that was read in any frame.
    pub read_along: (f64, f64),
    /// Lowest and highest place across that was read in any frame.
    pub read_across: (f64, f64),
    /// Depth of the edge zones, if it was given.
    pub edge_mm: Option<f64>,
    /// Distance of the perforations, or why there are none.
    pub pitch: Result<f64, Why>,
}

impl Geometry {
    /// The geometry of some frames: at least one place.
    ///
    /// # Errors
    /// [`OutsideFrame`] where a place lies outside a frame whose size was given.
    pub fn of(frames: &[Places], options: &Options) -> Result<Self, OutsideFrame> {
        let all = |of: fn(&Places) -> &Vec<f64>| -> Vec<f64> {
            frames.iter().flat_map(|f| of(f).iter().copied()).collect()
        };
        let (read_along, read_across) = (extent(&all(|p| &p.x)), extent(&all(|p| &p.y)));
        let fits = |(length, width): (f64, f64)| {
            let inside = |(low, high): (f64, f64), to: f64| low >= -SLACK && high <= to + SLACK;
            inside(read_along, length) && inside(read_across, width)
        };
        let (along, across, size) = match options.frame {
            Some(frame) if !fits(frame) => {
                return Err(OutsideFrame { along: read_along, across: read_across, frame });
            }
            Some((length, width)) => ((0.0, length), (0.0, width), FrameSize::Given),
            None if fits(FRAME_135) => {
                let (length, width) = FRAME_135;
                ((0.0, length), (0.0, width), FrameSize::Assumed135)
            }
            None => (read_along, read_across, FrameSize::AsRead),
        };
        let pitch = match options.pitch_mm {
            Some(pitch) => Ok(pitch),
            None if across.1 - across.0 <= FRAME_135.1 + SLACK => Ok(PITCH_135),
            None => Err(Why::NoPitch),
        };
        Ok(Self { along, across, size, read_along, read_across, edge_mm: options.edge_mm, pitch })
    }

    /// Length of the frame along the film, in mm.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.along.1 - self.along.0
    }

    /// Width of the frame across the film, in mm.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.across.1 - self.across.0
    }

    /// A place in numbers from −1 to 1 over what was read.
    #[must_use]
    pub fn scaled(&self, x: f64, y: f64) -> (f64, f64) {
        let scale = |v: f64, (low, high): (f64, f64)| {
            if high > low { (2.0 * v - low - high) / (high - low) } else { 0.0 }
        };
        (scale(x, self.read_along), scale(y, self.read_across))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(places: &[(f64, f64)]) -> Vec<Places> {
        let mut all = Places::default();
        for place in places {
            all.push(*place, 0.8, 1e4);
        }
        vec![all]
    }

    #[test]
    fn a_frame_of_135_film_is_assumed_where_it_fits() {
        let geometry = Geometry::of(&at(&[(2.0, 2.0), (34.0, 22.0)]), &Options::default()).unwrap();
        assert_eq!((geometry.length(), geometry.width()), FRAME_135);
        assert_eq!(geometry.size, FrameSize::Assumed135);
        assert_eq!(geometry.scaled(18.0, 22.0), (0.0, 1.0));
        let wide = Geometry::of(&at(&[(2.0, 2.0), (54.0, 52.0)]), &Options::default()).unwrap();
        assert_eq!((wide.size, wide.length()), (FrameSize::AsRead, 52.0));
        assert!(wide.pitch.is_err());
    }

    #[test]
    fn places_beyond_a_given_frame_are_refused() {
        let options = Options { frame: Some((36.0, 24.0)), ..Options::default() };
        let why = Geometry::of(&at(&[(40.0, 2.0), (74.0, 22.0)]), &options).unwrap_err();
        assert!(why.to_string().starts_with("places reach from 40 to 74 mm along"), "{why}");
    }
}
