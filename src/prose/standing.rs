//! The sentences of a standing, in one place: page, JSON and command line say the same.

use crate::catalogue::Use;
use crate::prose::no_worse;
use crate::prose::reasons::leave_out_name;
use crate::records::{BlendCode, Role, TestKey, TrialRecords};
use crate::standing::{Caution, Doubt, Finding, Severity, Standing, TestStanding};
use crate::units::DisplayPreferences;

pub use crate::prose::cautions::caution;

/// The sentence that can be read aloud: who is favoured, how sure, what it rests on; with numbers as a reader wants them
/// written.
pub fn sentence(records: &TrialRecords, standing: &Standing, shown: DisplayPreferences) -> String {
    let candidates = records.with_role(Role::Candidate).count();
    if candidates == 0 {
        return "There is no candidate in this trial yet: nothing to compare.".to_string();
    }
    if records.results.is_empty() {
        return "Nothing has been run yet: there is nothing to say about the candidates.".to_string();
    }
    if let Some(equivalence) = &standing.equivalence {
        return no_worse::sentence(equivalence, shown);
    }
    let Some(front) = standing.front_runner.as_ref() else {
        return nothing_weighed(standing);
    };
    if standing.no_leader_because == [Doubt::Alone] || standing.runner_up.is_none() {
        return alone(standing, front, shown);
    }
    if let (None, Some(level)) = (&standing.leader, level_with(standing, front)) {
        return level_words(standing, front, level);
    }
    match &standing.leader {
        Some(leader) => format!(
            "{leader} is favoured: it {}{}.{} {}{}",
            first_places(standing, leader),
            runner_up(standing),
            what_it_rests_on(standing),
            what_breaks_it(standing),
            not_tested(standing)
        ),
        None => format!(
            "No leader can be named. {front} is in front and {}{}; but {}.{}",
            first_places(standing, front),
            runner_up(standing),
            doubts(standing, front),
            not_tested(standing)
        ),
    }
}

fn nothing_weighed(standing: &Standing) -> String {
    let all_out = !standing.candidates.is_empty() && standing.candidates.iter().all(|c| c.is_out());
    if all_out {
        return match standing.candidates.as_slice() {
            [one] => format!("No candidate is left: {} failed a gate.", one.blend),
            _ => "No candidate is left: each of them failed a gate.".to_string(),
        };
    }
    "Nothing is weighed: no test with results and reference oils resembles this machine. \
     The results are shown, but they carry no order of the candidates."
        .to_string()
}

fn alone(standing: &Standing, front: &BlendCode, shown: DisplayPreferences) -> String {
    let score = standing.candidate(front).and_then(|candidate| candidate.score);
    let score = score.map(|score| {
        format!(
            " Its score is {}, between the known poor (0) and the known good (1) reference oils.",
            shown.fixed(score, 2)
        )
    });
    format!(
        "{front} is the only candidate that is weighed: there is no other to compare it with.{}",
        score.unwrap_or_default()
    )
}

/// Shares of first places no further apart than this are level (ours).
const LEVEL: f64 = 0.02;

/// The candidate that comes first as often as the one with the greatest score, or more often.
fn level_with<'a>(standing: &'a Standing, front: &BlendCode) -> Option<&'a BlendCode> {
    let p_front = standing.candidate(front)?.p_best?;
    let (next, p_next) = runner_up_and_share(standing)?;
    (p_front - p_next <= LEVEL).then_some(next)
}

fn level_words(standing: &Standing, front: &BlendCode, level: &BlendCode) -> String {
    let p_best = |blend: &BlendCode| {
        let p_best = standing.candidate(blend).and_then(|candidate| candidate.p_best);
        p_best.unwrap_or(0.0)
    };
    let (p_front, p_level) = (p_best(front), p_best(level));
    let parted = if p_level - p_front > LEVEL {
        format!("{front} has the greater score, {level} comes first more often")
    } else {
        format!("{front} and {level} are level")
    };
    format!(
        "No leader can be named: {parted}. {front} comes first in {}, {level} in {}.{}",
        simulations(p_front),
        simulations(p_level),
        not_tested(standing)
    )
}

/// `comes first in 71 of 100 simulations`.
fn first_places(standing: &Standing, blend: &BlendCode) -> String {
    let share = standing
        .candidate(blend)
        .and_then(|candidate| candidate.p_best)
        .unwrap_or(0.0);
    format!("comes first in {}", simulations(share))
}

/// `71 of 100 simulations`, never all or none of them.
pub fn simulations(share: f64) -> String {
    format!("{} simulations", of_100(share))
}

/// `71 of 100`, `fewer than 1 of 100`, `more than 99 of 100`.
pub fn of_100(share: f64) -> String {
    match share * 100.0 {
        n if n < 1.0 => "fewer than 1 of 100".to_string(),
        n if n > 99.0 => "more than 99 of 100".to_string(),
        n => format!("{n:.0} of 100"),
    }
}

/// Whoever comes first next often, and how often; of those who all do so in fewer than one of 100, the best by score.
pub(crate) fn runner_up_and_share(standing: &Standing) -> Option<(&BlendCode, f64)> {
    let rivals = standing
        .candidates
        .iter()
        .filter(|candidate| Some(&candidate.blend) != standing.front_runner.as_ref());
    let with_share = rivals.filter_map(|candidate| Some((&candidate.blend, candidate.p_best?)));
    let told = |share: f64| if share < 0.01 { 0.0 } else { share };
    with_share.rev().max_by(|a, b| told(a.1).total_cmp(&told(b.1)))
}

fn runner_up(standing: &Standing) -> String {
    runner_up_and_share(standing)
        .map(|(blend, p)| format!("; {blend} in {}", of_100(p)))
        .unwrap_or_default()
}

/// The test that gives most of the lead.
fn what_it_rests_on(standing: &Standing) -> String {
    let shares = standing
        .tests
        .iter()
        .filter_map(|test| Some((test, test.lead_share?)));
    let Some((test, share)) = shares.max_by(|a, b| a.1.total_cmp(&b.1)) else {
        return String::new();
    };
    let part = if share < 1.0 {
        format!("{} of its lead rests", per_cent(share))
    } else {
        "All of its lead rests".to_string()
    };
    format!(
        " {part} on {}.",
        in_a_sentence(&short_test_name(standing, &test.key))
    )
}

/// What the question or the machine has and nobody tested; with a space before it, empty where there is none.
fn not_tested(standing: &Standing) -> String {
    let modes: Vec<&str> = standing.not_tested.iter().map(|mode| mode.word()).collect();
    match modes.split_last() {
        None => String::new(),
        Some((only, [])) => format!(" Not tested: {only}."),
        Some((last, others)) => format!(" Not tested: {} and {last}.", others.join(", ")),
    }
}

/// What breaks the claim: the worst of what it must be able to do without, and the gravest caution.
fn what_breaks_it(standing: &Standing) -> String {
    let without = match &standing.breaks_without {
        None => "With any one test left out it still leads.".to_string(),
        Some(out) if out.changes => format!(
            "The lead would not survive dropping {}.",
            leave_out_name(standing, out)
        ),
        Some(out) => format!(
            "Without {} no leader could be named.",
            leave_out_name(standing, out)
        ),
    };
    let said_already = |caution: &Caution| match &caution.finding {
        Finding::ModeNotTested { .. } => true,
        Finding::HingesOnOneTest(hinge) | Finding::ClaimHinges(hinge) => {
            let mut breaks = standing.breaks_without.iter();
            breaks.any(|out| out.left_out == hinge.without)
        }
        _ => false,
    };
    let gravest = standing
        .cautions
        .iter()
        .filter(|caution| caution.severity == Severity::High)
        .find(|caution| !said_already(caution));
    let heading = gravest.map(|gravest| caution(gravest, standing, DisplayPreferences::default()).0);
    heading.map_or(without.clone(), |heading| {
        format!("{without} Gravest caution: {}.", heading.to_lowercase())
    })
}

/// The label of a test, with its title where another test has the same label; its key where it is not there.
pub fn short_test_name(standing: &Standing, key: &TestKey) -> String {
    let Some(test) = standing.test(key) else {
        return key.to_string();
    };
    let of_label = standing.tests.iter().filter(|other| other.label == test.label);
    if of_label.count() > 1 {
        format!("{} ({})", test.label, test.title)
    } else {
        test.label.clone()
    }
}

/// A label as it stands inside a sentence: `mass loss of the cage`, `Fe in the oil`.
pub(crate) fn in_a_sentence(label: &str) -> String {
    let mut letters = label.chars();
    let first = letters.next().into_iter();
    let word = label.split(' ').next().unwrap_or_default();
    let is_word = word.chars().count() > 2 && word.chars().skip(1).all(|c| c.is_lowercase() || c == '-');
    match is_word {
        true => first.flat_map(char::to_lowercase).chain(letters).collect(),
        false => label.to_string(),
    }
}

/// The method of a test in few words; with the quantity where the trial weighs or shows several of it.
pub(crate) fn short_name(standing: &Standing, test: &TestStanding) -> String {
    let title = before_comma(&test.title);
    let alike = (standing.tests.iter())
        .filter(|other| before_comma(&other.title) == title && other.used_to != Use::Gate);
    if alike.count() > 1 {
        format!("{title}: {}", in_a_sentence(&test.label))
    } else {
        title.to_string()
    }
}

/// `Gear wear at low speed` of `Gear wear at low speed, oil`.
pub(crate) fn before_comma(title: &str) -> &str {
    title.split(',').next().unwrap_or(title)
}

/// `ISO 14635-1` of `ISO 14635-1 (A/8,3/90); ASTM D5182`: where the number alone must do.
pub(crate) fn number_of_standard(standard: &str) -> &str {
    let number = standard.split([',', ';', '(']).next();
    number.unwrap_or(standard).trim_end()
}

/// The label and standard of a test or gate.
pub(crate) fn title(standing: &Standing, key: &TestKey) -> Option<String> {
    let test = standing.test(key);
    let gate = standing.gates.iter().find(|gate| &gate.key == key);
    let (label, standard) = test
        .map(|test| (&test.label, &test.standard))
        .or(gate.map(|gate| (&gate.label, &gate.standard)))?;
    Some(format!("{label} ({standard})"))
}

fn doubts(standing: &Standing, front: &BlendCode) -> String {
    let words = standing.no_leader_because.iter().map(|doubt| match doubt {
        Doubt::Stop => stop_words(standing, front),
        Doubt::NotResolved => {
            format!("{front} cannot be told from its rivals often enough to be called the leader")
        }
        Doubt::ScreensDecide => {
            format!(
                "without the extreme-condition screens {front} cannot be told from its rivals often enough"
            )
        }
        Doubt::ThinCoverage => "too little of what would count has been run on it".to_string(),
        Doubt::FillChanges => "what has not been run could turn the order round".to_string(),
        Doubt::FewAlike => {
            "less than half of the weight comes from tests that are like the machine".to_string()
        }
        Doubt::GateUndecided => {
            format!("{front} may not meet a requirement: its results lie on the wrong side of the limit")
        }
        Doubt::Alone => "there is no other candidate".to_string(),
    });
    words.collect::<Vec<_>>().join("; and ")
}

fn stop_words(standing: &Standing, front: &BlendCode) -> String {
    let stop = standing
        .cautions
        .iter()
        .find(|caution| caution.severity == Severity::Stop);
    match stop.map(|caution| &caution.finding) {
        Some(Finding::RestsOnOneExtremeScreen { hinge, .. }) => match &hinge.then_in_front {
            None => "the choice rests on extreme-condition screens alone".to_string(),
            Some(then) => format!(
                "the place of {front} rests on an extreme-condition screen, without which {then} is in front"
            ),
        },
        Some(Finding::WorseThanKnownPoor { contact, .. }) => {
            format!("it is below the known poor reference where the machine's {contact} is tested")
        }
        _ => "a caution of the gravest kind applies".to_string(),
    }
}

/// A share in per cent, without a false 0 or 100.
pub fn per_cent(share: f64) -> String {
    match share * 100.0 {
        p if p <= 0.0 => "0 %".to_string(),
        p if p < 1.0 => "less than 1 %".to_string(),
        p if p > 99.0 && p < 100.0 => "more than 99 %".to_string(),
        p => format!("{p:.0} %"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_number_of_a_standard_stands_before_its_variants_and_its_likes() {
        for (standard, number) in [
            ("ASTM D4172, condition B", "ASTM D4172"),
            ("ISO 14635-1 (A/8,3/90); ASTM D5182", "ISO 14635-1"),
            ("DIN 3990-16 (GT-C/8,3/90)", "DIN 3990-16"),
            ("in-house", "in-house"),
        ] {
            assert_eq!(number_of_standard(standard), number);
        }
    }
}
