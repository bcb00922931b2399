//! The resemblance of a trial's tests, and what it decides, as JSON.

use crate::prose::resemblance::finding;
use crate::records::TermScale;
use crate::standing::{ContactLikeness, MovedLine, Sensitivity, TestStanding};
use crate::standing::{ResemblanceView, ScaleLine};
use crate::wire::standing::contact;
use serde_json::{Value, json};

/// What each term counts, the ten terms of each test beside each machine contact, and what single changes decide.
/// Halving distances are in the measure that `halving_in` names.
pub fn resemblance_json(view: &ResemblanceView) -> Value {
    let standing = &view.comparison.standing;
    json!({
        "trial": standing.trial.to_string(),
        "machine": standing.machine.to_string(),
        "asked": view.comparison.what_if.changes_the_question(),
        "scales": view.scales.iter().map(scale).collect::<Vec<_>>(),
        "changes": view.comparison.records.term_scales.iter().map(change).collect::<Vec<_>>(),
        "tests": standing.tests.iter().map(test).collect::<Vec<_>>(),
        "sensitivity": sensitivity(&view.sensitivity),
    })
}

fn scale(line: &ScaleLine) -> Value {
    json!({
        "term": line.term.word(),
        "importance": line.now.importance,
        "halving": line.now.halving,
        "halving_in": line.term.measure().word(),
        "default_importance": line.usual.importance,
        "default_halving": line.usual.halving,
        "changed": line.is_changed(),
        "asked": line.is_asked(),
        "reason": line.newest.as_ref().map(|newest| &newest.reason),
        "entered_at": line.newest.as_ref().map(|newest| &newest.entered_at),
    })
}

fn change(change: &TermScale) -> Value {
    json!({
        "term": change.term.word(),
        "importance": change.importance,
        "halving": change.halving,
        "reason": change.reason,
        "entered_at": change.entered_at,
    })
}

fn test(test: &TestStanding) -> Value {
    json!({
        "key": test.key.to_string(),
        "weight": test.weight,
        "resemblance": test.resemblance,
        "relevance": test.relevance,
        "extreme": test.extreme,
        "contacts": test.contacts.iter().map(with_parts).collect::<Vec<_>>(),
    })
}

/// The contact as in a standing, with the two parts that its resemblance is made of.
fn with_parts(likeness: &ContactLikeness) -> Value {
    let mut value = contact(likeness);
    let least = likeness.resemblance.least_first_order();
    value["over_all_terms"] = json!(likeness.resemblance.over_all_terms());
    value["first_order"] = json!(least.map(|(term, similarity)| json!({
        "term": term.word(),
        "similarity": similarity,
    })));
    value
}

fn sensitivity(sensitivity: &Sensitivity) -> Value {
    json!({
        "finding": finding(sensitivity),
        "front_runner": sensitivity.front_runner.as_ref().map(ToString::to_string),
        "leader": sensitivity.leader.as_ref().map(ToString::to_string),
        "p_best": sensitivity.p_best,
        "changes": sensitivity.lines.iter().map(moved).collect::<Vec<_>>(),
    })
}

fn moved(line: &MovedLine) -> Value {
    json!({
        "term": line.term.word(),
        "what": line.moved.word(),
        "times": line.times,
        "from": line.from,
        "to": line.to,
        "front_runner": line.front_runner.as_ref().map(ToString::to_string),
        "leader": line.leader.as_ref().map(ToString::to_string),
        "p_best": line.p_best,
        "changes_front_runner": line.changes_front,
        "changes_leader": line.changes_leader,
    })
}
