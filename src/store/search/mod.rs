//! The one place where words are searched: all texts of the archive that belong to a trial.

mod hits;
mod terms;

use crate::catalogue::{MethodId, built_in};
use crate::store::list::KIND;
use sqlx::{QueryBuilder, Sqlite};
use terms::{Term, terms};

pub use hits::{Hit, HitPlace};

/// Texts of some kinds, and the trials to which they belong.
struct Place {
    kinds: &'static str,
    join: &'static str,
    trial: &'static str,
}

const PLACES: [Place; 6] = [
    Place {
        kinds: "'trial', 'result', 'decision', 'reasons', 'scale', 'adoption'",
        join: "",
        trial: "w.name",
    },
    Place {
        kinds: "'machine', 'version', 'contact'",
        join: " JOIN trials x ON x.machine = w.name",
        trial: "x.trial",
    },
    Place {
        kinds: "'blend', 'outcome'",
        join: " JOIN trial_blends x ON x.blend = w.name",
        trial: "x.trial",
    },
    Place {
        kinds: "'component'",
        join: " JOIN blend_components c ON c.component = w.name JOIN trial_blends x ON x.blend = c.blend",
        trial: "x.trial",
    },
    Place {
        kinds: "'method'",
        join: " JOIN trial_methods x ON x.method = w.name",
        trial: "x.trial",
    },
    Place {
        kinds: "'rig'",
        join: " JOIN results x ON x.rig = w.name",
        trial: "x.trial",
    },
];

/// Adds the condition that each word, in one of the ways in which it may be written, begins some word of the texts of
/// trial `t`, or names a kind of its decisions.
pub(crate) fn push_words(query: &mut QueryBuilder<Sqlite>, words: &str) {
    for term in terms(words) {
        query.push(" AND t.trial IN (");
        for (at, place) in PLACES.iter().enumerate() {
            query.push(if at == 0 { "" } else { " UNION " });
            query.push(format!(
                "SELECT {} FROM archive_words w{} WHERE w.kind IN ({}) AND archive_words MATCH ",
                place.trial, place.join, place.kinds
            ));
            query.push_bind(term.pattern());
        }
        if let Some(kind) = term.kind {
            query.push(format!(" UNION SELECT d.trial FROM decisions d WHERE {KIND} = "));
            query.push_bind(kind.word());
        }
        let methods = built_in_methods(&term);
        if !methods.is_empty() {
            query.push(" UNION SELECT x.trial FROM trial_methods x WHERE x.method IN (");
            let mut list = query.separated(", ");
            for (method, _) in methods {
                list.push_bind(method.as_str());
            }
            query.push(")");
        }
        query.push(")");
    }
}

/// Ids of the built-in methods in whose texts a term stands, each with the first of those texts.
fn built_in_methods(term: &Term) -> Vec<(&'static MethodId, &'static str)> {
    let matches = built_in().iter().filter_map(|method| {
        let labels = method.quantities.iter().map(|quantity| quantity.label.as_str());
        let texts = [
            method.standard.as_str(),
            &method.title,
            &method.standard_title,
            method.id.as_str(),
        ];
        let mut texts = texts.into_iter().chain(labels);
        Some((&method.id, texts.find(|text| term.is_in(text))?))
    });
    matches.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_built_in_method_is_found_by_its_standard_and_by_the_beginning_of_a_word() {
        let found = |word: &str| -> Vec<&str> {
            let methods = built_in_methods(&terms(word)[0]);
            methods.into_iter().map(|(id, _)| id.as_str()).collect()
        };
        assert!(found("D2783").contains(&"fb_ep_oil"));
        assert!(found("four-ba").contains(&"fb_ep_oil"));
        assert!(found("fourball").contains(&"fb_ep_oil"));
        assert!(found("our-ball").is_empty());
    }
}
