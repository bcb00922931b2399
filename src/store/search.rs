//! The one place where words are searched: all texts of the archive that belong to a trial.

use crate::catalogue::{MethodId, built_in};
use sqlx::{QueryBuilder, Sqlite};

/// Where a word may stand, as trials. Each statement ends where the pattern is bound.
const PLACES: [&str; 6] = [
    "SELECT w.name FROM archive_words w \
     WHERE w.kind IN ('trial', 'result', 'decision', 'reasons', 'scale', 'adoption') AND archive_words MATCH ",
    "SELECT x.trial FROM archive_words w JOIN trials x ON x.machine = w.name \
     WHERE w.kind IN ('machine', 'version', 'contact') AND archive_words MATCH ",
    "SELECT x.trial FROM archive_words w JOIN trial_blends x ON x.blend = w.name \
     WHERE w.kind IN ('blend', 'outcome') AND archive_words MATCH ",
    "SELECT x.trial FROM archive_words w JOIN blend_components c ON c.component = w.name \
     JOIN trial_blends x ON x.blend = c.blend WHERE w.kind = 'component' AND archive_words MATCH ",
    "SELECT x.trial FROM archive_words w JOIN trial_methods x ON x.method = w.name \
     WHERE w.kind = 'method' AND archive_words MATCH ",
    "SELECT x.trial FROM archive_words w JOIN results x ON x.rig = w.name \
     WHERE w.kind = 'rig' AND archive_words MATCH ",
];

/// Adds the condition that each word begins some word of the texts of trial `t`. A word with marks inside, such as a
/// blend's code, is a sequence; one without a letter or figure asks for nothing.
pub(crate) fn push_words(query: &mut QueryBuilder<Sqlite>, words: &str) {
    for word in words.split_whitespace() {
        let parts = parts(word);
        if parts.is_empty() {
            continue;
        }
        let pattern = format!("\"{}\" *", parts.join(" "));
        query.push(" AND t.trial IN (");
        for (place, statement) in PLACES.iter().enumerate() {
            query.push(if place == 0 { "" } else { " UNION " });
            query.push(*statement).push_bind(pattern.clone());
        }
        let methods = built_in_methods(&parts);
        if !methods.is_empty() {
            query.push(" UNION SELECT x.trial FROM trial_methods x WHERE x.method IN (");
            let mut list = query.separated(", ");
            for method in methods {
                list.push_bind(method.as_str());
            }
            query.push(")");
        }
        query.push(")");
    }
}

/// Letters and figures of a text in lower case, cut at everything else.
fn parts(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|part| !part.is_empty())
        .map(str::to_lowercase)
        .collect()
}

/// Ids of the built-in methods in whose texts the parts stand in a row, the last one as a beginning.
fn built_in_methods(wanted: &[String]) -> Vec<&'static MethodId> {
    let holds = |text: &str| {
        let there = parts(text);
        there.windows(wanted.len()).any(|window| {
            let (last, whole) = (wanted.len() - 1, window);
            whole[..last] == wanted[..last] && whole[last].starts_with(&wanted[last])
        })
    };
    let matches = built_in().iter().filter(|method| {
        let labels = method.quantities.iter().map(|quantity| quantity.label.as_str());
        [
            method.id.as_str(),
            &method.title,
            &method.standard,
            &method.standard_title,
        ]
        .into_iter()
        .chain(labels)
        .any(holds)
    });
    matches.map(|method| &method.id).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_built_in_method_is_found_by_its_standard_and_by_the_beginning_of_a_word() {
        let found = |word: &str| built_in_methods(&parts(word));
        let four_ball = MethodId::new("fb_ep_oil").unwrap();
        assert!(found("D2783").contains(&&four_ball));
        assert!(found("four-ba").contains(&&four_ball));
        assert!(found("our-ball").is_empty());
    }
}
