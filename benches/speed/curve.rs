//! How long a curve takes: fits of one strip, its measures, a thousand strips.

use std::hint::black_box;
use std::time::{Duration, Instant};

use super::emulsions::{Emulsion, FAMILIES, noise, seeded, tablet};
use criterion::{BatchSize, Criterion};
use wedgebook::curve::{Choice, Fitter, Observations};
use wedgebook::measures::Measures;
use wedgebook::numerics::least_squares::{Residuals, Stopping, Workspace, minimise};
use wedgebook::numerics::special::softplus_logistic;
use wedgebook::readings::ExposureScale;

/// Strips of 21 steps of 0.15 and one reading of the unexposed film, noise 0.010.
fn strips(count: usize) -> Vec<Observations> {
    let mut rng = seeded(1_000);
    let one = |k: usize| {
        let emulsion = Emulsion::random(FAMILIES[k % FAMILIES.len()], &mut rng);
        let mut o = Observations::default();
        o.push(f64::NEG_INFINITY, emulsion.base + noise(&mut rng, 0.010), 0.010);
        for x in tablet(emulsion.speed_point() - 0.7, 0.15, 21) {
            o.push(x, emulsion.density(x) + noise(&mut rng, 0.010), 0.010);
        }
        o
    };
    (0..count).map(one).collect()
}

pub fn curve(c: &mut Criterion) {
    let mut group = c.benchmark_group("curve");
    let strip = strips(1).remove(0);
    let mut fitter = Fitter::new();
    for (name, choice) in
        [("toe", Choice::Toe), ("shoulder", Choice::Shoulder), ("smooth", Choice::Smooth)]
    {
        group.bench_function(format!("fit {name}"), |b| {
            b.iter_batched(
                || strip.clone(),
                |strip| fitter.fit(black_box(strip), choice, true),
                BatchSize::SmallInput,
            );
        });
    }
    let fit = fitter.fit(strip, Choice::Smooth, true).unwrap();
    group.bench_function("measures of one fit", |b| {
        b.iter(|| Measures::of(black_box(&fit), ExposureScale::Absolute));
    });
    let strips = strips(1_000);
    group.sample_size(10).measurement_time(Duration::from_secs(8));
    group.bench_function("fit and measures of 1000 strips", |b| {
        b.iter_batched(
            || strips.clone(),
            |strips| {
                for strip in strips {
                    let fit = fitter.fit(strip, Choice::Auto, true).unwrap();
                    black_box(Measures::of(&fit, ExposureScale::Absolute));
                }
            },
            BatchSize::LargeInput,
        );
    });
    group.finish();
}

/// The six-parameter shoulder model by itself, over b, ln γ, a, ln w, ln A, ln s, with the two weak
/// priors of the product: what a general fitting library is asked to do.
struct BareShoulder<'a> {
    strip: &'a Observations,
}

impl Residuals for BareShoulder<'_> {
    fn len(&self) -> usize {
        self.strip.len() + 2
    }

    fn evaluate(&mut self, p: &[f64], residuals: &mut [f64], jacobian: &mut [f64]) -> bool {
        const PRIORS: [(usize, f64); 2] = [(3, -1.609), (5, -1.897)];
        const PRIOR_SD: f64 = 1.5;
        let m = self.len();
        let (gamma, a, w, cap, s) = (p[1].exp(), p[2], p[3].exp(), p[4].exp(), p[5].exp());
        let (whole, whole_share) = softplus_logistic(1.0 / s);
        for i in 0..m - 2 {
            let x = self.strip.x[i];
            let (line, by_gamma, by_a, by_w) = if x == f64::NEG_INFINITY {
                (0.0, 0.0, 0.0, 0.0)
            } else {
                let (value, share) = softplus_logistic((x - a) / w);
                let (line, slope) = (gamma * w * value, gamma * share);
                (line, line, -slope, line - slope * (x - a))
            };
            let v = (1.0 - line / cap) / s;
            let (rest, bend) = softplus_logistic(v);
            let value = s * cap * (whole - rest);
            let scale = 1.0 / self.strip.sigma[i];
            residuals[i] = scale * (p[0] + value - self.strip.density[i]);
            let by_s = value - cap * whole_share + s * cap * bend * v;
            for (j, g) in
                [1.0, bend * by_gamma, bend * by_a, bend * by_w, value - bend * line, by_s]
                    .into_iter()
                    .enumerate()
            {
                jacobian[j * m + i] = scale * g;
            }
        }
        for (row, (at, centre)) in (m - 2..).zip(PRIORS) {
            residuals[row] = (p[at] - centre) / PRIOR_SD;
            for j in 0..6 {
                jacobian[j * m + row] = if j == at { 1.0 / PRIOR_SD } else { 0.0 };
            }
        }
        true
    }
}

/// Strips of a file with the columns strip, log_exposure, density, sigma; an empty log exposure is the
/// unexposed film. With each, the six starting values of the columns after them.
fn read(path: &std::path::Path) -> Vec<(Observations, Vec<f64>)> {
    let mut list: Vec<(String, Observations, Vec<f64>)> = Vec::new();
    for row in csv::Reader::from_path(path).unwrap().records() {
        let row = row.unwrap();
        let number = |k: usize| row[k].parse::<f64>().unwrap();
        if list.last().is_none_or(|l| l.0 != row[0]) {
            list.push((row[0].to_owned(), Observations::default(), (4..10).map(number).collect()));
        }
        let x = if row[1].is_empty() { f64::NEG_INFINITY } else { number(1) };
        list.last_mut().unwrap().1.push(x, number(2), number(3));
    }
    list.into_iter().map(|(_, strip, start)| (strip, start)).collect()
}

/// Median over passes of the time of `work` for all strips, in microseconds a strip.
fn microseconds(strips: usize, mut work: impl FnMut()) -> f64 {
    let mut passes: Vec<f64> = (0..9)
        .map(|_| {
            let start = Instant::now();
            work();
            1e6 * start.elapsed().as_secs_f64() / strips as f64
        })
        .collect();
    passes.sort_by(f64::total_cmp);
    passes[passes.len() / 2]
}

/// Times and parameters for `compare_scipy.py`.
pub fn compare(path: &std::path::Path) {
    let strips = read(path);
    let mut fitter = Fitter::new();
    let mut workspace = Workspace::default();
    let stopping =
        Stopping { relative_decrease: 1e-10, relative_step: 1e-8, ..Stopping::default() };
    println!(
        "bare_us {}",
        microseconds(strips.len(), || {
            for (strip, start) in &strips {
                black_box(minimise(&mut BareShoulder { strip }, start, stopping, &mut workspace));
            }
        })
    );
    for (name, choice) in [("shoulder_us", Choice::Shoulder), ("smooth_us", Choice::Smooth)] {
        let time = microseconds(strips.len(), || {
            for (strip, _) in &strips {
                black_box(fitter.fit(strip.clone(), choice, false).unwrap());
            }
        });
        println!("{name} {time}");
    }
    // What `wedgebook curve` does with a file that states no uncertainty; none, one or two steps misread.
    for (name, misread) in
        [("auto_us", &[][..]), ("one_misread_us", &[8]), ("two_misread_us", &[8, 14])]
    {
        let mut strips: Vec<Observations> = strips.iter().map(|(strip, _)| strip.clone()).collect();
        for strip in &mut strips {
            misread.iter().for_each(|&i: &usize| strip.density[i] += 0.20);
        }
        let time = microseconds(strips.len(), || {
            for strip in &strips {
                black_box(fitter.fit(strip.clone(), Choice::Auto, true).unwrap());
            }
        });
        println!("{name} {time}");
    }
    for (k, (strip, start)) in strips.iter().enumerate() {
        let bare = minimise(&mut BareShoulder { strip }, start, stopping, &mut workspace);
        let fit = fitter.fit(strip.clone(), Choice::Shoulder, false).unwrap();
        println!("bare {k} {} {:?}", bare.sum_of_squares, bare.parameters);
        println!(
            "fit {k} {} {} {:?}",
            fit.curve.name(),
            fit.suspects.len(),
            fit.curve.parameters()
        );
    }
}
