//! No English in the pure rooms: they hand on what was found as types, and prose, pages and the command line say it.

use super::{PURE, Token, room_of, sources, tokens};
use std::collections::BTreeSet;

/// Texts of two or more words that are no sentences: closed lists, and phrases that are looked for in what people wrote.
const CLOSED_LISTS: &[(&str, &[&str])] = &[
    // the key of a stream of random numbers
    ("stats/power.rs", &["told apart"]),
    ("standing/conditions.rs", &["unless stated otherwise"]),
    ("standing/reference_runs.rs", &["new specimen lot", "new drum"]),
    ("records/limit.rs", &["in doubt", "not run"]),
    ("records/field.rs", &["yes, no"]),
    ("catalogue/readings/ageing.rs", &["acid number", "mg KOH/g"]),
    ("units/unit.rs", &["million cycles", "N m", "mPa s", "mg KOH/g"]),
    ("contact/preset/parameter.rs", &["N m"]),
    // bodies in a drawing
    ("contact/depicted.rs", &["first disc", "second disc"]),
    (
        "contact/preset/drawn.rs",
        &["equivalent roller", "equivalent ball"],
    ),
    ("contact/preset/rings.rs", &["raceway in this section"]),
    ("contact/preset/vane.rs", &["vane tip", "ring bore"]),
    // what a list is of
    (
        "contact/preset/tapered_roller.rs",
        &["contact of a tapered roller"],
    ),
    // what the reader of JSON says that it expects
    ("contact/preset/read.rs", &["a JSON object of keys and values"]),
];

/// Files whose texts are words of lists; what takes a value is none.
const FILES_OF_LISTS: &[(&str, &str)] = &[
    ("records/words.rs", "words of the archive's columns"),
    ("catalogue/mark.rs", "marks"),
    ("catalogue/method.rs", "categories of DIN 50322"),
    ("catalogue/mode.rs", "failure modes"),
    (
        "units/display.rs",
        "choices of a reader, and what stands for no number",
    ),
    ("units/measure.rs", "units"),
    ("contact/term.rs", "names of the eleven terms"),
    ("contact/terms.rs", "shapes, motions, materials, supplies"),
    ("contact/film/general.rs", "papers"),
];

/// Texts of two or more words, with their lines: those of errors too, but not those of other attributes and of what is
/// compiled for tests only.
fn sentences(source: &str) -> Vec<(usize, String)> {
    let tokens = tokens(source);
    let sign = |at: usize, c: char| matches!(tokens.get(at), Some((_, Token::Sign(s))) if *s == c);
    let mut found = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let inner = sign(at, '#') && sign(at + 1, '!') && sign(at + 2, '[');
        if inner || sign(at, '#') && sign(at + 1, '[') {
            let open = if inner { at + 2 } else { at + 1 };
            let end = closed(&tokens, open);
            let words = words_of(&tokens[open..end]);
            if words.first() != Some(&"error") {
                at = if words == ["cfg", "test"] {
                    after_item(&tokens, end)
                } else {
                    end
                };
                continue;
            }
        }
        // a preset is called by its word
        let is_word = at >= 6 && tokens[at - 6].1 == Token::Word("WORD".to_string()) && sign(at - 1, '=');
        if let (line, Token::Text(text)) = &tokens[at]
            && has_two_words(text)
            && !is_word
        {
            found.push((*line, on_one_line(text)));
        }
        at += 1;
    }
    found
}

fn words_of(attribute: &[(usize, Token)]) -> Vec<&str> {
    let words = attribute.iter().filter_map(|(_, token)| match token {
        Token::Word(word) => Some(word.as_str()),
        _ => None,
    });
    words.collect()
}

/// A text without the breaks that a backslash takes out of it.
fn on_one_line(text: &str) -> String {
    let mut parts = text.split("\\\n");
    let first = parts.next().unwrap_or_default().to_string();
    parts.fold(first, |joined, part| joined + part.trim_start())
}

/// The place behind the bracket that closes the one at `open`.
fn closed(tokens: &[(usize, Token)], open: usize) -> usize {
    let mut depth = 0;
    for (at, (_, token)) in tokens.iter().enumerate().skip(open) {
        match token {
            Token::Sign('(' | '[' | '{') => depth += 1,
            Token::Sign(')' | ']' | '}') => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return at + 1;
        }
    }
    tokens.len()
}

/// The place behind an item: its block, or the semicolon where it has none.
fn after_item(tokens: &[(usize, Token)], from: usize) -> usize {
    for (at, (_, token)) in tokens.iter().enumerate().skip(from) {
        match token {
            Token::Sign('{') => return closed(tokens, at),
            Token::Sign(';') => return at + 1,
            _ => {}
        }
    }
    tokens.len()
}

/// Whether letters stand on both sides of a blank. What stands for a value is no word.
fn has_two_words(text: &str) -> bool {
    let blanks = text.replace("\\n", " ").replace("\\t", " ").replace('\\', "");
    let (mut without_values, mut depth) = (String::new(), 0);
    for c in blanks.chars() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            _ if depth > 0 => {}
            c => without_values.push(c),
        }
    }
    let words = without_values.split_whitespace();
    words.filter(|word| word.chars().any(char::is_alphabetic)).count() > 1
}

fn takes_a_value(text: &str) -> bool {
    text.replace("\\u{", "").contains('{')
}

/// The sentences of the pure rooms, by file and line.
fn said() -> Vec<(String, usize, String)> {
    let mut said = Vec::new();
    for (path, source) in sources() {
        let (room, name) = (room_of(&path), path.to_string_lossy().into_owned());
        if PURE.contains(&room.as_str()) && !name.ends_with("tests.rs") {
            said.extend(
                sentences(&source)
                    .into_iter()
                    .map(|(line, text)| (name.clone(), line, text)),
            );
        }
    }
    said
}

#[test]
fn the_pure_rooms_hold_no_english() {
    let is_listed = |name: &str, text: &str| {
        let mut lists = CLOSED_LISTS.iter().filter(|(file, _)| *file == name);
        let is_of_lists = FILES_OF_LISTS.iter().any(|(file, _)| *file == name);
        lists.any(|(_, texts)| texts.contains(&text)) || is_of_lists && !takes_a_value(text)
    };
    let wrong: Vec<String> = said()
        .iter()
        .filter(|(name, _, text)| !is_listed(name, text))
        .map(|(name, line, text)| format!("{name}:{line}: \"{text}\" belongs into the prose"))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_text_of_a_closed_list_is_there() {
    let there: BTreeSet<(String, String)> = said().into_iter().map(|(name, _, text)| (name, text)).collect();
    for (name, texts) in CLOSED_LISTS {
        for text in *texts {
            let listed = (name.to_string(), text.to_string());
            assert!(there.contains(&listed), "{name} holds \"{text}\" no more");
        }
    }
    for (name, what) in FILES_OF_LISTS {
        assert!(
            there.iter().any(|(file, _)| file == name),
            "{name} holds no {what}"
        );
    }
}

#[test]
fn sentences_are_found_wherever_they_stand() {
    for source in [
        "fn f() -> &'static str { \"No blend has this code.\" }",
        "fn f(n: usize) -> String { format!(\"{n} runs of {n} each\") }",
        "const A: [&str; 1] = [r#\"two \"quoted\" words\"#];",
        "fn f() { g(\"first\\nsecond\") }",
        "#[error(\"{0} is out of range\")] struct Fault(f64);",
        "#[cfg(test)] mod tests; fn f() { g(\"after it\") }",
        "#[cfg(test)]\nmod tests { fn f() { g(\"in it\") } }\nfn f() { g(\"after it\") }",
        "fn f() { g(\"over \\\n  two lines\") }",
    ] {
        assert_eq!(sentences(source).len(), 1, "{source}");
    }
}

#[test]
fn values_names_attributes_comments_and_tests_are_no_sentences() {
    for source in [
        "fn f() { format!(\"{} ({lo:.2} × {hi})\", words::of(x)); }",
        "fn f() { format!(\"{lo} to {hi}\"); g(\"slide_roll\"); g(\"kg/m³\"); g(\"63.2 %\"); }",
        "const WORD: &'static str = \"vane on ring\";",
        "#[strum(serialize = \"all screens\")] struct Kind; // two words",
        "#![expect(clippy::unwrap_used, reason = \"two words\")]",
        "/// Two words.\n#[cfg(test)]\nmod tests { fn f() { let a = [\"two words\"]; } }",
    ] {
        assert_eq!(sentences(source), Vec::new(), "{source}");
    }
}
