//! Single results that something is known against: their rig, their conditions, their method, their scatter, and
//! requirements that were not met, or that nobody looked at.

use crate::catalogue::{Mode, Use};
use crate::records::{BlendCode, GateOutcome, Role, RunResult};
use crate::standing::cautions::Facts;
use crate::standing::conditions::{Variant, of_the_method, variants};
use crate::standing::evidence::Evidence;
use crate::standing::summary::{GateStanding, Standing};
use crate::standing::{
    Assumption, Caution, Departing, DepartingRuns, Finding, MeasuredBy, Severity, UnmetGate,
};
use std::collections::{BTreeMap, BTreeSet};

pub(super) fn all(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let mut cautions = rig_out_of_control(standing, facts);
    cautions.extend(conditions_depart(facts));
    cautions.extend(mixed_methods(facts));
    cautions.extend(suspect_runs(facts));
    cautions.extend(gates(standing, facts));
    cautions
}

/// Results of candidates in weighed tests from a time at which their rig did not hold the level that it should.
fn rig_out_of_control(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let another = |front: Option<&BlendCode>| {
        let other = front.filter(|front| standing.front_runner.as_ref() != Some(*front));
        other.cloned()
    };
    let as_read = another(standing.front_under(&Assumption::AsRead));
    let uncut = another(facts.front_uncut.as_ref());
    let severity = match (&as_read, &uncut) {
        (None, None) => Severity::Medium,
        _ => Severity::High,
    };
    let caution = facts.out_of_control.iter().map(|span| {
        let finding = Finding::RigOutOfControl {
            rig: span.rig.clone(),
            reference: span.reference.clone(),
            blends: span.blends.clone(),
            since: span.since,
            in_front_as_read: as_read.clone(),
            in_front_uncut: uncut.clone(),
        };
        Caution::new(severity, finding).of_test(&span.key)
    });
    caution.collect()
}

/// Runs whose conditions depart from the method's: kept apart, or all alike and weighed as one variant.
fn conditions_depart(facts: &Facts) -> Vec<Caution> {
    facts.evidence.iter().filter_map(departing).collect()
}

fn departing(evidence: &Evidence) -> Option<Caution> {
    let gate = evidence.test.used_to == Use::Gate;
    let apart = if gate {
        departing_at_gate(evidence)
    } else {
        kept_apart(evidence)
    };
    let variant = if gate {
        Variant::default()
    } else {
        evidence.variant.clone()
    };
    if variant.is_empty() && apart.is_empty() {
        return None;
    }
    let departing = apart.iter().map(|runs| &runs.variant).chain([&variant]);
    let method_has = of_the_method(evidence.method, evidence.quantity, departing);
    let finding = Finding::ConditionsDepart {
        weighed_at: variant,
        method_has,
        others: if gate {
            Departing::JudgedAllTheSame(apart.into_iter().collect())
        } else {
            Departing::KeptApart(apart.into_iter().collect())
        },
    };
    Some(Caution::new(Severity::Medium, finding).of_test(evidence.key()))
}

fn kept_apart(evidence: &Evidence) -> BTreeSet<DepartingRuns> {
    let apart = evidence.cells.iter().flat_map(|cell| {
        let of_cell = cell.apart.iter();
        of_cell.map(|(_, variant)| DepartingRuns {
            blend: cell.blend.clone(),
            variant: variant.clone(),
        })
    });
    apart.collect()
}

fn departing_at_gate(evidence: &Evidence) -> BTreeSet<DepartingRuns> {
    let results: Vec<&RunResult> = evidence
        .cells
        .iter()
        .flat_map(|cell| cell.results.iter().copied())
        .collect();
    let variants = variants(evidence.method, evidence.quantity, &results);
    let runs = results
        .into_iter()
        .zip(variants)
        .map(|(result, variant)| DepartingRuns {
            blend: result.blend.clone(),
            variant,
        });
    runs.filter(|runs| !runs.variant.is_empty()).collect()
}

/// A property that no one method measured on all candidates that have a value of it.
///
/// The property: quantities of one id that share a main mode (strength 1).
fn mixed_methods(facts: &Facts) -> Vec<Caution> {
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
        let methods: Vec<MeasuredBy> = tests.iter().map(|test| by_method(test)).collect();
        (!covered).then_some((methods, tests))
    });
    let mut cautions: Vec<Caution> = Vec::new();
    for (methods, tests) in mixed {
        let quantity = tests[0].quantity.label.clone();
        let finding = Finding::MixedMethods { quantity, methods };
        let caution = Caution::new(Severity::High, finding).of_test(tests[0].key());
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

fn by_method(evidence: &Evidence) -> MeasuredBy {
    MeasuredBy {
        standard: evidence.method.standard.clone(),
        blends: measured(evidence).into_iter().cloned().collect(),
    }
}

/// Runs marked suspect, and runs of one blend in one block that lie further apart than the method's critical range.
fn suspect_runs(facts: &Facts) -> Vec<Caution> {
    let caution = facts.doubted.iter().map(|(doubted, front_without)| {
        let finding = Finding::SuspectRun {
            blend: doubted.blend.clone(),
            because: doubted.because.clone(),
            in_front_without: front_without.clone(),
        };
        Caution::new(Severity::Medium, finding).of_test(doubted.key)
    });
    caution.collect()
}

/// One caution per candidate and outcome other than a clear pass.
fn gates(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let mut by_blend: BTreeMap<(&BlendCode, GateOutcome), Vec<&GateStanding>> = BTreeMap::new();
    for gate in &standing.gates {
        by_blend
            .entry((&gate.blend, gate.outcome))
            .or_default()
            .push(gate);
    }
    let caution = |((blend, outcome), gates): ((&BlendCode, GateOutcome), Vec<&GateStanding>)| {
        // where no order is asked each candidate is asked about
        let high_for = |in_front: Option<&BlendCode>| {
            if in_front == Some(blend) || standing.equivalence.is_some() {
                Severity::High
            } else {
                Severity::Note
            }
        };
        let unmet = || gates.iter().map(|gate| UnmetGate((*gate).clone())).collect();
        let blend = blend.clone();
        Some(match outcome {
            GateOutcome::Pass => return None,
            GateOutcome::Fail => {
                let severity = high_for(facts.front_with_gated.as_ref());
                Caution::new(
                    severity,
                    Finding::GateFailed {
                        gates: unmet(),
                        blend,
                    },
                )
            }
            GateOutcome::InDoubt => Caution::new(
                Severity::Medium,
                Finding::GateBorderline {
                    gates: unmet(),
                    blend,
                },
            ),
            GateOutcome::NotRun => {
                let severity = high_for(standing.front_runner.as_ref());
                let gates = gates.iter().map(|gate| gate.label.clone()).collect();
                Caution::new(severity, Finding::GateNotRun { gates, blend })
            }
        })
    };
    by_blend.into_iter().filter_map(caution).collect()
}
