//! Charts about the aim: how often a steady bath is called out, and how soon a loss is seen.

use super::emulsions::seeded;
use super::verify::{Harm, MINUTES, World, verify};
use jiff::ToSpan;
use jiff::civil::date;
use rand::Rng;
use rand::rngs::SmallRng;
use wedgebook::bath::control::{Basis, Rule};
use wedgebook::bath::entered::Entered;
use wedgebook::bath::history::chart;
use wedgebook::bath::journal::{Act, Entry};
use wedgebook::bath::limits::{Limits, LimitsFrom};
use wedgebook::bath::watched::Watched;
use wedgebook::units::{Celsius, Minutes};

const FOUR: [Watched; 4] =
    [Watched::Activity, Watched::Contrast, Watched::BasePlusFog, Watched::Speed];
/// Standard deviation of a density, as that of the strips of the pairing.
const NOISE: f64 = 0.010;

fn entry(n: usize, act: Act) -> Entry {
    let date = date(2026, 1, 1) + (n as i64).days();
    Entry { date, act, note: None, line: n as u64 + 1 }
}

/// What breaks a rule at each strip of one bath: the chart and the rules.
fn bath(loss: f64, strips: usize, rng: &mut SmallRng) -> Vec<Vec<(usize, Rule)>> {
    let mut world = World::random(rng);
    world.repeatability = 0.01;
    let pairing = world.pairing(rng);
    let none = Limits::new(LimitsFrom::Assumed);
    let mut entries = vec![entry(0, Act::Mix { litres: 1.0, what: None, dilution: None })];
    let mut broken = Vec::new();
    for k in 0..strips {
        let celsius = rng.random_range(19.0..22.0);
        let activity = (1.0 - loss).powi(k as i32 + 1);
        let strip = world.strip((MINUTES, celsius), activity, Harm::default(), NOISE, rng).0;
        let Ok(result) = verify(&pairing, strip) else { continue };
        let entered = Entered {
            name: format!("s{k}"),
            batch: None,
            pairing: "p".into(),
            minutes: Minutes::new(MINUTES).unwrap(),
            celsius: Celsius::new(celsius).unwrap(),
        };
        entries.push(entry(k + 1, Act::Strip(Box::new(entered.result(&result)))));
        let of = |(n, watched): (usize, Watched)| {
            let chart = chart(&entries, watched, &none, Basis::Aim).unwrap();
            chart.last_signals().iter().map(|s| (n, s.rule)).collect::<Vec<_>>()
        };
        broken.push(FOUR.into_iter().enumerate().flat_map(of).collect());
    }
    broken
}

#[test]
fn a_steady_bath_is_seldom_called_out() {
    let mut rng = seeded(77);
    let (mut strips, mut any, mut each) = (0, 0, [0; 4]);
    for _ in 0..80 {
        for signals in bath(0.0, 25, &mut rng) {
            strips += 1;
            any += usize::from(!signals.is_empty());
            for (n, count) in each.iter_mut().enumerate() {
                *count += usize::from(signals.iter().any(|s| s.0 == n));
            }
        }
    }
    let share = |count: usize| count as f64 / strips as f64;
    println!("false alarms {:.4}, {:?}: {:?}", share(any), FOUR, each.map(share));
    assert!(strips > 1900 && any > 0, "{any} of {strips}");
    assert!(share(any) < 0.05, "{}", share(any));
}

#[test]
fn a_loss_is_seen_soon() {
    let is_of = |s: &(usize, Rule), rules: &[Rule]| s.0 == 0 && rules.contains(&s.1);
    let mut rng = seeded(78);
    for (loss, most) in [(0.01, 9), (0.02, 5), (0.04, 3)] {
        let baths: Vec<_> = (0..60).map(|_| bath(loss, 20, &mut rng)).collect();
        let delays = |called: &dyn Fn(&(usize, Rule)) -> bool| {
            let first = |b: &Vec<Vec<(usize, Rule)>>| b.iter().position(|s| s.iter().any(called));
            let mut found: Vec<usize> =
                baths.iter().map(|b| first(b).map_or(99, |at| at + 1)).collect();
            found.sort_unstable();
            (found[30], found[54])
        };
        let all = delays(&|_| true);
        let alone = [
            &[Rule::BeyondThree][..],
            &[Rule::WeightedAverage],
            &[Rule::CusumHigh, Rule::CusumLow],
            &[Rule::Rising, Rule::Falling],
        ]
        .map(|rules| delays(&|s| is_of(s, rules)));
        println!("loss {loss}: four charts {all:?}; limit, average, sum, trend {alone:?}");
        assert!(all.0 <= most, "loss {loss}: {all:?}");
        assert!(all.1 <= 2 * most, "loss {loss}: {all:?}");
    }
}
