//! What a session says before anything else.

/// Cautions for everyone who works with the solutions, in the order in which they are told.
pub const CAUTIONS: [&str; 6] = [
    "The makers' safety sheets come first: read them, and follow them where this page says otherwise.",
    "Wear gloves and protect your eyes; mix and pour where the air is changed.",
    "Pour acid into water, never water into acid.",
    "Neither eat nor drink in the darkroom, and keep solutions out of vessels for food.",
    "Keep electricity away from water, and dry your hands before you touch a switch.",
    "Dispose of used solutions by the local rules; fixer holds silver.",
];

/// Below this, in °C, nothing should be developed (common practice, no source).
pub const COLDEST: f64 = 13.0;
/// Above this, in °C, nothing should be developed (common practice, no source).
pub const WARMEST: f64 = 35.0;

/// Why nothing should be developed at a temperature in °C, if that is so.
#[must_use]
pub fn refusal(celsius: f64) -> Option<String> {
    let shown = (100.0 * celsius).round() / 100.0;
    if celsius < COLDEST {
        Some(format!(
            "{shown} °C is too cold: below {COLDEST} °C nothing should be developed, for developers hardly work there (common practice, no source); warm it first"
        ))
    } else if celsius > WARMEST {
        Some(format!(
            "{shown} °C is too hot: above {WARMEST} °C nothing should be developed, for gelatin grows soft (common practice, no source); cool it first"
        ))
    } else {
        None
    }
}
