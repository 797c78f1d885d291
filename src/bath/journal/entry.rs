//! What a journal holds: entries, one act each.

use super::columns::Column;
use super::load::{Load, Numbered};
use jiff::civil::Date;

/// One entry of a journal: what was done to the bath, and when.
///
/// Texts are one line each, without blanks at their ends; an empty one is as good as none.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// The day.
    pub date: Date,
    /// What was done.
    pub act: Act,
    /// A remark; a [`Act::Note`] needs one.
    pub note: Option<String>,
    /// Line of the file where it starts, from 1; 0 while it is not yet in a file.
    pub line: u64,
}

/// What was done to a bath.
#[derive(Clone, Debug, PartialEq)]
pub enum Act {
    /// A fresh bath was mixed; whatever was before it is over.
    Mix {
        /// Its volume in **litres**, above 0.
        litres: f64,
        /// The developer.
        what: Option<String>,
        /// Its dilution, as 1+6.
        dilution: Option<String>,
    },
    /// Film was developed.
    Film {
        /// Which, in words as `3 × 135-36`; may be empty.
        films: String,
        /// Its area in **m²**, above 0.
        area_m2: f64,
        /// Numbers, places, time and temperature, where they are known.
        load: Option<Box<Load>>,
    },
    /// Replenisher was added.
    Replenish {
        /// What was added, in **ml**, above 0.
        added_ml: f64,
        /// What was taken out before, in **ml**. In a file an empty cell means as much as was
        /// added, so that the bath keeps its level.
        removed_ml: f64,
    },
    /// A control strip was developed and measured.
    Strip(Box<StripResult>),
    /// A piece of exposed leader was developed and measured: evidence of the bath's activity, never of its
    /// fog or of a film's speed.
    Leader(Box<LeaderResult>),
    /// Only a remark.
    Note,
    /// The bath was thrown away.
    Discard,
}

impl Act {
    /// The names of all acts, as they stand in a file.
    pub const NAMES: [&'static str; 7] =
        ["mix", "film", "replenish", "strip", "leader", "note", "discard"];

    /// Its name in a file.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match self {
            Self::Mix { .. } => "mix",
            Self::Film { .. } => "film",
            Self::Replenish { .. } => "replenish",
            Self::Strip(_) => "strip",
            Self::Leader(_) => "leader",
            Self::Note => "note",
            Self::Discard => "discard",
        }
    }
}

/// What a control strip showed of the bath. Deviations are found less aim.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StripResult {
    /// The strip's name; not empty.
    pub name: String,
    /// The batch of film that it was cut from.
    pub batch: Option<String>,
    /// Path of the pairing that it was held against.
    pub pairing: Option<String>,
    /// Time of development in **minutes**.
    pub minutes: Option<f64>,
    /// Temperature of development in **degrees Celsius**.
    pub celsius: Option<f64>,
    /// Activity of the bath: 1 as calibrated.
    pub activity: Option<f64>,
    /// Lower end of its 95 % interval.
    pub activity_low: Option<f64>,
    /// Upper end of its 95 % interval.
    pub activity_high: Option<f64>,
    /// Contrast, in the pairing's measure.
    pub contrast: Option<f64>,
    /// Its deviation.
    pub contrast_off: Option<f64>,
    /// Base plus fog.
    pub base_plus_fog: Option<f64>,
    /// Its deviation.
    pub base_plus_fog_off: Option<f64>,
    /// Speed point, log10 of the exposure.
    pub speed_log_h: Option<f64>,
    /// Its deviation in log exposure, with the sign of a speed: more is faster.
    pub speed_gain_log_h: Option<f64>,
    /// Density of the low patch.
    pub low_density: Option<f64>,
    /// Its deviation.
    pub low_density_off: Option<f64>,
    /// Density of the high patch.
    pub high_density: Option<f64>,
    /// Its deviation.
    pub high_density_off: Option<f64>,
    /// The verdict in words, as `in spec` or `out of spec: lengthen`; not empty.
    pub verdict: String,
}

/// What a piece of leader showed of the bath. It stands in the columns of a strip.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LeaderResult {
    /// Its name, in the column `strip`.
    pub name: Option<String>,
    /// Path of the leader family that it was compared with, in the column `pairing`.
    pub family: Option<String>,
    /// Time of development in **minutes**.
    pub minutes: Option<f64>,
    /// Temperature of development in **degrees Celsius**.
    pub celsius: Option<f64>,
    /// Its density, base and all, in the column `high_density`.
    pub density: Option<f64>,
    /// Activity of the bath: 1 as the bath of the family; needed.
    pub activity: Option<f64>,
    /// Lower end of its 95 % interval.
    pub activity_low: Option<f64>,
    /// Upper end of its 95 % interval.
    pub activity_high: Option<f64>,
}

impl LeaderResult {
    /// The columns that it fills.
    pub(super) const COLUMNS: [Column; 8] = [
        Column::Strip,
        Column::Pairing,
        Column::Minutes,
        Column::Celsius,
        Column::HighDensity,
        Column::Activity,
        Column::ActivityLow,
        Column::ActivityHigh,
    ];

    /// Every number with its column.
    const fn numbers(&self) -> [(Column, Option<f64>); 6] {
        [
            (Column::Minutes, self.minutes),
            (Column::Celsius, self.celsius),
            (Column::HighDensity, self.density),
            (Column::Activity, self.activity),
            (Column::ActivityLow, self.activity_low),
            (Column::ActivityHigh, self.activity_high),
        ]
    }

    /// Every number to be set.
    pub(super) const fn numbers_mut(&mut self) -> [(Column, &mut Option<f64>); 6] {
        [
            (Column::Minutes, &mut self.minutes),
            (Column::Celsius, &mut self.celsius),
            (Column::HighDensity, &mut self.density),
            (Column::Activity, &mut self.activity),
            (Column::ActivityLow, &mut self.activity_low),
            (Column::ActivityHigh, &mut self.activity_high),
        ]
    }
}

macro_rules! numbers {
    ($($column:ident $field:ident,)+) => {
        impl StripResult {
            /// Every number with its column.
            pub(super) const fn numbers(&self) -> [(Column, Option<f64>); 15] {
                [$((Column::$column, self.$field)),+]
            }

            /// Every number to be set.
            pub(super) const fn numbers_mut(&mut self) -> [(Column, &mut Option<f64>); 15] {
                [$((Column::$column, &mut self.$field)),+]
            }
        }
    };
}

numbers! {
    Minutes minutes,
    Celsius celsius,
    Activity activity,
    ActivityLow activity_low,
    ActivityHigh activity_high,
    Contrast contrast,
    ContrastOff contrast_off,
    BasePlusFog base_plus_fog,
    BasePlusFogOff base_plus_fog_off,
    SpeedLogH speed_log_h,
    SpeedGainLogH speed_gain_log_h,
    LowDensity low_density,
    LowDensityOff low_density_off,
    HighDensity high_density,
    HighDensityOff high_density_off,
}

/// What a cell of an entry holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cell<'a> {
    /// A text, not empty.
    Text(&'a str),
    /// A number.
    Number(f64),
    /// Films by their numbers, one at least.
    Films(&'a [Numbered]),
}

impl Act {
    /// Whether it is the same thing in the same amounts; where film lay, and its numbers, do not count.
    #[must_use]
    pub fn is_as(&self, other: &Self) -> bool {
        let amounts = |act: &Self| match act {
            Self::Film { films, area_m2, .. } => Self::film(films.clone(), *area_m2),
            act => act.clone(),
        };
        amounts(self) == amounts(other)
    }

    /// Film of which nothing more is known.
    #[must_use]
    pub const fn film(films: String, area_m2: f64) -> Self {
        Self::Film { films, area_m2, load: None }
    }
}

impl Entry {
    /// The films that it has by number.
    #[must_use]
    pub fn numbered(&self) -> &[Numbered] {
        match &self.act {
            Act::Film { load: Some(load), .. } => &load.films,
            _ => &[],
        }
    }

    /// An entry that is not yet in a file.
    #[must_use]
    pub const fn new(date: Date, act: Act, note: Option<String>) -> Self {
        Self { date, act, note, line: 0 }
    }

    /// The cells that the entry fills besides its date and act, in the order of [`Column::ALL`].
    #[must_use]
    pub fn cells(&self) -> Vec<(Column, Cell<'_>)> {
        use Column as C;
        let mut cells = match &self.act {
            Act::Mix { litres, what, dilution } => vec![
                (C::Litres, Some(Cell::Number(*litres))),
                (C::What, text(what.as_deref())),
                (C::Dilution, text(dilution.as_deref())),
            ],
            Act::Film { films, area_m2, load } => {
                let mut cells = load.as_ref().map(|load| load.cells()).unwrap_or_default();
                cells.push((C::Films, text(Some(films))));
                cells.push((C::AreaM2, Some(Cell::Number(*area_m2))));
                cells
            }
            Act::Replenish { added_ml, removed_ml } => vec![
                (C::AddedMl, Some(Cell::Number(*added_ml))),
                (C::RemovedMl, Some(Cell::Number(*removed_ml))),
            ],
            Act::Strip(strip) => {
                let mut cells = vec![
                    (C::Strip, text(Some(&strip.name))),
                    (C::Batch, text(strip.batch.as_deref())),
                    (C::Pairing, text(strip.pairing.as_deref())),
                ];
                let numbers = strip.numbers().into_iter();
                cells.extend(numbers.map(|(column, n)| (column, n.map(Cell::Number))));
                cells.push((C::Verdict, text(Some(&strip.verdict))));
                cells
            }
            Act::Leader(leader) => {
                let mut cells = vec![
                    (C::Strip, text(leader.name.as_deref())),
                    (C::Pairing, text(leader.family.as_deref())),
                ];
                let numbers = leader.numbers().into_iter();
                cells.extend(numbers.map(|(column, n)| (column, n.map(Cell::Number))));
                cells
            }
            Act::Note | Act::Discard => Vec::new(),
        };
        cells.push((C::Note, text(self.note.as_deref())));
        cells.sort_by_key(|(column, _)| *column as usize);
        let filled = cells.into_iter();
        filled.filter_map(|(column, cell)| Some((column, cell?))).collect()
    }
}

fn text(text: Option<&str>) -> Option<Cell<'_>> {
    text.map(str::trim).filter(|t| !t.is_empty()).map(Cell::Text)
}
