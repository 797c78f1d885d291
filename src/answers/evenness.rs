//! Is film developed evenly, and is unevenness seen in a print?

mod frames;

use super::{Answer, Column, Description, Field, Form, Gather, Need, Note, Section};
use super::{Table, Value};
use crate::evenness::{
    Cause, CauseSource, Evenness, EvennessNote, Finding, FrameSize, NoiseSource, Options, Pattern,
    Transition, Unusable, Why, causes, measure,
};
#[cfg(feature = "figures")]
use crate::figures::DensityMapFigure;
use crate::readings::{Frames, Labels};
use crate::words::{counted, number, trimmed};

/// As many findings as the first line names.
const NAMED: usize = 3;

/// What is uneven in frames, and what it is in a print.
#[derive(Clone, Debug)]
pub struct EvennessReport {
    labels: Labels,
    reading_notes: Vec<Note>,
    options: Options,
    evenness: Evenness,
    findings: Vec<Finding>,
    causes: Vec<Cause>,
}

impl EvennessReport {
    /// Measures frames of an evenly exposed film.
    ///
    /// # Errors
    /// [`Unusable`] where the places are too few, or contradict one another.
    pub fn of(frames: Frames, options: Options) -> Result<Self, Unusable> {
        let evenness = measure(&frames, &options)?;
        let findings = evenness.findings(&options.printing);
        let differ = evenness.together.as_ref().is_some_and(|t| t.different);
        Ok(Self {
            causes: causes(&findings, differ && !findings.is_empty()),
            reading_notes: frames.notes.iter().map(Note::remark).collect(),
            labels: frames.labels,
            options,
            evenness,
            findings,
        })
    }

    /// The map of density over the frames.
    #[must_use]
    #[cfg(feature = "figures")]
    pub fn figure(&self) -> DensityMapFigure {
        DensityMapFigure::of(&self.evenness, self.development())
    }

    /// Film, developer and date, as far as they are known.
    fn development(&self) -> Option<String> {
        let labels = &self.labels;
        let parts = [&labels.film, &labels.developer, &labels.date];
        let known: Vec<&str> = parts.into_iter().flatten().map(String::as_str).collect();
        (!known.is_empty()).then(|| known.join(", "))
    }

    /// The answer in a sentence: what all frames have in common goes first, then what is seen best.
    #[must_use]
    pub fn verdict(&self) -> String {
        let share = |f: &Finding| f.in_print / f.seen_from;
        let mut order: Vec<&Finding> = self.findings.iter().collect();
        order.sort_by(|a, b| {
            let common = b.frame.is_none().cmp(&a.frame.is_none());
            common.then(share(b).total_cmp(&share(a)))
        });
        let seen: Vec<&Finding> = order.iter().copied().filter(|f| f.is_seen()).collect();
        let named = if seen.is_empty() { &order } else { &seen };
        if named.is_empty() {
            return match self.evenness.uneven() {
                true => "Uneven by more than the noise of reading, but in no form that has a name",
                false => "Even: no difference is larger than the noise of reading",
            }
            .to_owned();
        }
        let one = |f: &&Finding| {
            format!("{}{} ({} in the print)", f.name(), self.scope(f), number(f.in_print, 2))
        };
        let mut parts: Vec<String> = named.iter().take(NAMED).map(one).collect();
        if let more @ 1.. = named.len().saturating_sub(NAMED) {
            parts.push(format!("and {more} more"));
        }
        let not = if seen.is_empty() { "not " } else { "" };
        format!("Uneven, and {not}seen in a print: {}", parts.join("; "))
    }

    /// In which frames something stands out, where there are several.
    fn scope(&self, finding: &Finding) -> String {
        match self.evenness.frames.len() {
            1 => String::new(),
            _ => format!(" in {}", self.place(finding)),
        }
    }

    /// The frame of a finding, or the frames that have it in common.
    fn place(&self, finding: &Finding) -> String {
        let own = |other: &Finding| other.frame.is_some() && other.form == finding.form;
        match &finding.frame {
            Some(frame) => format!("frame {frame}"),
            None if self.findings.iter().any(own) => "the other frames".to_owned(),
            None => "all frames".to_owned(),
        }
    }

    /// What was read, and how much readings scatter.
    fn read(&self) -> String {
        let frames = &self.evenness.frames;
        let places: usize = frames.iter().map(|f| f.places.len()).sum();
        let which = match frames.as_slice() {
            [only] => format!("frame {}", only.name),
            several => format!("{} frames", several.len()),
        };
        let (readings, places) = (counted(self.readings(), "reading"), counted(places, "place"));
        let development = self.development().map_or(String::new(), |d| format!(": {d}"));
        format!("{which}, {readings} at {places}{development}")
    }

    fn readings(&self) -> usize {
        self.evenness.frames.iter().map(|f| f.readings).sum()
    }
}

impl Answer for EvennessReport {
    fn describe(&self) -> Description {
        let mut all = Description::new(self.verdict());
        all.subtitle = Some(self.read());
        let labels = &self.labels;
        for (key, label) in
            [("film", &labels.film), ("developer", &labels.developer), ("date", &labels.date)]
        {
            all.heading.push(Field::new(key, key, label.as_deref()));
        }
        all.heading.push(Field::new("n", "readings", self.readings()));
        let mut verdict = Section::default().keyed("verdict");
        verdict.heading.push(Field::new("uneven", "uneven", self.evenness.uneven()));
        verdict.heading.push(Field::new("seen_in_print", "seen in a print", self.is_no()));
        all.add(verdict);
        match &labels.note {
            Some(note) => all.field("note", "note", note.as_str()),
            None => all.data("note", Value::Missing),
        }
        all.add(self.noise());
        all.add(self.frame_size());
        all.add(self.print());
        all.add(self.found());
        all.add(self.fits_with());
        let mut missing = Vec::new();
        self.add_patterns(&mut all, &mut missing);
        self.add_notes(&mut all, missing);
        all
    }

    fn is_no(&self) -> bool {
        self.findings.iter().any(Finding::is_seen)
    }
}

impl EvennessReport {
    fn noise(&self) -> Section {
        let evenness = &self.evenness;
        let (code, source, freedom) = match evenness.noise.source {
            NoiseSource::Given => ("given", "as given", None),
            NoiseSource::Repeats(n) => ("repeats", "from repeated readings", Some(n)),
            NoiseSource::Scatter(n) => ("scatter", "from the scatter about smooth fields", Some(n)),
            NoiseSource::Assumed(n) => ("assumed", "assumed", Some(n)),
        };
        let of = |n: usize| format!(", {} of freedom", counted(n, "degree"));
        let freedom_words = freedom.filter(|n| *n > 0).map(of).unwrap_or_default();
        let sigma = format!("{} ({source}{freedom_words})", number(evenness.sigma, 3));
        let mut noise = Section::default().keyed("noise");
        let value = Value::number(evenness.sigma, 3).worded(sigma);
        noise.field("sigma", "standard deviation of a reading", value);
        noise.data("source", Value::term(code, source));
        noise.data("degrees_of_freedom", freedom);
        noise
    }

    /// What stands out, with its size on the negative and in the print.
    fn found(&self) -> Table {
        let mut table = Table::new(vec![
            Column::new("frame", "frame").for_programs(),
            Column::new("form", "what stands out"),
            Column::new("size", "density difference"),
            Column::new("in_print", "in the print"),
            Column::new("seen_from", "seen from").for_programs(),
            Column::new("seen", "seen").for_programs(),
        ])
        .keyed("findings");
        let single = self.evenness.frames.len() == 1;
        for finding in &self.findings {
            let name = match single {
                true => finding.name(),
                false => format!("{}: {}", self.place(finding), finding.name()),
            };
            let seen = if finding.is_seen() { "seen" } else { "not seen" };
            let (in_print, from) = (number(finding.in_print, 2), number(finding.seen_from, 2));
            table.row(vec![
                finding.frame.as_deref().into(),
                Value::term(finding.form.name(), name),
                Value::quantity_as(&finding.size, Form::SignedDecimals(3)),
                Value::number(finding.in_print, 2)
                    .worded(format!("{in_print}, {seen} (from {from})")),
                Value::number(finding.seen_from, 2),
                finding.is_seen().into(),
            ]);
        }
        table
    }

    /// What the unevenness agrees with: the film does not show the cause.
    fn fits_with(&self) -> Table {
        let mut table = Table::new(vec![
            Column::new("sign", "this"),
            Column::new("cause", "may come from"),
            Column::new("remedy", "try"),
            Column::new("source", "source").for_programs(),
        ])
        .keyed("fits_with");
        for cause in &self.causes {
            table.title = Some("possible causes (the film does not show which)".to_owned());
            table.row(vec![
                Value::term(cause.sign.code(), cause.sign.words()),
                cause.cause.into(),
                Value::from(cause.remedy).worded(format!(
                    "{} ({})",
                    cause.remedy,
                    cause.source.words()
                )),
                match cause.source {
                    CauseSource::CommonPractice => {
                        Value::term("common_practice", cause.source.words())
                    }
                    CauseSource::Published(source) => source.into(),
                },
            ]);
        }
        table
    }

    fn frame_size(&self) -> Field {
        let geometry = &self.evenness.geometry;
        let (length, width) = (geometry.length(), geometry.width());
        let from = match geometry.size {
            FrameSize::Given => "as given",
            FrameSize::Assumed135 => "135 film, assumed",
            FrameSize::AsRead => "as far as was read",
        };
        let words = format!("{} × {} mm ({from})", trimmed(length, 1), trimmed(width, 1));
        let size = vec![
            ("length".into(), Value::plain(length, 1)),
            ("width".into(), Value::plain(width, 1)),
            ("assumed".into(), (geometry.size == FrameSize::Assumed135).into()),
        ];
        Field::new("frame_mm", "frame", Value::Map(size).worded(words))
    }

    /// What becomes of a density difference in the print.
    fn print(&self) -> Field {
        let printing = &self.options.printing;
        let (edge, gradual) = (Transition::Edge, Transition::Gradual);
        let words = format!(
            "{} times the density difference of the negative; seen from {} at an edge, from {} where gradual",
            number(printing.slope(), 1),
            trimmed(printing.threshold(edge), 3),
            trimmed(printing.threshold(gradual), 3)
        );
        let print = vec![
            ("gradient".into(), Value::number(printing.slope(), 2)),
            ("gradient_assumed".into(), printing.gradient.is_none().into()),
            ("seen_from".into(), Value::number(printing.threshold(edge), 2)),
            ("seen_from_gradual".into(), Value::number(printing.threshold(gradual), 2)),
        ];
        Field::new("print", "in the print", Value::Map(print).worded(words))
    }

    fn add_notes(&self, all: &mut Description, missing: Vec<Note>) {
        let printing = &self.options.printing;
        let note = |note: &EvennessNote| Note::remark(note).needing(need_of_note(note));
        all.notes.extend(self.evenness.not_excluded(printing).iter().map(note));
        all.notes.extend(missing);
        all.notes.extend(self.reading_notes.iter().cloned());
        all.notes.extend(self.evenness.notes.iter().map(note));
        all.notes(printing.assumptions());
    }
}

/// What may be stated so that a note is not needed.
const fn need_of_note(note: &EvennessNote) -> Option<Need> {
    match note {
        EvennessNote::SigmaAssumed => Some(Need::DensitySigma),
        EvennessNote::FrameAssumed | EvennessNote::FrameAsRead { .. } => Some(Need::FrameSize),
        _ => None,
    }
}

/// What may be stated so that a number is not missing.
const fn need(why: &Why) -> Option<Need> {
    match why {
        Why::NoiseAssumed => Some(Need::DensitySigma),
        Why::NoPitch => Some(Need::Pitch),
        _ => None,
    }
}

/// The form of a number of a pattern: sizes have no sign, differences have one.
fn form(key: &str) -> Form {
    match key {
        "mean" | "perforations" | "smooth_range" | "scatter" => Form::Decimals(3),
        _ => Form::SignedDecimals(3),
    }
}

/// The numbers of a pattern as fields; what is missing has its reason elsewhere.
fn pattern_fields(section: &mut Section, pattern: &Pattern, without: &str) {
    for (key, label, measured) in pattern.named() {
        if key != without {
            let value = measured.as_ref().ok().map(|q| Value::quantity_as(q, form(key)));
            section.field(key, label, value);
        }
    }
}

/// A chance, as far as it means something.
fn chance(chance: f64) -> Value {
    let value = Value::number(chance, 3);
    if chance < 0.001 { value.worded("< 0.001") } else { value }
}
