//! What stands in the JSON documents: a JSON Schema for each command, kept in `docs/schema`.
//!
//! The tests hold every document of every run to the schema of its command, in which no key is unknown.

use serde_json::{Map, Value};
use std::collections::BTreeSet;

macro_rules! schemas {
    ($($name:literal),* $(,)?) => {
        [$(($name, include_str!(concat!("../../docs/schema/", $name, ".json")))),*]
    };
}

/// The definitions that several schemas share.
const COMMON: &str = include_str!("../../docs/schema/common.json");
/// How a schema in its file refers to them, and how it does where they stand in it.
const TO_COMMON: &str = "common.json#/$defs/";
const WITHIN: &str = "#/$defs/";

/// Names of the commands whose answers have a schema, those of two words with a hyphen, in their order.
pub fn names() -> impl Iterator<Item = &'static str> {
    ALL.iter().map(|(name, _)| *name)
}

/// The schema of a command's documents, complete in itself, laid out in lines. None where the command has
/// no such document.
///
/// ```
/// let schema = wedgebook::show::schema::of("adjust").unwrap();
/// assert!(schema.contains("https://json-schema.org/draft/2020-12/schema"));
/// ```
#[must_use]
pub fn of(name: &str) -> Option<String> {
    let (_, text) = ALL.iter().find(|(own, _)| *own == name)?;
    let mut own: Value = serde_json::from_str(text).ok()?;
    let common: Value = serde_json::from_str(COMMON).ok()?;
    let mut wanted = BTreeSet::new();
    refer_within(&mut own, &mut wanted);
    let mut definitions = Map::new();
    while let Some(name) = wanted.pop_first() {
        let mut definition = common["$defs"].get(&name)?.clone();
        refer_within(&mut definition, &mut wanted);
        definitions.insert(name, definition);
        wanted.retain(|name| !definitions.contains_key(name));
    }
    let all = own.as_object_mut()?;
    if let Value::Object(there) = all.entry("$defs").or_insert_with(|| Map::new().into()) {
        there.extend(definitions);
    }
    Some(format!("{own:#}\n"))
}

/// Makes the references to the shared definitions internal, and gathers their names.
fn refer_within(schema: &mut Value, names: &mut BTreeSet<String>) {
    match schema {
        Value::Object(object) => {
            for (key, value) in object {
                match value {
                    Value::String(target) if key == "$ref" => {
                        if let Some(name) = target.strip_prefix(TO_COMMON).map(str::to_owned) {
                            *target = format!("{WITHIN}{name}");
                            names.insert(name);
                        }
                    }
                    value => refer_within(value, names),
                }
            }
        }
        Value::Array(values) => values.iter_mut().for_each(|value| refer_within(value, names)),
        _ => {}
    }
}

/// The commands with their schemas.
static ALL: [(&str, &str); 34] = schemas![
    "adjust",
    "bath-chart",
    "bath-discard",
    "bath-film",
    "bath-forecast",
    "bath-leader",
    "bath-log",
    "bath-mix",
    "bath-note",
    "bath-replenish",
    "bath-status",
    "bath-strip",
    "bath-undo",
    "bench",
    "calibrate",
    "compare",
    "convert",
    "curve",
    "drift",
    "evenness",
    "exposure",
    "fix",
    "leader",
    "list",
    "paper",
    "proof",
    "read",
    "session",
    "start",
    "tone",
    "trace",
    "type",
    "verify",
    "wash",
];
