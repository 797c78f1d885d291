//! What is watched on the control strips of a bath: one name and one code each.

use std::fmt;

/// A quantity of a control strip. All but the activity are watched as deviations from their aim.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Watched {
    /// The activity of the bath: 1 as calibrated.
    Activity,
    /// The pairing's measure of contrast.
    Contrast,
    /// Base plus fog.
    BasePlusFog,
    /// Speed: minus the log exposure of the speed point. More is faster.
    Speed,
    /// Density of a fixed step in the toe.
    LowDensity,
    /// Density of a fixed step in the middle.
    MidDensity,
    /// Density of a fixed step high up.
    HighDensity,
    /// High density minus low density.
    DensityDifference,
}

impl Watched {
    /// Those that a journal keeps, in the order of a sheet of charts.
    pub const CHARTED: [Self; 7] = [
        Self::Activity,
        Self::Contrast,
        Self::BasePlusFog,
        Self::Speed,
        Self::LowDensity,
        Self::HighDensity,
        Self::DensityDifference,
    ];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Activity => "activity",
            Self::Contrast => "contrast",
            Self::BasePlusFog => "base plus fog",
            Self::Speed => "speed",
            Self::LowDensity => "low density",
            Self::MidDensity => "mid density",
            Self::HighDensity => "high density",
            Self::DensityDifference => "density difference",
        }
    }

    /// Its code for programs. That of speed says its sign and its unit: a gain in log exposure.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Activity => "activity",
            Self::Contrast => "contrast",
            Self::BasePlusFog => "base_plus_fog",
            Self::Speed => "speed_gain_log_h",
            Self::LowDensity => "low_density",
            Self::MidDensity => "mid_density",
            Self::HighDensity => "high_density",
            Self::DensityDifference => "density_difference",
        }
    }

    /// What is charted of it: the activity itself, and of all others the deviation from aim.
    #[must_use]
    pub fn charted_name(self) -> String {
        match self {
            Self::Activity => self.name().to_owned(),
            _ => format!("{} off aim", self.name()),
        }
    }
}

impl fmt::Display for Watched {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}
