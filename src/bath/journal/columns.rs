//! The columns of a journal: their names and what they may hold.

use super::cell_error::CellError;
use super::entry::LeaderResult;
use crate::units::typed::{NumberFault, number};
use crate::units::{
    AddedMillilitres, Bounds, Celsius, Density, FilmArea, Litres, LogExposure, Minutes,
    RemovedMillilitres,
};

macro_rules! columns {
    ($($column:ident $name:literal,)+) => {
        /// A column of a journal.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum Column { $(#[doc = concat!("`", $name, "`")] $column,)+ }

        impl Column {
            /// All of them, in the order of a new journal.
            pub const ALL: [Self; 34] = [$(Self::$column),+];

            /// Its heading.
            #[must_use]
            pub const fn name(self) -> &'static str {
                match self { $(Self::$column => $name),+ }
            }
        }
    };
}

columns! {
    Date "date",
    Act "act",
    Litres "litres",
    What "what",
    Dilution "dilution",
    Films "films",
    AreaM2 "area_m2",
    AddedMl "added_ml",
    RemovedMl "removed_ml",
    Strip "strip",
    Batch "batch",
    Pairing "pairing",
    Minutes "minutes",
    Celsius "celsius",
    Activity "activity",
    ActivityLow "activity_low",
    ActivityHigh "activity_high",
    Contrast "contrast",
    ContrastOff "contrast_off",
    BasePlusFog "base_plus_fog",
    BasePlusFogOff "base_plus_fog_off",
    SpeedLogH "speed_log_h",
    SpeedGainLogH "speed_gain_log_h",
    LowDensity "low_density",
    LowDensityOff "low_density_off",
    HighDensity "high_density",
    HighDensityOff "high_density_off",
    Note "note",
    Verdict "verdict",
    Numbers "numbers",
    Load "load",
    Vessel "vessel",
    Development "development",
    Temperatures "temperatures",
}

/// What journals once had in place of `speed_gain_log_h`: the log exposure by which speed is lost.
const SPEED_LOST: &str = "speed_off";

impl Column {
    /// The column that `heading` names, in any case, with blanks or hyphens for `_`.
    pub(super) fn from_heading(heading: &str) -> Option<Self> {
        let name = heading.trim().to_lowercase().replace([' ', '-'], "_");
        if name == SPEED_LOST {
            return Some(Self::SpeedGainLogH);
        }
        Self::ALL.into_iter().find(|c| c.name() == name)
    }

    /// Whether `heading` is the old one of [`Column::SpeedGainLogH`], whose numbers have the other
    /// sign.
    pub(super) fn is_speed_lost(heading: &str) -> bool {
        Self::from_heading(heading) == Some(Self::SpeedGainLogH)
            && !heading.to_lowercase().contains("gain")
    }

    /// The bounds of its numbers.
    pub(super) const fn bounds(self) -> Bounds {
        match self {
            Self::Litres => Litres::BOUNDS,
            Self::AddedMl => AddedMillilitres::BOUNDS,
            Self::RemovedMl => RemovedMillilitres::BOUNDS,
            Self::AreaM2 => FilmArea::BOUNDS,
            Self::Minutes => Minutes::BOUNDS,
            Self::Celsius => Celsius::BOUNDS,
            Self::Activity => Bounds::above_zero("an activity", 100.0),
            Self::ActivityLow | Self::ActivityHigh => Bounds::new("an activity", -100.0, 100.0),
            Self::Contrast => Bounds::new("a contrast", 0.0, 10.0),
            Self::BasePlusFog | Self::LowDensity | Self::HighDensity => Density::BOUNDS,
            Self::SpeedLogH => LogExposure::BOUNDS,
            Self::Load => super::load::BATCH,
            _ => Bounds::new("a deviation", -100.0, 100.0),
        }
    }

    /// A number that could stand in it.
    pub(super) const fn example(self) -> &'static str {
        match self {
            Self::Litres => "1.5",
            Self::AddedMl | Self::RemovedMl => "125",
            Self::AreaM2 => "0.056",
            Self::Minutes => "9.5",
            Self::Celsius => "20",
            Self::Activity | Self::ActivityLow | Self::ActivityHigh => "0.95",
            Self::Contrast => "0.58",
            Self::BasePlusFog | Self::LowDensity | Self::HighDensity => "0.31",
            Self::SpeedLogH => "-2.1",
            Self::Load => "1",
            _ => "-0.02",
        }
    }

    /// Whether an act of this name fills it.
    pub(super) fn is_filled_by(self, act: &str) -> bool {
        // Leaders share some columns with strips.
        if act == "leader" && LeaderResult::COLUMNS.contains(&self) {
            return true;
        }
        match self {
            Self::Date | Self::Act | Self::Note => true,
            Self::Litres | Self::What | Self::Dilution => act == "mix",
            Self::Films | Self::AreaM2 => act == "film",
            Self::AddedMl | Self::RemovedMl => act == "replenish",
            Self::Pairing | Self::Minutes | Self::Celsius | Self::Contrast => {
                matches!(act, "film" | "strip")
            }
            _ if self.is_of_load() => act == "film",
            _ => act == "strip",
        }
    }

    /// Whether it came after the first journals: an old journal gets it when an entry first fills it.
    pub(super) const fn is_of_load(self) -> bool {
        matches!(
            self,
            Self::Numbers | Self::Load | Self::Vessel | Self::Development | Self::Temperatures
        )
    }

    /// The number that `text` writes in this column; a decimal comma only where `comma_allowed`.
    pub(super) fn number(self, text: &str, comma_allowed: bool) -> Result<f64, CellError> {
        number(text, comma_allowed).map_err(|fault| {
            let found = text.into();
            match fault {
                NumberFault::DecimalComma => CellError::DecimalComma { found },
                NumberFault::NotANumber => {
                    CellError::NotANumber { found, bounds: self.bounds(), example: self.example() }
                }
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_in_any_case() {
        assert_eq!(Column::from_heading(" Added ML "), Some(Column::AddedMl));
        assert_eq!(Column::from_heading("added"), None);
        assert_eq!(Column::from_heading("Speed-off"), Some(Column::SpeedGainLogH));
        assert!(Column::is_speed_lost("Speed off") && !Column::is_speed_lost("speed_gain_log_h"));
    }

    #[test]
    fn a_bound_that_is_refused_itself() {
        let ml = Column::AddedMl.bounds();
        assert!(ml.contains(0.001) && !ml.contains(0.0) && !ml.contains(f64::NAN));
        assert!(Column::RemovedMl.bounds().contains(0.0));
        assert!(!Column::RemovedMl.bounds().contains(-1.0));
    }

    #[test]
    fn examples_can_stand_in_their_columns() {
        for column in Column::ALL {
            let number = column.number(column.example(), false).unwrap();
            assert!(column.bounds().contains(number), "{column:?}");
        }
    }
}
