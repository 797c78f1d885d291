//! Where a number of a session comes from.

use std::fmt;

/// Where a number comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// A person states it.
    Stated,
    /// Common practice; nothing published was read.
    Practice,
    /// US Navy, Photography (Basic), NAVEDTRA 14209, 1993.
    Navedtra14209,
    /// US Army, subcourse SS0509-8, p. 24.
    ArmySs0509,
}

impl Origin {
    /// Its code for programs.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Stated => "stated",
            Self::Practice => "common_practice",
            Self::Navedtra14209 => "navedtra_14209_1993",
            Self::ArmySs0509 => "us_army_ss0509_8",
        }
    }

    /// [`Self::Stated`] for what a person states, else this.
    #[must_use]
    pub const fn unless<T>(self, stated: Option<&T>) -> Self {
        if stated.is_some() { Self::Stated } else { self }
    }
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Stated => "as stated",
            Self::Practice => "common practice, no source",
            Self::Navedtra14209 => "NAVEDTRA 14209, 1993",
            Self::ArmySs0509 => "US Army SS0509-8, p. 24",
        })
    }
}
