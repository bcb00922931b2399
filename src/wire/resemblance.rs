//! The resemblance of a trial's tests, and what it decides, as JSON.

use crate::prose::resemblance::finding;
use crate::records::{MachineSlug, TermScale, TestKey, TrialSlug};
use crate::standing::{ContactLikeness, ResemblanceView, ScaleLine, Sensitivity, TestStanding};
use crate::wire::standing::ContactJson;
use serde::Serialize;
use serde_json::Value;

/// What each term counts, the eleven terms of each test beside each machine contact, and what single changes decide.
/// Halving distances are in the measure that `halving_in` names.
pub fn resemblance_json(view: &ResemblanceView) -> Value {
    let comparison = &view.comparison;
    let standing = &comparison.standing;
    let json = ViewJson {
        trial: &standing.trial,
        machine: &standing.machine,
        asked: comparison.what_if.changes_the_question(),
        scales: view.scales.iter().map(ScaleJson::of).collect(),
        changes: comparison
            .records
            .term_scales
            .iter()
            .map(ChangeJson::of)
            .collect(),
        tests: standing.tests.iter().map(TestJson::of).collect(),
        sensitivity: SensitivityJson {
            finding: finding(&view.sensitivity),
            sensitivity: &view.sensitivity,
        },
    };
    // all keys are texts, so nothing can be refused
    serde_json::to_value(json).unwrap_or_default()
}

#[derive(Serialize)]
struct ViewJson<'a> {
    trial: &'a TrialSlug,
    machine: &'a MachineSlug,
    asked: bool,
    scales: Vec<ScaleJson<'a>>,
    changes: Vec<ChangeJson<'a>>,
    tests: Vec<TestJson<'a>>,
    sensitivity: SensitivityJson<'a>,
}

#[derive(Serialize)]
struct ScaleJson<'a> {
    term: &'static str,
    importance: f64,
    halving: Option<f64>,
    halving_in: Option<&'static str>,
    default_importance: f64,
    default_halving: Option<f64>,
    changed: bool,
    asked: bool,
    reason: Option<&'a str>,
    entered_at: Option<&'a str>,
}

impl<'a> ScaleJson<'a> {
    fn of(line: &'a ScaleLine) -> Self {
        let newest = line.newest.as_ref();
        Self {
            term: line.term.word(),
            importance: line.now.importance,
            halving: line.now.halving,
            halving_in: line.term.measure().word(),
            default_importance: line.usual.importance,
            default_halving: line.usual.halving,
            changed: line.is_changed(),
            asked: line.is_asked(),
            reason: newest.map(|newest| newest.reason.as_str()),
            entered_at: newest.map(|newest| newest.entered_at.as_str()),
        }
    }
}

#[derive(Serialize)]
struct ChangeJson<'a> {
    term: &'static str,
    importance: f64,
    halving: Option<f64>,
    reason: &'a str,
    entered_at: &'a str,
}

impl<'a> ChangeJson<'a> {
    fn of(change: &'a TermScale) -> Self {
        Self {
            term: change.term.word(),
            importance: change.importance,
            halving: change.halving,
            reason: &change.reason,
            entered_at: &change.entered_at,
        }
    }
}

#[derive(Serialize)]
struct TestJson<'a> {
    key: &'a TestKey,
    weight: f64,
    resemblance: Option<f64>,
    resemblance_best: Option<f64>,
    relevance: Option<f64>,
    extreme: bool,
    beyond_machine: bool,
    contacts: Vec<WithParts<'a>>,
}

impl<'a> TestJson<'a> {
    fn of(test: &'a TestStanding) -> Self {
        Self {
            key: &test.key,
            weight: test.weight,
            resemblance: test.resemblance,
            resemblance_best: test.resemblance_best,
            relevance: test.relevance,
            extreme: test.extreme,
            beyond_machine: test.beyond_machine,
            contacts: test.contacts.iter().map(WithParts::of).collect(),
        }
    }
}

/// The contact as in a standing, with the two parts that its resemblance is made of.
#[derive(Serialize)]
struct WithParts<'a> {
    #[serde(flatten)]
    contact: ContactJson<'a>,
    over_all_terms: Option<f64>,
    first_order: Option<FirstOrder>,
}

#[derive(Serialize)]
struct FirstOrder {
    term: &'static str,
    similarity: f64,
}

impl<'a> WithParts<'a> {
    fn of(likeness: &'a ContactLikeness) -> Self {
        let least = likeness.resemblance.least_first_order();
        Self {
            contact: ContactJson::of(likeness),
            over_all_terms: likeness.resemblance.over_all_terms(),
            first_order: least.map(|(term, similarity)| FirstOrder {
                term: term.word(),
                similarity,
            }),
        }
    }
}

#[derive(Serialize)]
struct SensitivityJson<'a> {
    finding: String,
    #[serde(flatten)]
    sensitivity: &'a Sensitivity,
}
