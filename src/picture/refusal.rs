//! Why a picture gives no densities.

use super::layout::LayoutFault;
use super::openings::NoOpenings;
use super::photometry::{NoCalibration, Tone};
use super::steps::NoSteps;
use crate::words::number;
use std::fmt;

/// One of the two films in a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// The step tablet.
    Tablet,
    /// The developed strip.
    Strip,
}

impl fmt::Display for Which {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Tablet => "tablet",
            Self::Strip => "strip",
        })
    }
}

/// Why there are no densities.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum NotRead {
    /// A frame has another size than the picture.
    OtherSize {
        /// Which frame.
        which: &'static str,
        /// Its width and height.
        found: (usize, usize),
        /// Those of the picture.
        picture: (usize, usize),
    },
    /// Neither a layout nor a flat frame says where tablet and strip lie.
    NoLayout,
    /// The flat frame shows no openings.
    Openings(NoOpenings),
    /// The layout has a fault.
    Layout(LayoutFault),
    /// No steps are found.
    Steps {
        /// Of which film.
        which: Which,
        /// Why.
        why: NoSteps,
    },
    /// The strip has more steps than the tablet.
    MoreSteps {
        /// The strip's.
        strip: usize,
        /// The tablet's.
        tablet: usize,
    },
    /// The ends of the strip are not in view, and no step of it is named.
    NoAnchor,
    /// The anchor lies in no step.
    AnchorOutside,
    /// A step is not in the picture.
    Outside {
        /// Of which film.
        which: Which,
        /// The step in the picture, from 1.
        step: usize,
    },
    /// Steps are clipped.
    Clipped {
        /// Of which film.
        which: Which,
        /// How many.
        steps: usize,
    },
    /// The flat frame is clipped.
    ClippedFlat,
    /// The flat frame is black where a step lies.
    DarkFlat,
    /// The tablet gives no calibration.
    Calibration(NoCalibration),
    /// A tone curve fits the tablet better than linear light does.
    ToneCurve {
        /// By how much: a chi-square of two degrees of freedom.
        gain: f64,
        /// Its relative effect on the strip's contrast: above 0, contrasts come out too high.
        contrast: f64,
        /// The standard uncertainty of that.
        contrast_sd: f64,
        /// Root of the reduced χ² without it.
        chi: f64,
    },
    /// Fewer than two steps have a density.
    NoDensities,
}

impl NotRead {
    /// How far the picture is from the tablet, to say the more likely of two reasons.
    pub(super) fn misfit(&self) -> f64 {
        match self {
            Self::Calibration(NoCalibration::NotLinear { chi }) | Self::ToneCurve { chi, .. } => {
                *chi
            }
            Self::Clipped { .. } | Self::ClippedFlat | Self::NoDensities => 0.0,
            _ => 1e3,
        }
    }
}

impl fmt::Display for NotRead {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OtherSize { which, found, picture } => write!(
                f,
                "the {which} frame has {} × {} pixels and the picture {} × {}: take all frames with one camera in one place",
                found.0, found.1, picture.0, picture.1
            ),
            Self::NoLayout => f.write_str(
                "where are tablet and strip? Take a flat frame with the mask in its place, which shows its two openings, or give their corners in a layout",
            ),
            Self::Openings(why) => why.fmt(f),
            Self::Layout(fault) => fault.fmt(f),
            Self::Steps { which, why } => write!(f, "{which}: {why}"),
            Self::MoreSteps { strip, tablet } => write!(
                f,
                "the strip reaches step {strip} and the tablet's file has {tablet} steps: check steps, first_step and anchor of the layout, and the tablet's file"
            ),
            Self::NoAnchor => f.write_str(
                "the ends of the strip are not in view, and nothing in the picture shows which step is which: name one with anchor = { step = 11, at = [x, y] } in the layout",
            ),
            Self::AnchorOutside => {
                f.write_str("the anchor of the layout lies in none of the steps that were found: check its place")
            }
            Self::Outside { which, step } => write!(
                f,
                "{which}: step {step} in the picture is outside it, or smaller than 9 pixels: check the layout"
            ),
            Self::Clipped { which, steps } => write!(
                f,
                "{which}: {steps} steps are clipped, they are as bright as the file can hold: expose less, so that the clear light box is at about half of full scale"
            ),
            Self::ClippedFlat => f.write_str(
                "the flat frame is clipped, it is as bright as the file can hold: expose all frames less",
            ),
            Self::DarkFlat => {
                f.write_str("the flat frame is black where a step lies: check the flat frame and the layout")
            }
            Self::Calibration(why) => why.fmt(f),
            Self::ToneCurve { gain, contrast, contrast_sd, .. } => write!(
                f,
                "a tone curve: the tablet's steps depart smoothly from linear light (chi-square {gain:.0} for two terms, and at most {:.0} is taken), and contrasts would come out {}. Switch off every tone curve, picture style and automatic function in the camera and in the raw converter, export picture, flat and dark frame once more as linear 16-bit TIFF, and check the tablet's file",
                Tone::most(),
                off_by(*contrast, *contrast_sd)
            ),
            Self::NoDensities => f.write_str(
                "fewer than two steps of the strip have a density: the strip is all black in the picture, or the glare is too much",
            ),
        }
    }
}

impl std::error::Error for NotRead {}

/// A relative error of contrast in words.
pub(super) fn off_by(contrast: f64, sd: f64) -> String {
    let way = if contrast < 0.0 { "low" } else { "high" };
    let per_cent = |share: f64| number(100.0 * share.abs(), 1);
    format!(
        "{} ± {} % too {way}",
        per_cent(contrast),
        per_cent(crate::numerics::chance::NORMAL_95 * sd)
    )
}
