//! What a question asks, in words, and what it changes in the machine.

use crate::prose::standing::{per_cent, title};
use crate::records::TestKey;
use crate::standing::Comparison;
use crate::standing::{Anchor, ContactDuty, HEAD_ROOM, WhatIf};
use crate::web::figures;
use crate::web::pages::comparison::words;

/// The parts of a question, one by one; empty for the evidence as it is.
pub(crate) fn parts(comparison: &Comparison) -> Vec<String> {
    let asked = &comparison.what_if;
    let test =
        |key: &TestKey| title(&comparison.standing, &key.to_string()).unwrap_or_else(|| key.to_string());
    let mut parts = Vec::new();
    for without in &asked.without {
        let of_trial = comparison.records.trial.tests.iter();
        let names: Vec<String> = of_trial
            .filter(|one| without.covers(&one.key))
            .map(|one| test(&one.key))
            .collect();
        parts.push(words::without(&names.join(words::AND)));
    }
    for (key, weight) in &asked.weights {
        parts.push(words::test_weighs(&test(key), &figures::position(*weight)));
    }
    if !asked.scales.is_empty() {
        parts.push(words::RESEMBLANCE_ON_OTHER_SCALES.to_string());
    }
    parts.extend(duty_and_scale(asked));
    if asked.lets_in_gated {
        parts.push(words::CANDIDATES_THAT_FAILED_A_GATE_STAY.to_string());
    }
    if asked.lets_in_not_sorting {
        parts.push(words::TESTS_THAT_DO_NOT_SORT_KEEP.to_string());
    }
    parts
}

fn duty_and_scale(asked: &WhatIf) -> Vec<String> {
    let mut parts = Vec::new();
    for (what, factor) in [(words::LOAD, asked.duty.load), (words::SPEED, asked.duty.speed)] {
        if factor != 1.0 {
            parts.push(words::machine_at_times(&number(factor), what));
        }
    }
    for (what, anchor) in [
        (words::KNOWN_GOOD, &asked.known_good),
        (words::KNOWN_POOR, &asked.known_poor),
    ] {
        match anchor {
            Some(Anchor::Oil(oil)) => parts.push(words::oil_as(oil, what)),
            Some(Anchor::LeftOut) => parts.push(words::without_the_oil(what)),
            None => {}
        }
    }
    if asked.head_room != HEAD_ROOM {
        parts.push(words::position_counts_up_to(&per_cent(asked.head_room)));
    }
    parts
}

/// What another duty has changed, contact by contact.
pub(crate) fn duty(comparison: &Comparison) -> Vec<String> {
    comparison.duty.iter().map(of_contact).collect()
}

fn of_contact(contact: &ContactDuty) -> String {
    let changes: Vec<String> = contact
        .changes
        .iter()
        .map(|change| {
            let because = match change.because {
                "" => String::new(),
                because => format!(" ({because})"),
            };
            let label = change.label.to_lowercase();
            format!("{label} × {}{because}", number(change.factor))
        })
        .collect();
    if changes.is_empty() {
        return words::nothing_depends_on_load_or_speed(&contact.contact);
    }
    format!("{}: {}.", contact.contact, changes.join(", "))
}

fn number(factor: f64) -> String {
    crate::web::preferences::preferences().number(factor)
}
