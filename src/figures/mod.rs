//! Figures: one file per figure on one small drawing layer.
//!
//! A figure is plain data that becomes a [`draw::Scene`], and a scene is written as SVG or PNG:
//!
//! ```
//! use wedgebook::figures::{CharacteristicFigure, PlotPoint, StripCurve};
//!
//! let reading = |x: f64, d: f64| PlotPoint { log_exposure: x, density: d, suspect: false };
//! let strip = StripCurve {
//!     name: "Tuesday class, 9 minutes".to_owned(),
//!     points: vec![reading(-2.4, 0.14), reading(-1.5, 0.52), reading(-0.6, 1.08)],
//!     ..StripCurve::default()
//! };
//! let figure = CharacteristicFigure {
//!     title: "Characteristic curve".to_owned(),
//!     subtitle: None,
//!     absolute: true,
//!     strips: vec![strip],
//! };
//! assert!(figure.scene().to_svg().starts_with("<svg"));
//! ```
//!
//! | module | holds |
//! |---|---|
//! | [`draw`] | paths, text and colours on a page; SVG, PNG, files |
//! | [`chart`] | scales and ticks, a plot area with axes, markers, a legend |
//! | [`characteristic`] | the characteristic curves of one strip or several |
//! | [`contrast_time`] | contrast over development time, with the aims' times |
//! | [`speed_contrast`] | exposure index over contrast, with the ISO speed |
//! | [`control_strip`] | a control strip over its aim, and the differences |
//! | [`control_chart`] | the control charts of a bath, one panel a quantity |
//! | [`density_map`] | the density over frames, with contours and spots |
//! | [`card`] | the card of times for the wall, on A5 paper |
//! | [`paper`] | the curves of a printing paper, with the points of ISO 6846 |
//! | [`proof`] | density over seconds: the contact proof's time |
//! | [`tone`] | tone reproduction in four quadrants |

pub mod card;
pub mod characteristic;
pub mod chart;
pub mod contrast_time;
pub mod control_chart;
pub mod control_strip;
pub mod density_map;
pub mod draw;
mod error;
pub mod paper;
pub mod proof;
pub mod speed_contrast;
mod temperatures;
pub mod tone;

pub use card::{CardCell, CardColumn, CardRow, TimeTemperatureCard};
pub use characteristic::{
    CharacteristicFigure, ContrastIndexMark, CurvePoint, IsoTriangle, PlotPoint, StripCurve,
};
pub use contrast_time::{Aim, ContrastAt, ContrastTimeFigure, CurveAt};
pub use control_chart::{ControlChartFigure, Mark};
pub use control_strip::{ControlStep, ControlStripFigure};
pub use density_map::{DensityMapFigure, FieldGrid, MapFrame, MapPanel, MapPlace};
pub use error::FigureError;
pub use paper::{PaperCurve, PaperFigure};
pub use proof::ProofFigure;
pub use speed_contrast::{IsoSpeedMark, SpeedAt, SpeedContrastFigure, SpeedCurveAt};
pub use tone::{ToneFigure, TonePoint, Traced};
