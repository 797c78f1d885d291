//! Pieces of exposed leader, from a file.

use crate::readings::{Cells, Labels, Names, Note, ReadError, ReadErrors, SmallTable};
use crate::units::{Celsius, Density, DensityNoise, DensitySigma, ElapsedMinutes, TemperatureUnit};
#[cfg(feature = "files")]
use std::path::Path;

static NAMES: Names = Names {
    needed: &[
        ("time", &["minutes"]),
        ("temperature", &["celsius", "fahrenheit"]),
        ("density", &["density"]),
    ],
    optional: &["piece", "sigma", "film", "developer", "date", "note"],
    synonyms: &[
        ("min", "minutes"),
        ("time", "minutes"),
        ("temp", "celsius"),
        ("temperature", "celsius"),
        ("degrees", "celsius"),
        ("d", "density"),
        ("dens", "density"),
        ("strip", "piece"),
        ("name", "piece"),
        ("uncertainty", "sigma"),
        ("remark", "note"),
    ],
    example: "minutes,celsius,density",
};

const NO_TIME: &str =
    "write how long the piece was developed, or 0 for a piece that was only fixed";
const NO_TEMPERATURE: &str = "write the temperature of its bath, or remove the row";
const NO_DENSITY: &str = "write the density, or remove the row if the piece was not read";
const WRITE_DENSITY: &str = "one density, as 1.42";
const CHECK_DENSITY: &str = "check the decimal point";
const WRITE_SIGMA: &str = "one number, as 0.01";
const CHECK: &str = "check what was typed";
/// Standard uncertainty of a density reading that nobody stated (assumed).
const ASSUMED_SIGMA: f64 = 0.010;

/// One piece of exposed leader, developed and read.
#[derive(Clone, Debug, PartialEq)]
pub struct LeaderPiece {
    /// Its name in the file, if it has one.
    pub name: Option<String>,
    /// How long it was developed, in **minutes**.
    pub minutes: f64,
    /// At what temperature.
    pub celsius: Celsius,
    /// Mean of its density readings.
    pub density: f64,
    /// Standard uncertainty of that mean by the readings alone.
    pub sigma: f64,
    /// How many readings that are.
    pub readings: u32,
    /// Line of its first reading, from 1.
    pub line: u32,
}

/// What a file of leader pieces holds.
#[derive(Clone, Debug, PartialEq)]
pub struct LeaderFamily {
    /// The file, as the user wrote it.
    pub source: String,
    /// The developed pieces, in the order of the file.
    pub pieces: Vec<LeaderPiece>,
    /// Densities of pieces that were only fixed: the base of the film.
    pub fixed_only: Vec<f64>,
    /// The films, as far as they are named: one, or the pieces do not belong together.
    pub films: Vec<String>,
    /// The developers, in the same way.
    pub developers: Vec<String>,
    /// The first date, developer, film and remark.
    pub labels: Labels,
    /// Whether nobody stated the uncertainty of some reading.
    pub sigma_is_assumed: bool,
    /// The unit of the first temperature.
    pub unit: TemperatureUnit,
    /// What the reader noticed.
    pub notes: Vec<Note>,
}

/// Reads a file of leader pieces; `sigma` is the standard uncertainty of readings that give none, 0.010
/// if it is `None`. The first row names the columns, in any order:
///
/// | column | content |
/// |---|---|
/// | `piece` | the piece's name; rows of one name are readings of one piece. Without it each row is a piece |
/// | `minutes` | how long it was developed, as 2.5 or 2:30; 0 for one that was only fixed |
/// | `celsius` or `fahrenheit` | the temperature of the bath; a cell may name its own unit, as 68F |
/// | `density` | the reading, base and all |
/// | `sigma` | standard uncertainty of the density |
/// | `film`, `developer`, `date`, `note` | free text |
///
/// The formats are those of [`read_files`](crate::readings::read_files), but for ISO 28178 text.
///
/// # Errors
/// [`ReadErrors`] with every fault of the file.
#[cfg(feature = "files")]
pub fn read_leader(path: &Path, sigma: Option<DensityNoise>) -> Result<LeaderFamily, ReadErrors> {
    family(&path.display().to_string(), SmallTable::read(path, &NAMES)?, sigma)
}

/// Reads leader pieces from the `bytes` of a file; `name` stands for the file in messages.
///
/// # Errors
/// [`ReadErrors`] with every fault.
///
/// # Example
/// ```
/// use wedgebook::development::leader::leader_of_bytes;
///
/// let text = b"minutes;celsius;density\n0;20;0,28\n2:30;20;1,10\n5;20;1,61\n";
/// let family = leader_of_bytes("leader.csv", text, None)?;
/// assert_eq!((family.pieces.len(), family.pieces[0].minutes), (2, 2.5));
/// assert_eq!(family.fixed_only, [0.28]);
/// # Ok::<(), wedgebook::readings::ReadErrors>(())
/// ```
pub fn leader_of_bytes(
    name: &str,
    bytes: &[u8],
    sigma: Option<DensityNoise>,
) -> Result<LeaderFamily, ReadErrors> {
    family(name, SmallTable::of_bytes(name, bytes, &NAMES)?, sigma)
}

/// Standard uncertainty of one reading of `density`, as stated or, where nobody did, 0.010.
#[must_use]
pub fn reading_sd(stated: Option<DensityNoise>, density: f64) -> f64 {
    stated.map_or(ASSUMED_SIGMA, |noise| noise.at(density).get())
}

/// One row.
struct Row {
    name: String,
    minutes: f64,
    /// Temperature; of a piece that was only fixed it may be left out.
    celsius: Option<Celsius>,
    density: f64,
    sigma: f64,
    line: u32,
}

fn family(
    source: &str,
    table: SmallTable,
    sigma: Option<DensityNoise>,
) -> Result<LeaderFamily, ReadErrors> {
    let (mut films, mut developers) = (Vec::new(), Vec::new());
    let (mut labels, mut unit, mut given) = (Labels::default(), None, 0);
    let mut firsts: Vec<(String, f64, Option<Celsius>, u32)> = Vec::new();
    let (rows, mut notes) = table.rows(|cells| {
        let name = cells.text("piece").to_owned();
        let minutes = cells
            .minutes("minutes", ElapsedMinutes::BOUNDS)?
            .ok_or_else(|| cells.empty("minutes", NO_TIME))?;
        let fahrenheit = cells.has("fahrenheit");
        let column = if fahrenheit { "fahrenheit" } else { "celsius" };
        let temperature = cells.temperature(column, fahrenheit)?;
        if temperature.is_none() && minutes > 0.0 {
            return Err(cells.empty(column, NO_TEMPERATURE));
        }
        unit = unit.or(temperature.map(|t| t.unit));
        let celsius = temperature.map(|t| t.celsius);
        let density = cells
            .number("density", Density::BOUNDS, WRITE_DENSITY, CHECK_DENSITY)?
            .ok_or_else(|| cells.empty("density", NO_DENSITY))?;
        let own = cells.number("sigma", DensitySigma::BOUNDS, WRITE_SIGMA, CHECK)?;
        given += usize::from(own.is_some());
        let sigma = own.unwrap_or_else(|| reading_sd(sigma, density));
        let line = cells.line();
        if !name.is_empty() {
            match firsts.iter().find(|first| first.0 == name) {
                Some((_, first, degrees, at)) => {
                    let at = (*first, *degrees, *at);
                    developed_once(cells, &name, at, (minutes, celsius), column)?;
                }
                None => firsts.push((name.clone(), minutes, celsius, line)),
            }
        }
        named(&mut films, cells.text("film"));
        named(&mut developers, cells.text("developer"));
        let keep = |label: &mut Option<String>, text: &str| {
            if label.is_none() && !text.is_empty() {
                *label = Some(text.to_owned());
            }
        };
        keep(&mut labels.film, cells.text("film"));
        keep(&mut labels.developer, cells.text("developer"));
        keep(&mut labels.date, cells.text("date"));
        keep(&mut labels.note, cells.text("note"));
        Ok(Row { name, minutes, celsius, density, sigma, line })
    })?;
    if (1..rows.len()).contains(&given) {
        notes.push(Note::SomeSigmas { given, rows: rows.len() });
    }
    let sigma_is_assumed = sigma.is_none() && given < rows.len();
    let (developed, fixed): (Vec<Row>, Vec<Row>) = rows.into_iter().partition(|r| r.minutes > 0.0);
    Ok(LeaderFamily {
        source: source.to_owned(),
        pieces: pieces(developed),
        fixed_only: fixed.iter().map(|row| row.density).collect(),
        films,
        developers,
        labels,
        sigma_is_assumed,
        unit: unit.unwrap_or_default(),
        notes,
    })
}

/// Adds a name that is not there yet; case and blanks do not count.
fn named(names: &mut Vec<String>, text: &str) {
    let plain = |name: &str| name.to_lowercase().split_whitespace().collect::<String>();
    if !text.is_empty() && names.iter().all(|name| plain(name) != plain(text)) {
        names.push(text.to_owned());
    }
}

/// Refuses a row of a piece that was developed otherwise by an earlier row.
fn developed_once(
    cells: &Cells<'_>,
    name: &str,
    (minutes, celsius, first_line): (f64, Option<Celsius>, u32),
    own: (f64, Option<Celsius>),
    column: &'static str,
) -> Result<(), ReadError> {
    let differs = |column: &str, quantity, first| ReadError::Disagreement {
        at: cells.place(column),
        strip: name.into(),
        quantity,
        found: cells.text(column).into(),
        first,
        first_line,
    };
    if (own.0 - minutes).abs() > 1e-9 {
        return Err(differs("minutes", "time", minutes));
    }
    match (celsius, own.1) {
        (Some(first), Some(now)) if (first.get() - now.get()).abs() > 1e-9 => {
            Err(differs(column, "temperature", first.get()))
        }
        _ => Ok(()),
    }
}

/// The pieces of rows: those of one name are one, and its readings are averaged.
fn pieces(rows: Vec<Row>) -> Vec<LeaderPiece> {
    let mut pieces: Vec<LeaderPiece> = Vec::new();
    for row in rows {
        let Some(celsius) = row.celsius else { continue };
        let name = Some(row.name).filter(|name| !name.is_empty());
        let same = |piece: &&mut LeaderPiece| name.is_some() && piece.name == name;
        match pieces.iter_mut().find(same) {
            Some(piece) => {
                let n = f64::from(piece.readings);
                piece.density = (n * piece.density + row.density) / (n + 1.0);
                // The error of a mean of n + 1 independent readings.
                piece.sigma = ((n * piece.sigma).powi(2) + row.sigma.powi(2)).sqrt() / (n + 1.0);
                piece.readings += 1;
            }
            None => pieces.push(LeaderPiece {
                name,
                minutes: row.minutes,
                celsius,
                density: row.density,
                sigma: row.sigma,
                readings: 1,
                line: row.line,
            }),
        }
    }
    pieces
}
