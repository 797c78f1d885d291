//! What a chart is to be made of, and how it judges.

use super::rules::RuleSet;
use crate::bath::limits::Allowed;
use jiff::civil::Date;

/// A control strip in the order of time. Strips that were developed together, other than for
/// crossing over, are better given as one sample, their average.
#[derive(Clone, Debug, PartialEq)]
pub struct Sample {
    /// Day of development.
    pub date: Date,
    /// What was measured.
    pub value: f64,
    /// Batch of control strips that it belongs to. `None` is the batch in use; until a batch is
    /// named, the first one that will be.
    pub batch: Option<String>,
}

/// An aim, and how far from it a bath is still good.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerance {
    /// What the strip should read: on strips of the first batch.
    pub aim: f64,
    /// How far off it may be.
    pub allowed: Allowed,
}

impl Tolerance {
    /// The lowest value that is still good.
    #[must_use]
    pub fn lower(&self) -> Option<f64> {
        self.allowed.lower().map(|d| self.aim + d)
    }

    /// The highest value that is still good.
    #[must_use]
    pub fn upper(&self) -> Option<f64> {
        self.allowed.upper().map(|d| self.aim + d)
    }
}

/// What a strip should read, how well that is known, and how strips scatter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aim {
    /// What a strip should read: on strips of the first batch.
    pub value: f64,
    /// Standard deviation from strip to strip that is assumed as long as strips are few.
    pub sigma: f64,
    /// Standard deviation of the aim itself, by the calibration that it comes from: a steady bath may
    /// lie that far from it. 0 where the aim is exact.
    pub uncertainty: f64,
}

/// Where centre and control limits come from. The strips of an earlier bath are never among it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Basis {
    /// The centre is the aim: a bath that loses strength from its first strip on departs from it.
    #[default]
    Aim,
    /// The bath's own history: the centre is the average of its first 20 strips, or all there are
    /// below that, five at least. A slow loss moves this centre along.
    FirstStrips,
    /// Known beforehand, as from an earlier bath that was charted long enough.
    Given {
        /// Centre line.
        centre: f64,
        /// Standard deviation of a strip.
        sigma: f64,
    },
    /// No control limits: only the tolerances judge, with the two run rules that need neither centre
    /// nor standard deviation (six trending, fourteen alternating). A bath that is steadily a little
    /// off its aim then breaks no rule.
    Tolerances,
}

/// The plan of a chart for one quantity.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Name of the quantity, as "contrast index".
    pub name: String,
    /// Decimals that it is read to.
    pub decimals: usize,
    /// Where centre and control limits come from.
    pub basis: Basis,
    /// The aim, if there is one, and the scatter that is assumed.
    pub aim: Option<Aim>,
    /// What is still good, if that was laid down.
    pub tolerance: Option<Tolerance>,
    /// The run rules to watch.
    pub rules: RuleSet,
    /// The samples with which a fresh bath begins, by place from 0; the number of samples where the
    /// fresh bath has none yet. Limits, runs, weighted average, sums and trend begin anew: nothing
    /// of the old bath counts in the new one.
    pub fresh: Vec<usize>,
    /// Weight λ of the newest value in the weighted average.
    pub weight: f64,
    /// Limits of the weighted average in its own standard deviations.
    pub average_limit: f64,
    /// Allowance of the cumulative sums, in standard deviations.
    pub allowance: f64,
    /// Limit of the cumulative sums, in standard deviations.
    pub sum_limit: f64,
    /// Limit of the slope of the last 4 to 20 strips, in its standard errors.
    pub trend_limit: f64,
}

impl Plan {
    /// A plan with limits from the first strips, the Western Electric rules, λ = 0.2 with limits at 3
    /// and sums with allowance 0.5 and limit 5 (usual values; Montgomery, Introduction to
    /// Statistical Quality Control, from memory). The limit of the slope, 3.6, was chosen by
    /// simulation: of 1000 strips of a steady bath, two are beyond it.
    #[must_use]
    pub fn new(name: &str, decimals: usize) -> Self {
        Self {
            name: name.to_owned(),
            decimals,
            basis: Basis::FirstStrips,
            aim: None,
            tolerance: None,
            rules: RuleSet::default(),
            fresh: Vec::new(),
            weight: 0.2,
            average_limit: 3.0,
            allowance: 0.5,
            sum_limit: 5.0,
            trend_limit: 3.6,
        }
    }

    /// The plan about an aim. Four rules watch together: the limits, the weighted average, the sums
    /// and the trend. The run rules are left out; they add false alarms and find a loss no sooner.
    #[must_use]
    pub fn about(mut self, aim: Aim) -> Self {
        self.aim = Some(aim);
        self.basis = Basis::Aim;
        self.rules = RuleSet::LimitAlone;
        self
    }

    /// The plan with tolerances about an aim, beside its control limits.
    #[must_use]
    pub fn with_tolerance(mut self, aim: f64, allowed: Allowed) -> Self {
        self.tolerance = Some(Tolerance { aim, allowed });
        self
    }

    /// The plan with another source of its limits.
    #[must_use]
    pub fn based_on(mut self, basis: Basis) -> Self {
        self.basis = basis;
        self
    }
}
