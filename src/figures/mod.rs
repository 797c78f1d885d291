//! Figures: one file per figure on one small drawing layer.
//!
//! A figure is a function of what it shows. It gives a [`Chart`]: layers over one axis, with a legend.
//! A chart becomes a [`draw::Scene`], and a scene is written as SVG or PNG:
//!
//! ```
//! use wedgebook::curve::Choice;
//! use wedgebook::figures::characteristic;
//! use wedgebook::measures::analyse;
//! use wedgebook::readings::{ReadOptions, read_bytes};
//!
//! let text = "log_exposure,density\n-2.4,0.14\n-1.9,0.30\n-1.5,0.52\n-0.6,1.08\n";
//! let readings = read_bytes("tuesday.csv", text.as_bytes(), &ReadOptions::default())?;
//! let strips = analyse(readings.strips, Choice::Auto);
//! assert!(characteristic(&strips).scene().to_svg().starts_with("<svg"));
//! # Ok::<(), wedgebook::readings::ReadErrors>(())
//! ```
//!
//! | module | holds |
//! |---|---|
//! | [`draw`] | paths, text and colours on a page; SVG, PNG, files |
//! | [`chart`] | scales and ticks, a plot area with axes, markers, a legend |
//! | [`characteristic()`] | the characteristic curves of one strip or several |
//! | [`contrast_time()`] | contrast and exposure index over development time, with the aims' times |
//! | [`growths()`] | the growth of contrast of several pairings |
//! | [`control_strip()`] | a control strip over its aim, and the differences |
//! | [`control_charts`] | the control charts of a bath, one panel a quantity |
//! | [`density_map`] | the density over frames, with contours and spots |
//! | [`card`] | the card of times for the wall, on A5 paper |
//! | [`paper_curves`] | the curves of a printing paper, with the points of ISO 6846 |
//! | [`frame_overlay`] | the cells or areas of a frame over a picture |
//! | [`overlay`] | the boxes of the steps over a picture |
//! | [`proof()`] | density over seconds: the contact proof's time |
//! | [`tone_reproduction`] | tone reproduction in four quadrants |

pub mod card;
mod characteristic;
pub mod chart;
mod contrast_time;
mod control_chart;
mod control_strip;
mod curves;
pub mod density_map;
pub mod draw;
mod error;
mod frame;
mod growths;
mod paper;
mod picture;
mod proof;
mod tone;

pub use card::{CardCell, CardColumn, CardRow, TimeTemperatureCard};
pub use characteristic::characteristic;
pub use chart::Chart;
pub use contrast_time::contrast_time;
pub use control_chart::{Mark, control_charts};
pub use control_strip::control_strip;
pub use density_map::{DensityMapFigure, FieldGrid, MapFrame, MapPanel, MapPlace};
pub use error::FigureError;
pub use frame::frame_overlay;
pub use growths::growths;
pub use paper::paper_curves;
pub use picture::{MarkedBox, overlay};
pub use proof::{ProofCurve, proof};
pub use tone::tone_reproduction;
