//! Text keeps to the width of the terminal; what is drawn of letters can be left out.

use crate::desk::Desk;
use crate::help::{commands, examples, shell_words};
use textwrap::core::display_width;

/// Commands that print a file, whose lines are not broken.
const FILES: [&str; 2] = ["schema", "completions"];

#[test]
fn no_line_of_text_is_wider_than_the_terminal() {
    for columns in [Some(60), Some(80), Some(120), None] {
        let desk = Desk::empty();
        desk.copy_all();
        let mut seen = 0;
        for (words, help) in commands(&desk) {
            let name = words.join(" ");
            for example in examples(&name, &help) {
                let is_text = !example.contains(" > ") && !example.contains(" --json");
                if !is_text || FILES.contains(&words[0].as_str()) {
                    continue;
                }
                let args = shell_words(example);
                let args: Vec<&str> = args.iter().skip(1).map(String::as_str).collect();
                let (_, out, _) = desk.run_in(columns, &args);
                for line in out.lines() {
                    let width = display_width(line);
                    let most = columns.unwrap_or(80) as usize;
                    assert!(width <= most, "{example}: {width} of {most}: {line}");
                }
                seen += 1;
            }
        }
        assert!(seen > 40, "{seen}");
    }
}

#[test]
fn help_keeps_to_the_width_too() {
    let desk = Desk::empty();
    for columns in [60, 80] {
        for (words, _) in commands(&desk) {
            let mut args: Vec<&str> = words.iter().map(String::as_str).collect();
            args.push("--help");
            let (_, help, _) = desk.run_in(Some(columns), &args);
            // Usage and examples are lines to copy.
            let free = |line: &&str| !line.contains("wedgebook ");
            for line in help.lines().filter(free) {
                let width = display_width(line);
                assert!(width <= columns as usize, "{}: {width}: {line}", words.join(" "));
            }
        }
    }
}

#[test]
fn small_drawings_can_be_left_out() {
    let desk = Desk::empty();
    desk.copy("bath.csv");
    let args = ["bath", "chart", "bath.csv", "--date", "2026-11-17"];
    let is_drawn = |text: &str| text.contains(|c| ('▁'..='█').contains(&c));
    let (status, drawn, _) = desk.run(&args);
    assert!(is_drawn(&drawn), "{drawn}");
    let plain = [&args[..], &["--no-drawing"]].concat();
    let (same, plain, _) = desk.run(&plain);
    assert_eq!(status, same);
    assert!(!is_drawn(&plain) && plain.contains("base plus fog"), "{plain}");
    // The rest is said all the same.
    let words = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
    let plain = words(&plain);
    for word in words(&drawn).iter().filter(|word| !is_drawn(word)) {
        let heading = ["20", "strips"].contains(&word.as_str());
        assert!(heading || plain.contains(word), "{word}");
    }
}
