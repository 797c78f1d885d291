//! How long a figure takes, from plain data to the bytes of the file.

use std::hint::black_box;

use criterion::Criterion;
use wedgebook::figures::{CharacteristicFigure, CurvePoint, PlotPoint, StripCurve};

fn strip(place: u8) -> StripCurve {
    let gamma = 0.4 + 0.06 * f64::from(place);
    let density = |x: f64| 0.12 + gamma * 0.17 * ((x + 2.3) / 0.17).exp().ln_1p();
    let reading = |n: u8| {
        let x = -3.0 + 0.15 * f64::from(n);
        PlotPoint { log_exposure: x, density: density(x), suspect: n == 12 }
    };
    let point = |n: u8| {
        let x = -3.0 + 0.015 * f64::from(n);
        CurvePoint { x, density: density(x), low: density(x) - 0.01, high: density(x) + 0.01 }
    };
    StripCurve {
        name: format!("{} minutes", 4 + place),
        points: (0..21).map(reading).collect(),
        unexposed: vec![0.12, 0.13],
        curve: (0..=200).map(point).collect(),
        base_plus_fog: Some(0.12),
        speed_point: Some((-2.3, 0.22)),
        ..StripCurve::default()
    }
}

pub fn figures(c: &mut Criterion) {
    let mut group = c.benchmark_group("figures");
    group.sample_size(20);
    for count in [1, 10] {
        let figure = CharacteristicFigure {
            title: "Characteristic curves".to_owned(),
            subtitle: None,
            absolute: true,
            strips: (0..count).map(strip).collect(),
        };
        group.bench_function(format!("characteristic svg, strips {count}"), |b| {
            b.iter(|| black_box(&figure).scene().to_svg());
        });
        group.bench_function(format!("characteristic png, strips {count}"), |b| {
            b.iter(|| black_box(&figure).scene().to_png());
        });
    }
}
