//! What the tests that resemble the machine, the gates and the standing say of a blend, clause by clause.

use crate::explain::Case;
use crate::explain::conclusion::not_sorting;
use crate::explain::reading::Told;
use crate::explain::resembling::{RESEMBLES, Witness, resembles};
use crate::explain::words::{inside, share};
use crate::prose::gates::failed_gates;
use crate::prose::standing::simulations;
use crate::records::{BlendCode, Role};

pub(super) fn no_rival(case: &Case<'_>) -> Option<String> {
    (case.records.with_role(Role::Candidate).count() < 2).then(|| {
        format!(
            "{} is the only candidate: there is no other it could be better than.",
            case.blend
        )
    })
}

/// What the other tests that resemble the machine say of the blend beside the known good.
pub(super) fn others_say(case: &Case<'_>, witnesses: &[Witness<'_>]) -> Option<String> {
    let blend = case.blend;
    let others: Vec<&Witness<'_>> = witnesses.iter().filter(|w| w.test.key != case.test.key).collect();
    if others.is_empty() {
        return Some(if resembles(case.test) {
            "No other test with weight resembles the machine.".to_string()
        } else {
            format!(
                "No test with weight resembles the machine at {} or more.",
                case.shown.number(RESEMBLES)
            )
        });
    }
    let run: Vec<&Witness<'_>> = others.iter().copied().filter(|w| w.is_run).collect();
    if run.is_empty() {
        return Some(format!(
            "{} was run in none of the tests that resemble the machine.",
            blend
        ));
    }
    let judged: Vec<&Witness<'_>> = run.iter().copied().filter(|w| w.against_good.is_some()).collect();
    let worse: Vec<&Witness<'_>> = judged
        .iter()
        .copied()
        .filter(|w| w.against_good.is_some_and(|d| d.told == Told::Worse))
        .collect();
    let kind = if resembles(case.test) {
        "other test"
    } else {
        "test"
    };
    let that = |n: usize| if n == 1 { "resembles" } else { "resemble" };
    if judged.is_empty() {
        return Some(format!(
            "{blend} was run in {} that {} the machine, none with a known good beside it.",
            share(run.len(), run.len(), kind),
            that(run.len())
        ));
    }
    let lines = |chosen: &[&Witness<'_>]| {
        let words = chosen.iter().take(2).map(|w| case.line(w));
        words.collect::<Vec<_>>().join("; ")
    };
    let lines = lines(if worse.is_empty() { &judged } else { &worse });
    let beside = "than the known good by more than the scatter";
    Some(match (worse.len(), judged.len()) {
        (0, 1) => {
            format!("In the one {kind} that resembles the machine {blend} is not worse {beside} ({lines}).")
        }
        (0, n) => format!(
            "In none of the {n} {kind}s that resemble the machine {blend} is worse {beside} ({lines})."
        ),
        (k, n) => format!(
            "In {} that {} the machine {blend} is worse {beside} ({lines}).",
            share(k, n, kind),
            that(n)
        ),
    })
}

/// The blend beside the front-runner in the tests that resemble the machine.
pub(super) fn against_front(case: &Case<'_>, witnesses: &[Witness<'_>]) -> Option<String> {
    let front = case.front_apart()?;
    let judged: Vec<&Witness<'_>> = witnesses.iter().filter(|w| w.against_front.is_some()).collect();
    if judged.is_empty() {
        return None;
    }
    let count = |told: Told| {
        let is = |w: &&&Witness<'_>| w.against_front.is_some_and(|d| d.told == told);
        judged.iter().filter(is).count()
    };
    let (behind, ahead) = (count(Told::Worse), count(Told::Better));
    let blend = case.blend;
    let front = format!("{front}, which is in front in the standing,");
    let n = judged.len();
    let of = |part: usize| match (part, n) {
        (_, 1) => "the one such test that was run on both".to_string(),
        (part, n) if part == n => format!("all {n} such tests that were run on both"),
        (part, n) => format!("{part} of the {n} such tests that were run on both"),
    };
    Some(match (behind, ahead) {
        (0, 0) => format!("{front} cannot be told apart from it in {}.", of(n)),
        (0, ahead) => format!("{front} is worse than {blend} in {}.", of(ahead)),
        (behind, 0) => format!("{front} is better than {blend} in {}.", of(behind)),
        (behind, ahead) => format!(
            "{front} is better than {blend} in {}, and worse in {ahead}.",
            of(behind)
        ),
    })
}

/// That who is in front is better in tests that resemble the machine, by itself.
pub(super) fn front_is_better(case: &Case<'_>, witnesses: &[Witness<'_>]) -> Option<String> {
    let front = case.front_apart()?;
    let judged: Vec<Told> = witnesses
        .iter()
        .filter_map(|w| Some(w.against_front?.told))
        .collect();
    let behind = judged.iter().filter(|told| **told == Told::Worse).count();
    (behind > 0).then(|| {
        format!(
            "{front} is better than {} in {} like the machine.",
            case.blend,
            share(behind, judged.len(), "test")
        )
    })
}

pub(super) fn gate(case: &Case<'_>) -> Option<String> {
    let out = case.standing.candidate(case.blend)?;
    out.is_out().then(|| {
        format!(
            "{} is out of the standing because it failed a gate: {}.",
            case.blend,
            failed_gates(&out.failed, case.shown)
        )
    })
}

pub(super) fn in_front(case: &Case<'_>) -> Option<String> {
    let standing = case.standing;
    let front = standing
        .front_runner
        .as_ref()
        .filter(|front| *front == case.blend)?;
    let p = standing.candidate(front)?.p_best?;
    standing.runner_up.as_ref()?;
    Some(if standing.leader.as_ref() == Some(front) {
        format!(
            "All weighed tests together favour {front}: it comes first in {}, under these weights.",
            simulations(p)
        )
    } else {
        format!(
            "All weighed tests together put {front} in front, first in {}, which is not enough to name it the leader.",
            simulations(p)
        )
    })
}

impl Case<'_> {
    /// Whether the blend is out of the standing.
    pub(super) fn is_out(&self) -> bool {
        self.standing
            .candidate(self.blend)
            .is_some_and(|candidate| candidate.is_out())
    }

    /// Whether the test tells lubricants apart whose order is known.
    pub(super) fn sorts(&self) -> bool {
        not_sorting(self).is_none()
    }

    /// `mass loss of the rolling elements 101 mg, known good 5.61 mg, T-03 3.88 mg`.
    pub(super) fn line(&self, witness: &Witness<'_>) -> String {
        let of = |blend: &BlendCode| self.words_in(witness.test, witness.quantity, blend);
        let own = of(self.blend).unwrap_or_else(|| "no result".to_string());
        let mut words = format!("{}: {own}", inside(&witness.test.label));
        if let Some(good) = witness.good.and_then(of) {
            words.push_str(&format!(", known good {good}"));
        }
        if let Some((front, number)) = self.front_apart().and_then(|front| Some((front, of(front)?))) {
            words.push_str(&format!(", {front} {number}"));
        }
        words
    }
}
