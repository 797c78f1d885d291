//! The numbers of frames, and of all frames together.

use super::{EvennessReport, chance, need, pattern_fields};
use crate::answers::{
    Block, Column, Description, Field, Gather, Note, NoteKind, Section, Table, Value,
};
use crate::evenness::{FrameEvenness, Pattern, Together, Why};

impl EvennessReport {
    /// All frames together, where there are several, and each frame: people get the main numbers of
    /// each, programs all of them. The reasons for what is missing go into `missing`.
    pub(super) fn add_patterns(&self, all: &mut Description, missing: &mut Vec<Note>) {
        let frames = &self.evenness.frames;
        let list = Block::Sections {
            key: "frames".into(),
            items: frames.iter().map(frame_section).collect(),
        };
        match (&self.evenness.together, frames.as_slice()) {
            (Some(together), _) => {
                all.add(together_section(together));
                all.add(Block::Twofold {
                    people: vec![frame_table(frames).into()],
                    programs: vec![list],
                });
                self.note_missing(&together.pattern, missing);
            }
            (None, [only, ..]) => {
                all.data("together", Value::Missing);
                let people = vec![frame_section(only).into()];
                all.add(Block::Twofold { people, programs: vec![list] });
                self.note_missing(&only.pattern, missing);
            }
            (None, []) => {}
        }
        for frame in frames {
            note_for_programs(frame, missing);
        }
    }

    /// Why numbers that people see are missing, each reason once.
    fn note_missing(&self, pattern: &Pattern, missing: &mut Vec<Note>) {
        let frames = &self.evenness.frames;
        let mut known: Vec<Why> = vec![Why::OfEachFrame];
        for (k, (key, label, measured)) in pattern.named().into_iter().enumerate() {
            // Scatter is a number of each frame; the reason counts where it is missing in all.
            let of_frames = || {
                let (_, _, first) = frames.first()?.pattern.named()[k];
                let same = frames.iter().all(|f| f.pattern.named()[k].2 == first);
                first.as_ref().err().filter(|_| same)
            };
            let why = match measured {
                Err(Why::OfEachFrame) => of_frames(),
                other => other.as_ref().err(),
            };
            let Some(why) = why.filter(|w| !known.contains(w)) else { continue };
            known.push(*why);
            missing.push(Note::missing(key, label, why).needing(need(why)));
        }
    }
}

/// Why numbers of a frame are missing, where nothing else says so.
fn note_for_programs(frame: &FrameEvenness, missing: &mut Vec<Note>) {
    for (key, _, measured) in frame.pattern.named() {
        let Err(why) = measured else { continue };
        let words = why.to_string();
        if !missing.iter().any(|note| note.words == words) {
            let about = format!("frame {}, {key}", frame.name);
            let note = Note::missing(about.clone(), about, words);
            missing.push(Note { kind: NoteKind::ForPrograms, ..note });
        }
    }
}

fn together_section(together: &Together) -> Section {
    let mut section = Section::titled("all frames together").keyed("together");
    pattern_fields(&mut section, &together.pattern, "scatter");
    section.field("uneven", "uneven in common", together.uneven);
    section.field("frames_differ", "frames differ", together.different);
    let agreement = together.agreement;
    section.field("chance_if_even", "chance if all are even", agreement.map(|a| chance(a.common)));
    let alike = agreement.map(|a| chance(a.different));
    section.field("chance_if_alike", "chance if all are alike", alike);
    section
}

fn frame_section(frame: &FrameEvenness) -> Section {
    let mut section = Section::titled(format!("frame {}", frame.name));
    section.heading.push(Field::new("frame", "frame", frame.name.as_str()));
    section.heading.push(Field::new("n", "readings", frame.readings));
    section.heading.push(Field::new("places", "places", frame.places.len()));
    section.field("uneven", "uneven", frame.uneven);
    let test = frame.test.map(|t| {
        let parts = vec![
            ("all".into(), Value::number(t.chance(), 3)),
            ("field".into(), Value::number(t.field, 3)),
            ("scatter".into(), Value::number(t.scatter, 3)),
            ("spots".into(), Value::number(t.spots, 3)),
            ("wave".into(), t.wave.map(|w| Value::number(w, 3)).into()),
        ];
        Value::Map(parts).worded(chance(t.chance()).for_people())
    });
    section.field("chance_if_even", "chance if it is even", test);
    pattern_fields(&mut section, &frame.pattern, "");
    let spot = |s: &crate::evenness::Spot| {
        Value::Map(vec![
            ("x_mm".into(), Value::plain(s.x, 2)),
            ("y_mm".into(), Value::plain(s.y, 2)),
            ("size".into(), Value::quantity(&s.size)),
        ])
    };
    let spots = Value::List(frame.spots.iter().map(spot).collect());
    section.field("spots", "spots", spots.worded(frame.spots.len().to_string()));
    section
}

/// One row a frame.
fn frame_table(frames: &[FrameEvenness]) -> Table {
    let column = |label| Column::new(label, label);
    let mut table = Table::new(
        ["frame", "mean", "along", "across", "long edges", "sides", "spots"]
            .into_iter()
            .chain(["chance if even", "uneven"])
            .map(column)
            .collect(),
    )
    .titled("each frame");
    for frame in frames {
        let named = frame.pattern.named();
        let cell = |key: &str| {
            let (key, _, measured) = named.iter().find(|(k, ..)| *k == key)?;
            measured.as_ref().ok().map(|q| Value::in_form(q.value, super::form(key)))
        };
        table.row(vec![
            frame.name.as_str().into(),
            cell("mean").into(),
            cell("gradient_along").into(),
            cell("gradient_across").into(),
            cell("long_edges").into(),
            cell("sides").into(),
            frame.spots.len().into(),
            frame.test.map(|t| chance(t.chance())).into(),
            frame.uneven.into(),
        ]);
    }
    table
}
