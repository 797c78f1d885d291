//! Control charts from outside: what they say of baths that are steady and of baths that are not.

use jiff::civil::Date;
use jiff::{ToSpan, civil::date};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};
use rand_distr::StandardNormal;
use wedgebook::bath::control::{
    Aim, Alphabet, Basis, Chart, ChartNote, ControlError, Plan, Rule, RuleSet, Sample, Standing,
    cusum, ewma, run_rules, sparkline,
};
use wedgebook::bath::limits::Allowed;

fn day(n: usize) -> Date {
    date(2026, 1, 1) + (n as i64).days()
}

fn strips(values: &[f64]) -> Vec<Sample> {
    let sample = |(n, value): (usize, &f64)| Sample { date: day(n), value: *value, batch: None };
    values.iter().enumerate().map(sample).collect()
}

/// Whether a note of the chart has these words.
fn said(chart: &Chart, words: &str) -> bool {
    chart.notes().iter().any(|note| note.to_string().contains(words))
}

fn scattered(rng: &mut StdRng, count: usize, centre: f64, sigma: f64) -> Vec<f64> {
    let value = |_| centre + sigma * rng.sample::<f64, _>(StandardNormal);
    (0..count).map(value).collect()
}

/// The share of steady baths whose last strip breaks some rule.
fn false_alarms(plan: &Plan, count: usize) -> f64 {
    let mut rng = StdRng::seed_from_u64(1931);
    let runs = 2000;
    let alarms = (0..runs).filter(|_| {
        let values = scattered(&mut rng, count, 0.6, 0.01);
        Chart::new(plan.clone(), &strips(&values)).unwrap().in_control() == Some(false)
    });
    alarms.count() as f64 / f64::from(runs)
}

/// What the documentation of `Chart` promises; the standard error of a share is 0.003 to 0.006.
#[test]
fn a_steady_bath_seldom_breaks_a_rule() {
    let given = Basis::Given { centre: 0.6, sigma: 0.01 };
    let own = Plan::new("contrast index", 3);
    let known = false_alarms(&own.clone().based_on(given), 60);
    assert!((0.012..0.035).contains(&known), "known limits: {known}");
    let settled = false_alarms(&own, 60);
    assert!((0.05..0.09).contains(&settled), "limits from 20: {settled}");
    let provisional = false_alarms(&own, 12);
    assert!((0.02..0.05).contains(&provisional), "limits from 12: {provisional}");
}

/// Strips until a shift of so many standard deviations is told, half of the time.
#[test]
fn a_shift_is_told_soon() {
    let plan = Plan::new("contrast index", 3).based_on(Basis::Given { centre: 0.6, sigma: 0.01 });
    let mut rng = StdRng::seed_from_u64(1931);
    for (shift, most) in [(1.0, 7), (2.0, 3), (3.0, 2)] {
        let mut delays: Vec<usize> = (0..400)
            .map(|_| {
                let mut values = scattered(&mut rng, 30, 0.6, 0.01);
                values.extend(scattered(&mut rng, 60, 0.6 + 0.01 * shift, 0.01));
                let chart = Chart::new(plan.clone(), &strips(&values)).unwrap();
                let told = chart.signals().iter().find(|s| s.index >= 30);
                told.map_or(60, |s| s.index - 29)
            })
            .collect();
        delays.sort_unstable();
        assert!(delays[200] <= most, "shift {shift}: {}", delays[200]);
    }
}

fn tolerance(aim: f64, each_way: f64) -> Plan {
    Plan::new("contrast index", 2).with_tolerance(aim, Allowed::symmetric(each_way).unwrap())
}

/// Twenty-five strips about 0.60 that break no rule.
fn steady() -> Vec<f64> {
    let hundredths = [
        61, 59, 60, 62, 60, 58, 60, 61, 59, 60, 61, 60, 58, 61, 60, 59, 61, 60, 62, 59, 60, 61, 59,
        60, 61,
    ];
    hundredths.into_iter().map(|h| f64::from(h) / 100.0).collect()
}

#[test]
fn a_strip_on_its_tolerance_is_good_and_one_beyond_is_not() {
    let readings = [0.58, 0.61, 0.55, 0.58, 0.59];
    let plan = tolerance(0.58, 0.03).based_on(Basis::Tolerances);
    let chart = Chart::new(plan.clone(), &strips(&readings)).unwrap();
    assert!(chart.signals().is_empty() && chart.in_control() == Some(true));
    let mut readings = readings.to_vec();
    readings.push(0.62);
    let chart = Chart::new(plan, &strips(&readings)).unwrap();
    assert_eq!(chart.standing(), Ok(Standing::Out));
    let [signal] = chart.last_signals() else { panic!("{:?}", chart.last_signals()) };
    assert_eq!((signal.index, signal.date, signal.rule), (5, day(5), Rule::AboveTolerance));
}

#[test]
fn within_the_tolerance_a_change_is_only_watched() {
    let mut values = steady();
    values.push(0.66);
    let plain = Chart::new(Plan::new("contrast index", 2), &strips(&values)).unwrap();
    assert_eq!(plain.standing(), Ok(Standing::Out));
    let wide = Chart::new(tolerance(0.60, 0.10), &strips(&values)).unwrap();
    assert_eq!(wide.standing(), Ok(Standing::Watch));
    assert!(wide.last_signals().iter().any(|s| s.rule == Rule::BeyondThree));
}

#[test]
fn a_bath_that_was_put_right_is_not_held_guilty() {
    let mut values = steady();
    values.extend([0.66; 12]);
    let since = Chart::new(Plan::new("contrast index", 2), &strips(&values)).unwrap();
    assert_eq!((since.standing(), since.since()), (Ok(Standing::Out), Some(day(25))));
    values.extend(steady());
    let fresh = Plan { fresh: vec![37], ..Plan::new("contrast index", 2) };
    let chart = Chart::new(fresh, &strips(&values)).unwrap();
    assert_eq!(chart.stretches().len(), 2);
    assert!(chart.signals().iter().all(|s| s.index < 37), "{:?}", chart.signals());
    // The limits are those of the first bath.
    let [old, new] = chart.stretches() else { unreachable!() };
    assert_eq!(old.control, new.control);
    assert_eq!(chart.points()[37].moving_range, None);
    // Without being told of the fresh bath the chart takes a few strips to believe it.
    let untold = Chart::new(Plan::new("contrast index", 2), &strips(&values)).unwrap();
    assert!(untold.signals().iter().any(|s| s.index >= 37) && untold.in_control() == Some(true));
}

/// Strips of batch A, then of B which reads 0.06 more, with `together` of each on day 30.
fn two_batches(together: usize) -> Vec<Sample> {
    let mut rng = StdRng::seed_from_u64(11);
    let mut samples = Vec::new();
    for n in 0..60 {
        let (batch, shift) = if n < 30 { ("A", 0.0) } else { ("B", 0.06) };
        let mut add = |batch: &str, value: f64| {
            samples.push(Sample {
                date: day(n),
                value: value + 0.01 * rng.sample::<f64, _>(StandardNormal),
                batch: Some(batch.to_owned()),
            });
        };
        if n == 30 {
            for _ in 0..together {
                add("A", 0.60);
            }
            for _ in 1..together {
                add("B", 0.66);
            }
        }
        add(batch, 0.60 + shift);
    }
    samples
}

#[test]
fn strips_of_both_batches_carry_the_chart_over() {
    let chart = Chart::new(Plan::new("contrast index", 2), &two_batches(5)).unwrap();
    assert_eq!((chart.stretches().len(), chart.points().len()), (1, 60));
    let change = &chart.changes()[0];
    let crossover = change.crossover.as_ref().unwrap();
    let u = crossover.uncertainty.as_ref().unwrap();
    assert!(u.low < 0.06 && u.high > 0.06, "{crossover:?}");
    assert_eq!((change.at, chart.points()[30].strips), (30, 10));
    let mean = chart.points()[31..].iter().map(|p| p.value).sum::<f64>() / 29.0;
    assert!((mean - 0.60).abs() < 0.02, "{mean}");
    let last = chart.last();
    let read = two_batches(5).last().unwrap().value;
    assert!((last.value + last.shift - read).abs() < 1e-12);
    assert!(said(&chart, "batch B reads") && said(&chart, "higher"));
}

#[test]
fn without_them_the_limits_begin_anew() {
    let plan = tolerance(0.60, 0.04);
    let chart = Chart::new(plan, &two_batches(0)).unwrap();
    let [old, new] = chart.stretches() else { panic!("{:?}", chart.stretches()) };
    let (old, new) = (old.clone(), new.clone());
    let apart = new.control.unwrap().centre - old.control.unwrap().centre;
    assert!((apart - 0.06).abs() < 0.01, "{apart}");
    assert_eq!(new.tolerance, old.tolerance, "an aim is never made from strips");
    let told = said(&chart, "may as well be a change in the bath");
    assert!(told, "{:?}", chart.notes());
}

#[test]
fn strips_that_read_all_alike_have_limits() {
    let chart = Chart::new(Plan::new("base plus fog", 2), &strips(&[0.20; 8])).unwrap();
    let control = chart.last_stretch().control.unwrap();
    assert!(control.rounded && (control.sigma - 0.005).abs() < 1e-12);
    let mut values = vec![0.20; 8];
    values.push(0.21);
    let chart = Chart::new(Plan::new("base plus fog", 2), &strips(&values)).unwrap();
    assert_eq!(chart.in_control(), Some(true), "one unit of the last decimal is rounding");
    assert!(said(&chart, "assumed"));
}

/// One reading a hundredth lower drags the centre to 0.299; the others are not "on one side" of it.
#[test]
fn rounding_is_no_run() {
    let mut values = vec![0.30; 20];
    values[1] = 0.29;
    for rules in [RuleSet::Nelson, RuleSet::WesternElectric] {
        let plan = Plan { rules, ..Plan::new("base plus fog", 2) };
        let chart = Chart::new(plan, &strips(&values)).unwrap();
        assert!(chart.signals().is_empty(), "{:?}", chart.signals());
    }
    values.extend([0.31; 9]);
    let chart = Chart::new(Plan::new("base plus fog", 2), &strips(&values)).unwrap();
    assert_eq!(chart.in_control(), Some(false), "a lasting step of one unit is told");
}

#[test]
fn few_strips_have_no_limits_and_say_so() {
    let chart = Chart::new(Plan::new("gamma", 2), &strips(&[0.6, 0.7, 0.65])).unwrap();
    let why = chart.standing().unwrap_err();
    assert_eq!((why, chart.in_control()), (ControlError::FewStrips { found: 3 }, None));
    assert!(chart.notes().contains(&ChartNote::NoLimits(why)));
    let chart = Chart::new(tolerance(0.6, 0.05), &strips(&[0.6, 0.7, 0.65])).unwrap();
    assert_eq!(chart.standing(), Ok(Standing::Steady), "the tolerance judges alone");
}

#[test]
fn what_cannot_be_charted_is_refused_in_one_sentence() {
    let plan = Plan::new("gamma", 2);
    let refused = |plan: &Plan, samples: &[Sample]| {
        Chart::new(plan.clone(), samples).unwrap_err().to_string()
    };
    assert!(refused(&plan, &[]).contains("no control strip"));
    for value in [f64::NAN, f64::INFINITY, -1e300] {
        assert!(refused(&plan, &strips(&[0.6, value])).contains("2026-01-02"));
    }
    let mut disordered = strips(&[0.6, 0.6]);
    disordered.reverse();
    assert!(refused(&plan, &disordered).contains("in the order of time"));
    let based = |basis| refused(&plan.clone().based_on(basis), &strips(&[0.6]));
    assert!(based(Basis::Tolerances).contains("needs an aim and tolerances"));
    assert!(based(Basis::Given { centre: 0.6, sigma: 0.0 }).contains("a standard deviation"));
    let wild = Plan { weight: 2.0, ..plan.clone() };
    assert!(refused(&wild, &strips(&[0.6; 6])).contains("weight"));
    let decimals = Plan { decimals: 40, ..plan };
    assert!(refused(&decimals, &strips(&[0.6])).contains("decimals"));
}

#[test]
fn a_chart_is_one_line_and_one_state() {
    let mut values = steady();
    let calm = Chart::new(Plan::new("base plus fog", 2), &strips(&values)).unwrap();
    values.extend([0.66, 0.67]);
    let risen = Chart::new(tolerance(0.60, 0.04), &strips(&values)).unwrap();
    let few = Chart::new(Plan::new("gamma", 2), &strips(&[0.5, 0.6])).unwrap();
    let given =
        Chart::new(tolerance(0.60, 0.04).based_on(Basis::Tolerances), &strips(&values[..9]))
            .unwrap();
    assert_eq!(calm.state().to_string(), "steady");
    let state = risen.state();
    assert_eq!((state.rule, state.more), (Some(Rule::AboveTolerance), 5));
    assert_eq!(state.to_string(), "out: above the tolerance and 5 more rules (since 2026-01-26)");
    assert_eq!(few.state().standing, Err(ControlError::FewStrips { found: 2 }));
    assert_eq!(given.state().to_string(), "steady");
    // What is beyond its limits has the highest character, in both alphabets.
    let line = risen.sparkline(20, Alphabet::Blocks);
    assert!(line.ends_with("██") && line.chars().count() == 20, "{line}");
    let line = risen.sparkline(20, Alphabet::Ascii);
    assert!(line.ends_with("^^") && line.is_ascii(), "{line}");
    assert_eq!(few.sparkline(20, Alphabet::Blocks).chars().count(), 2);
}

#[test]
fn the_highest_character_always_means_beyond() {
    let values = [0.0, 0.5, 1.0, 1.1, -0.1, f64::NAN];
    let drawn = sparkline(&values, (0.0, 1.0), 99, Alphabet::Blocks);
    assert_eq!(drawn, "▂▅▇█▁·");
    assert_eq!(sparkline(&values, (0.0, 1.0), 3, Alphabet::Blocks), "█▁·");
    assert_eq!(sparkline(&[0.2, 0.2], (0.2, 0.2), 9, Alphabet::Ascii), "++");
}

fn readings() -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec(-4.0..4.0_f64, 1..120)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, rng_seed: RngSeed::Fixed(1956), ..ProptestConfig::default() })]

    #[test]
    fn full_weight_gives_the_values(values in readings()) {
        let found = ewma(&values, 0.3, 1.0, 1.0, 3.0).unwrap();
        prop_assert_eq!(found.values, values);
        prop_assert!(found.upper.iter().all(|u| (u - 3.3).abs() < 1e-12));
    }

    #[test]
    fn rules_do_not_know_up_from_down(values in readings()) {
        let flipped: Vec<f64> = values.iter().map(|z| -z).collect();
        for set in [RuleSet::Nelson, RuleSet::WesternElectric] {
            prop_assert_eq!(run_rules(&values, set), run_rules(&flipped, set));
        }
        let (up, down) = (cusum(&values, 0.0, 0.5, 5.0).unwrap(), cusum(&flipped, 0.0, 0.5, 5.0).unwrap());
        let near = |(a, b): (&f64, &f64)| (a - b).abs() < 1e-9;
        prop_assert!(up.high.iter().zip(&down.low).all(near));
        prop_assert!(up.low.iter().zip(&down.high).all(near));
    }

    /// What a rule says of a point depends on the fourteen before it at most.
    #[test]
    fn rules_look_back_no_farther_than_they_say(values in readings(), before in readings()) {
        for set in [RuleSet::Nelson, RuleSet::WesternElectric] {
            let late = |z: &[f64], skip: usize| -> Vec<(usize, Rule)> {
                let signals = run_rules(z, set).into_iter();
                signals.filter(|s| s.at >= skip + 14).map(|s| (s.at - skip, s.rule)).collect()
            };
            let all: Vec<f64> = before.iter().chain(&values).copied().collect();
            prop_assert_eq!(late(&all, before.len()), late(&values, 0));
        }
    }

    /// Another unit and another zero change nothing that is said.
    #[test]
    fn a_chart_does_not_know_its_unit(values in prop::collection::vec(-4.0..4.0_f64, 5..60)) {
        let moved: Vec<f64> = values.iter().map(|v| 8.0 * v + 3.0).collect();
        let fine = Plan::new("density", 9);
        let one = Chart::new(fine.clone(), &strips(&values)).unwrap();
        let other = Chart::new(fine, &strips(&moved)).unwrap();
        prop_assert_eq!(one.signals(), other.signals());
    }

    /// Whatever batches and days come, every strip is on the chart once.
    #[test]
    fn no_strip_is_lost(rows in prop::collection::vec((0usize..3, 0u8..4, 0.2..0.9_f64), 1..80)) {
        let mut when = 0;
        let samples: Vec<Sample> = rows.iter().map(|(gap, batch, value)| {
            when += gap / 2;
            let batch = (*batch > 0).then(|| format!("batch {batch}"));
            Sample { date: day(when), value: *value, batch }
        }).collect();
        let chart = Chart::new(Plan::new("density", 2), &samples).unwrap();
        prop_assert_eq!(chart.points().iter().map(|p| p.strips).sum::<usize>(), samples.len());
        let mut next = 0;
        for stretch in chart.stretches() {
            prop_assert_eq!(stretch.points.start, next);
            next = stretch.points.end;
        }
        prop_assert_eq!(next, chart.points().len());
        prop_assert!(chart.signals().windows(2).all(|w| (w[0].index, w[0].rule) < (w[1].index, w[1].rule)));
    }
}

/// Five strips that fall: about the aim they are out, and called falling.
#[test]
fn a_bath_that_falls_from_its_first_strip_is_seen() {
    let aim = Aim { value: 1.0, sigma: 0.012, uncertainty: 0.007 };
    let plan = Plan::new("activity", 3).about(aim);
    let falling = [0.99, 0.98, 0.93, 0.89, 0.82];
    let called: Vec<Option<bool>> = (1..=5)
        .map(|n| Chart::new(plan.clone(), &strips(&falling[..n])).unwrap().in_control())
        .collect();
    assert_eq!(called, [Some(true), Some(true), Some(false), Some(false), Some(false)]);
    let chart = Chart::new(plan, &strips(&falling)).unwrap();
    assert!(chart.last_signals().iter().any(|s| s.rule == Rule::Falling), "{:?}", chart.signals());
    assert!(chart.last_signals().iter().any(|s| s.rule == Rule::BeyondThree));
    assert!(said(&chart, "the last 5 strips fall by 0.043") && said(&chart, "an assumed 0.012"));
    assert!(!said(&chart, "helped to make"));
    // Steps of −0.01, −0.05, −0.04, −0.07: their loss is no scatter.
    assert!(chart.last_stretch().control.unwrap().sigma < 0.02);
}
