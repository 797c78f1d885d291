//! Judges a strip as a whole: is it what its columns say?

use std::sync::Arc;

use crate::units::LogExposure;

use super::columns::{ExposureColumns, Layout};
use super::errors::{Place, ReadError};
use super::gather::Draft;
use super::plausible::{Falling, falling, looks_like_exposures};
use super::table::Header;
use super::words::shown;
use super::{ExposureScale, Labels, ReadOptions, Reading, Strip};

/// What is the same for all strips of a table.
pub(super) struct TableFacts<'a> {
    pub(super) header: &'a Header,
    pub(super) scale: ExposureScale,
    pub(super) exposure: ExposureColumns,
    pub(super) options: &'a ReadOptions,
}

impl TableFacts<'_> {
    fn place(&self, draft: &Draft) -> Box<Place> {
        Box::new(self.header.row_place(draft.line, draft.excerpt.as_deref()))
    }

    /// The strip; none where a fault was already reported in one of its rows.
    ///
    /// # Errors
    /// Where its values are of another quantity or order, its rows have numbers out of bounds, or
    /// no step is exposed.
    pub(super) fn judged(&self, mut draft: Draft) -> Result<Option<Strip>, Vec<ReadError>> {
        draft.readings.sort_by(|a, b| a.x().total_cmp(&b.x()));
        draft.readings.shrink_to_fit();
        if let Some(fault) = self
            .not_logarithms(&draft)
            .or_else(|| self.falling(&mut draft))
        {
            return Err(vec![fault]);
        }
        if !draft.beyond.is_empty() {
            return Err(draft
                .beyond
                .into_iter()
                .flat_map(|beyond| beyond.faults)
                .collect());
        }
        if draft.has_faults {
            return Ok(None);
        }
        if draft.readings.is_empty() {
            let column = self.header.column(self.exposure.deciding_column()).name;
            return Err(vec![ReadError::NoExposedReadings {
                at: self.place(&draft),
                strip: draft.name,
                column,
            }]);
        }
        Ok(Some(self.strip(draft)))
    }

    fn not_logarithms(&self, draft: &Draft) -> Option<ReadError> {
        let ExposureColumns::Log { column, .. } = self.exposure else {
            return None;
        };
        let beyond = draft.beyond.iter().filter_map(|beyond| beyond.log_exposure);
        let values: Vec<f64> = draft
            .readings
            .iter()
            .map(Reading::x)
            .chain(beyond)
            .collect();
        looks_like_exposures(&values, LogExposure::HIGHEST).then(|| ReadError::NotLogExposures {
            at: self.place(draft),
            strip: draft.name.clone(),
            column: self.header.column(column).name,
            low: values.iter().copied().fold(f64::MAX, f64::min),
            high: values.iter().copied().fold(f64::MIN, f64::max),
        })
    }

    /// The fault of a strip whose values fall with exposure. Where the order is to be reversed, it
    /// is, unless the values can only be transmittances.
    fn falling(&self, draft: &mut Draft) -> Option<ReadError> {
        let verdict = falling_draft(draft);
        let (at, strip) = (self.place(draft), draft.name.clone());
        if let Some(Falling::Transmittances { percent, certain }) = verdict
            && (certain || !self.options.reversed)
        {
            return Some(ReadError::Transmittances {
                at,
                strip,
                percent,
                certain,
            });
        }
        let verdict = if self.options.reversed {
            reverse(&mut draft.readings);
            falling_draft(draft)
        } else {
            verdict
        };
        let already_reversed = self.options.reversed;
        let perhaps = match verdict? {
            Falling::Reversed {
                perhaps_transmittances,
            } => perhaps_transmittances && !already_reversed,
            Falling::Transmittances { .. } => false,
        };
        Some(ReadError::ReversedTablet {
            at,
            strip,
            already_reversed,
            perhaps_transmittances: perhaps,
        })
    }

    fn strip(&self, draft: Draft) -> Strip {
        let rows = draft.readings.len() + draft.unexposed.len();
        let mut notes: Vec<String> = draft.notes.into_iter().flatten().collect();
        if (1..rows).contains(&draft.sigmas_given) {
            notes.push(format!(
                "sigma is given for {} of {rows} readings; the rest have the one for all",
                draft.sigmas_given
            ));
        }
        if self.options.reversed {
            notes
                .push("densities paired with the exposures in reversed order, as asked".to_owned());
        }
        let [film, developer, date, note] = draft.labels.map(|label| label.map(|(text, _)| text));
        Strip {
            name: draft.name.into(),
            source: self.header.place.file.to_string(),
            scale: self.scale,
            readings: draft.readings,
            unexposed: draft.unexposed,
            sigma_is_assumed: draft.sigmas_given < rows && self.options.density_sigma.is_none(),
            minutes: draft.minutes.map(|(minutes, _)| minutes),
            celsius: draft.celsius.map(|(celsius, _)| celsius),
            labels: Labels {
                film,
                developer,
                date,
                note,
            },
            notes,
        }
    }
}

fn falling_draft(draft: &Draft) -> Option<Falling> {
    let mut exposed: Vec<(f64, f64)> = draft
        .readings
        .iter()
        .map(|r| (r.x(), r.density.get()))
        .collect();
    let mut unexposed: Vec<f64> = draft.unexposed.iter().map(|r| r.density.get()).collect();
    for beyond in &draft.beyond {
        match beyond.log_exposure {
            Some(x) => exposed.push((x, beyond.density)),
            None => unexposed.push(beyond.density),
        }
    }
    falling(&exposed, &unexposed)
}

/// Gives the densities of the lowest exposure the highest one, and so on: the readings of the
/// i-th of n distinct exposures go to the (n + 1 - i)-th. Each keeps the step and line of its row.
fn reverse(readings: &mut [Reading]) {
    let mut exposures: Vec<Option<LogExposure>> = readings.iter().map(|r| r.log_exposure).collect();
    exposures.dedup();
    let mut group = exposures.len();
    let mut previous = None;
    for reading in readings.iter_mut() {
        if previous != Some(reading.log_exposure) {
            previous = Some(reading.log_exposure);
            group -= 1;
        }
        reading.log_exposure = exposures[group];
    }
    readings.sort_by(|a, b| a.x().total_cmp(&b.x()));
}

impl Reading {
    /// The log exposure for sorting; the unexposed film comes before any other.
    fn x(&self) -> f64 {
        self.log_exposure
            .map_or(f64::NEG_INFINITY, LogExposure::get)
    }
}

/// Notes on a table as a whole.
pub(super) fn table_notes(
    file: &Arc<str>,
    layout: &Layout,
    options: &ReadOptions,
    notes: &mut Vec<String>,
) {
    if !layout.unknown.is_empty() {
        let named: Vec<String> = layout
            .unknown
            .iter()
            .take(12)
            .map(|(heading, near)| match near {
                Some(name) => format!("{} (did you mean \"{name}\"?)", shown(heading)),
                None => shown(heading),
            })
            .collect();
        let more = layout.unknown.len() - named.len();
        let more = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        notes.push(format!("{file}: not used: {}{more}", named.join(", ")));
    }
    match layout.exposure {
        ExposureColumns::Exposure { .. } => {
            notes.push(format!("{file}: log exposures are log10 of the exposures in lux s"));
        }
        ExposureColumns::Tablet { .. } if options.log_exposure_clear.is_none() => notes.push(format!(
            "{file}: log exposures are relative to the exposure behind clear tablet; give --log-exposure-clear for lux s"
        )),
        _ => {}
    }
    if options.log_exposure_clear.is_some()
        && !matches!(layout.exposure, ExposureColumns::Tablet { .. })
    {
        notes.push(format!(
            "{file}: --log-exposure-clear is not used, for there is no column tablet_density"
        ));
    }
    if options.fahrenheit
        && layout
            .temperature
            .is_some_and(|(_, fahrenheit)| !fahrenheit)
    {
        notes.push(format!(
            "{file}: temperatures without a unit are taken as °F, as asked"
        ));
    }
}
