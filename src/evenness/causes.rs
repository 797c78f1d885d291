//! What unevenness of a form fits with, in the trade's words. The film cannot tell a cause: the table
//! only says what to look at first.

mod table;

use super::findings::{Finding, Form};
use table::TABLE;

/// Where a line of the table comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CauseSource {
    /// What the trade says; nothing published was read.
    CommonPractice,
    /// A source that was read.
    Published(&'static str),
}

impl CauseSource {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::CommonPractice => "common practice, no source",
            Self::Published(source) => source,
        }
    }
}

/// A line of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cause {
    /// The unevenness that it fits with.
    pub sign: Sign,
    /// The cause.
    pub cause: &'static str,
    /// What to try.
    pub remedy: &'static str,
    /// Where the line comes from.
    pub source: CauseSource,
}

/// An unevenness as the table knows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// Both long edges, or one alone, denser than the middle.
    LongEdgesDenser,
    /// One long edge denser, the other like the middle.
    OneEdgeDenser,
    /// Both long edges less dense, the sides like the middle.
    LongEdgesThinner,
    /// All four edges less dense than the middle.
    AllEdgesThinner,
    /// The upper edge less dense: alone, or by a gradient across.
    UpperThinner,
    /// The lower edge less dense: alone, or by a gradient across.
    LowerThinner,
    /// A gradient along the film.
    Along,
    /// One side or both against the middle.
    Sides,
    /// A wave with the perforations.
    Perforations,
    /// Light spots.
    LightSpots,
    /// Dense spots.
    DenseSpots,
    /// Spots at the same place of several frames.
    SamePlace,
    /// Scatter from place to place.
    Scatter,
    /// A smooth field without a simple form.
    Field,
    /// Some frames differ from the others.
    FramesDiffer,
}

impl Sign {
    /// Its code for programs.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::LongEdgesDenser => "long_edges_denser",
            Self::OneEdgeDenser => "one_edge_denser",
            Self::LongEdgesThinner => "long_edges_less_dense",
            Self::AllEdgesThinner => "all_edges_less_dense",
            Self::UpperThinner => "upper_edge_less_dense",
            Self::LowerThinner => "lower_edge_less_dense",
            Self::Along => "gradient_along",
            Self::Sides => "sides",
            Self::Perforations => "perforations",
            Self::LightSpots => "light_spots",
            Self::DenseSpots => "dense_spots",
            Self::SamePlace => "spots_at_one_place",
            Self::Scatter => "scatter",
            Self::Field => "smooth_field",
            Self::FramesDiffer => "frames_differ",
        }
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::LongEdgesDenser => "both long edges denser",
            Self::OneEdgeDenser => "one long edge denser",
            Self::LongEdgesThinner => "both long edges less dense",
            Self::AllEdgesThinner => "all four edges less dense",
            Self::UpperThinner => "upper edge less dense",
            Self::LowerThinner => "lower edge less dense",
            Self::Along => "a gradient along the film",
            Self::Sides => "the sides unlike the middle",
            Self::Perforations => "a wave with the perforations",
            Self::LightSpots => "light spots",
            Self::DenseSpots => "dense spots",
            Self::SamePlace => "spots at one place in several frames",
            Self::Scatter => "scatter from place to place",
            Self::Field => "no simple form",
            Self::FramesDiffer => "some frames unlike the others",
        }
    }
}

/// The lines that fit with what was found.
#[must_use]
pub fn causes(findings: &[Finding], frames_differ: bool) -> Vec<Cause> {
    let signs = signs(findings, frames_differ);
    let fits = |cause: &&Cause| signs.contains(&cause.sign);
    TABLE.iter().filter(fits).copied().collect()
}

/// The signs of what was found.
fn signs(findings: &[Finding], frames_differ: bool) -> Vec<Sign> {
    let mut signs = Vec::new();
    for finding in findings {
        let denser = finding.size.value > 0.0;
        let with = |form: Form| {
            findings.iter().any(|other| {
                other.frame == finding.frame && other.form == form && other.size.value < 0.0
            })
        };
        signs.push(match finding.form {
            Form::LongEdges if denser => Sign::LongEdgesDenser,
            Form::LongEdges | Form::Sides
                if !denser && with(Form::Sides) && with(Form::LongEdges) =>
            {
                Sign::AllEdgesThinner
            }
            Form::LongEdges => Sign::LongEdgesThinner,
            Form::LowerEdge | Form::UpperEdge if denser => Sign::OneEdgeDenser,
            Form::LowerEdge => Sign::LowerThinner,
            Form::UpperEdge => Sign::UpperThinner,
            Form::Across if denser => Sign::LowerThinner,
            Form::Across => Sign::UpperThinner,
            Form::Along => Sign::Along,
            Form::Sides | Form::LeftSide | Form::RightSide => Sign::Sides,
            Form::Perforations => Sign::Perforations,
            Form::Field => Sign::Field,
            Form::Scatter => Sign::Scatter,
            Form::Spot(x, y) => {
                let again = |other: &&Finding| other.form == Form::Spot(x, y);
                if findings.iter().filter(again).count() > 1 {
                    Sign::SamePlace
                } else if denser {
                    Sign::DenseSpots
                } else {
                    Sign::LightSpots
                }
            }
        });
    }
    signs.extend(frames_differ.then_some(Sign::FramesDiffer));
    signs
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measures::Quantity;

    fn finding(frame: Option<&str>, form: Form, value: f64) -> Finding {
        Finding {
            frame: frame.map(str::to_owned),
            form,
            size: Quantity { value, low: value - 0.01, high: value + 0.01 },
            in_print: 2.3 * value.abs(),
            seen_from: 0.02,
        }
    }

    #[test]
    fn every_sign_has_a_line() {
        use Sign::*;
        for sign in [
            LongEdgesDenser,
            OneEdgeDenser,
            LongEdgesThinner,
            AllEdgesThinner,
            UpperThinner,
            LowerThinner,
            Along,
            Sides,
            Perforations,
            LightSpots,
            DenseSpots,
            SamePlace,
            Scatter,
            Field,
            FramesDiffer,
        ] {
            assert!(TABLE.iter().any(|cause| cause.sign == sign), "{sign:?}");
        }
    }

    #[test]
    fn forms_have_their_signs() {
        let of = |findings: &[Finding]| signs(findings, false);
        assert_eq!(of(&[finding(None, Form::LongEdges, 0.05)]), [Sign::LongEdgesDenser]);
        assert_eq!(of(&[finding(None, Form::UpperEdge, -0.05)]), [Sign::UpperThinner]);
        assert_eq!(of(&[finding(None, Form::Across, -0.05)]), [Sign::UpperThinner]);
        let falloff = [finding(None, Form::LongEdges, -0.05), finding(None, Form::Sides, -0.04)];
        assert_eq!(of(&falloff), [Sign::AllEdgesThinner; 2]);
        let bell = finding(Some("3"), Form::Spot(18.0, 12.0), -0.1);
        assert_eq!(of(std::slice::from_ref(&bell)), [Sign::LightSpots]);
        let again = finding(Some("5"), Form::Spot(18.0, 12.0), -0.1);
        assert_eq!(of(&[bell, again]), [Sign::SamePlace; 2]);
    }

    #[test]
    fn nothing_found_fits_with_nothing() {
        assert!(causes(&[], false).is_empty());
        assert_eq!(causes(&[], true)[0].sign, Sign::FramesDiffer);
    }
}
