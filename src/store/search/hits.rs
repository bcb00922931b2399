//! Where the words of a search stand in the trials that it found.

use crate::prose::decisions::decided_on;
use crate::records::{Decision, TrialSlug};
use crate::store::list::KIND;
use crate::store::search::terms::{Term, terms};
use crate::store::search::{PLACES, built_in_methods};
use crate::store::{Store, StoreError};
use sqlx::{QueryBuilder, Row, Sqlite, SqliteConnection};
use std::collections::BTreeMap;

/// Rows that are read of one kind of text at most.
const MOST_ROWS: i64 = 2_000;
/// Words of a text that are shown around what matched.
const WORDS_AROUND: u32 = 12;
/// How many of them stand before it at most, so that a short line still shows it.
const WORDS_BEFORE: usize = 3;

/// What a text is about; a hit in an earlier one is shown rather than one in a later.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HitPlace {
    /// The question of the trial.
    Trial,
    /// A decision.
    Decision,
    /// A blend.
    Blend,
    /// A component of a blend.
    Component,
    /// The machine.
    Machine,
    /// A method.
    Method,
    /// A rig.
    Rig,
    /// What a machine did with a blend.
    Outcome,
    /// Why a test, a weight or a version of the machine is in the trial.
    Reason,
    /// A remark on a run.
    Run,
}

impl HitPlace {
    fn of(kind: &str) -> Self {
        match kind {
            "trial" => Self::Trial,
            "decision" => Self::Decision,
            "blend" => Self::Blend,
            "component" => Self::Component,
            "machine" | "version" | "contact" => Self::Machine,
            "method" => Self::Method,
            "rig" => Self::Rig,
            "outcome" => Self::Outcome,
            "result" => Self::Run,
            _ => Self::Reason,
        }
    }
}

/// A text in which something that was searched for stands.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Hit {
    /// What it is about.
    pub place: HitPlace,
    /// The name of that.
    pub name: String,
    /// Pieces of the text in their order, and whether each is what was searched for.
    pub text: Vec<(String, bool)>,
}

/// The marks that the index puts around what matched.
const MARKS: [char; 2] = ['\u{2}', '\u{3}'];

impl Hit {
    fn new(place: HitPlace, name: &str, marked: &str) -> Self {
        let pieces = marked.split(MARKS).enumerate();
        let pieces = pieces.map(|(at, piece)| match at {
            0 => (its_last_words(piece), false),
            _ => (piece.to_string(), at % 2 == 1),
        });
        Self {
            place,
            name: name.to_string(),
            text: pieces.filter(|(piece, _)| !piece.is_empty()).collect(),
        }
    }

    /// The words that were searched for, as they stand there.
    pub fn matched(&self) -> String {
        let found = self.text.iter().filter(|(_, is_it)| *is_it);
        found
            .map(|(piece, _)| piece.as_str())
            .collect::<Vec<_>>()
            .join(", ")
    }

    fn whole(place: HitPlace, name: &str, text: String) -> Self {
        Self {
            place,
            name: name.to_string(),
            text: vec![(text, true)],
        }
    }
}

fn its_last_words(text: &str) -> String {
    let words: Vec<&str> = text.split_inclusive(' ').collect();
    match words.len().checked_sub(WORDS_BEFORE) {
        None | Some(0) => text.to_string(),
        Some(more) => format!("…{}", words[more..].concat()),
    }
}

impl Store {
    /// For each of some trials where each word of a search stands in it, the first place for each.
    pub async fn hits(
        &self,
        words: &str,
        trials: &[&TrialSlug],
    ) -> Result<BTreeMap<String, Vec<Hit>>, StoreError> {
        let mut connection = self.begin_read().await?;
        let mut found: BTreeMap<String, Vec<Hit>> = BTreeMap::new();
        for term in terms(words) {
            let mut first: BTreeMap<String, Hit> = BTreeMap::new();
            for (trial, hit) in hits_of(&mut connection, &term, trials).await? {
                let known = first.entry(trial).or_insert_with(|| hit.clone());
                if hit < *known {
                    *known = hit;
                }
            }
            for (trial, hit) in first {
                let hits = found.entry(trial).or_default();
                if !hits.contains(&hit) {
                    hits.push(hit);
                }
            }
        }
        Ok(found)
    }
}

async fn hits_of(
    connection: &mut SqliteConnection,
    term: &Term,
    trials: &[&TrialSlug],
) -> Result<Vec<(String, Hit)>, StoreError> {
    let mut hits = Vec::new();
    for place in &PLACES {
        let mut query = QueryBuilder::<Sqlite>::new(format!(
            "SELECT {}, w.kind, w.name, snippet(archive_words, 2, char(2), char(3), '…', {WORDS_AROUND}) \
             FROM archive_words w{} WHERE w.kind IN ({}) AND archive_words MATCH ",
            place.trial, place.join, place.kinds
        ));
        query.push_bind(term.pattern());
        push_trials(&mut query, place.trial, trials);
        query.push(" LIMIT ").push_bind(MOST_ROWS);
        for row in query.build().fetch_all(&mut *connection).await? {
            let (kind, name): (String, String) = (row.try_get(1)?, row.try_get(2)?);
            let marked: String = row.try_get(3)?;
            hits.push((row.try_get(0)?, Hit::new(HitPlace::of(&kind), &name, &marked)));
        }
    }
    if let Some(kind) = term.kind {
        let mut query = QueryBuilder::<Sqlite>::new(format!(
            "SELECT d.trial, d.chosen FROM decisions d WHERE {KIND} = "
        ));
        query.push_bind(kind.word());
        push_trials(&mut query, "d.trial", trials);
        for row in query.build().fetch_all(&mut *connection).await? {
            let chosen: String = row.try_get(1)?;
            let blend = Some(chosen.as_str()).filter(|chosen| *chosen != Decision::NONE);
            let text = decided_on(kind, blend, None);
            hits.push((row.try_get(0)?, Hit::whole(HitPlace::Decision, "", text)));
        }
    }
    for (method, text) in built_in_methods(term) {
        let mut query = QueryBuilder::<Sqlite>::new("SELECT x.trial FROM trial_methods x WHERE x.method = ");
        query.push_bind(method.as_str());
        push_trials(&mut query, "x.trial", trials);
        for row in query.build().fetch_all(&mut *connection).await? {
            let hit = Hit::whole(HitPlace::Method, method.as_str(), text.to_string());
            hits.push((row.try_get(0)?, hit));
        }
    }
    Ok(hits)
}

fn push_trials(query: &mut QueryBuilder<Sqlite>, column: &str, trials: &[&TrialSlug]) {
    query.push(format!(" AND {column} IN ("));
    let mut list = query.separated(", ");
    for trial in trials {
        list.push_bind(trial.to_string());
    }
    query.push(")");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_matched_is_marked_within_its_text() {
        let hit = Hit::new(
            HitPlace::Blend,
            "T-03",
            "…made of \u{2}polyalkylene glycol\u{3}, ashless",
        );
        let pieces: Vec<(&str, bool)> = hit.text.iter().map(|(text, is)| (text.as_str(), *is)).collect();
        assert_eq!(
            pieces,
            [
                ("…made of ", false),
                ("polyalkylene glycol", true),
                (", ashless", false)
            ]
        );
        for (before, shown) in [
            ("in place of ", "in place of "),
            ("T-05 in place of ", "…in place of "),
        ] {
            let hit = Hit::new(HitPlace::Trial, "", &format!("{before}\u{2}T-03\u{3}"));
            assert_eq!(hit.text[0].0, shown);
        }
        assert_eq!(
            Hit::new(HitPlace::Trial, "", "\u{2}T-03\u{3} leads").text.len(),
            2
        );
    }
}
