//! The sentence of each caution: what was found, with its numbers, and what a person can do.

use crate::prose::gates::unmet_gate;
use crate::prose::reasons::left_out_name;
use crate::prose::standing::{per_cent, simulations, title};
use crate::records::BlendCode;
use crate::standing::{
    Caution, Departing, DepartingRuns, DoubtedBecause, Finding, Hinge, LeftOut, MovedRun, NotSorting,
    Standing, UnmetGate, Variant,
};
use crate::units::DisplayPreferences;
use std::fmt::Display;

/// Which comparison says that a test does not sort.
pub fn not_sorting(reason: NotSorting) -> &'static str {
    match reason {
        NotSorting::ControlAsGood => "the control fluid does as well as the known good",
        NotSorting::GoodLikePoor => "it does not tell the known good from the known poor",
        NotSorting::MiddleOutside => "the middle reference does not lie between the others",
    }
}

/// `Wear scar, K-02, one of 3 runs`.
pub fn moved_run(moved: &MovedRun) -> String {
    let runs = match moved.runs {
        1 => "its only run".to_string(),
        runs => format!("one of {runs} runs"),
    };
    format!("{}, {}, {runs}", moved.label, moved.blend)
}

/// `K-02 (60 °C)`.
pub fn departing_runs(runs: &DepartingRuns) -> String {
    if runs.variant.is_empty() {
        format!("{} (the method's own conditions)", runs.blend)
    } else {
        format!("{} ({})", runs.blend, runs.variant)
    }
}

/// How many items of a list a sentence names; the evidence of the caution holds them all.
const NAMED: usize = 4;

/// A list whose items hold commas: the first ones, and how many others there are.
fn separate(items: &[String]) -> String {
    if items.len() > NAMED + 1 {
        format!(
            "{}; and {} others",
            items[..NAMED].join("; "),
            items.len() - NAMED
        )
    } else {
        items.join("; ")
    }
}

fn list(items: impl IntoIterator<Item = impl Display>) -> String {
    let words: Vec<String> = items.into_iter().map(|item| item.to_string()).collect();
    words.join(", ")
}

/// A caution as a short heading and a sentence that a person can act on, with numbers as a reader wants them written.
pub fn caution(caution: &Caution, standing: &Standing, shown: DisplayPreferences) -> (&'static str, String) {
    let fixed = |number: f64, decimals: usize| shown.fixed(number, decimals);
    let gates = |gates: &[UnmetGate]| list(gates.iter().map(|gate| unmet_gate(gate, shown)));
    let test = caution.test.as_ref().and_then(|key| title(standing, key));
    let test = test.unwrap_or_default();
    match &caution.finding {
        Finding::RestsOnOneExtremeScreen { hinge, .. } => (
            "Rests on an extreme-condition screen",
            rests_on_extreme_screen(hinge, standing),
        ),
        Finding::WorseThanKnownPoor {
            front_runner,
            contact,
            resemblance,
            p_below_poor,
        } => (
            "Worse than the known poor",
            format!(
                "{front_runner} is below the known poor reference oil in {test} (probability {}), which resembles the \
                 contact '{contact}' at {}. Do not scale it up before this is explained.",
                per_cent(*p_below_poor),
                fixed(*resemblance, 2)
            ),
        ),
        Finding::HingesOnOneTest(hinge) => hinges(hinge, standing),
        Finding::ClaimHinges(hinge) => (
            "The claim hinges on one",
            format!(
                "Without {} {} would still be in front, first in {}, but could not be called the leader. Support it by \
                 another test.",
                left_out_name(standing, &hinge.without, &hinge.tests),
                hinge.front_runner,
                simulations(hinge.p_best_then.unwrap_or_default())
            ),
        ),
        Finding::LeansOnOneTest {
            lead_share,
            resemblance,
            ..
        } => (
            "Leans on one test",
            format!(
                "{test} carries {} of the lead but resembles the machine only at {}. Run a test that resembles it more.",
                per_cent(*lead_share),
                fixed(*resemblance, 2)
            ),
        ),
        Finding::LosesAtComponent {
            front_runner,
            rival,
            times_reproducibility,
            resemblance,
        } => (
            "Loses on real components",
            format!(
                "{rival} is better than {front_runner} in {test} by {} times its reproducibility. That test runs real \
                 components and resembles the machine at {}. Explain the difference before choosing.",
                fixed(*times_reproducibility, 1),
                fixed(*resemblance, 2)
            ),
        ),
        Finding::NotSorting {
            reason, probability, ..
        } => (
            "Does not sort",
            format!(
                "{test}: {} (probability of the right order {}). It says nothing about lubricants here and weighs \
                 nothing. Find out why before running it again.",
                not_sorting(*reason),
                fixed(*probability, 2)
            ),
        ),
        Finding::NothingResembles {
            contact,
            share,
            greatest_resemblance,
        } => (
            "Nothing resembles a contact",
            format!(
                "No test that was run and scores a failure mode of '{contact}' ({} of the machine) resembles it above {}; the nearest comes to {}. Run a \
                 test that does before choosing.",
                per_cent(*share),
                shown.number(0.4),
                fixed(*greatest_resemblance, 2)
            ),
        ),
        Finding::ModeNotTested { mode, contacts } => (
            "Failure mode not tested",
            format!(
                "No test that was run and no gate with a result scores {mode}, a main failure mode of: {}. Run one that does.",
                list(contacts)
            ),
        ),
        Finding::NotResolved {
            front_runner,
            p_best,
            cannot_be_told_apart,
        } => (
            "Not resolved",
            not_resolved(front_runner, *p_best, cannot_be_told_apart),
        ),
        Finding::ThinCoverage {
            front_runner,
            coverage,
            fill_changes_the_front,
        } => (
            "Thin coverage",
            thin_coverage(front_runner, *coverage, *fill_changes_the_front),
        ),
        Finding::OnlyScreens { blends, .. } => (
            "Only screens",
            format!(
                "No test of real components (categories I to IV) with a weight of {} or more was run on both of {}. Run \
                 one on both before choosing.",
                shown.number(0.1),
                list(blends)
            ),
        ),
        Finding::Capped { blends, .. } => (
            "Capped",
            format!(
                "{} are both above the end of the scale of {test}. It cannot tell them apart: compare them in a test \
                 that goes further.",
                list(blends)
            ),
        ),
        Finding::BeyondReferences {
            blends: [front, rival],
            part_of_lead,
        } => (
            "Led beyond the references",
            format!(
                "{} of the lead of {front} over {rival} is made beyond the known good reference oil; with nothing counted \
                 there no leader could be named. Ask whether more than the known good is worth anything to this machine.",
                per_cent(*part_of_lead)
            ),
        ),
        Finding::WithinRepeatability {
            blends,
            lead_share,
            part_of_critical_difference,
        } => (
            "Within repeatability",
            format!(
                "{test} supplies {} of the lead, but {} differ there by {} of its critical difference only. Repeat it \
                 before reading an order into it.",
                per_cent(*lead_share),
                list(blends),
                fixed(*part_of_critical_difference, 2)
            ),
        ),
        Finding::RigOutOfControl {
            rig,
            reference,
            blends,
            since,
            in_front_as_read,
            in_front_uncut,
        } => {
            let as_read = in_front_as_read.as_ref().map(|other| {
                format!(" With results as read, not adjusted for severity, {other} would be in front.")
            });
            let uncut = in_front_uncut
                .as_ref()
                .map(|other| format!(" With that change of level overlooked, {other} would be in front."));
            let words = format!(
                "The reference runs on rig {rig} ({reference}) have held another level since {since}, and results of {} in \
                 {test} fall into that time.{}{} Find the cause, then repeat them.",
                list(blends),
                as_read.unwrap_or_default(),
                uncut.unwrap_or_default()
            );
            ("Rig out of control", words)
        }
        Finding::ConditionsDepart {
            weighed_at,
            method_has,
            others,
        } => (
            "Conditions depart from the method",
            conditions_depart(&test, weighed_at, method_has, others),
        ),
        Finding::MixedMethods { quantity, methods } => (
            "Mixed methods",
            format!(
                "{quantity}: different blends were measured by different methods: {}. Values of two methods do not \
                 compare. Run one of them on every candidate.",
                list(methods)
            ),
        ),
        Finding::NoReference {} => (
            "No reference oil",
            format!(
                "{test} was run without a reference oil: it has no scale and is not weighed. Run a known good, \
                 and a known poor, beside the candidates."
            ),
        ),
        Finding::OneReference {} => (
            "One reference oil",
            format!(
                "{test} has one reference oil only: the other end of its scale is taken at twice the reproducibility. \
                 Run a known poor beside it."
            ),
        ),
        Finding::GateFailed { blend, gates: failed } => (
            "Gate failed",
            format!(
                "{blend} failed: {}. It is out of the standing; the form below lets it in to see what it would change.",
                gates(failed)
            ),
        ),
        Finding::GateBorderline { blend, gates: near } => (
            "Gate in doubt",
            format!(
                "{blend} is in doubt at a limit: {}. Repeat the test before relying on it.",
                gates(near)
            ),
        ),
        Finding::GateNotRun { blend, gates } => (
            "Gate not run",
            format!(
                "{blend} has no result for: {}. Run what is missing before choosing it.",
                list(gates)
            ),
        ),
        Finding::SingleRun { runs } => (
            "Single run",
            format!(
                "One run, moved by its test's repeatability, would change who is in front: {}. Repeat it.",
                separate(&runs.iter().map(moved_run).collect::<Vec<_>>())
            ),
        ),
        Finding::SuspectRun {
            blend,
            because,
            in_front_without,
        } => {
            let what = match because {
                DoubtedBecause::FarApart {
                    runs,
                    times_critical_range,
                } => format!(
                    "{runs} runs of {blend} in {test} lie {} times the critical range of the method apart (1 % over all \
                     cells of the trial).",
                    fixed(*times_critical_range, 1)
                ),
                DoubtedBecause::SetApart {
                    runs,
                    of,
                    deviations,
                    freedom,
                } => {
                    let which = match runs {
                        all if all == of => format!("The {of} runs of {blend} in {test} lie"),
                        1 => format!("1 of {of} runs of {blend} in {test} lies"),
                        some => format!("{some} of {of} runs of {blend} in {test} lie"),
                    };
                    let from = if runs == of { "apart" } else { "from the others" };
                    format!(
                        "{which} {} standard deviations {from}, as the test scatters without what is doubted ({freedom:.0} \
                         degrees of freedom; by chance in fewer than 1 % of trials).",
                        fixed(*deviations, 1)
                    )
                }
                DoubtedBecause::Marked { reason } if reason.is_empty() => {
                    format!("A run of {blend} in {test} is marked suspect.")
                }
                DoubtedBecause::Marked { reason } => {
                    format!("A run of {blend} in {test} is marked suspect: {reason}.")
                }
            };
            let other = in_front_without.as_ref().map_or("nobody else", BlendCode::as_str);
            let words = format!(
                "{what} All count until a cause is found; without what is doubted {other} would be in front."
            );
            ("Suspect run", words)
        }
        Finding::WeightsDecide {
            front_runner,
            with_equal_weights,
        } => (
            "The weights decide",
            format!(
                "With all weights equal {with_equal_weights} would be in front instead of {front_runner}. Look at the \
                 resemblance of the heaviest tests."
            ),
        ),
    }
}

const NOTHING_LEFT: &str = "nothing is left to weigh";

fn rests_on_extreme_screen(hinge: &Hinge, standing: &Standing) -> String {
    let front = &hinge.front_runner;
    let then = match &hinge.then_in_front {
        None => NOTHING_LEFT.to_string(),
        Some(then) => format!(
            "{then} is in front, and in {} another than {front} comes first",
            simulations(hinge.p_changes.unwrap_or_default())
        ),
    };
    format!(
        "{front} is in front through {}, which goes beyond this machine in at least two respects. Without it {then}. \
         Run a test that resembles the machine before choosing.",
        left_out_name(standing, &hinge.without, &hinge.tests)
    )
}

fn hinges(hinge: &Hinge, standing: &Standing) -> (&'static str, String) {
    let then = match &hinge.then_in_front {
        None => NOTHING_LEFT.to_string(),
        Some(then) => format!(
            "{then} is in front, first in {}",
            simulations(hinge.p_best_then.unwrap_or_default())
        ),
    };
    let (heading, mend) = match &hinge.without {
        LeftOut::Laboratory(_) => (
            "Hinges on one laboratory",
            "Repeat its heaviest tests in another laboratory.",
        ),
        LeftOut::Rig(_) => ("Hinges on one rig", "Repeat its tests on another rig."),
        _ => ("Hinges on one test", "Repeat it, or support it by another test."),
    };
    let name = left_out_name(standing, &hinge.without, &hinge.tests);
    (heading, format!("Without {name} {then}. {mend}"))
}

fn not_resolved(front: &BlendCode, p_best: f64, rivals: &[BlendCode]) -> String {
    let apart = if rivals.is_empty() {
        String::new()
    } else {
        format!(" It is above {} in less than 90 % of them.", list(rivals))
    };
    format!(
        "{front} comes first in {}.{apart} Run what could tell them apart, or choose on other grounds.",
        simulations(p_best)
    )
}

fn thin_coverage(front: &BlendCode, coverage: f64, fill_changes: bool) -> String {
    let run = per_cent(coverage);
    if run == per_cent(1.0) {
        return format!(
            "All of the weight has been run on {front}, not on its rivals. Filled well for them, the gaps would change \
             who is in front. Run the heaviest of the tests that are missing."
        );
    }
    let fill = if fill_changes {
        " Filled badly for it and well for its rivals, the gaps would change who is in front."
    } else {
        ""
    };
    format!(
        "{run} of the weight has been run on {front}.{fill} Run the heaviest of the tests that are missing."
    )
}

fn conditions_depart(test: &str, weighed_at: &Variant, own: &str, others: &Departing) -> String {
    let mut sentences = Vec::new();
    if !weighed_at.is_empty() {
        sentences.push(format!(
            "The runs of {test} that count were made at {weighed_at} instead of {own}: a variant of the method of its own. \
             Its precision and its likeness to the machine are still taken from the method as it is written."
        ));
    }
    let depart = |runs: &str, but: &str| {
        format!("Runs of {test} were made under conditions other than the method's ({own}): {runs}. {but}")
    };
    let (Departing::KeptApart(runs) | Departing::JudgedAllTheSame(runs)) = others;
    let words = list(runs.iter().map(departing_runs));
    match others {
        _ if runs.is_empty() => {}
        Departing::KeptApart(_) if sentences.is_empty() => {
            sentences.push(depart(&words, "They are shown, and not pooled with the others."));
        }
        Departing::KeptApart(_) => sentences.push(format!("Not pooled with them: {words}.")),
        Departing::JudgedAllTheSame(_) => {
            sentences.push(depart(&words, "The limit was held against them all the same."));
        }
    }
    sentences.join(" ")
}
