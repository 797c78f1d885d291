//! The layout: where tablet and strip lie in a picture, as a TOML file that a person can edit. It serves for the
//! next picture of the same set-up.

use super::place::{Point, Quad};
use super::refusal::{NotRead, Which};
use crate::readings::MOST_STEPS;
use serde::Deserialize;
use std::fmt::{self, Write};

/// Version of the format.
pub const FORMAT: u32 = 1;
/// Smallest box, in **pixels²**.
const SMALLEST: f64 = 25.0;
/// Bounds of the length of a step in **mm**.
pub const STEP_BOUNDS: crate::units::Bounds =
    crate::units::Bounds::new("a length of a step in mm", 0.5, 50.0);

/// Where tablet and strip lie.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Layout {
    /// Version of the format.
    pub layout_format: u32,
    /// Width of the picture in pixels.
    pub width: usize,
    /// Its height.
    pub height: usize,
    /// Length of a step in **mm**, if it is known.
    pub step_mm: Option<f64>,
    /// The tablet.
    pub tablet: TabletPlace,
    /// The strip.
    pub strip: StripPlace,
}

/// Where the tablet lies.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TabletPlace {
    /// Its four corners; the first two at its first step.
    pub corners: Option<[Point; 4]>,
    /// The boxes of its steps.
    #[serde(default, deserialize_with = "quads")]
    pub boxes: Option<Vec<Quad>>,
}

/// Where the strip lies.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StripPlace {
    /// Its four corners; the first two at the end that is named by `first_step`.
    pub corners: Option<[Point; 4]>,
    /// How many steps lie between them; as many as the tablet has where it is not said.
    pub steps: Option<usize>,
    /// The tablet's step that the first one was exposed through, from 1.
    pub first_step: Option<usize>,
    /// Whether both ends of the stepped part are in view and lie at the corners.
    #[serde(default = "yes")]
    pub ends_in_view: bool,
    /// A step whose number is known, where the ends are not in view.
    pub anchor: Option<Anchor>,
    /// Four corners of a patch of the same film that was developed and not exposed.
    pub unexposed: Option<[Point; 4]>,
    /// The boxes of its steps.
    #[serde(default, deserialize_with = "quads")]
    pub boxes: Option<Vec<Quad>>,
}

/// A step whose number is known.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Anchor {
    /// The tablet's step, from 1.
    pub step: usize,
    /// A point in it.
    pub at: Point,
}

impl Anchor {
    /// The point in it.
    #[must_use]
    pub const fn point(&self) -> Point {
        self.at
    }
}

const fn yes() -> bool {
    true
}

fn quads<'de, D: serde::Deserializer<'de>>(from: D) -> Result<Option<Vec<Quad>>, D::Error> {
    let boxes = Option::<Vec<[Point; 4]>>::deserialize(from)?;
    Ok(boxes.map(|boxes| boxes.into_iter().map(Quad).collect()))
}

/// What is wrong with a layout.
#[derive(Clone, Debug, PartialEq)]
pub enum LayoutFault {
    /// It is no layout.
    Toml {
        /// Where.
        line: usize,
        /// What is wrong there.
        why: String,
    },
    /// It is of a version that is not known.
    Format(u32),
    /// It is for pictures of another size.
    Size {
        /// In the layout.
        layout: (usize, usize),
        /// The picture's.
        picture: (usize, usize),
    },
    /// Neither corners nor boxes are given.
    NoPlace(Which),
    /// Four corners that are no area in the picture.
    NoArea {
        /// Of which film.
        which: Which,
        /// Which box, from 1; none for the corners of the film.
        step: Option<usize>,
    },
    /// The corners of the unexposed patch are no area in the picture.
    NoUnexposed,
    /// Another number of boxes than steps.
    Boxes {
        /// Of which film.
        which: Which,
        /// How many boxes.
        boxes: usize,
        /// How many steps.
        steps: usize,
    },
    /// A number of a step that is none of the tablet.
    Step {
        /// Its name.
        name: &'static str,
        /// Its number.
        found: usize,
        /// The tablet's steps.
        steps: usize,
    },
    /// The length of a step.
    StepLength(crate::units::OutOfBounds),
}

impl fmt::Display for LayoutFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Toml { line, why } => write!(f, "line {line} of the layout: {why}"),
            Self::Format(found) => {
                write!(f, "the layout is of format {found}, and this program reads format {FORMAT}")
            }
            Self::Size { layout, picture } => write!(
                f,
                "the layout is for {} × {} pixels and the picture has {} × {}: a layout serves for pictures of one set-up",
                layout.0, layout.1, picture.0, picture.1
            ),
            Self::NoPlace(which) => {
                write!(f, "the layout has neither corners nor boxes for the {which}")
            }
            Self::NoArea { which, step: None } => write!(
                f,
                "the corners of the {which} are no area in the picture: name four in their order around it, the first two at its beginning"
            ),
            Self::NoArea { which, step: Some(step) } => write!(
                f,
                "box {step} of the {which} is no area in the picture: it has four corners in their order around it"
            ),
            Self::NoUnexposed => f.write_str(
                "the corners of unexposed are no area in the picture: name four in their order around it",
            ),
            Self::Boxes { which, boxes, steps } => {
                write!(f, "the layout has {boxes} boxes for the {steps} steps of the {which}")
            }
            Self::Step { name, found, steps } => {
                write!(f, "{name} {found} is no step of the tablet, which has {steps}")
            }
            Self::StepLength(why) => why.fmt(f),
        }
    }
}

impl std::error::Error for LayoutFault {}

impl From<LayoutFault> for NotRead {
    fn from(fault: LayoutFault) -> Self {
        Self::Layout(fault)
    }
}

fn is_area(quad: &Quad, (width, height): (usize, usize)) -> bool {
    quad.is_convex() && quad.area().abs() > SMALLEST && quad.is_within(width, height)
}

fn area(corners: Option<[Point; 4]>, which: Which) -> Result<Quad, NotRead> {
    let corners = corners.ok_or(LayoutFault::NoPlace(which))?;
    Ok(Quad(corners))
}

impl TabletPlace {
    /// The area between its corners.
    ///
    /// # Errors
    /// Where it has none.
    pub fn area(&self) -> Result<Quad, NotRead> {
        area(self.corners, Which::Tablet)
    }
}

impl StripPlace {
    /// The area between its corners.
    ///
    /// # Errors
    /// Where it has none.
    pub fn area(&self) -> Result<Quad, NotRead> {
        area(self.corners, Which::Strip)
    }
}

impl Layout {
    /// The layout in a text.
    ///
    /// # Errors
    /// [`LayoutFault::Toml`] with line and column, [`LayoutFault::Format`].
    pub fn of_text(text: &str) -> Result<Self, LayoutFault> {
        let layout: Self = toml::from_str(text).map_err(|why| {
            let start = why.span().map_or(0, |span| span.start.min(text.len()));
            let line = text[..start].matches('\n').count() + 1;
            LayoutFault::Toml { line, why: why.message().replace('\n', " ") }
        })?;
        match layout.layout_format {
            FORMAT => Ok(layout),
            other => Err(LayoutFault::Format(other)),
        }
    }

    /// A layout of two areas, each with all steps.
    #[must_use]
    pub fn of_areas(
        (width, height): (usize, usize),
        step_mm: Option<f64>,
        tablet: Quad,
        strip: Quad,
    ) -> Self {
        let tablet = TabletPlace { corners: Some(tablet.0), boxes: None };
        let strip = StripPlace {
            corners: Some(strip.0),
            steps: None,
            first_step: None,
            ends_in_view: true,
            anchor: None,
            unexposed: None,
            boxes: None,
        };
        Self { layout_format: FORMAT, width, height, step_mm, tablet, strip }
    }

    /// The same layout with the boxes of the steps; `first` is the tablet's step of the strip's first box, from 0.
    #[must_use]
    pub fn with_boxes(&self, tablet: Vec<Quad>, first: usize, strip: Vec<Quad>) -> Self {
        let mut layout = self.clone();
        layout.tablet.boxes = Some(tablet);
        layout.strip.steps = Some(strip.len());
        layout.strip.first_step = Some(first + 1);
        layout.strip.boxes = Some(strip);
        layout
    }

    /// Whether the layout fits a picture of this size and a tablet of `steps` steps.
    ///
    /// # Errors
    /// [`LayoutFault`].
    pub fn fits(&self, picture: (usize, usize), steps: usize) -> Result<(), LayoutFault> {
        if (self.width, self.height) != picture {
            let layout = (self.width, self.height);
            return Err(LayoutFault::Size { layout, picture });
        }
        if let Some(mm) = self.step_mm {
            STEP_BOUNDS.checked(mm).map_err(LayoutFault::StepLength)?;
        }
        let strip = &self.strip;
        let anchor = strip.anchor.map(|anchor| anchor.step);
        for (name, found, most) in [
            ("first_step", strip.first_step, steps),
            ("anchor", anchor, steps),
            ("steps", strip.steps, MOST_STEPS),
        ] {
            if let Some(found) = found.filter(|found| !(1..=most).contains(found)) {
                return Err(LayoutFault::Step { name, found, steps: most });
            }
        }
        if let Some(corners) = strip.unexposed
            && !is_area(&Quad(corners), picture)
        {
            return Err(LayoutFault::NoUnexposed);
        }
        let films = [
            (Which::Tablet, self.tablet.corners, &self.tablet.boxes, steps),
            (Which::Strip, strip.corners, &strip.boxes, strip.steps.unwrap_or(steps)),
        ];
        for (which, corners, boxes, steps) in films {
            if corners.is_none() && boxes.is_none() {
                return Err(LayoutFault::NoPlace(which));
            }
            let corners = corners.into_iter().map(|corners| (None, Quad(corners)));
            let each = boxes.iter().flatten().enumerate().map(|(k, quad)| (Some(k + 1), *quad));
            for (step, quad) in corners.chain(each) {
                if !is_area(&quad, picture) {
                    return Err(LayoutFault::NoArea { which, step });
                }
            }
            if let Some(boxes) = boxes.as_ref().filter(|boxes| boxes.len() != steps) {
                return Err(LayoutFault::Boxes { which, boxes: boxes.len(), steps });
            }
        }
        Ok(())
    }

    /// The layout as a file.
    #[must_use]
    pub fn to_text(&self) -> String {
        let mut out = String::new();
        let corners = |corners: &[Point; 4]| {
            let each = corners.iter().map(|(x, y)| format!("[{x:.2}, {y:.2}]"));
            format!("[{}]", each.collect::<Vec<_>>().join(", "))
        };
        let boxes = |out: &mut String, boxes: &Option<Vec<Quad>>| {
            let Some(boxes) = boxes else { return };
            let _ = writeln!(
                out,
                "# Remove the boxes, and the steps are found again between the corners."
            );
            let _ = writeln!(out, "boxes = [");
            for quad in boxes {
                let _ = writeln!(out, "  {},", corners(&quad.0));
            }
            let _ = writeln!(out, "]");
        };
        let _ = writeln!(
            out,
            "# Where tablet and strip lie in pictures of one set-up: columns and rows in pixels,"
        );
        let _ = writeln!(
            out,
            "# from the middle of the upper left pixel. The corners go around an area; the first"
        );
        let _ = writeln!(out, "# two lie at the first step.");
        let _ = writeln!(out, "layout_format = {FORMAT}");
        let _ = writeln!(out, "width = {}\nheight = {}", self.width, self.height);
        if let Some(mm) = self.step_mm {
            let _ = writeln!(out, "step_mm = {mm}");
        }
        let _ = writeln!(out, "\n[tablet]");
        if let Some(four) = &self.tablet.corners {
            let _ = writeln!(out, "corners = {}", corners(four));
        }
        boxes(&mut out, &self.tablet.boxes);
        let strip = &self.strip;
        let _ = writeln!(out, "\n[strip]");
        if let Some(four) = &strip.corners {
            let _ = writeln!(out, "corners = {}", corners(four));
        }
        for (name, value) in [("steps", strip.steps), ("first_step", strip.first_step)] {
            if let Some(value) = value {
                let _ = writeln!(out, "{name} = {value}");
            }
        }
        if !strip.ends_in_view {
            let _ = writeln!(out, "ends_in_view = false");
        }
        if let Some(Anchor { step, at: (x, y) }) = strip.anchor {
            let _ = writeln!(out, "anchor = {{ step = {step}, at = [{x:.2}, {y:.2}] }}");
        }
        if let Some(four) = &strip.unexposed {
            let _ = writeln!(out, "unexposed = {}", corners(four));
        }
        boxes(&mut out, &strip.boxes);
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const UPPER: Quad = Quad([(10.0, 10.0), (10.0, 40.0), (110.0, 40.0), (110.0, 10.0)]);
    const LOWER: Quad = Quad([(10.0, 60.0), (10.0, 90.0), (110.0, 90.0), (110.0, 60.0)]);

    fn layout() -> Layout {
        let halves =
            |quad: Quad| vec![quad.part((0.0, 0.5), (0.0, 1.0)), quad.part((0.5, 1.0), (0.0, 1.0))];
        let areas = Layout::of_areas((120, 100), Some(5.0), UPPER, LOWER);
        areas.with_boxes(halves(UPPER), 0, halves(LOWER))
    }

    #[test]
    fn what_is_written_is_read() {
        let mut written = layout();
        written.strip.ends_in_view = false;
        written.strip.anchor = Some(Anchor { step: 2, at: (70.0, 75.0) });
        written.strip.unexposed = Some(LOWER.part((0.1, 0.4), (0.0, 1.0)).0);
        assert_eq!(Layout::of_text(&written.to_text()), Ok(written.clone()));
        assert_eq!(written.fits((120, 100), 2), Ok(()));
    }

    #[test]
    fn faults_are_named() {
        let edited =
            |from: &str, to: &str| Layout::of_text(&layout().to_text().replacen(from, to, 1));
        assert!(matches!(edited("width", "wide"), Err(LayoutFault::Toml { .. })));
        assert_eq!(edited("format = 1", "format = 7"), Err(LayoutFault::Format(7)));
        let fault =
            |from: &str, to: &str| edited(from, to).unwrap().fits((120, 100), 2).unwrap_err();
        assert!(matches!(fault("width = 120", "width = 121"), LayoutFault::Size { .. }));
        assert!(matches!(fault("[110.00, 40.00]", "[nan, 40.00]"), LayoutFault::NoArea { .. }));
        assert!(matches!(fault("[110.00, 40.00]", "[1e9, 40.00]"), LayoutFault::NoArea { .. }));
        assert!(matches!(fault("steps = 2", "steps = 3"), LayoutFault::Boxes { .. }));
        assert!(matches!(fault("steps = 2", "steps = 0"), LayoutFault::Step { .. }));
        assert!(matches!(fault("step_mm = 5", "step_mm = 0"), LayoutFault::StepLength(_)));
    }
}
