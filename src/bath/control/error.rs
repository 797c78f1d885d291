//! Why there is no chart, no limit, no shift: every reason, with its numbers.

use super::chart::LEAST_STRIPS;
use jiff::civil::Date;

/// Why a control chart, or a part of one, cannot be had.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ControlError {
    /// No strip at all.
    #[error("no control strip has it")]
    NoStrips,
    /// No strip since the last mix.
    #[error("no control strip of this bath has it; those of an earlier bath do not judge it")]
    NoStripOfBath,
    /// Too few strips for limits.
    #[error("{}: limits need at least {LEAST_STRIPS}", there_are(*.found))]
    FewStrips {
        /// How many there are.
        found: usize,
    },
    /// No limits were asked for.
    #[error("the chart is judged by its tolerances alone")]
    TolerancesAlone,
    /// Too few strips of two batches were developed together.
    #[error(
        "{old} of the old batch and {new} of the new were developed together: crossing over needs at least two of each, five are usual"
    )]
    FewToCross {
        /// Strips of the old batch.
        old: usize,
        /// Strips of the new one.
        new: usize,
    },
    /// Two batches share no day.
    #[error("no strips of both batches were developed on one day")]
    NoSharedDay,
    /// The strips of each batch have one reading, so that its scatter is not known.
    #[error(
        "the strips of each batch have the same reading: the error of the shift is hidden by rounding"
    )]
    AllAlike,
    /// A value that is no finite number.
    #[error("value {place} is {found}: a control chart needs finite numbers")]
    NotFinite {
        /// Its place, from 1.
        place: usize,
        /// What it is.
        found: f64,
    },
    /// A value that cannot be charted.
    #[error("the control strip of {date} reads {found}, which cannot be charted")]
    TooFar {
        /// Day of the strip.
        date: Date,
        /// What it reads.
        found: f64,
    },
    /// Strips that are not in the order of time.
    #[error(
        "control strips must be in the order of time; that of {date} comes after that of {before}"
    )]
    OutOfOrder {
        /// Day of the strip.
        date: Date,
        /// Day of the one before.
        before: Date,
    },
    /// More decimals than anything is read to.
    #[error("{found} decimals are more than anything is read to; at most {most}")]
    Decimals {
        /// What was wanted.
        found: usize,
        /// The most.
        most: usize,
    },
    /// An aim that cannot be charted.
    #[error("an aim of {0} cannot be charted")]
    Aim(f64),
    /// A chart about an aim without one.
    #[error("a chart about an aim needs the aim and a standard deviation above 0")]
    NoAim,
    /// A fresh bath out of order, or beyond the last strip.
    #[error(
        "fresh baths begin in the order of time, with one of {strips} control strips or after them; found place {found}"
    )]
    Fresh {
        /// The place, from 0.
        found: usize,
        /// How many strips there are.
        strips: usize,
    },
    /// A chart by tolerances without any.
    #[error("a chart that is judged by tolerances needs an aim and tolerances")]
    NoTolerance,
    /// Limits that cannot be.
    #[error(
        "limits need a centre and a standard deviation of 0 or more; found {centre} and {sigma}"
    )]
    Given {
        /// The centre.
        centre: f64,
        /// The standard deviation.
        sigma: f64,
    },
    /// Too few values for a moving range.
    #[error("{found} values have no moving range: limits need at least two")]
    NoRange {
        /// How many there are.
        found: usize,
    },
    /// Too few values for their scatter.
    #[error(
        "{found} values have no scatter that can be told from a trend: it needs at least three"
    )]
    NoScatter {
        /// How many there are.
        found: usize,
    },
    /// A scatter without which no slope can be judged.
    #[error("a trend needs a standard deviation above 0; found {0}")]
    TrendScatter(f64),
    /// A limit of the slope that cannot be.
    #[error("the limit of a trend must be above 0; found {0}")]
    TrendLimit(f64),
    /// A sample size without constants.
    #[error("there are no constants for samples of {0}: they are given for 2 to 10")]
    SampleSize(usize),
    /// A weight that cannot be.
    #[error("the weight λ must be above 0 and at most 1; found {0}")]
    Weight(f64),
    /// A weighted average that cannot be.
    #[error(
        "a weighted average needs a target, a standard deviation of 0 or more and limits of more than 0 of them; found {target}, {sd} and {limit}"
    )]
    Average {
        /// The target.
        target: f64,
        /// The standard deviation.
        sd: f64,
        /// The limits, in standard deviations.
        limit: f64,
    },
    /// Cumulative sums that cannot be.
    #[error(
        "cumulative sums need a target, an allowance k of 0 or more and a limit h above 0; found {target}, {allowance} and {limit}"
    )]
    Sums {
        /// The target.
        target: f64,
        /// The allowance.
        allowance: f64,
        /// The limit.
        limit: f64,
    },
}

fn there_are(found: usize) -> String {
    match found {
        1 => "there is one control strip".to_owned(),
        n => format!("there are {n} control strips"),
    }
}
