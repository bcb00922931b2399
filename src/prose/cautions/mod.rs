//! The sentence of each caution: what fired, with its numbers, and what a person can do.

mod results;

use crate::prose::standing::{leave_out_name, per_cent, title};
use crate::standing::{Caution, CautionKind, Evidence, LeftOut, Standing};
use crate::units::DisplayPreferences;

fn number(caution: &Caution, name: &str) -> f64 {
    match caution.evidence.get(name) {
        Some(Evidence::Number(value)) => *value,
        _ => f64::NAN,
    }
}

pub(crate) fn text<'a>(caution: &'a Caution, name: &str) -> &'a str {
    match caution.evidence.get(name) {
        Some(Evidence::Text(value)) => value,
        _ => "",
    }
}

fn list(caution: &Caution, name: &str) -> String {
    match caution.evidence.get(name) {
        Some(Evidence::List(values)) => values.join(", "),
        _ => String::new(),
    }
}

/// How many items of a list a sentence names; the evidence of the caution holds them all.
const NAMED: usize = 4;

/// A list whose items hold commas: the first ones, and how many others there are.
fn separate(caution: &Caution, name: &str) -> String {
    match caution.evidence.get(name) {
        Some(Evidence::List(values)) if values.len() > NAMED + 1 => {
            let others = values.len() - NAMED;
            format!("{}; and {others} others", values[..NAMED].join("; "))
        }
        Some(Evidence::List(values)) => values.join("; "),
        _ => String::new(),
    }
}

/// A caution as a short heading and a sentence that a person can act on.
pub fn caution(caution: &Caution, standing: &Standing) -> (String, String) {
    caution_as(caution, standing, DisplayPreferences::default())
}

/// The same with numbers as a reader wants them written.
pub fn caution_as(caution: &Caution, standing: &Standing, shown: DisplayPreferences) -> (String, String) {
    let fixed = |name: &str, decimals: usize| shown.fixed(number(caution, name), decimals);
    let test = caution
        .test
        .as_ref()
        .and_then(|key| title(standing, &key.to_string()))
        .unwrap_or_default();
    let (heading, words) = match caution.kind {
        CautionKind::RestsOnOneExtremeScreen => rests_on_extreme_screen(caution, standing),
        CautionKind::WorseThanKnownPoor => (
            "Worse than the known poor".to_string(),
            format!(
                "{} is below the known poor reference oil in {test} (probability {}), which resembles the contact '{}' at {}. \
                 Do not scale it up before this is explained.",
                text(caution, "front_runner"),
                per_cent(number(caution, "p_below_poor")),
                text(caution, "contact"),
                fixed("resemblance", 2)
            ),
        ),
        CautionKind::HingesOnOneTest => hinges(caution, standing),
        CautionKind::LeansOnOneTest => (
            "Leans on one test".to_string(),
            format!(
                "{test} carries {} of the lead but resembles the machine only at {}. Run a test that resembles it more.",
                per_cent(number(caution, "lead_share")),
                fixed("resemblance", 2)
            ),
        ),
        CautionKind::NotSorting => (
            "Does not sort".to_string(),
            format!(
                "{test}: {} (probability of the right order {}). It says nothing about lubricants here and weighs \
                 nothing. Find out why before running it again.",
                text(caution, "reason"),
                fixed("probability", 2)
            ),
        ),
        CautionKind::NothingResembles => (
            "Nothing resembles a contact".to_string(),
            format!(
                "No test that was run resembles '{}' ({} of the machine) above {}; the nearest comes to {}. Run a \
                 test that does before choosing.",
                text(caution, "contact"),
                per_cent(number(caution, "share")),
                shown.number(0.4),
                fixed("greatest_resemblance", 2)
            ),
        ),
        CautionKind::NotResolved => not_resolved(caution),
        CautionKind::ThinCoverage => thin_coverage(caution),
        CautionKind::Capped => (
            "Capped".to_string(),
            format!(
                "{} are both above the end of the scale of {test}. It cannot tell them apart: compare them in a test \
                 that goes further.",
                list(caution, "blends")
            ),
        ),
        CautionKind::NoReference => (
            "No reference oil".to_string(),
            format!(
                "{test} was run without a reference oil: it has no scale and is not weighed. Run a known good, \
                 and a known poor, beside the candidates."
            ),
        ),
        CautionKind::OneReference => (
            "One reference oil".to_string(),
            format!(
                "{test} has one reference oil only: the other end of its scale is taken at twice the reproducibility. \
                 Run a known poor beside it."
            ),
        ),
        CautionKind::GateFailed => (
            "Gate failed".to_string(),
            format!(
                "{} failed: {}. It is out of the standing; the form below lets it in to see what it would change.",
                text(caution, "blend"),
                shown.dress_within(&list(caution, "gates"))
            ),
        ),
        CautionKind::LosesAtComponent => (
            "Loses on real components".to_string(),
            format!(
                "{} is better than {} in {test} by {} times its reproducibility. That test runs real components and \
                 resembles the machine at {}. Explain the difference before choosing.",
                text(caution, "rival"),
                text(caution, "front_runner"),
                fixed("times_reproducibility", 1),
                fixed("resemblance", 2)
            ),
        ),
        CautionKind::ModeNotTested => (
            "Failure mode not tested".to_string(),
            format!(
                "No test that was run and no gate with a result scores {}, a main failure mode of: {}. Run one that does.",
                text(caution, "mode"),
                list(caution, "contacts")
            ),
        ),
        CautionKind::OnlyScreens => (
            "Only screens".to_string(),
            format!(
                "No test of real components (categories I to IV) with a weight of {} or more was run on both of {}. Run \
                 one on both before choosing.",
                shown.number(0.1),
                list(caution, "blends")
            ),
        ),
        CautionKind::Saturated => (
            "Beyond the references".to_string(),
            format!(
                "On {} of the weight {} lie both beyond the reference oils by more than counts: those tests cannot tell \
                 them apart.",
                per_cent(number(caution, "share_of_weight")),
                list(caution, "blends")
            ),
        ),
        CautionKind::WithinRepeatability => (
            "Within repeatability".to_string(),
            format!(
                "{test} supplies {} of the lead, but {} differ there by {} of its critical difference only. Repeat it \
                 before reading an order into it.",
                per_cent(number(caution, "lead_share")),
                list(caution, "blends"),
                fixed("part_of_critical_difference", 2)
            ),
        ),
        CautionKind::RigOutOfControl => results::rig_out_of_control(caution, &test),
        CautionKind::ConditionsDepart => results::conditions_depart(caution, &test),
        CautionKind::MixedMethods => results::mixed_methods(caution),
        CautionKind::SuspectRun => results::suspect_run(caution, &test, shown),
        CautionKind::GateBorderline => (
            "Gate borderline".to_string(),
            format!(
                "{} lies within the test's scatter of a limit: {}. Repeat the test before relying on it.",
                text(caution, "blend"),
                shown.dress_within(&list(caution, "gates"))
            ),
        ),
        CautionKind::GateNotRun => (
            "Gate not run".to_string(),
            format!(
                "{} has no result for: {}. Run what is missing before choosing it.",
                text(caution, "blend"),
                shown.dress_within(&list(caution, "gates"))
            ),
        ),
        CautionKind::SingleRun => (
            "Single run".to_string(),
            format!(
                "One run, moved by its test's repeatability, would change who is in front: {}. Repeat it.",
                separate(caution, "runs")
            ),
        ),
        CautionKind::WeightsDecide => (
            "The weights decide".to_string(),
            format!(
                "With all weights equal {} would be in front instead of {}. Look at the resemblance of the heaviest tests.",
                text(caution, "with_equal_weights"),
                text(caution, "front_runner")
            ),
        ),
    };
    (heading, words)
}

fn rests_on_extreme_screen(caution: &Caution, standing: &Standing) -> (String, String) {
    let out = standing
        .leave_outs
        .iter()
        .find(|out| out.name == text(caution, "without"));
    let name = out.map_or_else(
        || text(caution, "without").to_string(),
        |out| leave_out_name(standing, out),
    );
    let then = match text(caution, "then_in_front") {
        "" => "nothing is left to weigh".to_string(),
        then => format!(
            "{then} is in front, and in {} of draws another than {} ranks first",
            per_cent(number(caution, "p_changes")),
            text(caution, "front_runner")
        ),
    };
    let words = format!(
        "{} is in front through {name}, which goes beyond this machine in at least two respects. Without it {then}. \
         Run a test that resembles the machine before choosing.",
        text(caution, "front_runner")
    );
    ("Rests on an extreme-condition screen".to_string(), words)
}

fn hinges(caution: &Caution, standing: &Standing) -> (String, String) {
    let out = standing
        .leave_outs
        .iter()
        .find(|out| out.name == text(caution, "without"));
    let name = out.map_or_else(
        || text(caution, "without").to_string(),
        |out| leave_out_name(standing, out),
    );
    let then = match text(caution, "then_in_front") {
        "" => "nothing is left to weigh".to_string(),
        then => format!(
            "{then} is in front, with {} of draws",
            per_cent(number(caution, "p_best_then"))
        ),
    };
    let (heading, mend) = match out.map(|out| out.left_out) {
        Some(LeftOut::Laboratory) => (
            "Hinges on one laboratory",
            "Repeat its heaviest tests in another laboratory.",
        ),
        Some(LeftOut::Rig) => ("Hinges on one rig", "Repeat its tests on another rig."),
        _ => ("Hinges on one test", "Repeat it, or support it by another test."),
    };
    (heading.to_string(), format!("Without {name} {then}. {mend}"))
}

fn not_resolved(caution: &Caution) -> (String, String) {
    let front = text(caution, "front_runner");
    let rivals = list(caution, "cannot_be_told_apart");
    let apart = if rivals.is_empty() {
        String::new()
    } else {
        format!(" It cannot be told apart from {rivals} with 95 % confidence.")
    };
    let words = format!(
        "{front} ranks first in {} of draws only.{apart} Run what could tell them apart, or choose on other grounds.",
        per_cent(number(caution, "p_best"))
    );
    ("Not resolved".to_string(), words)
}

fn thin_coverage(caution: &Caution) -> (String, String) {
    let front = text(caution, "front_runner");
    let run = per_cent(number(caution, "coverage"));
    if run == per_cent(1.0) {
        let words = format!(
            "All of the weight has been run on {front}, not on its rivals. Filled well for them, the gaps would change \
             who is in front. Run the heaviest of the tests that are missing."
        );
        return ("Thin coverage".to_string(), words);
    }
    let fill = match text(caution, "fill_changes_the_front") {
        "yes" => " Filled badly for it and well for its rivals, the gaps would change who is in front.",
        _ => "",
    };
    (
        "Thin coverage".to_string(),
        format!(
            "{run} of the weight has been run on {front}.{fill} Run the heaviest of the tests that are missing."
        ),
    )
}
