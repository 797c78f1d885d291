//! Run rules: patterns that a bath in control seldom shows.

/// What may be wrong with a series of control strips. z is (value − centre)/σ.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rule {
    /// Above the tolerance.
    AboveTolerance,
    /// Below the tolerance.
    BelowTolerance,
    /// A value farther than 3 from the centre.
    BeyondThree,
    /// Nine successive values on one side of the centre.
    NineOnOneSide,
    /// Eight successive values on one side of the centre.
    EightOnOneSide,
    /// Six successive values that only rise or only fall.
    SixTrending,
    /// Fourteen successive values that go up and down in turn.
    FourteenAlternating,
    /// Two of three successive values farther than 2 on one side.
    TwoOfThreeBeyondTwo,
    /// Four of five successive values farther than 1 on one side.
    FourOfFiveBeyondOne,
    /// Fifteen successive values closer than 1 to the centre.
    FifteenWithinOne,
    /// Eight successive values farther than 1 from the centre, on both sides.
    EightBeyondOne,
    /// The line through the last strips rises by more than their scatter explains.
    Rising,
    /// The line through the last strips falls by more than their scatter explains.
    Falling,
    /// The step from the value before is beyond the limit of the moving range.
    Step,
    /// The weighted average is beyond its limits.
    WeightedAverage,
    /// The cumulative sum of what lies above the centre is beyond its limit.
    CusumHigh,
    /// The cumulative sum of what lies below the centre is beyond its limit.
    CusumLow,
}

impl Rule {
    /// Its code for programs.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::AboveTolerance => "above_tolerance",
            Self::BelowTolerance => "below_tolerance",
            Self::BeyondThree => "beyond_three",
            Self::NineOnOneSide => "nine_on_one_side",
            Self::EightOnOneSide => "eight_on_one_side",
            Self::SixTrending => "six_trending",
            Self::FourteenAlternating => "fourteen_alternating",
            Self::TwoOfThreeBeyondTwo => "two_of_three_beyond_two",
            Self::FourOfFiveBeyondOne => "four_of_five_beyond_one",
            Self::FifteenWithinOne => "fifteen_within_one",
            Self::EightBeyondOne => "eight_beyond_one",
            Self::Step => "step",
            Self::WeightedAverage => "weighted_average",
            Self::CusumHigh => "sum_high",
            Self::CusumLow => "sum_low",
            Self::Rising => "rising",
            Self::Falling => "falling",
        }
    }

    /// What is wrong, in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::AboveTolerance => "above the tolerance",
            Self::BelowTolerance => "below the tolerance",
            Self::BeyondThree => "more than three standard deviations from the centre",
            Self::NineOnOneSide => "nine in a row on one side of the centre",
            Self::EightOnOneSide => "eight in a row on one side of the centre",
            Self::SixTrending => "six in a row that only rise or only fall",
            Self::FourteenAlternating => "fourteen in a row that go up and down in turn",
            Self::TwoOfThreeBeyondTwo => {
                "two of three more than two standard deviations from the centre, on one side"
            }
            Self::FourOfFiveBeyondOne => {
                "four of five more than one standard deviation from the centre, on one side"
            }
            Self::FifteenWithinOne => {
                "fifteen in a row within one standard deviation of the centre"
            }
            Self::EightBeyondOne => {
                "eight in a row more than one standard deviation from the centre, on both sides"
            }
            Self::Step => "the step from the strip before is larger than its limit",
            Self::WeightedAverage => "the weighted average is beyond its limits",
            Self::CusumHigh => {
                "too high for some time: the sum of what lies above the centre is beyond its limit"
            }
            Self::CusumLow => {
                "too low for some time: the sum of what lies below the centre is beyond its limit"
            }
            Self::Rising => "the last strips rise by more than their scatter explains",
            Self::Falling => "the last strips fall by more than their scatter explains",
        }
    }

    /// A name short enough for a label on a chart.
    #[must_use]
    pub const fn short(self) -> &'static str {
        match self {
            Self::AboveTolerance | Self::BelowTolerance => "tolerance",
            Self::BeyondThree => "limit",
            Self::NineOnOneSide => "9 on one side",
            Self::EightOnOneSide => "8 on one side",
            Self::SixTrending => "6 trending",
            Self::FourteenAlternating => "14 alternating",
            Self::TwoOfThreeBeyondTwo => "2 of 3",
            Self::FourOfFiveBeyondOne => "4 of 5",
            Self::FifteenWithinOne => "15 close",
            Self::EightBeyondOne => "8 far",
            Self::Step => "step",
            Self::WeightedAverage => "average",
            Self::CusumHigh | Self::CusumLow => "sum",
            Self::Rising => "rising",
            Self::Falling => "falling",
        }
    }
}

/// A set of run rules that belong together.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RuleSet {
    /// The eight tests of Nelson, L. S., Journal of Quality Technology 16(4), 1984, 237-239.
    Nelson,
    /// The four of the Western Electric Co., Statistical Quality Control Handbook, 1956: fewer false
    /// alarms.
    #[default]
    WesternElectric,
    /// Only a value farther than 3 from the centre; the step from strip to strip is not judged
    /// either. For charts about an aim, where weighted average, sums and trend find the rest.
    LimitAlone,
}

impl RuleSet {
    /// The rules of the set.
    #[must_use]
    pub const fn rules(self) -> &'static [Rule] {
        match self {
            Self::Nelson => &[
                Rule::BeyondThree,
                Rule::NineOnOneSide,
                Rule::SixTrending,
                Rule::FourteenAlternating,
                Rule::TwoOfThreeBeyondTwo,
                Rule::FourOfFiveBeyondOne,
                Rule::FifteenWithinOne,
                Rule::EightBeyondOne,
            ],
            Self::WesternElectric => &[
                Rule::BeyondThree,
                Rule::EightOnOneSide,
                Rule::TwoOfThreeBeyondTwo,
                Rule::FourOfFiveBeyondOne,
            ],
            Self::LimitAlone => &[Rule::BeyondThree],
        }
    }
}

/// A rule that is broken, and the value (from 0) at which the pattern is complete.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Signal {
    /// The rule.
    pub rule: Rule,
    /// Place of the value in the series, from 0.
    pub at: usize,
}
