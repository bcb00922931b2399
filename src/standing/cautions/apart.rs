//! Whether the numbers tell the front-runner from its rivals.

use crate::records::BlendCode;
use crate::standing::cautions::{Facts, LEAST_COVERAGE, SORTS, first_two, p_best};
use crate::standing::summary::{Standing, TestStanding};
use crate::standing::{Caution, Finding, Severity};

pub(super) fn all(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let mut cautions = capped(standing);
    cautions.extend(not_resolved(standing));
    cautions.extend(thin_coverage(standing, facts));
    cautions.extend(saturated(standing));
    cautions.extend(facts.within_repeatability.clone());
    cautions.extend(single_runs(facts));
    cautions
}

fn not_resolved(standing: &Standing) -> Option<Caution> {
    let front = standing.front_runner.as_ref()?;
    let p = p_best(standing).filter(|_| !standing.resolved)?;
    standing.runner_up.as_ref()?;
    let told_apart = |beats: &f64| *beats >= SORTS;
    let wins = &standing.candidate(front)?.wins;
    let rivals = wins.iter().filter(|(_, beats)| !told_apart(beats));
    Some(Caution::new(
        Severity::High,
        Finding::NotResolved {
            front_runner: front.clone(),
            p_best: p,
            cannot_be_told_apart: rivals.map(|(rival, _)| rival.clone()).collect(),
        },
    ))
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

/// A mean position this close to the head-room limit is at it (ours): the mean itself never quite arrives there.
const AT_LIMIT: f64 = 0.02;

/// Both at one head-room limit on over half the weight: those tests cannot tell them apart.
fn saturated(standing: &Standing) -> Option<Caution> {
    let blends = first_two(standing)?;
    let room = standing.head_room;
    let both_at_limit = |test: &&TestStanding| {
        let mean = |blend: &BlendCode| test.positions.get(blend).map(|position| position.mean);
        let (Some(a), Some(b)) = (mean(&blends[0]), mean(&blends[1])) else {
            return false;
        };
        a.min(b) >= 1.0 + room - AT_LIMIT || a.max(b) <= AT_LIMIT - room
    };
    let weight = |tests: &[&TestStanding]| tests.iter().map(|test| test.weight).sum::<f64>();
    let weighed: Vec<&TestStanding> = standing.tests.iter().filter(|test| test.weight > 0.0).collect();
    let at_limit: Vec<&TestStanding> = weighed.iter().copied().filter(both_at_limit).collect();
    let share = weight(&at_limit) / weight(&weighed);
    (share > 0.5).then(|| {
        Caution::new(
            Severity::Medium,
            Finding::Saturated {
                tests: at_limit.iter().map(|test| test.key.clone()).collect(),
                share_of_weight: share,
                blends,
            },
        )
    })
}
