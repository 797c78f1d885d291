//! A test strip and negatives, as they are typed or stand in files.

use super::Args;
use crate::cli::Failure;
use crate::cli::table::Table;
use crate::printing::proof::{Exposure, Negative, TestStrip, White};
use crate::units::Density;
use std::path::Path;

/// An exposure with where it came from.
struct Row {
    place: String,
    seconds: f64,
    density: f64,
}

/// The test strip that was given, with its readings, if one was.
pub fn strip(args: &Args, sigma: f64) -> Result<Option<(TestStrip, Vec<Exposure>)>, Failure> {
    let rows = if args.strip.is_empty() {
        return Ok(None);
    } else if args.strip.iter().all(|t| t.contains('=')) {
        pairs(&args.strip)?
    } else if let [path] = args.strip.as_slice() {
        table(Path::new(path))?
    } else {
        return Err(Failure(format!(
            "{:?}: give one CSV file, or pairs SECONDS=DENSITY as 8=1.77",
            args.strip.join(" ")
        )));
    };
    let (unexposed, exposed): (Vec<Row>, Vec<Row>) =
        rows.into_iter().partition(|r| r.seconds == 0.0);
    let white = match (args.white, unexposed.len()) {
        (Some(density), _) => White::read(density, sigma),
        (None, 0) => White::ASSUMED,
        (None, n) => {
            let n = n as f64;
            let mean = unexposed.iter().map(|r| r.density).sum::<f64>() / n;
            White::read(mean, sigma / n.sqrt())
        }
    };
    let exposures: Vec<Exposure> =
        exposed.iter().map(|r| Exposure { seconds: r.seconds, density: r.density }).collect();
    let strip = TestStrip::new(&exposures, white, sigma).map_err(|error| {
        let place = error.at().map(|at| exposed[at].place.as_str());
        let whole = if args.strip.len() == 1 { args.strip[0].as_str() } else { "the test strip" };
        Failure(format!("{}: {error}", place.unwrap_or(whole)))
    })?;
    Ok(Some((strip, exposures)))
}

fn pairs(typed: &[String]) -> Result<Vec<Row>, Failure> {
    typed
        .iter()
        .map(|pair| {
            let number = |text: &str, what: &str| match text.trim().parse::<f64>() {
                Ok(value) if value.is_finite() => Ok(value),
                _ => Err(Failure(format!(
                    "{pair}: {text:?} is not {what}; write SECONDS=DENSITY as 8=1.77"
                ))),
            };
            let (seconds, density) = pair.split_once('=').unwrap_or((pair, ""));
            row(pair.clone(), number(seconds, "a time in seconds")?, number(density, "a density")?)
        })
        .collect()
}

fn table(path: &Path) -> Result<Vec<Row>, Failure> {
    Table::read(path, &["seconds", "density"], &[])?
        .rows
        .iter()
        .map(|r| {
            let density = r.number(1, "density")?.ok_or_else(|| {
                Failure(format!(
                    "{}, column \"density\": the cell is empty; write the density, or remove the row",
                    r.place
                ))
            })?;
            row(
                r.place.clone(),
                r.number(0, "seconds")?.unwrap_or(0.0),
                density,
            )
        })
        .collect()
}

fn row(place: String, seconds: f64, density: f64) -> Result<Row, Failure> {
    if !(0.0..=1e6).contains(&seconds) {
        return Err(Failure(format!(
            "{place}: {seconds} is not an exposure time; write seconds from 0 to 1000000"
        )));
    }
    Density::new(density).map_err(|e| Failure(format!("{place}: {e}")))?;
    Ok(Row { place, seconds, density })
}

/// The negatives that were given, in their order.
pub fn negatives(args: &Args) -> Result<Vec<Negative>, Failure> {
    let mut negatives: Vec<Negative> = Vec::new();
    for given in &args.negative {
        match pair(given) {
            Some((low, high)) => {
                let name = given.clone();
                negatives.push(negative(given, name, low, high)?);
            }
            None => negatives.extend(file(given)?),
        }
    }
    Ok(negatives)
}

/// Two numbers about a colon.
fn pair(text: &str) -> Option<(f64, f64)> {
    let (low, high) = text.split_once(':')?;
    Some((low.trim().parse().ok()?, high.trim().parse().ok()?))
}

fn file(path: &str) -> Result<Vec<Negative>, Failure> {
    if !Path::new(path).exists() {
        return Err(Failure(format!(
            "{path}: write densities LOW:HIGH, as 0.42:1.21, or the path of a file that exists"
        )));
    }
    Table::read(Path::new(path), &["low", "high"], &["negative"])?
        .rows
        .iter()
        .enumerate()
        .map(|(k, row)| {
            let cell = |column: usize, name: &str| {
                row.number(column, name)?.ok_or_else(|| {
                    Failure(format!(
                        "{}, column {name:?}: the cell is empty; write the density",
                        row.place
                    ))
                })
            };
            let name = match row.text(2) {
                "" => format!("negative {}", k + 1),
                name => name.to_owned(),
            };
            negative(&row.place, name, cell(0, "low")?, cell(1, "high")?)
        })
        .collect()
}

fn negative(place: &str, name: String, low: f64, high: f64) -> Result<Negative, Failure> {
    for density in [low, high] {
        Density::new(density).map_err(|e| Failure(format!("{place}: {e}")))?;
    }
    if !(low < high) {
        return Err(Failure(format!(
            "{place}: the lowest printing density comes first and the highest second, and {low} is not below {high}"
        )));
    }
    Ok(Negative { name, low, high })
}
