//! How often intervals hold the truth, and how far estimates are off.

#![allow(dead_code)]

use std::str::FromStr;
use wedgebook::measures::Measured;

/// What the environment asks for, or what is usual.
pub fn asked<T: FromStr>(variable: &str, usual: T) -> T {
    std::env::var(variable).ok().and_then(|s| s.parse().ok()).unwrap_or(usual)
}

#[derive(Clone, Default)]
pub struct Tally {
    pub n: u32,
    pub absent: u32,
    covered: u32,
    below: u32,
    error: f64,
    square: f64,
    widths: Vec<f64>,
}

impl Tally {
    /// One estimate with its interval.
    pub fn add(&mut self, (value, low, high): (f64, f64, f64), truth: f64) {
        self.n += 1;
        self.covered += u32::from(low <= truth && truth <= high);
        self.below += u32::from(truth < low);
        if truth.is_finite() {
            self.error += value - truth;
            self.square += (value - truth).powi(2);
        }
        self.widths.push(high - low);
    }

    pub fn enter<W>(&mut self, measured: &Measured<W>, truth: f64) {
        match measured {
            Ok(q) => self.add((q.value, q.low, q.high), truth),
            Err(_) => self.absent += 1,
        }
    }

    pub fn merge(&mut self, other: &Self) {
        self.n += other.n;
        self.absent += other.absent;
        self.covered += other.covered;
        self.below += other.below;
        self.error += other.error;
        self.square += other.square;
        self.widths.extend(&other.widths);
    }

    pub fn coverage(&self) -> f64 {
        f64::from(self.covered) / f64::from(self.n)
    }

    /// Root mean square error.
    pub fn rms(&self) -> f64 {
        (self.square / f64::from(self.n)).sqrt()
    }

    pub fn bias(&self) -> f64 {
        self.error / f64::from(self.n)
    }

    pub fn median_width(&self) -> f64 {
        let mut widths = self.widths.clone();
        widths.sort_by(f64::total_cmp);
        widths.get(widths.len() / 2).copied().unwrap_or(f64::NAN)
    }

    pub fn print(&self, name: &str, quantity: &str) {
        let n = f64::from(self.n);
        let below = f64::from(self.below) / n;
        println!(
            "{name:10} {quantity:24} {n:6}  covered {:.3} (truth below {below:.3}, above {:.3})  bias {:+.4}  rms {:.4}  median half-width {:.4}  absent {}",
            self.coverage(),
            1.0 - self.coverage() - below,
            self.bias(),
            self.rms(),
            self.median_width() / 2.0,
            self.absent
        );
    }
}
