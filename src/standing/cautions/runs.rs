//! Single results that something is known against: their rig, their conditions, their method, their scatter.

use crate::catalogue::{Mode, Use};
use crate::records::{BlendCode, Role, RunResult};
use crate::standing::cautions::Facts;
use crate::standing::conditions::{of_the_method, variants};
use crate::standing::doubted::Why;
use crate::standing::evidence::Evidence;
use crate::standing::summary::Standing;
use crate::standing::{Caution, CautionKind, Severity};
use std::collections::{BTreeMap, BTreeSet};

/// Results of candidates in weighed tests where the reference chart of their rig is out of control.
pub(super) fn rig_out_of_control(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let as_read = facts.front_as_read.as_ref();
    let differ = as_read.is_some() && as_read != standing.front_runner.as_ref();
    let severity = if differ { Severity::High } else { Severity::Medium };
    let caution = facts.out_of_control.iter().map(|span| {
        let caution = Caution::new(CautionKind::RigOutOfControl, severity)
            .of_test(&span.key)
            .text("rig", &span.rig)
            .text("reference", &span.reference)
            .list("blends", &span.blends)
            .list("rules", &span.rules)
            .text("since", span.first_alarm);
        match as_read.filter(|_| differ) {
            Some(other) => caution.text("in_front_as_read", other),
            None => caution,
        }
    });
    caution.collect()
}

/// Runs whose conditions depart from the method's: kept apart, or all alike and weighed as one variant.
pub(super) fn conditions_depart(facts: &Facts) -> Vec<Caution> {
    facts.evidence.iter().filter_map(departing).collect()
}

fn departing(evidence: &Evidence) -> Option<Caution> {
    let gate = evidence.test.used_to == Use::Gate;
    let apart = if gate {
        departing_at_gate(evidence)
    } else {
        kept_apart(evidence)
    };
    let variant = if gate { "" } else { evidence.variant.as_str() };
    if variant.is_empty() && apart.is_empty() {
        return None;
    }
    let departs: Vec<&str> = apart.values().map(String::as_str).chain([variant]).collect();
    let own = of_the_method(evidence.method, evidence.quantity, &departs.join("; "));
    let named = apart.iter().map(|((blend, _), variant)| match variant.as_str() {
        "" => format!("{blend} (the method's own conditions)"),
        variant => format!("{blend} ({variant})"),
    });
    Some(
        Caution::new(CautionKind::ConditionsDepart, Severity::Medium)
            .of_test(evidence.key())
            .text("weighed_at", variant)
            .text("method_has", own)
            .list(if gate { "judged_all_the_same" } else { "kept_apart" }, named),
    )
}

type Departing<'a> = BTreeMap<(&'a BlendCode, String), String>;

fn kept_apart<'a>(evidence: &'a Evidence) -> Departing<'a> {
    let apart = evidence.cells.iter().flat_map(|cell| {
        let of_cell = cell.apart.iter();
        of_cell.map(|(_, variant)| ((cell.blend, variant.clone()), variant.clone()))
    });
    apart.collect()
}

fn departing_at_gate<'a>(evidence: &'a Evidence) -> Departing<'a> {
    let results: Vec<&RunResult> = evidence
        .cells
        .iter()
        .flat_map(|cell| cell.results.iter().copied())
        .collect();
    let variants = variants(evidence.method, evidence.quantity, &results);
    let departing = results.into_iter().zip(variants);
    departing
        .filter(|(_, variant)| !variant.is_empty())
        .map(|(result, variant)| ((&result.blend, variant.clone()), variant))
        .collect()
}

/// A property that no one method measured on all candidates that have a value of it.
///
/// The property: quantities of one id that share a main mode (strength 1).
pub(super) fn mixed_methods(facts: &Facts) -> Vec<Caution> {
    let mut properties: BTreeMap<(&str, Mode), Vec<&Evidence>> = BTreeMap::new();
    for evidence in facts.evidence.iter().filter(|one| !measured(one).is_empty()) {
        let main = evidence
            .quantity
            .modes
            .iter()
            .filter(|(_, strength)| *strength >= 1.0);
        for (mode, _) in main {
            properties
                .entry((&evidence.quantity.id, *mode))
                .or_default()
                .push(evidence);
        }
    }
    let mixed = properties.into_values().filter_map(|tests| {
        let all: BTreeSet<&BlendCode> = tests.iter().flat_map(|test| measured(test)).collect();
        let covered = tests.iter().any(|test| measured(test) == all);
        let methods: Vec<String> = tests.iter().map(|test| by_method(test)).collect();
        (!covered).then_some((methods, tests))
    });
    let mut cautions: Vec<Caution> = Vec::new();
    for (methods, tests) in mixed {
        let label = &tests[0].quantity.label;
        let caution = Caution::new(CautionKind::MixedMethods, Severity::High)
            .of_test(tests[0].key())
            .text("quantity", label)
            .list("methods", methods);
        // Two methods may share two main modes: that is one caution.
        if !cautions.contains(&caution) {
            cautions.push(caution);
        }
    }
    cautions
}

/// Candidates with a measured value that counts.
fn measured<'a>(evidence: &Evidence<'a>) -> BTreeSet<&'a BlendCode> {
    let candidates = evidence.cells.iter().filter(|cell| cell.role == Role::Candidate);
    candidates
        .filter(|cell| !cell.results.is_empty())
        .map(|cell| cell.blend)
        .collect()
}

fn by_method(evidence: &Evidence) -> String {
    let blends: Vec<String> = measured(evidence).iter().map(ToString::to_string).collect();
    format!("{} ({})", evidence.method.standard, blends.join(", "))
}

/// Runs marked suspect, and runs of one blend in one block that lie further apart than the method's critical range.
pub(super) fn suspect_runs(facts: &Facts) -> Vec<Caution> {
    let caution = facts.doubted.iter().map(|(doubted, front_without)| {
        let caution = Caution::new(CautionKind::SuspectRun, Severity::Medium)
            .of_test(doubted.key)
            .text("blend", doubted.blend);
        let caution = match &doubted.why {
            Why::Marked { reason } => caution.text("reason", reason),
            Why::FarApart {
                runs,
                times_critical_range,
            } => caution
                .number("runs", *runs as f64)
                .number("times_critical_range", *times_critical_range),
        };
        match front_without {
            Some(other) => caution.text("in_front_without", other),
            None => caution,
        }
    });
    caution.collect()
}
