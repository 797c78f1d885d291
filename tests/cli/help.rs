//! What `--help` shows: a question for each command, options alike everywhere, examples that run.

use crate::desk::{Desk, data};
use std::collections::BTreeMap;

/// The subcommands that a help text lists.
fn listed(help: &str) -> Vec<String> {
    let lines = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    let names = lines.take_while(|line| !line.is_empty()).filter_map(|line| {
        line.strip_prefix("  ")
            .filter(|line| !line.starts_with(' '))
            .and_then(|line| line.split(' ').next())
    });
    names.filter(|name| *name != "help").map(str::to_owned).collect()
}

/// Every command with its help, as `["bath", "mix"]`; `calibrate` comes first, for others need a
/// pairing.
pub fn commands(desk: &Desk) -> Vec<(Vec<String>, String)> {
    let help = |words: &[String]| {
        let mut args: Vec<&str> = words.iter().map(String::as_str).collect();
        args.push("--help");
        desk.run(&args).1
    };
    let mut all = Vec::new();
    for name in listed(&help(&[])) {
        let words = vec![name];
        let text = help(&words);
        let below = listed(&text);
        all.push((words.clone(), text));
        for act in below {
            let words = vec![words[0].clone(), act];
            let text = help(&words);
            all.push((words, text));
        }
    }
    all.sort_by_key(|(words, _)| words[0] != "calibrate");
    all
}

/// The words of a line as a shell takes them.
pub fn shell_words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            c => words.last_mut().unwrap().push(c),
        }
    }
    words
}

/// The examples in the help of a command.
pub fn examples<'a>(name: &str, help: &'a str) -> Vec<&'a str> {
    let start = format!("wedgebook {name}");
    help.lines().map(str::trim).filter(|line| line.starts_with(&start)).collect()
}

#[test]
fn each_command_answers_a_question_and_its_examples_run() {
    let desk = Desk::empty();
    desk.copy_all();
    let commands = commands(&desk);
    assert!(commands.len() >= 39, "{}", commands.len());
    for (words, help) in &commands {
        let name = words.join(" ");
        let question = help.lines().next().unwrap();
        assert!(question.ends_with('?'), "{name}: {question}");
        assert!(help.contains("Exit status: 0 "), "{name}");
        let examples = examples(&name, help);
        assert!(!examples.is_empty(), "{name}");
        for example in examples {
            let (line, file) = match example.split_once(" > ") {
                Some((line, file)) => (line, Some(file)),
                None => (example, None),
            };
            let args = shell_words(line);
            let args: Vec<&str> = args.iter().skip(1).map(String::as_str).collect();
            let (status, out, err) = desk.run(&args);
            let may_be_no = help.contains("done, 1 ") || help.contains(", 1 ");
            assert!(status == 0 || (status == 1 && may_be_no), "{example}: {status} {err}");
            assert!(!out.is_empty(), "{example}: {err}");
            if let Some(file) = file {
                desk.write(file, &out);
            }
        }
    }
}

#[test]
fn an_option_is_the_same_in_every_command() {
    let desk = Desk::empty();
    let mut seen: BTreeMap<String, (String, String)> = BTreeMap::new();
    for (words, help) in commands(&desk) {
        let begins = |line: &&str| line.starts_with("      --") || line.starts_with("  -");
        for line in help.lines().filter(begins) {
            let Some(at) = line.find("--") else { continue };
            let line = line[at..].trim();
            let (option, value) = line.split_once(' ').unwrap_or((line, ""));
            let value = value.split("  ").next().unwrap_or("").trim();
            // The kind of file that is written follows from the command.
            let is_file = value.contains('.') && !value.contains("..");
            let value = if is_file { "a file".to_owned() } else { value.to_owned() };
            let name = words.join(" ");
            let (first, by) =
                seen.entry(option.to_owned()).or_insert_with(|| (value.clone(), name));
            assert_eq!(*first, value, "{option} of {by} and of {}", words.join(" "));
        }
    }
    for option in ["--temperature", "--date", "--activity", "--paper-range", "--json"] {
        assert!(seen.contains_key(option), "{option}");
    }
}

#[test]
fn help_is_in_plain_words_and_of_a_readable_width() {
    let desk = Desk::empty();
    for (words, help) in commands(&desk) {
        for line in help.lines().filter(|line| !line.starts_with("Usage: ")) {
            assert!(line.chars().count() <= 100, "{}: {line}", words.join(" "));
        }
        let plain: Vec<&str> = help.split(|c: char| !c.is_alphabetic()).collect();
        for unwanted in ["tell", "tells", "told", "carry", "carries", "mend", "whichever"] {
            assert!(!plain.contains(&unwanted), "{}: {unwanted}", words.join(" "));
        }
    }
}

#[test]
fn a_slip_in_a_name_is_answered_with_the_name() {
    let desk = Desk::empty();
    for (args, name) in [
        (&["adjsut", "p.toml"][..], "'adjust'"),
        (&["adjust", "p.toml", "--temperatur", "20"], "'--temperature'"),
        (&["adjust", "p.toml", "--celsius", "20"], "'--temperature'"),
        (&["paper", &data("paper.csv"), "--paper-rang", "95"], "'--paper-range'"),
    ] {
        let (status, _, err) = desk.run(args);
        assert_eq!(status, 2);
        assert!(err.contains(name), "{err}");
    }
}
