//! How large a density difference of the negative is in a print, and from what size on it is seen.

/// ISO range of the paper where nobody gives one: a medium grade.
pub const PAPER_RANGE: f64 = crate::development::aim::PAPER_RANGE;
/// Density that a paper gains over its ISO range (common practice, no source): from 0.04 to nine
/// tenths of a net maximum density of 2.1 (the two ends: ISO 6846, from memory).
const PAPER_GAIN: f64 = 0.9 * 2.1 - 0.04;
/// How much steeper the straight part of a paper's curve is than its mean gradient (common practice,
/// no source).
const STRAIGHT_PART: f64 = 1.3;
/// Density difference that is seen in a print where it has an edge: a band, a spot, a streak.
///
/// # Source
/// Common practice, no source for the value. For orientation: at a sharp edge under ordinary viewing
/// the eye tells apart 2 % of brightness, a density difference of 0.009 (a secondary text on Weber's
/// fraction); edges left by development are soft and stand in grain.
pub const VISIBLE: f64 = 0.02;
/// Density difference from one side of a print to the other that is seen where it changes gradually.
///
/// # Source
/// R. G. F. Erens, A. M. L. Kappers and J. J. Koenderink 1993, Estimating the gradient direction of a
/// luminance ramp (abstract): below a modulation depth of 6 % nobody can tell which way a ramp rises.
/// log10(1.06/0.94) = 0.052. That the size of the field hardly matters: the same, and "Visibility of
/// continuous luminance gradients", Vision Research 14 (1974), abstract.
pub const VISIBLE_GRADUAL: f64 = 0.05;

/// How the negative is printed, and what is seen; where it is `None`, a default is assumed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Printing {
    /// Slope of the paper's curve: print density over negative density.
    pub gradient: Option<f64>,
    /// ISO range R of the paper, from which the slope follows if it is not given.
    pub paper_range: Option<f64>,
    /// Density difference seen in the print where it has an edge.
    pub visible: Option<f64>,
    /// Density difference over the print that is seen where it changes gradually.
    pub visible_gradual: Option<f64>,
}

/// How a density difference lies on the frame, which decides how well it is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Transition {
    /// Within a part of the frame: a band, a spot, a pattern.
    Edge,
    /// Gradually from one side to the other.
    Gradual,
}

/// What is assumed of the print.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum PrintAssumption {
    /// The slope of the paper's curve.
    #[error(
        "a density difference is assumed to be {slope:.1} times as large in the print: the straight part of a paper of ISO range R {range}{}; common practice, no source",
        if *.range_assumed { " (assumed)" } else { "" }
    )]
    Slope {
        /// The slope.
        slope: f64,
        /// ISO range of the paper.
        range: f64,
        /// Whether that is assumed.
        range_assumed: bool,
    },
    /// What is seen at an edge.
    #[error(
        "a density difference of {VISIBLE} is assumed to be seen in a print where it has an edge; common practice, no source"
    )]
    Edge,
    /// What is seen where it is gradual.
    #[error(
        "a density difference of {VISIBLE_GRADUAL} from one side to the other is assumed to be seen in a print (after Erens, Kappers and Koenderink 1993)"
    )]
    Gradual,
}

impl Printing {
    /// Slope of the paper's curve:
    ///
    /// ```text
    /// G = 1.3 · (0.9·2.1 − 0.04) / (R/100)
    /// ```
    ///
    /// unless it is given; 2.3 for R 105.
    #[must_use]
    pub fn slope(&self) -> f64 {
        let range = self.paper_range.unwrap_or(PAPER_RANGE);
        self.gradient.unwrap_or(STRAIGHT_PART * PAPER_GAIN / (range / 100.0))
    }

    /// The density difference in the print from which on one is seen.
    #[must_use]
    pub fn threshold(&self, transition: Transition) -> f64 {
        match transition {
            Transition::Edge => self.visible.unwrap_or(VISIBLE),
            Transition::Gradual => self.visible_gradual.unwrap_or(VISIBLE_GRADUAL),
        }
    }

    /// What is assumed in it.
    #[must_use]
    pub fn assumptions(&self) -> Vec<PrintAssumption> {
        let mut list = Vec::new();
        if self.gradient.is_none() {
            list.push(PrintAssumption::Slope {
                slope: self.slope(),
                range: self.paper_range.unwrap_or(PAPER_RANGE),
                range_assumed: self.paper_range.is_none(),
            });
        }
        list.extend(self.visible.is_none().then_some(PrintAssumption::Edge));
        list.extend(self.visible_gradual.is_none().then_some(PrintAssumption::Gradual));
        list
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::elementary::log10;

    #[test]
    fn a_medium_paper() {
        let slope = Printing::default().slope();
        assert!((slope - 2.29).abs() < 0.005, "{slope}");
        let hard = Printing { paper_range: Some(70.0), ..Printing::default() };
        assert!((hard.slope() / slope - 1.5).abs() < 1e-12);
        let given = Printing {
            gradient: Some(1.0),
            visible: Some(0.03),
            visible_gradual: Some(0.1),
            ..Printing::default()
        };
        assert_eq!(given.slope(), 1.0);
        assert!(given.assumptions().is_empty());
        assert_eq!(given.threshold(Transition::Gradual), 0.1);
    }

    #[test]
    fn the_gradual_threshold_is_that_of_the_ramps() {
        let derived = log10(1.06_f64 / 0.94);
        assert!((derived - VISIBLE_GRADUAL).abs() < 0.003, "{derived}");
    }
}
