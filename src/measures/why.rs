//! Why a measure is missing: every reason, with its numbers, worded here.

use super::base::{ALONG, NotFound, STEPS_ALONG, WIDEST};
use std::fmt;

/// The material whose densities were read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    /// Film: its lowest density is base plus fog.
    Film,
    /// Paper: its lowest density is the minimum density.
    Paper,
}

impl Material {
    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Film => "film",
            Self::Paper => "paper",
        }
    }

    /// What its lowest density is called.
    #[must_use]
    pub const fn lowest_density(self) -> &'static str {
        match self {
            Self::Film => "base plus fog",
            Self::Paper => "minimum density",
        }
    }
}

/// A point of the curve that a measure is counted from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PointOf {
    /// The speed point of a film, 0.10 above base plus fog.
    FilmSpeed,
    /// The speed point of a paper, 0.60 above its white.
    PaperSpeed,
    /// The highlight point of a paper.
    Highlight,
    /// The shadow point of a paper.
    Shadow,
}

impl PointOf {
    const fn name(self) -> &'static str {
        match self {
            Self::FilmSpeed | Self::PaperSpeed => "speed",
            Self::Highlight => "highlight",
            Self::Shadow => "shadow",
        }
    }
}

/// Why the readings do not give a number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Why {
    /// The lowest density is not known: no unexposed patch was read.
    NoUnexposedPatch {
        /// Of what.
        material: Material,
        /// And the steps do not give it.
        and: NotFound,
    },
    /// The slope at the last step is still more than a tenth of gamma.
    NotLevelledOff {
        /// That slope.
        slope: f64,
    },
    /// The whole strip lies above the density of a point.
    PointBelowReadings {
        /// The point.
        point: PointOf,
        /// Density of the first step above the lowest density.
        above: f64,
    },
    /// The whole strip lies below the density of a point.
    PointAboveReadings {
        /// The point.
        point: PointOf,
        /// Density of the last step above the lowest density.
        above: f64,
    },
    /// The point lies within the readings, and its interval has no bounds.
    PointNotBounded(PointOf),
    /// The readings do not reach far enough beyond the speed point.
    EndsBeforeChord {
        /// How far they reach, in log exposure.
        reach: f64,
        /// How far they must.
        needed: f64,
    },
    /// The curve ends at a density below the arc of the contrast index.
    EndsBelowArc {
        /// The density at its end.
        density: f64,
        /// The arc's radius.
        radius: f64,
    },
    /// The curve ends at a log exposure before the arc.
    EndsBeforeArc {
        /// Where the curve ends.
        end: f64,
        /// The arc's radius.
        radius: f64,
        /// Where the arc would cut the curve.
        arc: f64,
    },
    /// The curve begins at a log exposure behind the arc.
    BeginsBehindArc {
        /// Where the curve begins.
        begin: f64,
        /// The arc's radius.
        radius: f64,
        /// Where the arc would cut the curve.
        arc: f64,
    },
    /// The slope is nowhere 0.3 of the chord's within the readings.
    NoFractionalGradient,
    /// Exposures are relative.
    RelativeExposures(Material),
    /// The speed point's interval is wider than any use of it.
    SpeedPointUncertain {
        /// Its width in decades of exposure.
        decades: f64,
    },
    /// A paper's curve still rises at the last step.
    NotBlack {
        /// Its slope there.
        slope: f64,
    },
    /// A paper's shoulder would still rise beyond the last step.
    NotQuiteBlack {
        /// By this density.
        rest: f64,
    },
    /// The slope is even over too short a part of the curve.
    NoStraightLine {
        /// Its length in log exposure.
        longest: f64,
        /// The length that is needed.
        needed: f64,
    },
    /// The slope is not determined.
    SlopeNotDetermined,
    /// Nothing else is known than that the readings do not determine it.
    NotDetermined,
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NoUnexposedPatch { material, and } => {
                let (lowest, material) = (material.lowest_density(), material.name());
                write!(f, "{lowest} cannot be determined: no unexposed {material} was read, and ")?;
                match and {
                    NotFound::FewSteps(along) => write!(
                        f,
                        "only {along} of the steps lie within {ALONG:.2} of the lowest density ({STEPS_ALONG} are needed)"
                    ),
                    NotFound::Uncertain => {
                        write!(f, "the steps in the toe leave it uncertain by more than {WIDEST:.2}")
                    }
                }?;
                write!(f, "; read a patch of unexposed {material} (empty exposure cell)")
            }
            Self::NotLevelledOff { slope } => write!(
                f,
                "the curve has not levelled off (still rises {slope:.2} per unit of log exposure at the last step)"
            ),
            Self::PointBelowReadings { point: PointOf::FilmSpeed, above } => write!(
                f,
                "the lowest step is already {above:.2} above base plus fog: the speed point is below the readings"
            ),
            Self::PointAboveReadings { point: PointOf::FilmSpeed, above } => write!(
                f,
                "the highest step is only {above:.2} above base plus fog: the speed point is above the readings"
            ),
            Self::PointBelowReadings { point, above } => write!(
                f,
                "the lightest step is already {above:.2} above the paper's white: the {} point is below the readings; give the strip less exposure",
                point.name()
            ),
            Self::PointAboveReadings { point, above } => write!(
                f,
                "the darkest step is only {above:.2} above the paper's white: the {} point is above the readings; give the strip more exposure",
                point.name()
            ),
            Self::PointNotBounded(point) => write!(
                f,
                "the readings give the {} point no bounds: read more steps near it, and the unexposed paper more than once",
                point.name()
            ),
            Self::EndsBeforeChord { reach, needed } => write!(
                f,
                "the readings end {reach:.2} above the speed point; {needed:.2} is needed"
            ),
            Self::EndsBelowArc { density, radius } => write!(
                f,
                "the curve ends at a density of {density:.2}, before the arc of radius {radius}"
            ),
            Self::EndsBeforeArc { end, radius, arc } => write!(
                f,
                "the curve ends at a log exposure of {end:.2}, before the arc of radius {radius} at {arc:.2}"
            ),
            Self::BeginsBehindArc { begin, radius, arc } => write!(
                f,
                "the curve begins at a log exposure of {begin:.2}, behind the arc of radius {radius} at {arc:.2}"
            ),
            Self::NoFractionalGradient => f.write_str(
                "the readings do not show where the slope is 0.3 of the slope over the next 1.50 of log exposure",
            ),
            Self::RelativeExposures(material) => {
                let speed = match material {
                    Material::Film => "an absolute speed",
                    Material::Paper => "a paper speed",
                };
                write!(
                    f,
                    "exposures are relative: {speed} needs the exposure in lux·s behind clear tablet"
                )
            }
            Self::SpeedPointUncertain { decades } => {
                write!(f, "the speed point is uncertain by {decades:.0} decades")
            }
            Self::NotBlack { slope } => write!(
                f,
                "the strip never reaches black (still rises {slope:.2} per unit of log exposure at the last step); give the strip more exposure"
            ),
            Self::NotQuiteBlack { rest } => write!(
                f,
                "the strip does not quite reach black: the curve would still rise by about {rest:.2} above the last step; give the strip more exposure"
            ),
            Self::NoStraightLine { longest, needed } => write!(
                f,
                "there is no straight line: the slope is even (within 5 %) over only {longest:.2} of log exposure; {needed:.2} is needed"
            ),
            Self::SlopeNotDetermined => {
                f.write_str("the slope cannot be determined from these readings")
            }
            Self::NotDetermined => f.write_str("cannot be determined from these readings"),
        }
    }
}

impl From<Why> for String {
    fn from(why: Why) -> Self {
        why.to_string()
    }
}

impl std::error::Error for Why {}
