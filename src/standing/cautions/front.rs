//! What the front-runner's place rests on: single tests, screens, and where it is worse.

use crate::catalogue::{MethodId, Mode};
use crate::records::{BlendCode, MachineContact, TestKey};
use crate::standing::cautions::{Facts, p_best};
use crate::standing::summary::{Standing, TestStanding};
use crate::standing::{Assumption, Caution, Finding, Hinge, LeaveOut, LeftOutKind, Severity};
use std::collections::BTreeMap;

pub(super) fn all(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let mut cautions = hinges(standing);
    cautions.extend(claim_hinges(standing));
    cautions.extend(rests_on_extreme_screens(standing));
    cautions.extend(worse_than_known_poor(standing, facts));
    cautions.extend(leans(standing));
    cautions.extend(facts.losses.iter().cloned());
    cautions.extend(weights_decide(standing));
    cautions
}

fn hinge(front: &BlendCode, out: &LeaveOut) -> Hinge {
    Hinge {
        front_runner: front.clone(),
        without: out.left_out.clone(),
        then_in_front: out.front_runner.clone(),
        p_best_then: out.p_best,
        p_changes: out.p_changes,
        tests: out.tests.clone(),
    }
}

fn of_leave_out(severity: Severity, finding: Finding, out: &LeaveOut) -> Caution {
    Caution {
        finding,
        severity,
        test: out.tests.first().cloned(),
    }
}

pub(super) fn rests_on_extreme_screens(standing: &Standing) -> Option<Caution> {
    let front = standing.front_runner.as_ref()?;
    let fires = |out: &&LeaveOut| {
        let all_of_a_kind = matches!(
            out.left_out.kind(),
            LeftOutKind::Method | LeftOutKind::ExtremeScreens
        );
        all_of_a_kind && out.extreme && out.changes
    };
    let fired: Vec<&LeaveOut> = standing.leave_outs.iter().filter(fires).collect();
    let one_method = fired
        .iter()
        .find(|out| out.left_out.kind() == LeftOutKind::Method);
    let out = one_method.or(fired.first())?;
    let p_best = p_best(standing)?;
    let severity = if p_best >= 0.5 {
        Severity::Stop
    } else {
        Severity::High
    };
    let hinge = hinge(front, out);
    let finding = Finding::RestsOnOneExtremeScreen { hinge, p_best };
    Some(of_leave_out(severity, finding, out))
}

pub(super) fn worse_than_known_poor(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let Some(front) = standing.front_runner.as_ref() else {
        return Vec::new();
    };
    let below = standing.tests.iter().filter_map(|test| {
        let p = facts.worse_than_poor(&test.key)?;
        let contact = resembling_main_contact(test, facts)?;
        let finding = Finding::WorseThanKnownPoor {
            front_runner: front.clone(),
            contact: contact.0,
            resemblance: contact.1,
            p_below_poor: p,
        };
        Some(Caution::new(Severity::Stop, finding).of_test(&test.key))
    });
    below.collect()
}

/// A contact that the test resembles above 0.5 and of which it scores a main mode.
fn resembling_main_contact(test: &TestStanding, facts: &Facts) -> Option<(String, f64)> {
    let modes = modes_of(test, facts);
    test.contacts.iter().find_map(|likeness| {
        let contact = facts
            .records
            .machine
            .contacts
            .iter()
            .find(|contact| contact.name == likeness.contact)?;
        let main = |contact: &MachineContact| modes.iter().any(|mode| contact.main_modes.contains(mode));
        let value = likeness.resemblance.value.filter(|value| *value > 0.5)?;
        main(contact).then(|| (likeness.contact.clone(), value))
    })
}

fn modes_of(test: &TestStanding, facts: &Facts) -> Vec<Mode> {
    let quantity = facts.records.test(&test.key).map(|(_, quantity)| quantity);
    quantity
        .map(|quantity| quantity.modes.iter().map(|(mode, _)| *mode).collect())
        .unwrap_or_default()
}

fn hinges(standing: &Standing) -> Vec<Caution> {
    let Some(front) = standing.front_runner.as_ref() else {
        return Vec::new();
    };
    let fires = |out: &&LeaveOut| out.left_out.is_method_rig_or_laboratory() && out.changes && !out.extreme;
    let caution = |out: &LeaveOut| {
        let finding = Finding::HingesOnOneTest(hinge(front, out));
        of_leave_out(Severity::High, finding, out)
    };
    each_once(standing, fires).map(caution).collect()
}

/// The leave-outs that fire, each once: a rig that alone runs a method says the same as the method, a laboratory with one
/// rig the same as the rig.
fn each_once(standing: &Standing, fires: impl Fn(&&LeaveOut) -> bool) -> impl Iterator<Item = &LeaveOut> {
    let mut seen: Vec<&Vec<TestKey>> = Vec::new();
    standing.leave_outs.iter().filter(fires).filter(move |out| {
        let told = out.left_out.kind() != LeftOutKind::Method && seen.contains(&&out.tests);
        seen.push(&out.tests);
        !told
    })
}

/// The leader stays in front without a method, rig or laboratory, but could not be called the leader.
fn claim_hinges(standing: &Standing) -> Vec<Caution> {
    let Some(leader) = standing.leader.as_ref() else {
        return Vec::new();
    };
    let fires =
        |out: &&LeaveOut| out.left_out.is_method_rig_or_laboratory() && !out.changes && !out.may_be_named;
    let caution = |out: &LeaveOut| {
        let grave = out.extreme || out.left_out.kind() == LeftOutKind::Laboratory;
        let severity = if grave { Severity::High } else { Severity::Medium };
        of_leave_out(severity, Finding::ClaimHinges(hinge(leader, out)), out)
    };
    each_once(standing, fires).map(caution).collect()
}

fn leans(standing: &Standing) -> Vec<Caution> {
    let mut methods: BTreeMap<&MethodId, (f64, f64, &TestKey)> = BTreeMap::new();
    for test in &standing.tests {
        let (Some(share), Some(resemblance)) = (test.lead_share, test.resemblance_best) else {
            continue;
        };
        let entry = methods.entry(&test.key.method).or_insert((0.0, 0.0, &test.key));
        entry.0 += share;
        entry.1 = entry.1.max(resemblance);
    }
    let leaning = methods
        .iter()
        .filter(|(_, (share, resemblance, _))| *share > 0.5 && *resemblance < 0.4);
    leaning
        .map(|(method, (share, resemblance, key))| {
            let finding = Finding::LeansOnOneTest {
                method: (*method).clone(),
                lead_share: *share,
                resemblance: *resemblance,
            };
            Caution::new(Severity::High, finding).of_test(key)
        })
        .collect()
}

fn weights_decide(standing: &Standing) -> Option<Caution> {
    let front = standing.front_runner.as_ref()?;
    let other = standing.front_under(&Assumption::EqualWeights)?;
    if other == front {
        return None;
    }
    Some(Caution::new(
        Severity::Medium,
        Finding::WeightsDecide {
            front_runner: front.clone(),
            with_equal_weights: other.clone(),
        },
    ))
}
