#[path = "../tests/simulation/mod.rs"]
mod simulation;
use simulation::*;
use wedgebook::curve::*;
use wedgebook::measures::*;
fn main() {
    let mut rng = seeded(5);
    let strips: Vec<Observations> = (0..500).map(|_| {
        let e = Emulsion::random(Family::Grains, &mut rng);
        let lo = e.speed_point() - 0.6;
        let mut o = Observations::default();
        o.push(f64::NEG_INFINITY, e.base + noise(&mut rng, 0.01), 0.01);
        for x in tablet(lo, 0.15, 21) { o.push(x, e.density(x) + noise(&mut rng, 0.01), 0.01); }
        o }).collect();
    for choice in [Choice::Toe, Choice::Shoulder, Choice::Smooth, Choice::Auto] {
        let mut f = Fitter::new();
        let t = std::time::Instant::now();
        let fits: Vec<_> = strips.iter().map(|o| f.fit(o.clone(), choice, true).unwrap()).collect();
        let a = t.elapsed();
        let t = std::time::Instant::now();
        let s: f64 = fits.iter().map(|f| Measures::of(f, wedgebook::readings::ExposureScale::Absolute).gamma.unwrap().value).sum();
        println!("{choice:?} fit {:?} measures {:?} {s}", a / 500, t.elapsed() / 500);
        let mut names = std::collections::BTreeMap::new(); for f in &fits { *names.entry(f.curve.name()).or_insert(0) += 1; }
        println!("{names:?}");
    }
}
