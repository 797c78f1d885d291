//! Rows to frames.

use std::collections::HashMap;

use crate::readings::Labels;
use crate::readings::errors::ReadErrors;
use crate::readings::fault::ReadError;
use crate::readings::files::stem;
use crate::readings::gather::default_sigma;
use crate::readings::named::Names;
use crate::readings::note::Note;
use crate::readings::place::Place;
use crate::readings::small::{Cells, SmallTable};
use crate::units::{Density, DensityNoise, DensitySigma, Millimetres};

use super::{Frame, Frames, PlaceReading};

const LABELS: [&str; 4] = ["film", "developer", "date", "note"];
/// The columns of a file of frames.
pub(super) static NAMES: Names = Names {
    needed: &[("x_mm", &["x_mm"]), ("y_mm", &["y_mm"]), ("density", &["density"])],
    optional: &["frame", "sigma", LABELS[0], LABELS[1], LABELS[2], LABELS[3]],
    synonyms: &[
        ("x", "x_mm"),
        ("along", "x_mm"),
        ("along_mm", "x_mm"),
        ("y", "y_mm"),
        ("across", "y_mm"),
        ("across_mm", "y_mm"),
        ("d", "density"),
        ("dens", "density"),
        ("negative", "frame"),
        ("frame_no", "frame"),
        ("no", "frame"),
        ("uncertainty", "sigma"),
        ("remark", "note"),
    ],
    example: "frame,x_mm,y_mm,density",
};

const WRITE_PLACE: &str = "millimetres, as 12.5";
const WRITE_DENSITY: &str = "one density, as 0.62";
const WRITE_SIGMA: &str = "one number, as 0.01";
const CHECK_PLACE: &str = "write millimetres from the frame's left side (x) and lower edge (y)";
const CHECK_DENSITY: &str = "check the decimal point";
const CHECK: &str = "check what was typed";
const NO_PLACE: &str = "write where on the frame the density was read, in mm";
const NO_DENSITY: &str = "write the density, or remove the row if the place was not read";
const NO_FRAME: &str = "write the name of the frame in each of its rows";
/// The greatest percentage of transmittance.
const WHOLE: f64 = 100.0;

/// The frames of a table; `sigma` is the standard uncertainty of readings that give none.
///
/// # Errors
/// Every fault of every row.
pub(super) fn frames(
    source: &str,
    table: SmallTable,
    sigma: Option<DensityNoise>,
) -> Result<Frames, ReadErrors> {
    let noise = sigma.unwrap_or_else(|| default_sigma().into());
    let mut labels = [const { None::<String> }; 4];
    let (mut beyond, mut sigmas_given) = (Vec::new(), 0);
    let header = table.header_place();
    let mut taken = table.taken(|cells, faults| {
        for (label, name) in labels.iter_mut().zip(LABELS) {
            let text = cells.text(name);
            if label.is_none() && !text.is_empty() {
                *label = Some(text.to_owned());
            }
        }
        let name = name(cells).map_err(|fault| faults.push(fault));
        let x = place(cells, "x_mm").map_err(|fault| faults.push(fault));
        let y = place(cells, "y_mm").map_err(|fault| faults.push(fault));
        let bounds = Density::BOUNDS;
        let density = match cells.number("density", bounds, WRITE_DENSITY, CHECK_DENSITY) {
            Ok(Some(value)) => Density::new(value).ok(),
            // All of them may be percentages: they are judged together.
            Err(fault @ ReadError::OutOfRange { .. }) => {
                beyond.push(fault);
                None
            }
            other => {
                let empty = || cells.empty("density", NO_DENSITY);
                faults.push(other.err().unwrap_or_else(empty));
                None
            }
        };
        let bounds = DensitySigma::BOUNDS;
        let own = cells
            .number("sigma", bounds, WRITE_SIGMA, CHECK)
            .map_err(|fault| faults.push(fault))
            .ok()?
            .and_then(|value| DensitySigma::new(value).ok());
        sigmas_given += usize::from(own.is_some());
        let (x, y, density) = (x.ok()?, y.ok()?, density?);
        let sigma = own.unwrap_or_else(|| noise.at(density.get()));
        Some((name.ok()?, PlaceReading { x, y, density, sigma, line: cells.line() }))
    });
    let rows = taken.rows.len();
    taken.faults.extend(judged(beyond, rows, header));
    if (1..rows).contains(&sigmas_given) {
        taken.notes.push(Note::SomeSigmas { given: sigmas_given, rows });
    }
    let (readings, notes) = taken.done()?;
    let only = stem(source);
    let mut frames: Vec<Frame> = Vec::new();
    let mut by_name: HashMap<String, usize> = HashMap::new();
    for (name, reading) in readings {
        let name = name.unwrap_or_else(|| only.clone());
        let index = *by_name.entry(name).or_insert_with_key(|name| {
            frames.push(Frame { name: name.clone(), readings: Vec::new() });
            frames.len() - 1
        });
        frames[index].readings.push(reading);
    }
    let [film, developer, date, note] = labels;
    Ok(Frames {
        source: source.to_owned(),
        frames,
        labels: Labels { film, developer, date, note, filter: None, agitation: None },
        sigma_is_assumed: sigmas_given < rows && sigma.is_none(),
        notes,
    })
}

/// The frame's name; `None` where the table has no column for it.
fn name(cells: &Cells<'_>) -> Result<Option<String>, ReadError> {
    match cells.text("frame") {
        "" if cells.has("frame") => Err(cells.empty("frame", NO_FRAME)),
        "" => Ok(None),
        name => Ok(Some(name.to_owned())),
    }
}

fn place(cells: &Cells<'_>, column: &'static str) -> Result<Millimetres, ReadError> {
    let value = cells.number(column, Millimetres::BOUNDS, WRITE_PLACE, CHECK_PLACE)?;
    value
        .and_then(|value| Millimetres::new(value).ok())
        .ok_or_else(|| cells.empty(column, NO_PLACE))
}

/// The faults of densities out of bounds: that they are percentages, where most readings can be,
/// with `good` readings beside them.
fn judged(beyond: Vec<ReadError>, good: usize, header: Place) -> Vec<ReadError> {
    let values = || {
        beyond.iter().filter_map(|fault| match fault {
            ReadError::OutOfRange { bounds, .. } => Some(bounds.found),
            _ => None,
        })
    };
    let all_percent = values().all(|value| (Density::HIGHEST..=WHOLE).contains(&value));
    if !all_percent || beyond.len() <= good {
        return beyond;
    }
    let (low, high) = values().fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
    let first = beyond.first().and_then(ReadError::place);
    vec![ReadError::Percentages { at: Box::new(first.unwrap_or(&header).clone()), low, high }]
}
