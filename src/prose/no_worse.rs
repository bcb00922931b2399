//! What a trial answers that asks whether its candidates are no worse than one blend. No difference is said to be absent:
//! beside every answer stands the largest one that the runs leave open.

use crate::catalogue::Mode;
use crate::prose::cautions::not_sorting;
use crate::prose::gates::unmet_gate;
use crate::prose::standing::in_a_sentence;
use crate::records::{BlendCode, GateOutcome};
use crate::standing::{Answer, ComparedTest, Equivalence, NoWorse, NotTold, Told, UnmetGate, Within};
use crate::units::DisplayPreferences;

/// The answer for every candidate.
pub fn sentence(equivalence: &Equivalence, shown: DisplayPreferences) -> String {
    if equivalence.candidates.is_empty() {
        return format!("There is no candidate to hold against {}.", equivalence.against);
    }
    let each = equivalence.candidates.iter();
    let each = each.map(|one| of_candidate(equivalence, one, shown));
    each.collect::<Vec<_>>().join(" ")
}

/// The answer for one candidate: yes, no or not yet, what it rests on, and what nobody tested.
pub fn of_candidate(equivalence: &Equivalence, one: &NoWorse, shown: DisplayPreferences) -> String {
    let (blend, against) = (&one.blend, &equivalence.against);
    let margin = shown.number(equivalence.margin);
    let mut sentences = match one.answer {
        Answer::Yes => {
            let open = one
                .greatest()
                .map(|worst| left_open(worst, shown))
                .unwrap_or_default();
            vec![format!(
                "Yes: {blend} is no worse than {against} within the margin of {margin}; the runs leave {open}."
            )]
        }
        Answer::No => no(equivalence, one, shown),
        Answer::Open => open(equivalence, one, shown),
    };
    sentences.extend(uncovered(&one.untested));
    sentences.join(" ")
}

fn no(equivalence: &Equivalence, one: &NoWorse, shown: DisplayPreferences) -> Vec<String> {
    let (blend, against) = (&one.blend, &equivalence.against);
    let worse = one.told().filter(|(_, told)| told.within == Within::Worse);
    let most = worse.max_by(|a, b| a.1.least().total_cmp(&b.1.least()));
    let mut sentences = Vec::new();
    if let Some((test, told)) = most {
        sentences.push(format!(
            "No: {blend} is worse than {against} by at least {} in {} (90 %), and the margin is {}.",
            critical_differences(told.least(), shown),
            name(test),
            shown.number(equivalence.margin)
        ));
    }
    let failed = one.unmet.iter().filter(|gate| gate.outcome == GateOutcome::Fail);
    let failed: Vec<String> = failed
        .map(|gate| unmet_gate(&UnmetGate(gate.clone()), shown))
        .collect();
    if !failed.is_empty() {
        let head = if sentences.is_empty() { "No: " } else { "" };
        sentences.push(format!(
            "{head}{blend} failed a requirement: {}.",
            failed.join(", ")
        ));
    }
    sentences
}

fn open(equivalence: &Equivalence, one: &NoWorse, shown: DisplayPreferences) -> Vec<String> {
    let (blend, against) = (&one.blend, &equivalence.against);
    let margin = shown.number(equivalence.margin);
    let mut sentences = vec![match one.greatest() {
        None => format!("Not answered: nothing that was run says how {blend} stands to {against}."),
        Some((test, told)) if told.within == Within::Open => format!(
            "Not answered: {blend} may be worse than {against} by up to {} in {} (90 %), and the margin is {margin}.",
            critical_differences(told.worst(), shown),
            name(test)
        ),
        Some(worst) => format!(
            "Not answered, though in what was run on {blend} and {against} the runs leave {}, inside the margin of {margin}.",
            left_open(worst, shown)
        ),
    }];
    let silent = one.tests.iter().filter_map(|test| {
        let why = test.told.as_ref().err()?;
        (!matches!(why, NotTold::DoesNotSort(_)))
            .then(|| format!("{} ({}): {}", test.label, test.standard, not_told(why)))
    });
    let silent: Vec<String> = silent.collect();
    if !silent.is_empty() {
        sentences.push(format!("{}.", silent.join("; ")));
    }
    let unmet: Vec<String> = (one.unmet.iter())
        .map(|gate| match gate.outcome {
            GateOutcome::NotRun => format!("{} was not run", gate.label),
            _ => format!("in doubt is {}", unmet_gate(&UnmetGate(gate.clone()), shown)),
        })
        .collect();
    if !unmet.is_empty() {
        sentences.push(format!("Of the requirements {}.", unmet.join(", ")));
    }
    sentences
}

/// `at most 0.84 critical differences to the worse open, in Wear scar (90 %)`.
fn left_open((test, told): (&ComparedTest, &Told), shown: DisplayPreferences) -> String {
    let capped = if told.both_capped {
        "; both ended beyond its scale"
    } else {
        ""
    };
    format!(
        "at most {} to the worse open, in {} (90 %){capped}",
        critical_differences(told.worst(), shown),
        name(test)
    )
}

fn uncovered(modes: &[Mode]) -> Option<String> {
    let words: Vec<&str> = modes.iter().map(|mode| mode.word()).collect();
    let (last, others) = words.split_last()?;
    Some(match others {
        [] => format!("No test covers {last}, a main failure mode of this machine."),
        _ => format!(
            "No test covers {} and {last}, main failure modes of this machine.",
            others.join(", ")
        ),
    })
}

fn name(test: &ComparedTest) -> String {
    format!("{} ({})", in_a_sentence(&test.label), test.standard)
}

/// A number of critical differences: `0.84`.
pub fn times(number: f64, shown: DisplayPreferences) -> String {
    shown.fixed(number, 2)
}

/// `0.84 critical differences`.
fn critical_differences(number: f64, shown: DisplayPreferences) -> String {
    match times(number, shown) {
        one if one == times(1.0, shown) => format!("{one} critical difference"),
        other => format!("{other} critical differences"),
    }
}

/// The difference of two blends in critical differences, `0.31 better`, `0.46 worse`, `0.00`.
pub fn difference(told: &Told, shown: DisplayPreferences) -> String {
    let by = told.difference / told.critical;
    let number = times(by.abs(), shown);
    match by {
        _ if number == times(0.0, shown) => number,
        by if by > 0.0 => format!("{number} better"),
        _ => format!("{number} worse"),
    }
}

/// Why nothing is said of two blends in a test.
pub fn not_told(why: &NotTold) -> String {
    match why {
        NotTold::NotRun(blends) => {
            let codes: Vec<&str> = blends.iter().map(BlendCode::as_str).collect();
            format!("not run on {}", codes.join(" and "))
        }
        NotTold::Stopped(blend) => format!("a run of {blend} was stopped for cause"),
        NotTold::NoPrecision => {
            "no published precision, and too few replicates to say how its results scatter".to_string()
        }
        NotTold::DoesNotSort(reason) => format!("says nothing here: {}", not_sorting(*reason)),
    }
}

/// Where a difference lies beside the margin.
pub fn within(within: Within) -> &'static str {
    match within {
        Within::Inside => "inside",
        Within::Open => "open",
        Within::Worse => "worse",
    }
}
