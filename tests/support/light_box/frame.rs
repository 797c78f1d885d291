//! A frame in the strip's place: evenly exposed, with or without unevenness of development, or a scene.

/// A frame. Places in mm along the film from its left side and across it from its lower edge.
#[derive(Clone, Debug)]
pub struct Frame {
    pub length: f64,
    pub width: f64,
    /// Density of the even part.
    pub level: f64,
    /// Density that is added along the left side, the lower edge, the right side, the upper edge.
    pub streaks: [f64; 4],
    /// Distance from its edge within which a streak falls to 1/e, in mm.
    pub depth: f64,
    /// Density that is added at the perforations, along both long edges.
    pub surge: f64,
    /// Density that is added from one side to the other: along, across.
    pub slope: [f64; 2],
    /// Waves of a scene: density, waves over the frame along and across, phase.
    pub waves: Vec<(f64, [f64; 2], f64)>,
    /// The film's frame is moved by this against the opening, in mm: beyond it lies unexposed film.
    pub moved: [f64; 2],
    /// Base plus fog.
    pub base: f64,
    /// A third opening shows unexposed film beside the frame.
    pub rebate: bool,
}

/// Distance of the perforations in mm.
const PITCH: f64 = 4.75;

impl Frame {
    /// An even frame of 36 × 24 mm.
    pub fn even(level: f64) -> Self {
        Self {
            length: 36.0,
            width: 24.0,
            level,
            streaks: [0.0; 4],
            depth: 2.5,
            surge: 0.0,
            slope: [0.0; 2],
            waves: Vec::new(),
            moved: [0.0; 2],
            base: 0.3,
            rebate: false,
        }
    }

    /// A negative of a smooth scene: its densities lie about `level`, at most 2.3 times `depth` away.
    pub fn scene(level: f64, depth: f64, phase: f64) -> Self {
        let waves = vec![
            (depth, [1.3, 0.4], phase),
            (0.8 * depth, [0.3, -1.1], 2.0 * phase),
            (0.5 * depth, [2.2, 1.7], 3.0 * phase),
        ];
        Self { waves, rebate: true, ..Self::even(level) }
    }

    /// The density at a place of the frame.
    pub fn density(&self, x: f64, y: f64) -> f64 {
        let to_edges = [x, y, self.length - x, self.width - y];
        let streaks: f64 = self
            .streaks
            .iter()
            .zip(to_edges)
            .map(|(streak, away)| streak * (-away.max(0.0) / self.depth).exp())
            .sum();
        let near = (-to_edges[1] / 2.0).exp() + (-to_edges[3] / 2.0).exp();
        let surge = self.surge * near * (std::f64::consts::TAU * x / PITCH).cos();
        let (u, v) = (x / self.length, y / self.width);
        let slope = self.slope[0] * (u - 0.5) + self.slope[1] * (v - 0.5);
        let waves: f64 = self
            .waves
            .iter()
            .map(|(d, [a, b], phase)| d * (std::f64::consts::TAU * (a * u + b * v) + phase).cos())
            .sum();
        (self.level + streaks + surge + slope + waves).max(self.base)
    }
}
