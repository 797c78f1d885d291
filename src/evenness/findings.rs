//! What stands out: of the numbers of a pattern those that are not noise, and what they are in a print.

use super::analysis::{Evenness, FrameEvenness};
use super::departures::{Departures, chance_of, contrasts};
use super::noise::Noise;
use super::pattern::{Band, Pattern};
use super::print::{Printing, Transition};
use super::test::LEVEL;
use crate::measures::Quantity;
use crate::numerics::chance::holm;

/// One edge of two stands out alone where it departs more than this many times as much as the other.
const ALONE: f64 = 3.0;
/// Share of the level that scatter has in the verdict.
const SCATTER_LEVEL: f64 = 0.1 * LEVEL;

/// The form of what stands out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Form {
    /// A gradient along the film, over the length of the frame.
    Along,
    /// A gradient across the film, over the width of the frame.
    Across,
    /// Both long edges against the middle.
    LongEdges,
    /// The lower long edge alone.
    LowerEdge,
    /// The upper long edge alone.
    UpperEdge,
    /// Both sides of the frame against the middle.
    Sides,
    /// The left side alone.
    LeftSide,
    /// The right side alone.
    RightSide,
    /// A pattern that repeats with the perforations.
    Perforations,
    /// A smooth field without any of these forms: its whole range.
    Field,
    /// Scatter from place to place.
    Scatter,
    /// A single place, in mm along and across.
    Spot(f64, f64),
}

impl Form {
    /// How the difference lies on the frame.
    #[must_use]
    pub const fn transition(self) -> Transition {
        match self {
            Self::Along | Self::Across | Self::Field => Transition::Gradual,
            _ => Transition::Edge,
        }
    }

    /// Its name in JSON.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Along => "gradient_along",
            Self::Across => "gradient_across",
            Self::LongEdges => "long_edges",
            Self::LowerEdge => "lower_edge",
            Self::UpperEdge => "upper_edge",
            Self::Sides => "sides",
            Self::LeftSide => "left_side",
            Self::RightSide => "right_side",
            Self::Perforations => "perforations",
            Self::Field => "smooth_field",
            Self::Scatter => "scatter",
            Self::Spot(..) => "spot",
        }
    }
}

/// One thing that stands out.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The frame; `None` for what all frames have in common.
    pub frame: Option<String>,
    /// Its form.
    pub form: Form,
    /// The density difference on the negative.
    pub size: Quantity,
    /// The density difference in the print, without its sign.
    pub in_print: f64,
    /// From which difference on it is seen there.
    pub seen_from: f64,
}

impl Finding {
    fn new(frame: Option<&str>, form: Form, size: Quantity, printing: &Printing) -> Self {
        Self {
            frame: frame.map(str::to_owned),
            form,
            size,
            in_print: size.value.abs() * printing.slope(),
            seen_from: printing.threshold(form.transition()),
        }
    }

    /// Whether it is seen in the print.
    #[must_use]
    pub fn is_seen(&self) -> bool {
        self.in_print >= self.seen_from
    }

    /// What it is: `both long edges denser than the middle`.
    #[must_use]
    pub fn name(&self) -> String {
        let rises = self.size.value > 0.0;
        let unlike = if rises { "denser than the middle" } else { "less dense than the middle" };
        let side = |up: &'static str, down: &'static str| if rises { up } else { down };
        match self.form {
            Form::Along => {
                format!("density rises along the film, to the {}", side("right", "left"))
            }
            Form::Across => {
                format!("density rises across the film, to the {} edge", side("upper", "lower"))
            }
            Form::LongEdges => format!("both long edges {unlike}"),
            Form::LowerEdge => format!("the lower edge {unlike}"),
            Form::UpperEdge => format!("the upper edge {unlike}"),
            Form::Sides => format!("both sides {unlike}"),
            Form::LeftSide => format!("the left side {unlike}"),
            Form::RightSide => format!("the right side {unlike}"),
            Form::Perforations => "a wave along the edges, with the perforations".to_owned(),
            Form::Field => "smooth variation over the frame, in no simple form".to_owned(),
            Form::Scatter => "scatter: two places differ by this on average".to_owned(),
            Form::Spot(x, y) => {
                format!("a {} spot at x {x}, y {y} mm", side("dense", "light"))
            }
        }
    }
}

impl Evenness {
    /// What stands out: first what all frames have in common (but for those in which it is named
    /// otherwise), then of each frame; spots last in each.
    #[must_use]
    pub fn findings(&self, printing: &Printing) -> Vec<Finding> {
        let mut found = Vec::new();
        let together = self.together.as_ref().filter(|t| t.uneven);
        let patterns: Vec<&Pattern> = self.frames.iter().map(|f| &f.pattern).collect();
        let departures = together.map(|together| {
            let frames: &[&Pattern] = if together.different { &patterns } else { &[] };
            Departures::of(frames, &together.pattern, &self.noise)
        });
        if let Some(departures) = &departures {
            let forms = standing_out(&departures.common, &self.noise, true);
            let finding = |(form, size)| Finding::new(None, form, size, printing);
            found.extend(forms.into_iter().map(finding));
        }
        for (at, frame) in self.frames.iter().enumerate() {
            let mut forms = match &departures {
                Some(departures) => departing(departures, at, frame),
                None if frame.uneven => {
                    let smooth = frame.test.is_some_and(|t| t.field < LEVEL);
                    standing_out(&frame.pattern, &self.noise, smooth)
                }
                None => Vec::new(),
            };
            forms.extend(scattered(frame));
            forms.extend(frame.spots.iter().map(|s| (Form::Spot(s.x, s.y), s.size)));
            let finding = |(form, size)| Finding::new(Some(&frame.name), form, size, printing);
            found.extend(forms.into_iter().map(finding));
        }
        found
    }
}

/// The forms in which a frame departs from the others.
fn departing(departures: &Departures, at: usize, frame: &FrameEvenness) -> Vec<(Form, Quantity)> {
    contrasts(&frame.pattern)
        .into_iter()
        .filter(|(form, _)| departures.departing.contains(&(at, *form)))
        .filter_map(|(form, measured)| Some((form, *measured.as_ref().ok()?)))
        .collect()
}

/// The scatter of a frame, as the difference of two places in the mean, if it stands out.
fn scattered(frame: &FrameEvenness) -> Option<(Form, Quantity)> {
    let found = frame.uneven && frame.test.is_some_and(|t| t.scatter < SCATTER_LEVEL);
    let scatter = frame.pattern.scatter.as_ref().ok().filter(|_| found)?;
    let times = |v: f64| v * std::f64::consts::SQRT_2;
    let difference = Quantity {
        value: times(scatter.value),
        low: times(scatter.low),
        high: times(scatter.high),
    };
    Some((Form::Scatter, difference))
}

/// The forms whose chance is below the level of all of them together; where none is, and the field is
/// uneven all the same, its range.
fn standing_out(pattern: &Pattern, noise: &Noise, smooth: bool) -> Vec<(Form, Quantity)> {
    let mut forms: Vec<(Form, Quantity, f64)> = contrasts(pattern)
        .into_iter()
        .filter_map(|(form, measured)| {
            let quantity = measured.as_ref().ok()?;
            Some((form, *quantity, chance_of(quantity, noise)))
        })
        .collect();
    if let (Ok(height), Some(chance)) = (&pattern.perforations, pattern.perforations_chance) {
        forms.push((Form::Perforations, *height, chance));
    }
    let raised = holm(&forms.iter().map(|f| f.2).collect::<Vec<_>>());
    let mut found: Vec<(Form, Quantity)> = forms
        .iter()
        .zip(raised)
        .filter(|(_, chance)| *chance < LEVEL)
        .map(|((form, quantity, _), _)| (*form, *quantity))
        .collect();
    one_edge(
        &mut found,
        (Form::Across, Form::LongEdges),
        &pattern.long_edges,
        (Form::LowerEdge, Form::UpperEdge),
    );
    one_edge(
        &mut found,
        (Form::Along, Form::Sides),
        &pattern.sides,
        (Form::LeftSide, Form::RightSide),
    );
    if let (true, true, Ok(range)) = (found.is_empty(), smooth, &pattern.range) {
        found.push((Form::Field, *range));
    }
    found
}

/// Whether 0 lies outside the interval.
fn is_clear(q: &Quantity) -> bool {
    q.low > 0.0 || q.high < 0.0
}

/// Where both edges stand out but only because of one of them, that one takes the place of both; in
/// either case the gradient that the edges make is no finding of its own.
fn one_edge(
    found: &mut Vec<(Form, Quantity)>,
    (gradient, both): (Form, Form),
    band: &Band,
    (first, second): (Form, Form),
) {
    let (Ok(a), Ok(b)) = (&band.first, &band.second) else {
        return;
    };
    let Some(at) = found.iter().position(|(form, _)| *form == both) else {
        return;
    };
    let (form, large, small) =
        if a.value.abs() > b.value.abs() { (first, a, b) } else { (second, b, a) };
    if large.value.abs() > ALONE * small.value.abs() {
        found[at] = (form, *large);
        found.retain(|(form, _)| *form != gradient);
    } else if a.value * b.value > 0.0 && is_clear(a) && is_clear(b) {
        // Two edges of one sign, one more than the other: the gradient is what sets them apart.
        found.retain(|(form, _)| *form != gradient);
    }
}
