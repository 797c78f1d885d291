//! The JSON documents are as their schemas say.

use crate::desk::Desk;
use crate::desk::documents::{command_of, validator};
use crate::help::{commands, examples, shell_words};
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};
use wedgebook::show::schema;

/// The documents of the examples in the help of all commands, and of the sessions of README and guide. Each run holds
/// its document to the schema.
fn documents() -> BTreeMap<String, Vec<Value>> {
    let desk = Desk::empty();
    desk.copy_all();
    let mut lines = Vec::new();
    for (words, help) in commands(&desk) {
        let has_json = help.contains("\n      --json");
        for example in examples(&words.join(" "), &help) {
            lines.push((example.to_owned(), has_json));
        }
    }
    let shown = crate::readme::commands().into_iter();
    lines.extend(shown.map(|line| (format!("wedgebook {line}"), true)));
    let mut found: BTreeMap<String, Vec<Value>> = BTreeMap::new();
    for (line, has_json) in lines {
        let (line, file) =
            line.split_once(" > ").map_or((line.as_str(), None), |(l, f)| (l, Some(f)));
        let words = shell_words(line);
        let mut args: Vec<&str> = words.iter().skip(1).map(String::as_str).collect();
        if let Some(file) = file {
            desk.write(file, &desk.run(&args).1);
            continue;
        }
        if !has_json {
            continue;
        }
        if !args.contains(&"--json") {
            args.push("--json");
        }
        let (_, out, _) = desk.run(&args);
        if let Ok(document) = serde_json::from_str(&out) {
            found.entry(command_of(&args)).or_default().push(document);
        }
    }
    found
}

#[test]
fn each_document_of_the_examples_is_as_its_schema_says() {
    let found = documents();
    let seen: BTreeSet<&str> = found.keys().map(String::as_str).collect();
    assert_eq!(seen, schema::names().collect(), "documents of these commands are seen");
    for (command, documents) in &found {
        let validator = validator(command);
        for document in documents {
            assert!(validator.is_valid(document), "{command}");
            for changed in with_unknown_keys(document) {
                assert!(
                    !validator.is_valid(&changed),
                    "{command}: an unknown key passes: {changed}"
                );
            }
        }
    }
}

/// The document with a key that no schema knows, once in each of its objects. A curve names its parameters
/// itself.
fn with_unknown_keys(document: &Value) -> Vec<Value> {
    let mut all = Vec::new();
    match document {
        Value::Object(object) => {
            let mut more = object.clone();
            more.insert("unknown_key".to_owned(), json!(1));
            all.push(Value::Object(more));
            for (key, value) in object.iter().filter(|(key, _)| *key != "parameters") {
                for changed in with_unknown_keys(value) {
                    let mut object = object.clone();
                    object.insert(key.clone(), changed);
                    all.push(Value::Object(object));
                }
            }
        }
        // The first of a list stands for all.
        Value::Array(values) => {
            for changed in values.first().map(with_unknown_keys).unwrap_or_default() {
                let mut values = values.clone();
                values[0] = changed;
                all.push(Value::Array(values));
            }
        }
        _ => {}
    }
    all
}

#[test]
fn each_command_with_documents_has_a_schema_that_explains_each_key() {
    let desk = Desk::empty();
    let with_json = commands(&desk)
        .into_iter()
        .filter(|(_, help)| help.contains("\n      --json"))
        .map(|(words, _)| words.join("-"));
    let with_json: BTreeSet<String> = with_json.collect();
    assert_eq!(with_json, schema::names().map(str::to_owned).collect());
    for name in schema::names() {
        let words: Vec<&str> = std::iter::once("schema").chain(name.split('-')).collect();
        let text = schema::of(name).unwrap();
        assert_eq!(desk.run(&words), (0, text.clone(), String::new()), "{name}");
        let schema: Value = serde_json::from_str(&text).unwrap();
        assert!(jsonschema::meta::is_valid(&schema), "{name}");
        explained(&schema, &schema, name);
    }
}

/// Every key has a description, every object knows its keys, and every reference leads somewhere.
fn explained(schema: &Value, root: &Value, place: &str) {
    match schema {
        Value::Object(object) => {
            if let Some(target) = object.get("$ref").and_then(Value::as_str) {
                let pointer =
                    target.strip_prefix('#').unwrap_or_else(|| panic!("{place}: {target}"));
                assert!(root.pointer(pointer).is_some(), "{place}: {target}");
            }
            if let Some(Value::Object(keys)) = object.get("properties") {
                assert_eq!(object.get("additionalProperties"), Some(&json!(false)), "{place}");
                for (key, value) in keys {
                    let place = format!("{place}.{key}");
                    let own = value.get("description").or_else(|| {
                        let target = value.get("$ref")?.as_str()?.strip_prefix('#')?;
                        root.pointer(target)?.get("description")
                    });
                    assert!(own.and_then(Value::as_str).is_some_and(|d| d.len() > 3), "{place}");
                    explained(value, root, &place);
                }
            }
            for (key, value) in object.iter().filter(|(key, _)| *key != "properties") {
                explained(value, root, &format!("{place}.{key}"));
            }
        }
        Value::Array(values) => values.iter().for_each(|value| explained(value, root, place)),
        _ => {}
    }
}
