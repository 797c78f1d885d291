//! Small helpers that make messages read well.

/// Longest text of a cell that a message repeats.
const LONGEST: usize = 40;
/// Longest list that a message repeats.
const MOST: usize = 12;

/// `text` in quotation marks, without control characters, cut where it is long.
pub(crate) fn shown(text: &str) -> String {
    let mut cut: String =
        text.chars().take(LONGEST).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if cut.len() < text.len() {
        cut.push('…');
    }
    format!("\"{cut}\"")
}

/// "1 cell", "2 cells".
pub(crate) fn counted(count: usize, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}

/// "a, b and c", cut where it is long; "nothing" where it is empty.
pub(crate) fn listed(items: &[String]) -> String {
    let bare = |text: &String| {
        let quoted = shown(text);
        quoted[1..quoted.len() - 1].to_owned()
    };
    let mut parts: Vec<String> = items.iter().take(MOST).map(bare).collect();
    if items.len() > MOST {
        parts.push(format!("{} more", items.len() - MOST));
    }
    match parts.split_last() {
        None => "nothing".to_owned(),
        Some((only, [])) => only.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_texts_and_lists_are_cut() {
        assert_eq!(shown("a\nb"), "\"a b\"");
        assert_eq!(shown(&"é".repeat(41)), format!("\"{}…\"", "é".repeat(40)));
        let names = |n: usize| (1..=n).map(|i| i.to_string()).collect::<Vec<_>>();
        assert_eq!(listed(&names(0)), "nothing");
        assert_eq!(listed(&names(1)), "1");
        assert_eq!(listed(&names(3)), "1, 2 and 3");
        assert_eq!(listed(&names(14)), "1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12 and 2 more");
    }
}
