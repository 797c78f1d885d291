//! Judges a strip as a whole: are its values those of its columns?

use std::sync::Arc;

use crate::units::{LogExposure, Minutes, OffsetSigma, SlopeSigma};

use super::columns::{ExposureColumns, Layout};
use super::draft::{Draft, Once};
use super::fault::ReadError;
use super::note::Note;
use super::place::Place;
use super::plausible::{Falling, falling, looks_like_exposures};
use super::table::Header;
use super::{CommonSigma, ExposureScale, Labels, ReadOptions, Reading, Strip};

/// What is the same for all strips of a table.
pub(super) struct TableFacts<'a> {
    pub(super) header: &'a Header,
    pub(super) scale: ExposureScale,
    pub(super) exposure: ExposureColumns,
    /// The position of the densities.
    pub(super) density: usize,
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
        let mut faults = Vec::new();
        let mut explained = Vec::new();
        if let Some(fault) = self.not_logarithms(&draft) {
            faults.push(fault);
            explained.push(self.exposure.deciding_column());
        }
        if let Some(fault) = self.falling(&mut draft) {
            explained
                .extend(matches!(fault, ReadError::Transmittances { .. }).then_some(self.density));
            faults.push(fault);
        }
        let explained: Vec<u32> =
            explained.into_iter().map(|at| self.header.column(at).number).collect();
        let is_explained = |fault: &ReadError| {
            let column = fault.place().and_then(|place| place.column.as_ref());
            column.is_some_and(|column| explained.contains(&column.number))
        };
        let beyond = draft.beyond.drain(..).flat_map(|beyond| beyond.faults);
        faults.extend(beyond.filter(|fault| !is_explained(fault)));
        if !faults.is_empty() {
            return Err(faults);
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
        let values: Vec<f64> = draft.readings.iter().map(Reading::x).chain(beyond).collect();
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
            return Some(ReadError::Transmittances { at, strip, percent, certain });
        }
        let verdict = if self.options.reversed {
            reverse(&mut draft.readings);
            falling_draft(draft)
        } else {
            verdict
        };
        let already_reversed = self.options.reversed;
        let perhaps = match verdict? {
            Falling::Reversed { perhaps_transmittances } => {
                perhaps_transmittances && !already_reversed
            }
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
        let mut notes: Vec<Note> = draft.label_notes.into_iter().flatten().collect();
        if (1..rows).contains(&draft.sigmas_given) {
            notes.push(Note::SomeSigmas { given: draft.sigmas_given, rows });
        }
        if self.options.reversed {
            notes.push(Note::Reversed);
        }
        let [film, developer, date, note, filter, agitation] =
            draft.labels.map(|label| label.map(|(text, _)| text));
        Strip {
            name: draft.name.into(),
            source: self.header.place.file.to_string(),
            scale: self.scale,
            readings: draft.readings,
            unexposed: draft.unexposed,
            sigma_is_assumed: draft.sigmas_given < rows && self.options.density_sigma.is_none(),
            exposure_sigma: self.options.exposure_sigma,
            common_sigma: common_sigma(draft.common),
            minutes: draft
                .minutes
                .map_or(self.options.minutes, |(minutes, _)| Minutes::new(minutes).ok()),
            celsius: draft.celsius.map_or(self.options.celsius, |(celsius, _)| Some(celsius)),
            labels: Labels { film, developer, date, note, filter, agitation },
            notes,
        }
    }
}

/// What all densities have in common, where a column gave the offset, the slope or both.
fn common_sigma([offset, slope]: [Once<f64>; 2]) -> Option<CommonSigma> {
    if offset.is_none() && slope.is_none() {
        return None;
    }
    let value = |once: Once<f64>| once.map_or(0.0, |(value, _)| value);
    Some(CommonSigma {
        offset: OffsetSigma::new(value(offset)).ok()?,
        slope: SlopeSigma::new(value(slope)).ok()?,
    })
}

fn falling_draft(draft: &Draft) -> Option<Falling> {
    let mut exposed: Vec<(f64, f64)> =
        draft.readings.iter().map(|r| (r.x(), r.density.get())).collect();
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
        self.log_exposure.map_or(f64::NEG_INFINITY, LogExposure::get)
    }
}

/// Notes on a table as a whole.
pub(super) fn table_notes(file: &Arc<str>, layout: &Layout, options: &ReadOptions) -> Vec<Note> {
    let file = || Arc::clone(file);
    let is_tablet = matches!(layout.exposure, ExposureColumns::Tablet { .. });
    let is_exposure = matches!(layout.exposure, ExposureColumns::Exposure { .. });
    let clear_given = options.log_exposure_clear.is_some();
    let bare_celsius = layout.temperature.is_some_and(|(_, fahrenheit)| !fahrenheit);
    let columns = layout.unused.clone();
    let notes = [
        (!columns.is_empty()).then(|| Note::Unused { file: file(), columns }),
        is_exposure.then(|| Note::LogOfExposures { file: file() }),
        (is_tablet && !clear_given).then(|| Note::RelativeToClear { file: file() }),
        (clear_given && !options.usual_clear && !is_tablet)
            .then(|| Note::ClearNotUsed { file: file() }),
        (options.fahrenheit && bare_celsius).then(|| Note::TakenAsFahrenheit { file: file() }),
    ];
    notes.into_iter().flatten().collect()
}
