//! From frames to their patterns, tests and findings.

use super::estimates::Estimates;
use super::geometry::{Geometry, OutsideFrame};
use super::noise::Noise;
use super::notes::EvennessNote;
use super::options::Options;
use super::pattern::Pattern;
use super::places::{Places, Repeats, extent, reading_step};
use super::spots::{FEWEST, Spot, Spots, spots};
use super::surface::Field;
use super::test::{Agreement, LEVEL, Sums, Test};
use crate::numerics::chance::holm;
use crate::numerics::mixed::Scale;
use crate::readings::Frames;

/// Fewest places of a frame from which anything is told.
pub const FEWEST_PLACES: usize = 3;

/// A frame read over less than this along the film, in mm, says nothing of where its left side is.
const APART_MM: f64 = 5.0;

/// Why nothing can be told.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Unusable {
    /// No frame was read at enough places.
    #[error(
        "no frame was read at {FEWEST_PLACES} places or more (the most is {most}); read a grid of 5 × 3 places over each frame"
    )]
    TooFew {
        /// Places of the frame that has most.
        most: usize,
    },
    /// A place lies outside the frame.
    #[error(transparent)]
    OutsideFrame(#[from] OutsideFrame),
    /// Places of two frames lie nowhere over one another.
    #[error(
        "frame {first} was read from x {} to {} mm and frame {second} from x {} to {} mm; x_mm counts from each frame's own left side",
        .at[0].0, .at[0].1, .at[1].0, .at[1].1
    )]
    Apart {
        /// One frame.
        first: String,
        /// The other.
        second: String,
        /// Where they were read, along the film.
        at: [(f64, f64); 2],
    },
}

/// One frame, measured.
#[derive(Clone, Debug, PartialEq)]
pub struct FrameEvenness {
    /// Its name.
    pub name: String,
    /// Its places, repeats taken together.
    pub places: Places,
    /// Readings, repeats counted.
    pub readings: usize,
    /// How it is uneven.
    pub pattern: Pattern,
    /// Places that depart from the smooth field.
    pub spots: Vec<Spot>,
    /// The chances that even film looks like this; none with too few places.
    pub test: Option<Test>,
    /// Whether it is uneven, at a level of 5 % for all frames together.
    pub uneven: bool,
    /// The smooth field without the spots; none with too few places.
    pub field: Option<Field>,
}

/// All frames together.
#[derive(Clone, Debug, PartialEq)]
pub struct Together {
    /// The mean of the frames' patterns.
    pub pattern: Pattern,
    /// What they have in common and what not.
    pub agreement: Option<Agreement>,
    /// Whether the common pattern is uneven, at a level of 5 % with all frames.
    pub uneven: bool,
    /// Whether the frames differ from one another, at a level of 5 %.
    pub different: bool,
    /// The smooth field in common.
    pub field: Option<Field>,
}

/// What was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Evenness {
    /// Each frame.
    pub frames: Vec<FrameEvenness>,
    /// All of them, where there are several.
    pub together: Option<Together>,
    /// The frame and how far it was read.
    pub geometry: Geometry,
    /// The noise of reading.
    pub reading_noise: Noise,
    /// The noise that intervals are made with.
    pub noise: Noise,
    /// Standard uncertainty of one reading that corresponds to it.
    pub sigma: f64,
    /// What should be known beside the numbers.
    pub notes: Vec<EvennessNote>,
}

impl Evenness {
    /// Whether anything is uneven: a frame, or what all have in common.
    #[must_use]
    pub fn uneven(&self) -> bool {
        self.frames.iter().any(|f| f.uneven) || self.together.as_ref().is_some_and(|t| t.uneven)
    }
}

/// What is worked out of one frame before the noise is known.
struct Draft {
    places: Places,
    kept: Places,
    spots: Spots,
    sums: Sums,
    estimates: Estimates,
}

/// Measures how even frames are.
///
/// # Errors
/// [`Unusable`] where no frame has enough places, or one lies outside the frame's given size.
///
/// # Example
/// ```
/// use wedgebook::evenness::{Options, measure};
/// use wedgebook::readings::frames_of_bytes;
///
/// let mut text = String::from("x_mm,y_mm,density\n");
/// for (row, y) in [2, 12, 22].iter().enumerate() {
///     for (column, x) in [2, 10, 18, 26, 34].iter().enumerate() {
///         // Both long edges are 0.06 denser than the middle.
///         let edge = if row == 1 { 0.0 } else { 0.06 };
///         let noise = [0.003, -0.002, 0.001, -0.003, 0.002][(column + 2 * row) % 5];
///         text.push_str(&format!("{x},{y},{:.3}\n", 0.80 + edge + noise));
///     }
/// }
/// let frames = frames_of_bytes("frame.csv", text.as_bytes(), None)?;
/// let evenness = measure(&frames, &Options::default())?;
/// assert!(evenness.uneven());
/// let long = evenness.frames[0].pattern.long_edges.both.clone()?;
/// assert!(long.low < 0.06 && 0.06 < long.high);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn measure(frames: &Frames, options: &Options) -> Result<Evenness, Unusable> {
    let step = reading_step(&frames.frames);
    let read: Vec<(Places, Repeats)> = frames.frames.iter().map(|f| Places::of(f, step)).collect();
    let most = read.iter().map(|(p, _)| p.len()).max().unwrap_or(0);
    if most < FEWEST_PLACES {
        return Err(Unusable::TooFew { most });
    }
    let places: Vec<Places> = read.iter().map(|(p, _)| p.clone()).collect();
    refuse_apart(frames, &places)?;
    let geometry = Geometry::of(&places, options)?;
    let repeats = summed(read.iter().map(|(_, r)| *r));
    let sigmas = frames.frames.iter().flat_map(|f| &f.readings).map(|r| r.sigma.get());
    let least_sigma = sigmas.clone().fold(f64::INFINITY, f64::min);
    let least = (step / 12_f64.sqrt() / least_sigma).min(1.0).powi(2).max(1e-12);
    let (reading_noise, note) = Noise::of_reading(repeats, frames.sigma_is_assumed, least);
    let looked_at: usize = places.iter().map(Places::len).sum();
    let spot_noise =
        Noise::of_spots(reading_noise, places.iter().map(|p| Sums::of(&geometry, p).scatter));
    let drafts: Vec<Draft> =
        places.into_iter().map(|p| Draft::of(&geometry, p, &spot_noise, looked_at)).collect();
    let scatter = summed(drafts.iter().map(|d| d.sums.scatter));
    let noise = Noise::of_intervals(reading_noise, repeats, scatter);
    let tests: Vec<Option<Test>> = drafts
        .iter()
        .map(|d| {
            let enough = d.places.len() >= FEWEST_PLACES;
            enough.then(|| {
                let wave = d.estimates.wave_chance(&noise);
                Test::of(&d.sums, (&reading_noise, &noise), d.spots.chance, wave)
            })
        })
        .collect();
    let agreement = agreement(&geometry, &drafts, &noise);
    let mut chances: Vec<f64> = tests.iter().map(|t| t.map_or(1.0, |t| t.chance())).collect();
    chances.extend(agreement.map(|a| a.common));
    let raised = holm(&chances);
    let together = (drafts.len() > 1).then(|| {
        let estimates: Vec<&Estimates> = drafts.iter().map(|d| &d.estimates).collect();
        let kept: Vec<Places> = drafts
            .iter()
            .filter(|d| d.kept.len() >= FEWEST_PLACES)
            .map(|d| d.kept.clone())
            .collect();
        let field = Field::of_frames(&geometry, &kept, Scale::Known(noise.variance));
        let uneven = agreement.is_some() && raised[drafts.len()] < LEVEL;
        Together {
            pattern: Estimates::mean(&estimates).pattern(
                (&geometry, &noise),
                field.as_ref().map(|f| (f, kept.as_slice())),
                uneven,
            ),
            agreement,
            uneven,
            different: agreement.is_some_and(|a| a.different < LEVEL),
            field,
        }
    });
    let mut sigma_sum = 0.0;
    let mut readings = 0.0;
    for sigma in sigmas {
        sigma_sum += sigma * sigma;
        readings += 1.0;
    }
    let sigma = (noise.variance * sigma_sum / readings).sqrt();
    let measured: Vec<FrameEvenness> = frames
        .frames
        .iter()
        .zip(drafts)
        .zip(tests.iter().zip(raised))
        .map(|((frame, draft), (test, chance))| {
            let uneven = chance < LEVEL || !draft.spots.spots.is_empty();
            draft.finish((&geometry, &noise), &reading_noise, *test, uneven, frame)
        })
        .collect();
    let mut notes: Vec<EvennessNote> = note.into_iter().collect();
    notes.extend(super::notes::notes(&measured, &geometry, frames.sigma_is_assumed));
    Ok(Evenness { frames: measured, together, geometry, reading_noise, noise, sigma, notes })
}

/// Refuses frames whose places were counted along the whole film.
fn refuse_apart(frames: &Frames, places: &[Places]) -> Result<(), Unusable> {
    let reach: Vec<(f64, f64)> = places.iter().map(|p| extent(&p.x)).collect();
    let long = |(low, high): (f64, f64)| high - low >= APART_MM;
    let least = |at: &usize| reach[*at].1;
    let most = |at: &usize| reach[*at].0;
    let of_frames = || (0..reach.len()).filter(|at| long(reach[*at]));
    let left = of_frames().min_by(|a, b| least(a).total_cmp(&least(b)));
    let right = of_frames().max_by(|a, b| most(a).total_cmp(&most(b)));
    match (left, right) {
        (Some(left), Some(right)) if reach[left].1 < reach[right].0 => Err(Unusable::Apart {
            first: frames.frames[left].name.clone(),
            second: frames.frames[right].name.clone(),
            at: [reach[left], reach[right]],
        }),
        _ => Ok(()),
    }
}

fn summed(all: impl Iterator<Item = Repeats>) -> Repeats {
    all.fold(Repeats::default(), |sum, one| Repeats {
        sum_of_squares: sum.sum_of_squares + one.sum_of_squares,
        degrees_of_freedom: sum.degrees_of_freedom + one.degrees_of_freedom,
    })
}

/// What frames have in common: of those that carry the same coefficients.
fn agreement(geometry: &Geometry, drafts: &[Draft], noise: &Noise) -> Option<Agreement> {
    let terms = drafts.iter().map(|d| d.sums.terms).max()?;
    let alike: Vec<&Draft> = drafts.iter().filter(|d| d.sums.terms == terms).collect();
    if alike.len() < 2 || terms == 0 {
        return None;
    }
    let places: Vec<Places> = alike.iter().map(|d| d.kept.clone()).collect();
    let sums: Vec<Sums> = alike.iter().map(|d| d.sums).collect();
    let estimates: Vec<&Estimates> = alike.iter().map(|d| &d.estimates).collect();
    let wave = Estimates::mean(&estimates).wave_chance(noise);
    Agreement::of(geometry, &places, &sums, noise, wave)
}

impl Draft {
    fn of(geometry: &Geometry, places: Places, noise: &Noise, looked_at: usize) -> Self {
        let spots = if places.len() >= FEWEST {
            spots(geometry, &places, noise, looked_at)
        } else {
            Spots { spots: Vec::new(), chance: 1.0 }
        };
        let left_out: Vec<usize> = spots.spots.iter().map(|s| s.index).collect();
        let kept = places.without(&left_out);
        let enough = kept.len() >= FEWEST_PLACES;
        Self {
            sums: if enough { Sums::of(geometry, &kept) } else { Sums::default() },
            estimates: Estimates::of(geometry, &kept),
            places,
            kept,
            spots,
        }
    }

    fn finish(
        self,
        (geometry, noise): (&Geometry, &Noise),
        reading_noise: &Noise,
        test: Option<Test>,
        uneven: bool,
        frame: &crate::readings::Frame,
    ) -> FrameEvenness {
        let enough = self.kept.len() >= FEWEST_PLACES;
        let field =
            enough.then(|| Field::of(geometry, &self.kept, Scale::Known(noise.variance))).flatten();
        let kept = std::slice::from_ref(&self.kept);
        let mut pattern = self.estimates.pattern(
            (geometry, noise),
            field.as_ref().map(|f| (f, kept)),
            test.is_some_and(|t| t.field < LEVEL),
        );
        pattern.scatter = super::pattern::scatter(&self.sums, &self.kept, reading_noise, test);
        FrameEvenness {
            name: frame.name.clone(),
            readings: frame.readings.len(),
            places: self.places,
            pattern,
            spots: self.spots.spots,
            test,
            uneven,
            field,
        }
    }
}
