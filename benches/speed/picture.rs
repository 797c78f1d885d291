//! Densities from a picture: the demonstration's three frames, and the same with 24 million pixels each.

use criterion::Criterion;
use std::hint::black_box;
use wedgebook::picture::photometry::Known;
use wedgebook::picture::{Asked, Frames, Image, Options, Reading, png_of, read_bytes};
use wedgebook::readings::Tablet;

/// Each pixel so many times along and across.
fn enlarged(image: &Image, by: usize) -> Image {
    let (width, height) = (image.width * by, image.height * by);
    let light = (0..width * height).map(|k| image.at(k % width / by, k / width / by)).collect();
    Image { width, height, light, clipped_from: image.clipped_from }
}

fn decoded(bytes: &[u8]) -> Image {
    read_bytes("frame.png", bytes, Options::default()).unwrap().image
}

fn read([picture, flat, dark]: [&Image; 3], tablet: &[Known]) -> usize {
    let frames = Frames { picture, flat: Some(flat), dark: Some(dark) };
    let asked = Asked { tablet, layout: None, step_mm: Some(6.35) };
    Reading::of(&frames, &asked).unwrap().steps.len()
}

pub fn picture(c: &mut Criterion) {
    let names = ["box.png", "box-flat.png", "box-dark.png"];
    let files = names.map(|name| std::fs::read(super::data(name)).unwrap());
    let (tablet, _) = Tablet::read(&super::data("tablet.csv")).unwrap();
    let known: Vec<Known> = tablet
        .steps
        .iter()
        .map(|step| Known { density: step.value, sigma: step.sigma.unwrap() })
        .collect();
    let mut group = c.benchmark_group("picture");
    let small = files.each_ref().map(|file| decoded(file));
    group.bench_function("frames of the demonstration, decoded and read", |b| {
        b.iter(|| {
            let frames = black_box(&files).each_ref().map(|file| decoded(file));
            read(frames.each_ref(), &known)
        });
    });
    group.sample_size(10);
    let by = (24.0e6 / (small[0].width * small[0].height) as f64).sqrt().round() as usize;
    let large = small.map(|image| enlarged(&image, by));
    group.bench_function("24 million pixels, read", |b| {
        b.iter(|| read(black_box(&large).each_ref(), &known));
    });
    let file = png_of(&large[0]).unwrap();
    group.bench_function("24 million pixels, one frame decoded", |b| {
        b.iter(|| decoded(black_box(&file)).width);
    });
}
