//! One plot with all that is drawn on it: its layers, the names beside marks, the labels beside it.

use super::labels::Room;
use super::layer::Layer;
use super::legend::Entry;
use super::margin::{Label, Margin};
use super::page::Axis;
use super::plot::Plot;
use super::range::bounds;
use crate::figures::draw::{Colour, GREY, Paint, Path, Rect, Scene, shortened};

/// Size of the names beside marks.
pub const NAME: f64 = 11.5;
/// Widest name beside a mark.
const NAME_WIDTH: f64 = 130.0;

/// A name beside a point.
struct Name {
    words: String,
    /// Where it may stand, the best place first.
    at: Vec<(f64, f64)>,
    radius: f64,
    colour: Colour,
}

type Draw = Box<dyn Fn(&Plot, &mut Scene)>;

/// A plot of one quantity.
#[derive(Default)]
pub struct Panel {
    /// The axis at its left.
    pub y: Axis,
    /// Height of the plot in page units, where the scales are not equal.
    pub height: f64,
    layers: Vec<(u8, Layer)>,
    pub(super) entries: Vec<Entry>,
    pub(super) margin: Margin,
    names: Vec<Name>,
    in_sight: Vec<(f64, f64)>,
    labels: Vec<Draw>,
    above: Option<(f64, Draw)>,
}

impl Panel {
    /// A panel of a height in page units.
    #[must_use]
    pub fn of_height(height: f64) -> Self {
        Self { height, ..Self::default() }
    }

    /// Adds layers, and to the legend an entry with their samples. Nothing is added where all of
    /// them are empty.
    pub fn show(
        &mut self,
        entry: impl Into<Option<Entry>>,
        layers: impl IntoIterator<Item = Layer>,
    ) {
        let layers = layers.into_iter().map(|layer| (layer.height(), layer));
        self.show_at(entry, layers);
    }

    /// The same, with the heights of the layers over one another: those with a lower number lie
    /// below (bands 0, rules 2, lines 4, bars 5, points 6).
    pub fn show_at(
        &mut self,
        entry: impl Into<Option<Entry>>,
        layers: impl IntoIterator<Item = (u8, Layer)>,
    ) {
        let shown: Vec<(u8, Layer)> = layers.into_iter().filter(|l| !l.1.is_empty()).collect();
        if let Some(mut entry) = entry.into().filter(|_| !shown.is_empty()) {
            entry.samples.extend(shown.iter().filter_map(|(_, layer)| layer.sample()));
            self.entries.push(entry);
        }
        self.layers.extend(shown);
    }

    /// Adds an entry with the sample of a layer that is drawn in several forms.
    pub fn sample(&mut self, words: &str, layer: &Layer) {
        self.entries.push(Entry::new(words, layer.sample().into_iter().collect()));
    }

    /// Adds a sample to the last entry of the legend.
    pub fn sample_of_last(&mut self, layer: &Layer) {
        if let Some(entry) = self.entries.last_mut() {
            entry.samples.extend(layer.sample());
        }
    }

    /// Adds a line of detail to the last entry of the legend.
    pub fn detail(&mut self, words: &str) {
        if let Some(entry) = self.entries.last_mut() {
            entry.details.push(words.to_owned());
        }
    }

    /// Takes its entries out of the legend: another panel has them.
    pub fn forget_entries(&mut self) {
        self.entries.clear();
    }

    /// Points that must be in sight beside those of the layers.
    pub fn keep_in_sight(&mut self, points: impl IntoIterator<Item = (f64, f64)>) {
        self.in_sight.extend(points);
    }

    /// Adds an entry without layers to the legend.
    pub fn entry(&mut self, entry: Entry) {
        self.entries.push(entry);
    }

    /// Writes a label right of the plot, at the height of a value.
    pub fn label(&mut self, label: Label) {
        self.margin.labels.push(label);
    }

    /// Writes a name beside a point with a mark of this radius, where it hides nothing.
    pub fn name(&mut self, words: &str, at: (f64, f64), radius: f64, colour: Colour) {
        self.name_of_several(words, vec![at], radius, colour);
    }

    /// The same beside the first of several points where it hides nothing.
    pub fn name_of_several(
        &mut self,
        words: &str,
        at: Vec<(f64, f64)>,
        radius: f64,
        colour: Colour,
    ) {
        let words = shortened(words.trim(), NAME, NAME_WIDTH).into_owned();
        if !words.is_empty() {
            self.names.push(Name { words, at, radius, colour });
        }
    }

    /// Writes or draws anything over the frame.
    pub fn over(&mut self, draw: impl Fn(&Plot, &mut Scene) + 'static) {
        self.labels.push(Box::new(draw));
    }

    /// Keeps a height free above the plot and draws there.
    pub fn above(&mut self, height: f64, draw: impl Fn(&Plot, &mut Scene) + 'static) {
        self.above = Some((height, Box::new(draw)));
    }

    pub(super) fn height_above(&self) -> f64 {
        self.above.as_ref().map_or(0.0, |a| a.0)
    }

    fn seen(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        let own = self.layers.iter().flat_map(|(_, layer)| layer.seen());
        own.chain(self.in_sight.iter().copied())
    }

    /// The lowest and the highest place across of all that must be in sight.
    #[must_use]
    pub fn across(&self) -> Option<(f64, f64)> {
        bounds(self.seen().map(|p| p.0))
    }

    /// The lowest and the highest value of all that must be in sight.
    #[must_use]
    pub fn up(&self) -> Option<(f64, f64)> {
        bounds(self.seen().map(|p| p.1))
    }

    /// The same, widened to the ends of intervals as far as that leaves the values their room: by
    /// two fifths of what they take, or of `least`.
    #[must_use]
    pub fn up_with_intervals(&self, least: f64) -> Option<(f64, f64)> {
        let (low, high) = self.up()?;
        let room = 0.4 * (high - low).max(least);
        let ends = self.layers.iter().flat_map(|(_, layer)| layer.ends());
        let (from, to) = bounds(ends).unwrap_or((low, high));
        Some((from.clamp(low - room, low), to.clamp(high, high + room)))
    }

    /// Its entries in the legend.
    pub(in crate::figures) fn entries(&self) -> impl Iterator<Item = &Entry> {
        self.entries.iter()
    }

    /// Draws everything but the axes.
    pub(in crate::figures) fn draw(&self, scene: &mut Scene, plot: &Plot) {
        let mut order: Vec<&(u8, Layer)> = self.layers.iter().collect();
        order.sort_by_key(|(height, _)| *height);
        scene.clipped(plot.area, |scene| order.iter().for_each(|(_, l)| l.draw(scene, plot)));
        plot.draw_frame(scene);
        if let Some((_, draw)) = &self.above {
            draw(plot, scene);
        }
        self.labels.iter().for_each(|draw| draw(plot, scene));
        self.margin.draw(scene, plot);
        self.draw_names(scene, plot);
    }

    fn draw_names(&self, scene: &mut Scene, plot: &Plot) {
        if self.names.is_empty() {
            return;
        }
        let mut room = Room::new(plot.area);
        for (lines, marks) in self.layers.iter().map(|(_, layer)| layer.obstacles(plot)) {
            lines.into_iter().for_each(|line| room.take_line(line));
            marks.into_iter().for_each(|(at, radius)| room.take_mark(at, radius));
        }
        for name in &self.names {
            let mut places = name.at.iter().map(|at| plot.at(*at));
            let Some(text) = places.find_map(|at| room.place(&name.words, NAME, at, name.radius))
            else {
                continue;
            };
            // On white: the grid may pass below.
            let (x, y) = text.at;
            let ground = Rect { x: x - 1.0, y: y - NAME, width: text.width() + 2.0, height: NAME };
            scene.shape(Path::rect(ground), Paint::tinted(crate::figures::draw::WHITE, 0.8));
            scene.text(text.coloured(name.colour));
        }
    }
}

/// Colour of the names of strips.
pub const NAME_COLOUR: Colour = GREY;
