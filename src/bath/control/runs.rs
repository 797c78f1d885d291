//! The search for broken run rules, in one pass.

use super::rules::{Rule, RuleSet, Signal};

/// Differences below this share of a standard deviation are those of binary floating point: a value
/// on a limit is not beyond it.
pub(super) const FUZZ: f64 = 1e-9;

/// The rules of the set that the values break, in order of the values; z = (value − centre)/σ.
///
/// A rule is told at every value that completes its pattern, and that value is itself part of it
/// (beyond 2 for "two of three", and so on). Comparisons are strict, with a slack of 1e-9 σ. A value
/// that is no number is outside no limit and on no side. Takes time in proportion to the number of
/// values.
#[must_use]
pub fn run_rules(z: &[f64], set: RuleSet) -> Vec<Signal> {
    watch(z, set.rules())
}

/// [`run_rules`] with rules of choice; those that are not run rules never fire.
pub(super) fn watch(z: &[f64], rules: &[Rule]) -> Vec<Signal> {
    let mut runs = Runs::new();
    let mut signals = Vec::new();
    for (at, z) in z.iter().enumerate() {
        runs.take(*z);
        let fired = rules.iter().filter(|rule| runs.fires(**rule));
        signals.extend(fired.map(|&rule| Signal { rule, at }));
    }
    signals
}

/// What has to be remembered of the values so far. The bits of a register are the last eight values,
/// the newest lowest.
struct Runs {
    last: f64,
    beyond_three: bool,
    above: u32,
    below: u32,
    rising: u32,
    falling: u32,
    /// Direction of the last step, and values that alternate so far.
    direction: i8,
    alternating: u32,
    high: [u8; 2],
    low: [u8; 2],
    within: u32,
}

/// `count` and one more where it goes on, else `fresh`.
fn counted(count: u32, goes_on: bool, fresh: u32) -> u32 {
    if goes_on { count.saturating_add(1) } else { fresh }
}

/// Whether at least `least` of the last `of` are set, the newest among them.
fn share(register: u8, least: u32, of: u32) -> bool {
    register & 1 == 1 && (register & ((1 << of) - 1)).count_ones() >= least
}

impl Runs {
    fn new() -> Self {
        Self {
            last: f64::NAN,
            beyond_three: false,
            above: 0,
            below: 0,
            rising: 1,
            falling: 1,
            direction: 0,
            alternating: 1,
            high: [0; 2],
            low: [0; 2],
            within: 0,
        }
    }

    fn take(&mut self, z: f64) {
        self.beyond_three = z.abs() > 3.0 + FUZZ;
        self.above = counted(self.above, z > FUZZ, 0);
        self.below = counted(self.below, z < -FUZZ, 0);
        self.within = counted(self.within, z.abs() < 1.0 - FUZZ, 0);
        for (k, edge) in [1.0 + FUZZ, 2.0 + FUZZ].into_iter().enumerate() {
            self.high[k] = self.high[k] << 1 | u8::from(z > edge);
            self.low[k] = self.low[k] << 1 | u8::from(z < -edge);
        }
        let (up, down) = (z - self.last > FUZZ, self.last - z > FUZZ);
        let direction = i8::from(up) - i8::from(down);
        self.rising = counted(self.rising, up, 1);
        self.falling = counted(self.falling, down, 1);
        let turned = direction != 0 && direction == -self.direction;
        let fresh = if direction == 0 { 1 } else { 2 };
        self.alternating = counted(self.alternating, turned, fresh);
        (self.direction, self.last) = (direction, z);
    }

    fn fires(&self, rule: Rule) -> bool {
        let ([high1, high2], [low1, low2]) = (self.high, self.low);
        match rule {
            Rule::BeyondThree => self.beyond_three,
            Rule::NineOnOneSide => self.above.max(self.below) >= 9,
            Rule::EightOnOneSide => self.above.max(self.below) >= 8,
            Rule::SixTrending => self.rising.max(self.falling) >= 6,
            Rule::FourteenAlternating => self.alternating >= 14,
            Rule::TwoOfThreeBeyondTwo => share(high2, 2, 3) || share(low2, 2, 3),
            Rule::FourOfFiveBeyondOne => share(high1, 4, 5) || share(low1, 4, 5),
            Rule::FifteenWithinOne => self.within >= 15,
            Rule::EightBeyondOne => high1 | low1 == u8::MAX && high1 != 0 && low1 != 0,
            Rule::AboveTolerance
            | Rule::BelowTolerance
            | Rule::Step
            | Rule::WeightedAverage
            | Rule::CusumHigh
            | Rule::CusumLow
            | Rule::Rising
            | Rule::Falling => false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fired(z: &[f64], rule: Rule) -> Vec<usize> {
        let signals = watch(z, &[rule]);
        signals.into_iter().map(|s| s.at).collect()
    }

    #[test]
    fn the_value_that_completes_a_pattern_is_part_of_it() {
        assert_eq!(fired(&[2.3, 2.6, -0.8], Rule::TwoOfThreeBeyondTwo), [1]);
        assert_eq!(fired(&[1.2, 1.2, 1.2, 1.2, 0.0], Rule::FourOfFiveBeyondOne), [3]);
    }

    #[test]
    fn a_value_on_a_limit_or_on_the_centre_breaks_no_rule() {
        // 0.63 is 3 standard deviations of 0.01 from 0.60, but not in binary.
        let z = (0.63 - 0.60) / 0.01;
        assert!(z > 3.0 && fired(&[z], Rule::BeyondThree).is_empty());
        let mut side = [0.4; 9];
        assert_eq!(fired(&side, Rule::NineOnOneSide), [8]);
        side[4] = 0.0;
        assert!(fired(&side, Rule::NineOnOneSide).is_empty());
    }

    #[test]
    fn equal_neighbours_end_a_trend_and_an_alternation() {
        let z = [0.0, 0.1, 0.2, 0.2, 0.3, 0.4, 0.5];
        assert!(fired(&z, Rule::SixTrending).is_empty());
        let mut z: Vec<f64> = (0..14).map(|n| f64::from(n % 2)).collect();
        assert_eq!(fired(&z, Rule::FourteenAlternating), [13]);
        z[7] = z[6];
        assert!(fired(&z, Rule::FourteenAlternating).is_empty());
    }

    #[test]
    fn what_is_no_number_ends_a_run() {
        let mut z = [1.5; 12];
        assert_eq!(fired(&z, Rule::EightOnOneSide), [7, 8, 9, 10, 11]);
        z[6] = f64::NAN;
        assert!(fired(&z, Rule::EightOnOneSide).is_empty());
        assert_eq!(fired(&z, Rule::FourOfFiveBeyondOne), [3, 4, 5, 7, 8, 9, 10, 11]);
    }
}
