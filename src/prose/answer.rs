//! The answer of a trial in few words: who leads or that nobody does, how often it comes first, and what breaks the claim.

use crate::prose::reasons::{leave_out_name, left_out_name};
use crate::prose::standing::{before_comma, in_a_sentence, of_100, runner_up_and_share, simulations};
use crate::records::{BlendCode, Role, TestKey, TrialRecords};
use crate::standing::{
    Answer as NoWorseAnswer, CautionKind, Doubt, Equivalence, Finding, LeaveOut, LeftOut, LeftOutKind,
    Severity, Standing,
};

/// The answer as the title of a page.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Answer {
    /// `T-03 leads, as far as tested.`, `No leader. T-11 comes first most often.`
    pub verdict: String,
    /// `Bronze wear is not tested.`; empty where all that decides is.
    pub untested: String,
}

/// What a trial answers.
pub fn answer(records: &TrialRecords, standing: &Standing) -> Answer {
    let untested = untested(standing);
    let verdict = verdict(records, standing, untested.is_empty());
    Answer { verdict, untested }
}

fn verdict(records: &TrialRecords, standing: &Standing, all_is_tested: bool) -> String {
    if records.with_role(Role::Candidate).count() == 0 {
        return "There is no candidate yet.".to_string();
    }
    if records.results.is_empty() {
        return "Nothing has been run yet.".to_string();
    }
    if let Some(equivalence) = &standing.equivalence {
        return no_worse(equivalence);
    }
    if let Some(leader) = &standing.leader {
        let bound = if all_is_tested { "" } else { ", as far as tested" };
        return format!("{leader} leads{bound}.");
    }
    let all_out = !standing.candidates.is_empty() && standing.candidates.iter().all(|one| one.is_out());
    match &standing.front_runner {
        None if all_out => "No candidate is left: each failed a requirement.".to_string(),
        None => "No leader: no test is weighed.".to_string(),
        Some(front) if standing.no_leader_because == [Doubt::Alone] || standing.runner_up.is_none() => {
            format!("{front} is the only candidate: no comparison.")
        }
        Some(front) => match runner_up_and_share(standing) {
            Some((other, often)) if often > share(standing, front) => {
                format!("No leader. {front} has the greatest score, {other} comes first more often.")
            }
            _ => format!("No leader. {front} comes first most often."),
        },
    }
}

fn no_worse(equivalence: &Equivalence) -> String {
    let against = &equivalence.against;
    match equivalence.candidates.as_slice() {
        [] => format!("There is no candidate to hold against {against}."),
        [one] => match one.answer {
            NoWorseAnswer::Yes => format!("Yes: {} is no worse than {against}.", one.blend),
            NoWorseAnswer::No => format!(
                "No: {} is worse than {against}, or failed a requirement.",
                one.blend
            ),
            NoWorseAnswer::Open => format!("Not answered: {} may be worse than {against}.", one.blend),
        },
        many => {
            let codes = |answer: NoWorseAnswer| {
                let of: Vec<&str> = (many.iter().filter(|one| one.answer == answer))
                    .map(|one| one.blend.as_str())
                    .collect();
                of.join(", ")
            };
            let part = |answer, said: &str| {
                let codes = codes(answer);
                (!codes.is_empty()).then(|| format!("{said}: {codes}."))
            };
            let parts = [
                part(NoWorseAnswer::Yes, &format!("No worse than {against}")),
                part(NoWorseAnswer::No, "Worse, or failed a requirement"),
                part(NoWorseAnswer::Open, "Not answered"),
            ];
            parts.into_iter().flatten().collect::<Vec<_>>().join(" ")
        }
    }
}

/// `Bronze wear and rust are not tested.`
fn untested(standing: &Standing) -> String {
    let modes: Vec<&str> = standing.not_tested.iter().map(|mode| mode.word()).collect();
    match modes.split_last() {
        None => String::new(),
        Some((only, [])) => format!("{} is not tested.", capital(only)),
        Some((last, others)) => format!("{} and {last} are not tested.", capital(&others.join(", "))),
    }
}

/// A text with a capital letter.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    first.chain(letters).collect()
}

/// How a question changes who leads: `A leader before, none now.` Nothing for a trial that asks for no order.
pub fn change_of_status(before: &Standing, after: &Standing) -> String {
    let lead = |standing: &Standing| (standing.leader.clone(), standing.front_runner.clone());
    if before.equivalence.is_some() {
        return String::new();
    }
    change_of_lead(lead(before), lead(after))
}

/// From the leader and the front-runner, before and after.
fn change_of_lead(
    before: (Option<BlendCode>, Option<BlendCode>),
    after: (Option<BlendCode>, Option<BlendCode>),
) -> String {
    match (before, after) {
        ((Some(was), _), (Some(is), _)) if was == is => "The same leader.".to_string(),
        ((Some(was), _), (Some(is), _)) => format!("Another leader: {was} before, {is} now."),
        ((Some(_), _), (None, _)) => "A leader before, none now.".to_string(),
        ((None, _), (Some(_), _)) => "No leader before, one now.".to_string(),
        ((None, Some(was)), (None, Some(is))) if was != is => {
            format!("No leader before or now; {was} came first before, {is} does now.")
        }
        ((None, Some(_)), (None, None)) => "No leader before, and nothing is left to weigh now.".to_string(),
        _ => "No leader before, none now.".to_string(),
    }
}

fn share(standing: &Standing, blend: &BlendCode) -> f64 {
    let candidate = standing.candidate(blend);
    candidate.and_then(|candidate| candidate.p_best).unwrap_or(0.0)
}

/// What stands under the answer, at most three short facts: how often the first comes first, what it can do without or why
/// nobody leads, and what breaks the claim.
pub fn facts(standing: &Standing) -> Vec<String> {
    let Some(front) = standing
        .front_runner
        .as_ref()
        .filter(|_| standing.equivalence.is_none())
    else {
        return Vec::new();
    };
    let Some((next, next_share)) = runner_up_and_share(standing) else {
        return Vec::new();
    };
    let first = format!(
        "{front} comes first in {}; {next} in {}",
        simulations(share(standing, front)),
        of_100(next_share)
    );
    let others = match &standing.leader {
        Some(_) => leads_without(standing),
        None => doubts(standing, front),
    };
    [first].into_iter().chain(others).take(MOST).collect()
}

/// How many facts stand under an answer.
const MOST: usize = 3;

fn leads_without(standing: &Standing) -> Vec<String> {
    let Some(breaks) = &standing.breaks_without else {
        return vec!["Still leads with any one test, rig or laboratory left out".to_string()];
    };
    let holds = |kind: LeftOutKind| {
        let mut of_kind = standing
            .leave_outs
            .iter()
            .filter(|out| out.left_out.kind() == kind);
        of_kind.all(|out| out.may_be_named && !out.changes)
    };
    let held = holds(LeftOutKind::Method).then(|| "Still leads with any one test left out".to_string());
    let broken = format!("Without {}: {}", short(standing, breaks), then(breaks));
    held.into_iter().chain([broken]).collect()
}

/// `no leader`, `T-13 comes first`, `nothing is left to weigh`.
fn then(out: &LeaveOut) -> String {
    match (&out.front_runner, out.changes) {
        (None, _) => "nothing is left to weigh".to_string(),
        (Some(other), true) => format!("{other} comes first"),
        (Some(_), false) => "no leader".to_string(),
    }
}

fn short(standing: &Standing, out: &LeaveOut) -> String {
    short_left_out(
        standing,
        &out.left_out,
        &out.tests,
        &leave_out_name(standing, out),
    )
}

/// What is left out without its standard: `gear wear at low speed`, `Laboratory A`.
pub(crate) fn without(standing: &Standing, left_out: &LeftOut, tests: &[TestKey]) -> String {
    short_left_out(
        standing,
        left_out,
        tests,
        &left_out_name(standing, left_out, tests),
    )
}

fn short_left_out(standing: &Standing, left_out: &LeftOut, tests: &[TestKey], long: &str) -> String {
    match (left_out, tests.first().and_then(|key| standing.test(key))) {
        (LeftOut::Method(_), Some(test)) => in_a_sentence(before_comma(&test.title)),
        _ => long.to_string(),
    }
}

fn doubts(standing: &Standing, front: &BlendCode) -> Vec<String> {
    let words = standing.no_leader_because.iter().filter_map(|doubt| match doubt {
        Doubt::Stop => stop(standing, front),
        Doubt::NotResolved => Some(format!(
            "{front} is not above every rival in 90 of 100 simulations"
        )),
        Doubt::ScreensDecide => Some("Only extreme-condition screens tell it from its rivals".to_string()),
        Doubt::ThinCoverage => Some(format!("Too little of what would count was run on {front}")),
        Doubt::FillChanges => Some("What was not run could turn the order round".to_string()),
        Doubt::FewAlike => Some("Less than half of the weight comes from tests like the machine".to_string()),
        Doubt::GateUndecided => Some(format!("{front} may fail a requirement")),
        Doubt::Alone => None,
    });
    words.collect()
}

fn stop(standing: &Standing, front: &BlendCode) -> Option<String> {
    let mut stops = (standing.cautions.iter()).filter(|caution| caution.severity == Severity::Stop);
    Some(match &stops.next()?.finding {
        Finding::RestsOnOneExtremeScreen { hinge, .. } => match &hinge.then_in_front {
            None => "Extreme-condition screens are all there is".to_string(),
            Some(then) => format!(
                "Without {}: {then} comes first",
                without(standing, &hinge.without, &hinge.tests)
            ),
        },
        Finding::WorseThanKnownPoor { contact, .. } => {
            format!("{front} is worse than the known poor where the {contact} is tested")
        }
        Finding::NothingResembles { contact, .. } => {
            format!("Nothing that was run resembles this contact: {contact}")
        }
        _ => return None,
    })
}

/// Whether a caution says what stands beside the rejected blends already.
pub fn repeats_a_requirement(kind: CautionKind) -> bool {
    kind == CautionKind::GateFailed
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::code;

    #[test]
    fn a_question_says_whether_it_makes_or_unmakes_a_leader() {
        let of = |leader: Option<&str>, front: Option<&str>| (leader.map(code), front.map(code));
        let (leads, other) = (of(Some("A"), Some("A")), of(Some("B"), Some("B")));
        let (none, turned, empty) = (of(None, Some("A")), of(None, Some("B")), of(None, None));
        for (before, after, said) in [
            (&leads, &leads, "The same leader."),
            (&leads, &other, "Another leader: A before, B now."),
            (&leads, &none, "A leader before, none now."),
            (&leads, &empty, "A leader before, none now."),
            (&none, &leads, "No leader before, one now."),
            (&none, &none, "No leader before, none now."),
            (
                &none,
                &turned,
                "No leader before or now; A came first before, B does now.",
            ),
            (
                &none,
                &empty,
                "No leader before, and nothing is left to weigh now.",
            ),
        ] {
            assert_eq!(change_of_lead(before.clone(), after.clone()), said);
        }
    }
}
