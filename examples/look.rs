#[path = "../tests/simulation/mod.rs"]
mod simulation;
use simulation::*;
use wedgebook::curve::*;
fn main() {
    let mut rng = seeded(5);
    for _ in 0..8 {
        let e = Emulsion::random(Family::Grains, &mut rng);
        let lo = e.speed_point() - 0.6;
        let x = tablet(lo, 0.15, 21);
        let mut o = Observations::default();
        o.push(f64::NEG_INFINITY, e.base + noise(&mut rng, 0.01), 0.01);
        for &x in &x { o.push(x, e.density(x) + noise(&mut rng, 0.01), 0.01); }
        let f = Fitter::new().fit(o, Choice::Auto, true).unwrap();
        let l = f.curve.named_parameters();
        println!("lam {:.1} rsd {:.4}", l[3].1 + 5.0 * l[2].1.ln(), f.residual_sd);
        for x in &x { print!("{:5.2}", e.slope(*x)); } println!();
        for x in &x { print!("{:5.2}", f.curve.slope(*x)); } println!();
        let mut g = vec![0.0; f.curve.parameters().len()];
        for x in &x { f.curve.slope_gradient(*x, &mut g); print!("{:5.2}", f.curve.standard_error(&g)); } println!();
    }
}
