//! Sentences about single results: their rig, their conditions, their method, their scatter.

use crate::prose::cautions::{list, number, text};
use crate::standing::Caution;
use crate::units::DisplayPreferences;

pub(super) fn rig_out_of_control(caution: &Caution, test: &str) -> (String, String) {
    let as_read = match text(caution, "in_front_as_read") {
        "" => String::new(),
        other => format!(" With results as read, not adjusted for severity, {other} would be in front."),
    };
    let words = format!(
        "The chart of {} on rig {} has been out of control since {} ({}), and results of {} in {test} fall into that \
         time.{as_read} Find the cause, then repeat them.",
        text(caution, "reference"),
        text(caution, "rig"),
        text(caution, "since"),
        list(caution, "rules"),
        list(caution, "blends")
    );
    ("Rig out of control".to_string(), words)
}

pub(super) fn conditions_depart(caution: &Caution, test: &str) -> (String, String) {
    let own = text(caution, "method_has");
    let mut sentences = Vec::new();
    match text(caution, "weighed_at") {
        "" => {}
        variant => sentences.push(format!(
            "The runs of {test} that count were made at {variant} instead of {own}: a variant of the method of its own. \
             Its precision and its likeness to the machine are still taken from the method as it is written."
        )),
    }
    match list(caution, "kept_apart").as_str() {
        "" => {}
        apart if sentences.is_empty() => sentences.push(format!(
            "Runs of {test} were made under conditions other than the method's ({own}): {apart}. They are shown, and not \
             pooled with the others."
        )),
        apart => sentences.push(format!("Not pooled with them: {apart}.")),
    }
    match list(caution, "judged_all_the_same").as_str() {
        "" => {}
        runs => sentences.push(format!(
            "Runs of {test} were made under conditions other than the method's ({own}): {runs}. The limit was held \
             against them all the same."
        )),
    }
    (
        "Conditions depart from the method".to_string(),
        sentences.join(" "),
    )
}

pub(super) fn mixed_methods(caution: &Caution) -> (String, String) {
    let words = format!(
        "{}: different blends were measured by different methods: {}. Values of two methods do not compare. Run one of \
         them on every candidate.",
        text(caution, "quantity"),
        list(caution, "methods")
    );
    ("Mixed methods".to_string(), words)
}

pub(super) fn suspect_run(caution: &Caution, test: &str, shown: DisplayPreferences) -> (String, String) {
    let blend = text(caution, "blend");
    let what = if caution.evidence.contains_key("times_critical_range") {
        format!(
            "{:.0} runs of {blend} in {test} lie {} times the critical range of the method apart (1 % over all cells of \
             the trial).",
            number(caution, "runs"),
            shown.fixed(number(caution, "times_critical_range"), 1)
        )
    } else {
        match text(caution, "reason") {
            "" => format!("A run of {blend} in {test} is marked suspect."),
            reason => format!("A run of {blend} in {test} is marked suspect: {reason}."),
        }
    };
    let then = match text(caution, "in_front_without") {
        "" => "leaving one out would put nobody else in front".to_string(),
        other => format!("leaving one out would put {other} in front"),
    };
    let words = format!("{what} All count until a cause is found; {then}.");
    ("Suspect run".to_string(), words)
}
