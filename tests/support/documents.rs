//! JSON documents are held to the schema of their command.

use jsonschema::Validator;
use serde_json::Value;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};
use wedgebook::show::schema;

static VALIDATORS: Mutex<Option<HashMap<String, Arc<Validator>>>> = Mutex::new(None);

/// The command of a line, as its schema is named: `bath-mix`.
pub fn command_of(args: &[&str]) -> String {
    let mut words = args.iter().filter(|arg| !arg.starts_with('-'));
    let first = words.next().copied().unwrap_or_default();
    match (first, words.next()) {
        ("bath", Some(act)) => format!("bath-{act}"),
        _ => first.to_owned(),
    }
}

/// The validator of a command's schema.
pub fn validator(command: &str) -> Arc<Validator> {
    let mut all = VALIDATORS.lock().unwrap_or_else(PoisonError::into_inner);
    let all = all.get_or_insert_default();
    let made = all.entry(command.to_owned()).or_insert_with(|| {
        let schema = schema::of(command).unwrap_or_else(|| panic!("{command}: no schema"));
        let schema: Value = serde_json::from_str(&schema).unwrap();
        Arc::new(jsonschema::draft202012::new(&schema).unwrap())
    });
    Arc::clone(made)
}

/// Holds what a run printed to the schema of its command, where it is a JSON document.
pub fn hold(args: &[&str], printed: &str) {
    if !args.contains(&"--json") || !printed.trim_start().starts_with('{') {
        return;
    }
    let Ok(document) = serde_json::from_str::<Value>(printed) else { return };
    let command = command_of(args);
    let validator = validator(&command);
    let faults: Vec<String> = validator
        .iter_errors(&document)
        .map(|fault| format!("{}: {fault}", fault.instance_path()))
        .collect();
    assert!(
        faults.is_empty(),
        "{args:?}: not as docs/schema/{command}.json says:\n{}",
        faults.join("\n")
    );
}
