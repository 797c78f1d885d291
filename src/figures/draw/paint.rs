//! Colours, strokes and fills, and the series of styles that tell curves apart.

/// An opaque colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Colour {
    /// Red, 0 to 255.
    pub red: u8,
    /// Green, 0 to 255.
    pub green: u8,
    /// Blue, 0 to 255.
    pub blue: u8,
}

impl Colour {
    /// The colour written `0xRRGGBB`.
    #[must_use]
    pub const fn hex(rgb: u32) -> Self {
        let [_, red, green, blue] = rgb.to_be_bytes();
        Self { red, green, blue }
    }
}

/// White of the paper.
pub const WHITE: Colour = Colour::hex(0xFF_FF_FF);
/// Text and readings.
pub const INK: Colour = Colour::hex(0x1F_24_28);
/// Secondary text and reference lines.
pub const GREY: Colour = Colour::hex(0x5A_63_6B);
/// Frame and ticks.
pub const RULE: Colour = Colour::hex(0x8A_93_9B);
/// Grid lines.
pub const GRID: Colour = Colour::hex(0xE1_E5_E9);

/// Colours that remain distinct with any colour vision (Okabe & Ito 2008; their yellow is left
/// out, too pale on white, and a neutral grey stands in its place at the end).
pub const OKABE_ITO: [Colour; 8] = [BLUE, VERMILLION, GREEN, BLACK, PURPLE, ORANGE, SKY, NEUTRAL];
/// Okabe–Ito blue.
pub const BLUE: Colour = Colour::hex(0x00_72_B2);
/// Okabe–Ito vermillion.
pub const VERMILLION: Colour = Colour::hex(0xD5_5E_00);
/// Okabe–Ito bluish green.
pub const GREEN: Colour = Colour::hex(0x00_9E_73);
/// Okabe–Ito black.
pub const BLACK: Colour = Colour::hex(0x00_00_00);
/// Okabe–Ito reddish purple.
pub const PURPLE: Colour = Colour::hex(0xCC_79_A7);
/// Okabe–Ito orange.
pub const ORANGE: Colour = Colour::hex(0xE6_9F_00);
/// Okabe–Ito sky blue.
pub const SKY: Colour = Colour::hex(0x56_B4_E9);
/// Neutral grey.
pub const NEUTRAL: Colour = Colour::hex(0x80_80_80);

/// A dark amber, between orange and vermillion, for thin lines and words.
pub const AMBER: Colour = Colour::hex(0x9C_5A_00);
/// A dark green, for words beside what is [`GREEN`].
pub const DARK_GREEN: Colour = Colour::hex(0x00_70_52);

/// Dashes that are told apart without colour, on and off lengths in page units; the first is solid.
pub const DASHES: [&[f64]; 8] = [
    &[],
    &[8.0, 3.5],
    &[4.0, 2.5],
    &[9.0, 3.0, 2.0, 3.0],
    &[2.0, 2.5],
    &[13.0, 6.0],
    &[9.0, 3.0, 2.0, 3.0, 2.0, 3.0],
    &[16.0, 3.0, 5.0, 3.0],
];

/// A line's colour, width and dashes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Colour of the line.
    pub colour: Colour,
    /// Width in page units.
    pub width: f64,
    /// On and off lengths in page units; empty is a solid line.
    pub dash: &'static [f64],
}

impl Stroke {
    /// A solid line.
    #[must_use]
    pub const fn solid(colour: Colour, width: f64) -> Self {
        Self { colour, width, dash: &[] }
    }

    /// The same line, dashed.
    #[must_use]
    pub const fn dashed(self, dash: &'static [f64]) -> Self {
        Self { dash, ..self }
    }
}

/// How a path is painted: the fill first, the stroke over it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Paint {
    /// Colour and opacity (0 to 1) of the inside.
    pub fill: Option<(Colour, f64)>,
    /// The outline.
    pub stroke: Option<Stroke>,
}

impl Paint {
    /// Only the inside, opaque.
    #[must_use]
    pub const fn filled(colour: Colour) -> Self {
        Self::tinted(colour, 1.0)
    }

    /// Only the inside, with an opacity from 0 to 1.
    #[must_use]
    pub const fn tinted(colour: Colour, opacity: f64) -> Self {
        Self { fill: Some((colour, opacity)), stroke: None }
    }

    /// The inside, opaque, with a thin white outline that parts it from what lies below.
    #[must_use]
    pub const fn dot(colour: Colour) -> Self {
        Self { fill: Some((colour, 1.0)), stroke: Some(Stroke::solid(WHITE, 1.0)) }
    }

    /// The outline over a white inside, as open markers have it.
    #[must_use]
    pub const fn open(stroke: Stroke) -> Self {
        Self { fill: Some((WHITE, 1.0)), stroke: Some(stroke) }
    }
}

impl From<Stroke> for Paint {
    fn from(stroke: Stroke) -> Self {
        Self { fill: None, stroke: Some(stroke) }
    }
}
