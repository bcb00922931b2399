//! All text of a page in two places: its template, and the words file beside its code.

use super::{Token, sources, tokens};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Texts of two or more words that no reader of a page is told, by what they are instead.
const NOT_SAID: &[(&str, &[&str])] = &[
    (
        "a header",
        &[
            "text/html; charset=utf-8",
            "text/css; charset=utf-8",
            "text/javascript; charset=utf-8",
            "public, max-age=31536000, immutable",
            r#"attachment; filename=\"{name}-report.html\""#,
            "{COOKIE}={}.{}.{}.{}.{}; Path=/; Max-Age={KEPT_S}; SameSite=Lax; HttpOnly",
            "default-src 'none'; style-src 'self'; script-src 'self'; connect-src 'self'; img-src 'self' data:; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
        ],
    ),
    (
        "for the log",
        &[
            "writing a report: {error}",
            "a request could not be answered",
            "the error page could not be written",
            "a panic without words",
            "a system on which this program runs has a source of randomness",
        ],
    ),
    (
        "a key of JSON or of a data attribute",
        &[
            "not found",
            "unusable value",
            "foreign host",
            "foreign origin",
            "no token",
            "too large",
            "wrong type",
            "wrong method",
            "too few",
            "too small",
            "both beyond the scale",
            "precision unknown",
        ],
    ),
    (
        "a mark of the engine's",
        &["beyond the critical range", "other conditions"],
    ),
];

/// Sources of the pages and of what they share: no words file, no writer of figures, no tests, not the JSON.
fn code_of_pages() -> Vec<(PathBuf, String)> {
    let is_code = |path: &Path| {
        let name = path.file_name().and_then(|name| name.to_str());
        let is_apart = ["web/api", "web/sample", "web/figures.rs"].map(|part| path.starts_with(part));
        path.starts_with("web") && !is_apart.contains(&true) && !matches!(name, Some("words.rs" | "tests.rs"))
    };
    let found: Vec<(PathBuf, String)> = sources().into_iter().filter(|(path, _)| is_code(path)).collect();
    assert!(found.len() > 50, "the pages are not where they were");
    found
}

fn excepted() -> impl Iterator<Item = &'static str> {
    NOT_SAID.iter().flat_map(|(_, texts)| texts.iter().copied())
}

/// Texts of two or more words, with their lines; not those of attributes and of what is compiled for tests only.
fn sentences(source: &str) -> Vec<(usize, String)> {
    let tokens = tokens(source);
    let sign = |at: usize, c: char| matches!(tokens.get(at), Some((_, Token::Sign(s))) if *s == c);
    let mut found = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        if sign(at, '#') && (sign(at + 1, '[') || sign(at + 1, '!') && sign(at + 2, '[')) {
            let open = if sign(at + 1, '[') { at + 1 } else { at + 2 };
            let end = closed(&tokens, open);
            at = if is_for_tests(&tokens[open..end]) {
                after_item(&tokens, end)
            } else {
                end
            };
            continue;
        }
        if let (line, Token::Text(text)) = &tokens[at]
            && has_two_words(text)
        {
            found.push((*line, on_one_line(text)));
        }
        at += 1;
    }
    found
}

/// A text without the breaks that a backslash takes out of it.
fn on_one_line(text: &str) -> String {
    let mut parts = text.split("\\\n");
    let first = parts.next().unwrap_or_default().to_string();
    parts.fold(first, |joined, part| joined + part.trim_start())
}

/// `[cfg(test)]`.
fn is_for_tests(attribute: &[(usize, Token)]) -> bool {
    let words: Vec<&str> = attribute
        .iter()
        .filter_map(|(_, token)| match token {
            Token::Word(word) => Some(word.as_str()),
            _ => None,
        })
        .collect();
    words == ["cfg", "test"]
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

#[test]
fn the_code_of_a_page_holds_no_sentence() {
    let mut wrong = Vec::new();
    for (path, source) in code_of_pages() {
        for (line, text) in sentences(&source) {
            if !excepted().any(|known| known == text) {
                wrong.push(format!(
                    "{}:{line}: \"{text}\" belongs into the words file of the page",
                    path.display()
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_text_that_is_excepted_is_there() {
    let there: BTreeSet<String> = code_of_pages()
        .iter()
        .flat_map(|(_, source)| sentences(source))
        .map(|(_, text)| text)
        .collect();
    for text in excepted() {
        assert!(there.contains(text), "no page holds \"{text}\" any more");
    }
}

#[test]
fn every_page_has_a_words_file() {
    let paths: BTreeSet<PathBuf> = sources().into_iter().map(|(path, _)| path).collect();
    let pages: BTreeSet<PathBuf> = paths
        .iter()
        .filter_map(|path| path.strip_prefix("web/pages").ok())
        .filter_map(|path| path.iter().next())
        .map(|first| PathBuf::from(first).with_extension(""))
        .filter(|page| !["mod", "words"].map(Path::new).contains(&page.as_path()))
        .collect();
    for page in pages {
        let words = Path::new("web/pages").join(&page).join("words.rs");
        assert!(paths.contains(&words), "the page {} has none", page.display());
    }
}

#[test]
fn sentences_are_found_wherever_they_stand() {
    for source in [
        "fn f() -> &'static str { \"No blend has this code.\" }",
        "fn f(n: usize) -> String { format!(\"{n} runs of {n} each\") }",
        "const A: [&str; 1] = [r#\"two \"quoted\" words\"#];",
        "fn f() { g(\"first\\nsecond\") }",
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
        "#[template(path = \"a page.html\")] struct Page; // two words",
        "#![expect(clippy::unwrap_used, reason = \"two words\")]",
        "/// Two words.\n#[cfg(test)]\nmod tests { fn f() { let a = [\"two words\"]; } }",
        "fn f() { g(words::NO_BLEND_HAS_THIS_CODE) }",
    ] {
        assert_eq!(sentences(source), Vec::new(), "{source}");
    }
}
