//! Whether the numbers tell the front-runner from its rivals.

use crate::records::BlendCode;
use crate::standing::cautions::{Facts, first_two, p_best};
use crate::standing::leader::{LEAST_COVERAGE, PAIRWISE, RESOLVED};
use crate::standing::summary::{Standing, TestStanding};
use crate::standing::{Assumption, Caution, Finding, Severity};

pub(super) fn all(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let mut cautions = capped(standing);
    cautions.extend(not_resolved(standing));
    cautions.extend(thin_coverage(standing, facts));
    cautions.extend(beyond_references(standing));
    cautions.extend(facts.within_repeatability.clone());
    cautions.extend(single_runs(facts));
    cautions
}

fn not_resolved(standing: &Standing) -> Option<Caution> {
    let front = standing.front_runner.as_ref()?;
    let p = p_best(standing)?;
    standing.runner_up.as_ref()?;
    let wins = standing.candidate(front)?.wins.iter();
    let close: Vec<_> = wins.filter(|(_, beats)| **beats < PAIRWISE).collect();
    (p < RESOLVED || !close.is_empty()).then(|| {
        Caution::new(
            Severity::High,
            Finding::NotResolved {
                front_runner: front.clone(),
                p_best: p,
                cannot_be_told_apart: close.into_iter().map(|(rival, _)| rival.clone()).collect(),
            },
        )
    })
}

fn thin_coverage(standing: &Standing, facts: &Facts) -> Option<Caution> {
    let front = standing.front_runner.as_ref()?;
    let coverage = standing.candidate(front)?.coverage;
    (coverage < LEAST_COVERAGE || facts.fill_changes).then(|| {
        Caution::new(
            Severity::High,
            Finding::ThinCoverage {
                front_runner: front.clone(),
                coverage,
                fill_changes_the_front: facts.fill_changes,
            },
        )
    })
}

fn capped(standing: &Standing) -> Vec<Caution> {
    let Some(blends) = first_two(standing) else {
        return Vec::new();
    };
    let at_cap = |test: &TestStanding, blend: &BlendCode| test.estimates.get(blend).is_some_and(|e| e.capped);
    let both = standing
        .tests
        .iter()
        .filter(|test| test.weight >= 0.1 && blends.iter().all(|blend| at_cap(test, blend)));
    both.map(|test| {
        let (blends, weight) = (blends.clone(), test.weight);
        Caution::new(Severity::Medium, Finding::Capped { blends, weight }).of_test(&test.key)
    })
    .collect()
}

/// One caution for all of them: each is a reason to repeat a run.
fn single_runs(facts: &Facts) -> Option<Caution> {
    let first = facts.single_runs.first()?;
    let runs = facts.single_runs.clone();
    Some(Caution::new(Severity::Medium, Finding::SingleRun { runs }).of_test(&first.key))
}

/// Part of the lead that is made beyond the known good from which it is said (ours).
const MOSTLY_BEYOND: f64 = 0.5;

/// Most of the lead is made beyond the known good, and with nothing counted there no leader could be named.
fn beyond_references(standing: &Standing) -> Option<Caution> {
    let [front, rival] = first_two(standing)?;
    let mean =
        |test: &TestStanding, blend: &BlendCode| test.positions.get(blend).map(|position| position.mean);
    let (mut beyond, mut lead) = (0.0, 0.0);
    for test in standing.tests.iter().filter(|test| test.weight > 0.0) {
        lead += test.lead_contribution.unwrap_or_default() * standing.resemblance_mass;
        if let (Some(a), Some(b)) = (mean(test, &front), mean(test, &rival)) {
            beyond += test.weight * (a.max(1.0) - b.max(1.0));
        }
    }
    let part = beyond / lead;
    let held = standing.alternative(&Assumption::HeadRoom(0.0))?;
    (lead > 0.0 && part > MOSTLY_BEYOND && !held.may_be_named).then(|| {
        let blends = [front, rival];
        Caution::new(
            Severity::Medium,
            Finding::BeyondReferences {
                blends,
                part_of_lead: part,
            },
        )
    })
}
