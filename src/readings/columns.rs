//! The columns of a readings file: their names, and which of them a file has.

use super::fault::ReadError;
use super::intake::Rank;
use super::note::Unused;
use super::place::{Column, Place};
use super::table::Header;
use super::wide::WideColumns;

/// A column that a readings file may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Known {
    Strip,
    Step,
    LogExposure,
    RelativeLogExposure,
    Exposure,
    TabletDensity,
    ExposureIndex,
    Stops,
    Density,
    Sigma,
    OffsetSigma,
    SlopeSigma,
    Minutes,
    Celsius,
    Fahrenheit,
    Film,
    Developer,
    Date,
    Note,
    Filter,
    Agitation,
}

use crate::words::did_you_mean;
use Known as K;

const NAMES: [(Known, &str); 23] = [
    (K::Strip, "strip"),
    (K::Step, "step"),
    (K::LogExposure, "log_exposure"),
    (K::RelativeLogExposure, "relative_log_exposure"),
    (K::Exposure, "exposure"),
    (K::TabletDensity, "tablet_density"),
    (K::ExposureIndex, "exposure_index"),
    (K::Stops, "stops"),
    (K::Density, "density"),
    (K::Sigma, "sigma"),
    (K::OffsetSigma, "offset_sigma"),
    (K::SlopeSigma, "slope_sigma"),
    (K::Minutes, "minutes"),
    (K::Celsius, "celsius"),
    (K::Fahrenheit, "fahrenheit"),
    (K::Film, "film"),
    (K::Film, "paper"),
    (K::Developer, "developer"),
    (K::Date, "date"),
    (K::Note, "note"),
    (K::Filter, "filter"),
    (K::Filter, "grade"),
    (K::Agitation, "agitation"),
];

/// Other words that people use for a column, for suggestions only.
const SYNONYMS: [(&str, &str); 16] = [
    ("d", "density"),
    ("dens", "density"),
    ("ei", "exposure_index"),
    ("iso", "exposure_index"),
    ("log_e", "log_exposure"),
    ("log_h", "log_exposure"),
    ("loge", "log_exposure"),
    ("logh", "log_exposure"),
    ("lux_s", "exposure"),
    ("lux_seconds", "exposure"),
    ("min", "minutes"),
    ("time", "minutes"),
    ("temp", "celsius"),
    ("temperature", "celsius"),
    ("tablet", "tablet_density"),
    ("remark", "note"),
];

/// A row of column names, for messages.
pub(super) const EXAMPLE: &str = "strip,log_exposure,density";
const ANY_EXPOSURE: &str = "of exposure (log_exposure, relative_log_exposure, exposure, tablet_density, or exposure_index with stops)";

/// A heading in the form in which names are compared: lower case, blanks and hyphens as `_`.
pub(super) fn normalised(heading: &str) -> String {
    heading.trim().to_lowercase().replace([' ', '-'], "_")
}

impl Known {
    /// The column that `heading` names.
    pub(super) fn from_heading(heading: &str) -> Option<Self> {
        let name = normalised(heading);
        NAMES.iter().find(|(_, known)| *known == name).map(|(column, _)| *column)
    }

    /// Whether the column gives the exposure, or a part of it.
    pub(super) const fn is_exposure(self) -> bool {
        matches!(
            self,
            K::LogExposure
                | K::RelativeLogExposure
                | K::Exposure
                | K::TabletDensity
                | K::ExposureIndex
                | K::Stops
        )
    }

    fn name(self) -> &'static str {
        NAMES.iter().find(|(column, _)| *column == self).map_or("", |(_, name)| name)
    }
}

/// How a file gives its exposures, with the positions of the columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum ExposureColumns {
    /// log10 of the exposure.
    Log { column: usize, relative: bool },
    /// The exposure in lux seconds.
    Exposure { column: usize },
    /// The density of the tablet's step.
    Tablet { column: usize },
    /// What the meter was set to, and the stops under the metered exposure.
    Camera { index: usize, stops: usize },
}

impl ExposureColumns {
    /// The column whose empty cell marks the unexposed film.
    pub(super) fn deciding_column(self) -> usize {
        match self {
            Self::Log { column, .. } | Self::Exposure { column } | Self::Tablet { column } => {
                column
            }
            Self::Camera { stops, .. } => stops,
        }
    }
}

/// Where each column of one file stands.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    pub(super) strip: Option<usize>,
    pub(super) step: Option<usize>,
    pub(super) exposure: ExposureColumns,
    pub(super) density: usize,
    pub(super) sigma: Option<usize>,
    /// Standard uncertainties that all densities of a strip have in common: of the offset, of the slope.
    pub(super) common: [Option<usize>; 2],
    pub(super) minutes: Option<usize>,
    /// Position, and whether the column's name says °F.
    pub(super) temperature: Option<(usize, bool)>,
    /// Film, developer, date, note, filter and agitation.
    pub(super) labels: [Option<usize>; 6],
    /// Headings that name no column.
    pub(super) unused: Vec<Unused>,
}

impl Layout {
    /// The layout of a file with this `header`.
    ///
    /// # Errors
    /// Where a needed column is missing, two give the same quantity, or the exposure is given in
    /// more than one way.
    pub(super) fn new(header: &Header) -> Result<Self, ReadError> {
        let find = |wanted: Known| header.columns.iter().position(|c| c.known == Some(wanted));
        refuse_duplicates(header)?;
        let (density, exposure) = match (find(K::Density), exposure_columns(header)?) {
            (Some(density), Ok(exposure)) => (density, exposure),
            (density, exposure) => {
                let mut missing = Vec::new();
                missing.extend(density.is_none().then(|| "\"density\"".to_owned()));
                missing.extend(exposure.err().map(str::to_owned));
                return Err(missing_columns(header, missing));
            }
        };
        let temperature =
            find(K::Celsius).map(|at| (at, false)).or(find(K::Fahrenheit).map(|at| (at, true)));
        Ok(Self {
            // Strips that differ in their filter need no other name.
            strip: find(K::Strip).or(find(K::Filter)),
            step: find(K::Step),
            exposure,
            density,
            sigma: find(K::Sigma),
            common: [find(K::OffsetSigma), find(K::SlopeSigma)],
            minutes: find(K::Minutes),
            temperature,
            labels: [
                find(K::Film),
                find(K::Developer),
                find(K::Date),
                find(K::Note),
                find(K::Filter),
                find(K::Agitation),
            ],
            unused: unused(header),
        })
    }
}

impl Layout {
    /// The layout of a table that has only these columns.
    pub(super) const fn of_density(
        step: Option<usize>,
        exposure: ExposureColumns,
        density: usize,
    ) -> Self {
        Self {
            strip: None,
            step,
            exposure,
            density,
            sigma: None,
            common: [None; 2],
            minutes: None,
            temperature: None,
            labels: [None; 6],
            unused: Vec::new(),
        }
    }

    /// Which of the labels a column gives.
    pub(super) fn label(column: Known) -> Option<usize> {
        let labels = [K::Film, K::Developer, K::Date, K::Note, K::Filter, K::Agitation];
        labels.iter().position(|label| *label == column)
    }
}

/// How well a row of cells serves as the row of headings.
pub(super) fn rank(cells: &[&str]) -> Rank {
    let known = || cells.iter().filter_map(|cell| Known::from_heading(cell));
    let (density, exposure) = (known().any(|k| k == K::Density), known().any(Known::is_exposure));
    if density && exposure {
        return Rank::All;
    }
    let place = Place { file: "".into(), sheet: None, line: 0, column: None, excerpt: None };
    let header = || Header::new(place, cells.iter().map(|cell| (*cell).to_owned()));
    if exposure && WideColumns::of(&header()).is_some() {
        return Rank::Wide;
    }
    let near = |cell: &&str| near_name(cell) == Some("density");
    match () {
        () if density || exposure => Rank::Key,
        () if cells.iter().any(near) => Rank::Near,
        () => Rank::None,
    }
}

pub(super) fn refuse_duplicates(header: &Header) -> Result<(), ReadError> {
    let quantity = |known: Known| match known {
        K::Celsius | K::Fahrenheit => "temperature",
        other => other.name(),
    };
    let named: Vec<(usize, &'static str)> = (0..header.columns.len())
        .filter_map(|at| header.columns[at].known.map(|known| (at, quantity(known))))
        .collect();
    for (rank, (second, name)) in named.iter().enumerate() {
        if let Some((first, _)) = named[..rank].iter().find(|(_, earlier)| earlier == name) {
            return Err(ReadError::DuplicateColumns {
                at: Box::new(header.place.clone()),
                first: header.column(*first),
                second: header.column(*second),
                quantity: name,
            });
        }
    }
    Ok(())
}

/// The way in which the exposure is given, or what is missing for one.
pub(super) fn exposure_columns(
    header: &Header,
) -> Result<Result<ExposureColumns, &'static str>, ReadError> {
    let find = |wanted: Known| header.columns.iter().position(|c| c.known == Some(wanted));
    let camera = match (find(K::ExposureIndex), find(K::Stops)) {
        (Some(index), Some(stops)) => Some(ExposureColumns::Camera { index, stops }),
        _ => None,
    };
    let given: Vec<ExposureColumns> = [
        find(K::LogExposure).map(|column| ExposureColumns::Log { column, relative: false }),
        find(K::RelativeLogExposure).map(|column| ExposureColumns::Log { column, relative: true }),
        find(K::Exposure).map(|column| ExposureColumns::Exposure { column }),
        find(K::TabletDensity).map(|column| ExposureColumns::Tablet { column }),
        camera,
    ]
    .into_iter()
    .flatten()
    .collect();
    match (given.as_slice(), find(K::Stops), find(K::ExposureIndex)) {
        ([one], _, _) => Ok(Ok(*one)),
        ([], Some(_), None) => Ok(Err("\"exposure_index\" to go with the stops")),
        ([], None, Some(_)) => Ok(Err("\"stops\" to go with the exposure index")),
        ([], _, _) => Ok(Err(ANY_EXPOSURE)),
        (several, _, _) => Err(ReadError::SeveralExposures {
            at: Box::new(header.place.clone()),
            found: several
                .iter()
                .map(|one| header.columns[one.deciding_column()].heading.clone())
                .collect(),
        }),
    }
}

fn missing_columns(header: &Header, missing: Vec<String>) -> ReadError {
    let at = Box::new(header.place.clone());
    let found: Vec<String> =
        header.columns.iter().map(|c| c.heading.clone()).filter(|h| !h.trim().is_empty()).collect();
    if all_numbers(&found) {
        return ReadError::NoHeader { at, example: EXAMPLE };
    }
    let suggestion = unused(header)
        .into_iter()
        .filter_map(|unused| Some((unused.heading, unused.near?)))
        .find(|(_, name)| missing.iter().any(|wanted| wanted.contains(name)));
    ReadError::MissingColumns { at, missing, found, suggestion }
}

/// Whether there are headings and all of them are numbers.
pub(super) fn all_numbers(headings: &[String]) -> bool {
    let number = |heading: &String| heading.trim().replace(',', ".").parse::<f64>().is_ok();
    !headings.is_empty() && headings.iter().all(number)
}

fn unused(header: &Header) -> Vec<Unused> {
    let taken = |name: &str| {
        header.columns.iter().any(|c| c.known.is_some_and(|known| known.name() == name))
    };
    header
        .columns
        .iter()
        .filter(|column| column.known.is_none() && !column.heading.trim().is_empty())
        .map(|column| Unused {
            heading: column.heading.clone(),
            near: near_name(&column.heading).filter(|name| !taken(name)),
        })
        .collect()
}

/// The column's name that `heading` may stand for: a synonym, or a name with a slip of the pen.
pub(super) fn near_name(heading: &str) -> Option<&'static str> {
    nearest(heading, NAMES.iter().map(|(_, name)| *name), &SYNONYMS)
}

/// The one of `names` that `heading` may stand for.
pub(super) fn nearest(
    heading: &str,
    names: impl Iterator<Item = &'static str>,
    synonyms: &[(&str, &'static str)],
) -> Option<&'static str> {
    let wanted = normalised(heading);
    if let Some((_, name)) = synonyms.iter().find(|(word, _)| *word == wanted) {
        return Some(name);
    }
    did_you_mean(&wanted, names)
}

impl Header {
    /// The column at `index` as a message names it.
    pub(super) fn column(&self, index: usize) -> Column {
        let name = self.columns.get(index).map_or("", |column| column.heading.trim());
        Column { number: u32::try_from(index + 1).unwrap_or(u32::MAX), name: name.into() }
    }

    /// The place of a whole row.
    pub(super) fn row_place(&self, line: u32, excerpt: Option<&str>) -> Place {
        Place { line, column: None, excerpt: excerpt.map(Into::into), ..self.place.clone() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_in_any_case_with_blanks_or_hyphens() {
        assert_eq!(Known::from_heading(" Log-Exposure "), Some(K::LogExposure));
        assert_eq!(Known::from_heading("TABLET DENSITY"), Some(K::TabletDensity));
        assert_eq!(Known::from_heading("densty"), None);
    }

    #[test]
    fn near_misses_are_recognised_and_strangers_are_not() {
        assert_eq!(near_name("Densty"), Some("density"));
        assert_eq!(near_name("Temperature"), Some("celsius"));
        assert_eq!(near_name("operator"), None);
    }
}
