//! Following a bath and answering all questions: a bath of fifteen strips, and journals of ten years
//! with 20,000 events of which 10,000 are control strips, or with few strips among 5,000 replenishments.

use criterion::Criterion;
use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};
use std::hint::black_box;
use wedgebook::bath::forecast::{
    Assumptions, Event, EventKind, Forecast, Question, ROLL_M2, mixed,
};

const LITRES: f64 = 5.0;

/// Films over `days`, a strip after every `nth`; replenished, or mixed anew when it has fallen to 0.8.
fn journal(films: usize, days: f64, nth: usize, replenished: bool) -> Vec<Event> {
    let mut rng = StdRng::seed_from_u64(11);
    let mix = EventKind::Mix { litres: LITRES };
    let mut events = vec![Event { day: 0.0, kind: mix }];
    let mut a = 1.0_f64;
    for k in 0..films {
        let day = days * k as f64 / films as f64;
        a *= (-0.9 * ROLL_M2 / LITRES * rng.random_range(0.7..1.3) - 0.001 * days / films as f64)
            .exp();
        let mut kinds = vec![EventKind::Film { area_m2: ROLL_M2 }];
        if replenished && k % 2 == 1 {
            a = mixed(a, LITRES, 0.3, 0.3, 1.0);
            kinds[0] = EventKind::Replenish { added_ml: 300.0, removed_ml: 300.0 };
        }
        if k % nth == 0 {
            kinds.push(EventKind::Strip {
                ln_activity: a.ln() + rng.random_range(-0.017..0.017),
                sd: 0.01,
            });
        }
        if !replenished && a < 0.8 {
            kinds.push(mix);
            a = 1.0;
        }
        events.extend(kinds.into_iter().map(|kind| Event { day, kind }));
    }
    events
}

pub fn forecast(c: &mut Criterion) {
    let mut group = c.benchmark_group("forecast");
    for (name, events) in [
        ("a bath of fifteen strips", journal(15, 60.0, 1, false)),
        ("ten years, one bath, replenished", journal(10_000, 3650.0, 1, true)),
        ("ten years, one bath, replenished, twenty strips", journal(10_000, 3650.0, 500, true)),
        ("ten years, many baths", journal(10_000, 3650.0, 1, false)),
    ] {
        let now = events[events.len() - 1].day;
        let (assumptions, question) = (Assumptions::default(), Question::default());
        group.bench_function(name, |b| {
            b.iter(|| Forecast::of(black_box(&events), &assumptions, now, &question).unwrap());
        });
    }
}
