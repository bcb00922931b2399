//! What has changed since a decision was signed: the evidence, record by record, and what the standing makes of it.

use crate::app::decision::frozen::{Frozen, FrozenCandidate, FrozenCaution, Row, Tables};
use crate::app::decision::results_since::results_since;
use crate::app::decision::watched::{Rows, WATCHED, Watched};
use crate::catalogue::MethodId;
use crate::records::{TestKey, TrialRecords};
use std::collections::{BTreeMap, BTreeSet};

/// What became of a record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ChangeKind {
    /// A result was added.
    Added,
    /// A result was corrected.
    Corrected,
    /// A result was voided.
    Voided,
    /// Something was there and is not there now.
    Gone,
    /// What the trial asks.
    Question,
    /// A blend's part in the trial.
    Role,
    /// A test of the trial: its use, its limit, its references.
    Test,
    /// The machine or how well it is known.
    Machine,
    /// What a term of the resemblance counts.
    Weights,
    /// What is recorded of a blend.
    Blend,
    /// What is recorded of a rig.
    Rig,
    /// A method of the catalogue.
    Method,
}

impl ChangeKind {
    /// Its words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Added => "result added",
            Self::Corrected => "result corrected",
            Self::Voided => "result voided",
            Self::Gone => "not there any more",
            Self::Question => "question",
            Self::Role => "role",
            Self::Test => "test or gate",
            Self::Machine => "machine",
            Self::Weights => "weights",
            Self::Blend => "blend",
            Self::Rig => "rig",
            Self::Method => "method",
        }
    }
}

/// One record that differs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EvidenceChange {
    /// What became of it.
    pub kind: ChangeKind,
    /// Which record.
    pub what: String,
    /// What it was.
    pub then: String,
    /// What it is.
    pub now: String,
}

/// A candidate then and now; `None` where it was not, or is not, there.
#[derive(Clone, Debug, PartialEq)]
pub struct ThenAndNow {
    /// Code.
    pub blend: String,
    /// As it stood.
    pub then: Option<FrozenCandidate>,
    /// As it stands.
    pub now: Option<FrozenCandidate>,
}

/// What has changed since a decision was signed.
#[derive(Clone, Debug, PartialEq)]
pub struct Since {
    /// The evidence record by record; `None` where what the decision rested on was not frozen.
    pub evidence: Option<Vec<EvidenceChange>>,
    /// Who was in front.
    pub front_then: Option<String>,
    /// Who is in front.
    pub front_now: Option<String>,
    /// Every candidate that was or is there.
    pub candidates: Vec<ThenAndNow>,
    /// Cautions that stand now and did not then.
    pub cautions_new: Vec<FrozenCaution>,
    /// Cautions that stood then and do not now.
    pub cautions_gone: Vec<FrozenCaution>,
    /// Engine of the snapshot.
    pub engine_then: String,
    /// Engine of this program.
    pub engine_now: String,
}

impl Since {
    /// Whether the evidence differs from what was signed on.
    pub fn evidence_changed(&self) -> bool {
        self.evidence.as_ref().is_some_and(|changes| !changes.is_empty())
    }
}

/// What differs between a frozen state and the one that is there.
pub(crate) fn since(then: &Frozen, now: &Frozen, records: &TrialRecords) -> Since {
    let missing_in = |first: &Frozen, second: &Frozen| -> Vec<FrozenCaution> {
        let known = &first.standing.cautions;
        let cautions = second.standing.cautions.iter();
        let missing = cautions.filter(|one| !known.iter().any(|other| other.is_same(one)));
        missing.cloned().collect()
    };
    Since {
        evidence: evidence_changes(then, &now.inputs, &now.methods, records),
        front_then: then.standing.front_runner.clone(),
        front_now: now.standing.front_runner.clone(),
        candidates: candidates(then, now),
        cautions_new: missing_in(then, now),
        cautions_gone: missing_in(now, then),
        engine_then: then.engine.clone(),
        engine_now: now.engine.clone(),
    }
}

fn candidates(then: &Frozen, now: &Frozen) -> Vec<ThenAndNow> {
    let gone = then.standing.candidates.iter();
    let gone = gone.filter(|old| now.candidate(&old.blend).is_none());
    let all = now.standing.candidates.iter().chain(gone);
    all.map(|one| ThenAndNow {
        blend: one.blend.clone(),
        then: then.candidate(&one.blend).cloned(),
        now: now.candidate(&one.blend).cloned(),
    })
    .collect()
}

/// What differs in the evidence; `None` where what was frozen does not say what it was.
pub(crate) fn evidence_changes(
    then: &Frozen,
    now: &Tables,
    methods: &BTreeMap<MethodId, String>,
    records: &TrialRecords,
) -> Option<Vec<EvidenceChange>> {
    if then.inputs.is_empty() {
        return None;
    }
    let label = |method: &str, quantity: &str| {
        let key = format!("{method}/{quantity}");
        let known = TestKey::parse(&key).and_then(|key| records.test(&key));
        known.map_or(key, |(method, quantity)| {
            format!("{} ({})", quantity.label, method.standard)
        })
    };
    let mut changes = results_since(&then.inputs, now, &label);
    for watched in &WATCHED {
        changes.extend(table_changes(&then.inputs, now, watched, &label));
    }
    for (id, text) in methods {
        if then.methods.get(id).is_some_and(|known| known != text) {
            changes.push(EvidenceChange {
                kind: ChangeKind::Method,
                what: id.to_string(),
                then: "as the catalogue had it".to_string(),
                now: "as the catalogue has it in this version".to_string(),
            });
        }
    }
    changes.sort_by(|a, b| (a.kind, &a.what).cmp(&(b.kind, &b.what)));
    Some(changes)
}

fn table_changes(
    then: &Tables,
    now: &Tables,
    (kind, file, key, columns, rows): &Watched,
    label: &impl Fn(&str, &str) -> String,
) -> Vec<EvidenceChange> {
    let (Some(old), Some(new)) = (then.get(*file), now.get(*file)) else {
        return Vec::new();
    };
    let (old, new) = (by_key(old, key), by_key(new, key));
    let keys: BTreeSet<&Vec<String>> = old.keys().chain(new.keys()).collect();
    let change = |key: &Vec<String>| {
        let (then, now) = (old.get(key).copied(), new.get(key).copied());
        if *rows == Rows::InBoth && (then.is_none() || now.is_none()) {
            return None;
        }
        let differing: Vec<&str> = columns
            .split(' ')
            .filter(|column| cell(then, column) != cell(now, column))
            .collect();
        (!differing.is_empty()).then(|| EvidenceChange {
            kind: *kind,
            what: match (kind, key.as_slice()) {
                (ChangeKind::Test, [method, quantity]) => label(method, quantity),
                _ => key.join(", "),
            },
            then: cells_in_words(then, &differing),
            now: cells_in_words(now, &differing),
        })
    };
    keys.into_iter().filter_map(change).collect()
}

fn by_key<'a>(rows: &'a [Row], key: &str) -> BTreeMap<Vec<String>, &'a Row> {
    let keyed = rows.iter().map(|row| {
        let key = key.split(' ').map(|column| cell(Some(row), column).to_string());
        (key.collect(), row)
    });
    keyed.collect()
}

fn cell<'a>(row: Option<&'a Row>, column: &str) -> &'a str {
    row.and_then(|row| row.get(column)).map_or("", String::as_str)
}

/// `role candidate`, `limit <= 1b, use gate`; `not there` without a row.
fn cells_in_words(row: Option<&Row>, columns: &[&str]) -> String {
    let Some(row) = row else {
        return "not there".to_string();
    };
    let words = columns.iter().map(|column| {
        let name = column.replace('_', " ");
        match cell(Some(row), column) {
            "" => format!("no {name}"),
            text => format!("{name} {text}"),
        }
    });
    words.collect::<Vec<_>>().join(", ")
}
