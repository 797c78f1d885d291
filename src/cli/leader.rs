//! `wedgebook leader`: what a piece of exposed leader shows of the bath.

use super::{Failure, Outcome, here, hint, show};
use crate::answers::leader::{LeaderQuestion, LeaderTest};
use crate::development::leader::{LeaderFamily, Tested, read_leader};
use crate::units::{Density, DensityNoise, Minutes, Temperature};
use std::path::PathBuf;

/// Without a step tablet: how active is the bath, by a piece of exposed leader?
///
/// FAMILY.csv has pieces of leader, the fogged tongue of a roll, developed for several times in a fresh
/// bath: five to eight pieces, from about 1:30 to 12 minutes. Without --density it shows for which time
/// a piece is developed later; with it, the activity of the bath (1 as the fresh one). A leader shows
/// neither the bath's fog nor the film's speed.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  wedgebook leader data/leader.csv\n  wedgebook leader data/leader.csv --density 1.18 --minutes 7 -t 20.5\n  wedgebook leader data/leader.csv --density 1.18 --density 1.20 --minutes 7 -t 20.5 --json\n\nExit status: 0 done, 1 the piece does not show the activity, 2 wrong usage or unusable input."
)]
pub struct Args {
    #[command(flatten)]
    test: TestArgs,
    /// Print one JSON document instead of text.
    #[arg(long)]
    json: bool,
}

/// A family of leader pieces and one later piece.
#[derive(Debug, clap::Args)]
pub struct TestArgs {
    /// Pieces from the fresh bath (CSV, .xlsx, .ods): columns `minutes`, `celsius` or `fahrenheit`,
    /// `density`; 0 minutes for a piece that was only fixed.
    #[arg(value_name = "FAMILY.csv")]
    pub family: PathBuf,
    /// Density of the piece, base and all; several readings of the same piece are averaged.
    #[arg(long, value_name = "D", allow_hyphen_values = true, requires_all = ["minutes", "temperature"])]
    pub density: Vec<Density>,
    /// How long the piece was developed, as 5 or 5:30.
    #[arg(long, value_name = "MIN", requires = "density")]
    pub minutes: Option<Minutes>,
    /// Temperature of the bath, as 21.5 or 70F; needed with --density [default: that of the family].
    #[arg(short, long, value_name = "T", value_parser = here::temperature)]
    pub temperature: Option<Temperature>,
    /// Standard uncertainty of a density reading, as 0.008, or one that grows with density, as 0.005+1%
    /// [default: 0.010].
    #[arg(long, value_name = "SIGMA")]
    pub density_sigma: Option<DensityNoise>,
}

impl TestArgs {
    fn sigma(&self) -> Result<Option<DensityNoise>, Failure> {
        let words = DensityNoise::to_string;
        here::or_usual(self.density_sigma, "density sigma", |d| d.density_sigma, words)
    }

    /// The family of the file.
    pub fn read(&self) -> Result<LeaderFamily, Failure> {
        let read = read_leader(&self.family, self.sigma()?);
        let family = read.map_err(|errors| hint::faults(&errors))?;
        hint::notes(&family.notes);
        Ok(family)
    }

    /// What is shown by the family and the piece.
    pub fn tested<'f>(&self, family: &'f LeaderFamily) -> Result<LeaderTest<'f>, Failure> {
        let piece = match (self.density.is_empty(), self.minutes, self.temperature) {
            (false, Some(minutes), Some(temperature)) => {
                let densities: Vec<f64> = self.density.iter().map(|d| d.get()).collect();
                let mean = densities.iter().sum::<f64>() / densities.len() as f64;
                let celsius = temperature.celsius;
                let reading_sd = crate::development::leader::reading_sd(self.sigma()?, mean);
                Some(Tested { densities, reading_sd, minutes, celsius })
            }
            _ => None,
        };
        let question = LeaderQuestion {
            family,
            piece,
            celsius: self.temperature.map(|t| t.celsius),
            unit: self.temperature.map_or(family.unit, |t| t.unit),
        };
        LeaderTest::of(question).map_err(|why| Failure(format!("{}: {why}", self.family.display())))
    }
}

pub fn run(args: &Args) -> Result<Outcome, Failure> {
    let family = args.test.read()?;
    show(&args.test.tested(&family)?, args.json)
}
