#[path = "support/emulsions/mod.rs"]
#[allow(dead_code)]
mod emulsions;
#[path = "simulation/tally.rs"]
#[allow(dead_code)]
mod tally;
#[path = "simulation/verify.rs"]
#[allow(dead_code)]
mod verify;
use emulsions::seeded;
use verify::*;
use wedgebook::bath::watched::Watched;
use wedgebook::bath::control::*;
use wedgebook::bath::history::chart;
use wedgebook::bath::entered::Entered;
use wedgebook::bath::journal::{Act, Entry};
use wedgebook::bath::limits::{Limits, LimitsFrom};
use wedgebook::units::*;
use jiff::{ToSpan, civil::date};
use rand::Rng;
const FOUR: [Watched; 4] = [Watched::Activity, Watched::Contrast, Watched::BasePlusFog, Watched::Speed];
fn entry(n: usize, act: Act) -> Entry { Entry { date: date(2026,1,1) + (n as i64).days(), act, note: None, line: n as u64 + 1 } }
#[test]
fn go() {
    let mut rng = seeded(77);
    let none = Limits::new(LimitsFrom::Assumed);
    let n: usize = std::env::var("N").ok().and_then(|s| s.parse().ok()).unwrap_or(60);
    for basis in [Basis::Aim, Basis::FirstStrips] { for noise in [0.006, 0.010, 0.014] {
      for loss in [0.0, 0.01, 0.02, 0.04] {
        let mut strips_n = 0; let mut any = 0; let mut per = [0; 4]; let mut rules = std::collections::BTreeMap::new();
        let mut delay = Vec::new(); let mut by_count = [0usize; 31];
        let m = if loss == 0.0 { 30 } else { 24 };
        for _ in 0..n {
            let mut world = World::random(&mut rng);
            world.repeatability = 0.01;
            let pairing = world.pairing(&mut rng);
            let mut entries = vec![entry(0, Act::Mix { litres: 1.0, what: None, dilution: None })];
            let mut first = None;
            for k in 0..m {
                let celsius = rng.random_range(19.0..22.0);
                let a = (1.0 - loss).powi(k as i32 + 1);
                let strip = world.strip((MINUTES, celsius), a, Harm::default(), noise, &mut rng).0;
                let Ok(r) = verify::verify(&pairing, strip) else { continue };
                let e = Entered { name: format!("s{k}"), batch: None, pairing: "p".into(), minutes: Minutes::new(MINUTES).unwrap(), celsius: Celsius::new(celsius).unwrap() }.result(&r);
                entries.push(entry(k + 1, Act::Strip(Box::new(e))));
                strips_n += 1;
                let mut fires = false;
                for (q, w) in FOUR.into_iter().enumerate() {
                    let Ok(c) = chart(&entries, w, &none, basis) else { continue };
                    if c.in_control() == Some(false) { fires = true; per[q] += 1; for s in c.last_signals() { *rules.entry((q, s.rule)).or_insert(0) += 1; } }
                }
                if fires { any += 1; by_count[k] += 1; if first.is_none() { first = Some(k + 1); } }
                if fires && loss > 0.0 { break }
            }
            delay.push(first.unwrap_or(99));
        }
        delay.sort_unstable();
        if loss == 0.0 {
        println!("{basis:?} noise {noise}: {any}/{strips_n} = {:.4} per {per:?} by strip {by_count:?}\n   {rules:?}", any as f64 / strips_n as f64);
        } else { println!("{basis:?} noise {noise} loss {loss}: median {} p90 {}", delay[n/2], delay[n*9/10]); }
      }
    } }
}
