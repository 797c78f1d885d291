//! What are the densities of a frame in a picture? An evenly exposed one gives the grid that
//! [`EvennessReport`](super::EvennessReport) takes, a negative the densities that [`Proof`](super::Proof) takes.

mod even;
mod negative;

pub use even::EvenFrame;
pub use negative::NegativeRead;

use super::read::{NoDensities, ReadNote, ReadQuestion, TakenWith, known};
use super::{Description, Gather, Value};
use crate::evenness::FRAME_135;
use crate::picture::frame::{FrameAsked, FrameReading, Shows, UNSEEN};
use crate::units::FrameSize;
use crate::words::{no_formula, number, trimmed};
use std::fmt;

/// A frame that was measured, with what both kinds have in common.
#[derive(Clone, Debug)]
struct Framed {
    picture: String,
    reading: FrameReading,
    about: super::AboutStrip,
    with: TakenWith,
    sigma_is_assumed: bool,
    size_is_assumed: bool,
    /// Names and densities of the tablet's steps.
    tablet: Vec<(String, f64)>,
}

impl Framed {
    fn of(
        question: ReadQuestion<'_>,
        size: Option<FrameSize>,
        shows: Shows,
    ) -> Result<Self, NoDensities> {
        let (tablet, sigma_is_assumed) = known(&question)?;
        let ReadQuestion { picture, frames, layout, with, about, .. } = question;
        let size_is_assumed = size.is_none();
        let size = size.map_or(FRAME_135, |size| (size.length, size.width));
        let asked = FrameAsked { tablet: &tablet, layout, size, shows };
        let reading = FrameReading::of(&frames, &asked).map_err(NoDensities::Frame)?;
        let steps = &question.tablet.steps;
        let tablet = steps.iter().map(|step| (step.name.clone(), step.value)).collect();
        Ok(Self { picture, reading, about, with, sigma_is_assumed, size_is_assumed, tablet })
    }

    /// The size of the frame in words: `36 × 24 mm`.
    fn size(&self) -> String {
        let (length, width) = self.reading.place.size;
        format!("{} × {} mm", trimmed(length, 1), trimmed(width, 1))
    }

    /// What is in the column `note`: the remark that was given, then where the readings come from.
    fn note(&self, last: &str) -> String {
        let about = &self.about;
        let minutes = about.minutes.map(|m| format!("developed {} min", trimmed(m.get(), 2)));
        let celsius = about.celsius.map(|c| format!("{} °C", number(c.get(), 1)));
        let given = about.note.as_ref().map(|note| no_formula(note).into_owned());
        let parts = [given, minutes, celsius, Some(last.to_owned())];
        parts.into_iter().flatten().collect::<Vec<_>>().join("; ")
    }

    /// Numbers on the grid and the calibration.
    fn fields(&self, all: &mut Description) {
        let reading = &self.reading;
        let (length, width) = reading.place.size;
        let sides = vec![
            ("length".into(), Value::plain(length, 1)),
            ("width".into(), Value::plain(width, 1)),
            ("assumed".into(), self.size_is_assumed.into()),
        ];
        all.field("frame_mm", "frame", Value::Map(sides).worded(self.size()));
        let cell = vec![
            ("length".into(), Value::number(reading.cell.0, 3)),
            ("width".into(), Value::number(reading.cell.1, 3)),
        ];
        let words = format!(
            "{} × {} of {} × {} mm",
            reading.columns,
            reading.rows,
            number(reading.cell.0, 2),
            number(reading.cell.1, 2)
        );
        all.field("cell_mm", "cells along and across", Value::Map(cell).worded(words));
        all.data("columns", reading.columns);
        all.data("rows", reading.rows);
        all.field(
            "margin_mm",
            "left out along the edges",
            Value::number(reading.margin, 1).unit(" mm"),
        );
        all.field(
            "reduced_chi",
            "fit of the tablet (reduced chi)",
            Value::number(reading.calibration.chi, 2),
        );
        all.data("tablet_sigma_is_assumed", self.sigma_is_assumed);
    }

    fn notes(&self, all: &mut Description) {
        if self.size_is_assumed {
            all.note(FramedNote::Size);
        }
        all.notes(&self.reading.notes);
        if self.sigma_is_assumed {
            all.note(ReadNote::AssumedSigma);
        }
        all.note(match self.with {
            TakenWith::Camera => ReadNote::Diffuse,
            TakenWith::Scanner { .. } => ReadNote::Scanner,
        });
        all.note(ReadNote::SeenWithoutTest);
    }

    /// The tablet's boxes with their densities.
    #[cfg(feature = "figures")]
    fn tablet_boxes(&self) -> Vec<crate::figures::MarkedBox> {
        let boxes = self.reading.layout.tablet.boxes.iter().flatten();
        let marked =
            boxes.zip(&self.tablet).map(|(area, (name, density))| crate::figures::MarkedBox {
                area: *area,
                number: name.clone(),
                value: Some(number(*density, 2)),
                is_tablet: true,
            });
        marked.collect()
    }
}

/// What should be known of the densities of a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum FramedNote {
    /// The size of the frame is assumed.
    Size,
    /// Which edge `evenness` counts from.
    LowerEdge,
    /// What sigma is.
    Sigma,
    /// Errors that all cells have in common.
    Common,
    /// What the tails are.
    Tails,
    /// No base plus fog was measured.
    NoBase,
}

impl fmt::Display for FramedNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Sigma => return write!(
                f,
                "sigma is what each cell has by itself: the scatter of neighbouring cells by noise, grain and dust, and {} for what they do not show (assumed). Mottle as small as a cell counts as noise; specks that are smaller than about half of a cell are left out",
                number(UNSEEN, 4)
            ),
            Self::Size => {
                let (length, width) = FRAME_135;
                return write!(f, "a frame of {length} × {width} mm is assumed (135 film)");
            }
            Self::LowerEdge => {
                "evenness counts y from the long edge that was lowest in the bath, and x as the frame numbers rise. If the film lies otherwise, turn it and take the picture again, or name the frame's corners in a layout"
            }
            Self::Common => {
                "all cells have one error in common, which adds to the mean density; it does not make a frame uneven"
            }
            Self::Tails => {
                "one cell of a hundred is lighter than the lowest density, and one of a hundred denser than the highest: look at both places in the overlay. If such a place need not print with detail, give proof the densities of your choice"
            }
            Self::NoBase => {
                "base plus fog was not measured: show unexposed film of the same negative in a third, small opening of the mask, or name it with unexposed = [four corners] below [strip] in the layout"
            }
        })
    }
}
