//! The rules that warn. Each looks at the finished numbers and says what fired it; the wording is the page's.

use crate::catalogue::{Mode, Use};
use crate::records::{BlendCode, Dossier, GateOutcome, MachineContact, TestKey};
use crate::standing::summary::{LeaveOut, LeftOut, Standing, TestStanding, Validity};
use crate::standing::{Anchored, Caution, CautionKind, Severity};
use std::collections::{BTreeMap, BTreeSet};

/// P(best) of the front-runner from which a leader may be named among three or more.
pub const RESOLVED: f64 = 0.8;
/// The same between two.
pub const RESOLVED_OF_TWO: f64 = 0.9;
/// Share of the weight that must have been run.
pub const LEAST_COVERAGE: f64 = 0.6;
/// P(known good better than known poor) from which a test sorts.
pub const SORTS: f64 = 0.95;

/// What the rules look at beside the standing itself.
#[derive(Clone, Debug)]
pub(crate) struct Facts<'a> {
    /// The records.
    pub(crate) dossier: &'a Dossier,
    /// P(front-runner below the known poor) per test.
    pub(crate) below_poor: BTreeMap<TestKey, f64>,
    /// Share of draws in which the front-runner scores above each rival.
    pub(crate) beats: BTreeMap<BlendCode, f64>,
    /// Weight that a test which does not sort would have had.
    pub(crate) weight_if_sorting: BTreeMap<TestKey, f64>,
    /// Tests that were run without a known-good reference oil.
    pub(crate) without_reference: BTreeSet<TestKey>,
    /// Who would be in front with the candidates that failed a gate let in.
    pub(crate) front_with_gated: Option<BlendCode>,
    /// Who would be in front with all weights equal.
    pub(crate) front_with_equal_weights: Option<BlendCode>,
    /// Who is in front with the front-runner's gaps filled badly and its rivals' well.
    pub(crate) fill_changes: bool,
    /// Tests in which one run of a blend, moved by the repeatability, would change who is in front.
    pub(crate) single_runs: Vec<(TestKey, BlendCode)>,
}

impl<'a> Facts<'a> {
    /// Nothing known beside the records: what a trial has in which nothing is weighed.
    pub(crate) fn of_nothing(dossier: &'a Dossier) -> Self {
        Self {
            dossier,
            below_poor: BTreeMap::new(),
            beats: BTreeMap::new(),
            weight_if_sorting: BTreeMap::new(),
            without_reference: BTreeSet::new(),
            front_with_gated: None,
            front_with_equal_weights: None,
            fill_changes: false,
            single_runs: Vec::new(),
        }
    }
}

/// All cautions, most severe first.
pub(crate) fn all(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let mut cautions = Vec::new();
    cautions.extend(rests_on_extreme_screens(standing));
    cautions.extend(worse_than_known_poor(standing, facts));
    cautions.extend(hinges(standing));
    cautions.extend(leans(standing));
    cautions.extend(not_sorting(standing, facts));
    cautions.extend(nothing_resembles(standing, facts));
    cautions.extend(not_resolved(standing, facts));
    cautions.extend(thin_coverage(standing, facts));
    cautions.extend(capped(standing));
    cautions.extend(references(standing, facts));
    cautions.extend(gates(standing, facts));
    cautions.extend(single_runs(facts));
    cautions.extend(weights_decide(standing, facts));
    cautions.sort_by_key(|caution| (caution.severity, caution.kind, caution.test.clone()));
    cautions
}

fn p_best(standing: &Standing) -> Option<f64> {
    let front = standing.front_runner.as_ref()?;
    standing.candidate(front)?.p_best
}

fn caution_of_leave_out(kind: CautionKind, severity: Severity, front: &BlendCode, out: &LeaveOut) -> Caution {
    let caution = Caution::new(kind, severity)
        .text("front_runner", front)
        .text("without", &out.name);
    let caution = match (&out.front_runner, out.p_best) {
        (Some(then), Some(p)) => caution.text("then_in_front", then).number("p_best_then", p),
        (Some(then), None) => caution.text("then_in_front", then),
        (None, _) => caution,
    };
    let caution = caution.list("tests", &out.tests);
    match out.tests.first() {
        Some(key) => caution.of_test(key),
        None => caution,
    }
}

fn rests_on_extreme_screens(standing: &Standing) -> Option<Caution> {
    let front = standing.front_runner.as_ref()?;
    let fires = |out: &&LeaveOut| {
        let all_of_a_kind = matches!(out.left_out, LeftOut::Method | LeftOut::ExtremeScreens);
        all_of_a_kind && out.extreme && out.changes
    };
    let fired: Vec<&LeaveOut> = standing.leave_outs.iter().filter(fires).collect();
    let one_method = fired.iter().find(|out| out.left_out == LeftOut::Method);
    let out = one_method.or(fired.first())?;
    let p = p_best(standing)?;
    let severity = if p >= 0.5 { Severity::Stop } else { Severity::High };
    let kind = CautionKind::RestsOnOneExtremeScreen;
    Some(caution_of_leave_out(kind, severity, front, out).number("p_best", p))
}

fn worse_than_known_poor(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let Some(front) = standing.front_runner.as_ref() else {
        return Vec::new();
    };
    let below = standing.tests.iter().filter_map(|test| {
        let p = *facts.below_poor.get(&test.key).filter(|p| **p > 0.8)?;
        let contact = resembling_main_contact(test, facts)?;
        Some(
            Caution::new(CautionKind::WorseThanKnownPoor, Severity::Stop)
                .of_test(&test.key)
                .text("front_runner", front)
                .text("contact", &contact.0)
                .number("resemblance", contact.1)
                .number("p_below_poor", p),
        )
    });
    below.collect()
}

/// A contact that the test resembles above 0.5 and of which it scores a main mode.
fn resembling_main_contact(test: &TestStanding, facts: &Facts) -> Option<(String, f64)> {
    let modes = modes_of(test, facts);
    test.contacts.iter().find_map(|likeness| {
        let contact = facts
            .dossier
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
    let quantity = facts.dossier.test(&test.key).map(|(_, quantity)| quantity);
    quantity
        .map(|quantity| quantity.modes.iter().map(|(mode, _)| *mode).collect())
        .unwrap_or_default()
}

fn hinges(standing: &Standing) -> Vec<Caution> {
    let Some(front) = standing.front_runner.as_ref() else {
        return Vec::new();
    };
    let fires = |out: &&LeaveOut| {
        let kind = matches!(out.left_out, LeftOut::Method | LeftOut::Rig);
        kind && out.changes && !out.extreme
    };
    let fired = standing.leave_outs.iter().filter(fires);
    let mut seen: Vec<&Vec<TestKey>> = Vec::new();
    let mut cautions = Vec::new();
    for out in fired {
        // A rig that alone runs a method says the same as the method.
        if out.left_out == LeftOut::Rig && seen.contains(&&out.tests) {
            continue;
        }
        seen.push(&out.tests);
        cautions.push(caution_of_leave_out(
            CautionKind::HingesOnOneTest,
            Severity::High,
            front,
            out,
        ));
    }
    cautions
}

fn leans(standing: &Standing) -> Vec<Caution> {
    let mut methods: BTreeMap<&str, (f64, f64, &TestKey)> = BTreeMap::new();
    for test in &standing.tests {
        let (Some(share), Some(resemblance)) = (test.lead_share, test.resemblance) else {
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
            Caution::new(CautionKind::LeansOnOneTest, Severity::High)
                .of_test(key)
                .text("method", method)
                .number("lead_share", *share)
                .number("resemblance", *resemblance)
        })
        .collect()
}

fn not_sorting(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let cautions = standing.tests.iter().filter_map(|test| {
        let reason = why_not_sorting(&test.validity)?;
        let weight = facts
            .weight_if_sorting
            .get(&test.key)
            .copied()
            .unwrap_or(test.weight);
        let severity = if weight > 0.1 {
            Severity::High
        } else {
            Severity::Medium
        };
        let caution = Caution::new(CautionKind::NotSorting, severity)
            .of_test(&test.key)
            .text("reason", reason.0)
            .number("probability", reason.1)
            .number("weight_otherwise", weight);
        Some(caution)
    });
    cautions.collect()
}

/// Which comparison says that a test does not sort, with its probability.
pub(crate) fn why_not_sorting(validity: &Validity) -> Option<(&'static str, f64)> {
    let below = |p: Option<f64>, limit: f64| p.filter(|p| *p < limit);
    below(validity.good_over_control, SORTS)
        .map(|p| ("the control fluid does as well as the known good", p))
        .or(below(validity.good_over_poor, SORTS)
            .map(|p| ("it does not tell the known good from the known poor", p)))
        .or(below(validity.middle_between, 1.0 - SORTS)
            .map(|p| ("the middle reference does not lie between the others", p)))
}

fn nothing_resembles(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let run = || standing.tests.iter().filter(|test| test.runs > 0);
    let contacts = facts
        .dossier
        .machine
        .contacts
        .iter()
        .filter(|contact| contact.share >= 0.2);
    let cautions = contacts.filter_map(|contact| {
        let of_contact = |test: &TestStanding| {
            let likeness = test
                .contacts
                .iter()
                .find(|likeness| likeness.contact == contact.name)?;
            likeness.resemblance.value
        };
        let nearest = run().filter_map(of_contact).fold(0.0, f64::max);
        let caution = || {
            Caution::new(CautionKind::NothingResembles, Severity::High)
                .text("contact", &contact.name)
                .number("share", contact.share)
                .number("greatest_resemblance", nearest)
        };
        (nearest <= 0.4 && run().next().is_some()).then(caution)
    });
    cautions.collect()
}

fn not_resolved(standing: &Standing, facts: &Facts) -> Option<Caution> {
    let front = standing.front_runner.as_ref()?;
    let p = p_best(standing).filter(|_| !standing.resolved)?;
    standing.runner_up.as_ref()?;
    let rivals = facts
        .beats
        .iter()
        .filter(|(_, beats)| **beats < SORTS)
        .map(|(rival, _)| rival);
    Some(
        Caution::new(CautionKind::NotResolved, Severity::High)
            .text("front_runner", front)
            .number("p_best", p)
            .list("cannot_be_told_apart", rivals),
    )
}

fn thin_coverage(standing: &Standing, facts: &Facts) -> Option<Caution> {
    let front = standing.front_runner.as_ref()?;
    let coverage = standing.candidate(front)?.coverage;
    let thin = coverage < LEAST_COVERAGE;
    let caution = || {
        Caution::new(CautionKind::ThinCoverage, Severity::High)
            .text("front_runner", front)
            .number("coverage", coverage)
            .text(
                "fill_changes_the_front",
                if facts.fill_changes { "yes" } else { "no" },
            )
    };
    (thin || facts.fill_changes).then(caution)
}

fn capped(standing: &Standing) -> Vec<Caution> {
    let (Some(front), Some(second)) = (standing.front_runner.as_ref(), standing.runner_up.as_ref()) else {
        return Vec::new();
    };
    let at_cap = |test: &TestStanding, blend: &BlendCode| test.estimates.get(blend).is_some_and(|e| e.capped);
    let both = standing
        .tests
        .iter()
        .filter(|test| test.weight >= 0.1 && at_cap(test, front) && at_cap(test, second));
    both.map(|test| {
        Caution::new(CautionKind::Capped, Severity::Medium)
            .of_test(&test.key)
            .list("blends", [front, second])
            .number("weight", test.weight)
    })
    .collect()
}

fn references(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let asked = standing.tests.iter().filter(|test| test.used_to == Use::Weigh);
    let cautions = asked.filter_map(|test| {
        if facts.without_reference.contains(&test.key) {
            return Some(Caution::new(CautionKind::NoReference, Severity::High).of_test(&test.key));
        }
        let one = test
            .strip
            .as_ref()
            .is_some_and(|strip| strip.anchored == Anchored::One);
        one.then(|| Caution::new(CautionKind::OneReference, Severity::Medium).of_test(&test.key))
    });
    cautions.collect()
}

fn gates(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let mut by_blend: BTreeMap<(&BlendCode, GateOutcome), Vec<String>> = BTreeMap::new();
    for gate in &standing.gates {
        if matches!(gate.outcome, GateOutcome::Fail | GateOutcome::NotRun) {
            let words = match gate.outcome {
                GateOutcome::Fail => format!("{} {} (limit {})", gate.label, gate.results, gate.limit),
                _ => gate.label.clone(),
            };
            by_blend
                .entry((&gate.blend, gate.outcome))
                .or_default()
                .push(words);
        }
    }
    let caution = |(blend, outcome): (&BlendCode, GateOutcome), gates: Vec<String>| {
        let failed = outcome == GateOutcome::Fail;
        let in_front = if failed {
            facts.front_with_gated.as_ref()
        } else {
            standing.front_runner.as_ref()
        };
        let severity = if in_front == Some(blend) {
            Severity::High
        } else {
            Severity::Note
        };
        let kind = if failed {
            CautionKind::GateFailed
        } else {
            CautionKind::GateNotRun
        };
        Caution::new(kind, severity)
            .text("blend", blend)
            .list("gates", gates)
    };
    by_blend
        .into_iter()
        .map(|(key, gates)| caution(key, gates))
        .collect()
}

fn single_runs(facts: &Facts) -> Vec<Caution> {
    let cautions = facts.single_runs.iter().map(|(key, blend)| {
        Caution::new(CautionKind::SingleRun, Severity::Medium)
            .of_test(key)
            .text("blend", blend)
    });
    cautions.collect()
}

fn weights_decide(standing: &Standing, facts: &Facts) -> Option<Caution> {
    let front = standing.front_runner.as_ref()?;
    let other = facts
        .front_with_equal_weights
        .as_ref()
        .filter(|other| *other != front)?;
    Some(
        Caution::new(CautionKind::WeightsDecide, Severity::Medium)
            .text("front_runner", front)
            .text("with_equal_weights", other),
    )
}
