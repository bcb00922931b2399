//! Whether the numbers tell the front-runner from its rivals.

use crate::records::BlendCode;
use crate::standing::cautions::{Facts, LEAST_COVERAGE, SORTS, p_best};
use crate::standing::summary::{Standing, TestStanding};
use crate::standing::{Caution, CautionKind, Severity};

pub(super) fn not_resolved(standing: &Standing, facts: &Facts) -> Option<Caution> {
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

pub(super) fn thin_coverage(standing: &Standing, facts: &Facts) -> Option<Caution> {
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

pub(super) fn capped(standing: &Standing) -> Vec<Caution> {
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

/// One caution for all of them: each is a reason to repeat a run.
pub(super) fn single_runs(facts: &Facts) -> Option<Caution> {
    let first = facts.single_runs.first()?;
    let named = facts.single_runs.iter().map(|moved| {
        let runs = match moved.runs {
            1 => "its only run".to_string(),
            runs => format!("one of {runs} runs"),
        };
        format!("{}, {}, {runs}", moved.label, moved.blend)
    });
    Some(
        Caution::new(CautionKind::SingleRun, Severity::Medium)
            .of_test(&first.key)
            .list("runs", named),
    )
}

pub(super) fn weights_decide(standing: &Standing, facts: &Facts) -> Option<Caution> {
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

/// A mean position this close to the head-room limit is at it (ours): the mean itself never quite arrives there.
const AT_LIMIT: f64 = 0.02;

/// Both at one head-room limit on over half the weight: those tests cannot tell them apart.
pub(super) fn saturated(standing: &Standing) -> Option<Caution> {
    let (front, second) = (standing.front_runner.as_ref()?, standing.runner_up.as_ref()?);
    let room = standing.head_room;
    let both_at_limit = |test: &&TestStanding| {
        let mean = |blend: &BlendCode| test.positions.get(blend).map(|position| position.mean);
        let (Some(a), Some(b)) = (mean(front), mean(second)) else {
            return false;
        };
        a.min(b) >= 1.0 + room - AT_LIMIT || a.max(b) <= AT_LIMIT - room
    };
    let weight = |tests: &[&TestStanding]| tests.iter().map(|test| test.weight).sum::<f64>();
    let weighed: Vec<&TestStanding> = standing.tests.iter().filter(|test| test.weight > 0.0).collect();
    let at_limit: Vec<&TestStanding> = weighed.iter().copied().filter(both_at_limit).collect();
    let share = weight(&at_limit) / weight(&weighed);
    (share > 0.5).then(|| {
        Caution::new(CautionKind::Saturated, Severity::Medium)
            .list("blends", [front, second])
            .list("tests", at_limit.iter().map(|test| &test.key))
            .number("share_of_weight", share)
    })
}

/// The two differ by less than the critical difference where most of the lead comes from.
pub(super) fn within_repeatability(standing: &Standing, facts: &Facts) -> Option<Caution> {
    let (front, second) = (standing.front_runner.as_ref()?, standing.runner_up.as_ref()?);
    let closest = facts.greatest_share.as_ref()?;
    let caution = || {
        Caution::new(CautionKind::WithinRepeatability, Severity::Medium)
            .of_test(&closest.key)
            .list("blends", [front, second])
            .number("lead_share", closest.lead_share)
            .number(
                "part_of_critical_difference",
                closest.difference / closest.critical,
            )
    };
    (closest.difference < closest.critical).then(caution)
}
