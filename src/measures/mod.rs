//! The trade's measures of a characteristic curve, each with a 95 % interval or the reason why not.

/// A number with its 95 % interval.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Quantity {
    /// The estimate.
    pub value: f64,
    /// Lower end of the 95 % interval.
    pub low: f64,
    /// Upper end of the 95 % interval.
    pub high: f64,
}

/// A measure: a number with its interval, or the reason in words why the readings cannot carry it.
pub type Measured = Result<Quantity, String>;

/// The chord whose slope is the contrast index: O on the base-plus-fog line, P and Q on the curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ContrastIndexChord {
    /// (log exposure, density) of O.
    pub origin: (f64, f64),
    /// (log exposure, density) of P, on the arc of radius 0.2.
    pub near: (f64, f64),
    /// (log exposure, density) of Q, on the arc of radius 2.2.
    pub far: (f64, f64),
}
