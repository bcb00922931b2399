//! What a question asks, in words, and what it changes in the machine.

use crate::prose::answer::{answer, change_of_status, facts};
use crate::prose::standing::{per_cent, title};
use crate::records::{PressureLaw, TestKey};
use crate::standing::Comparison;
use crate::standing::{Anchor, ContactDuty, HEAD_ROOM, Standing, WhatIf};
use crate::web::figures;
use crate::web::question::query_string;

/// A question with what it changes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Asked {
    pub(crate) parts: Vec<String>,
    pub(crate) duty: Vec<String>,
    /// The answer to the evidence as it is, and to the question.
    pub(crate) before: String,
    pub(crate) after: String,
    /// `A leader before, none now.`
    pub(crate) status: String,
    pub(crate) query: String,
}

impl Asked {
    /// Of a comparison; `None` where nothing is asked.
    pub(crate) fn of(comparison: &Comparison) -> Option<Self> {
        let before = comparison.as_it_is.as_ref()?;
        let said = |standing: &Standing| {
            let answer = answer(&comparison.records, standing);
            let facts = facts(standing).into_iter().take(1).map(|fact| format!("{fact}."));
            [answer.verdict]
                .into_iter()
                .chain(facts)
                .collect::<Vec<_>>()
                .join(" ")
        };
        Some(Self {
            parts: parts(comparison),
            duty: duty(comparison),
            before: said(before),
            after: said(&comparison.standing),
            status: change_of_status(before, &comparison.standing),
            query: query_string(&comparison.what_if),
        })
    }
}

/// The parts of a question, one by one; empty for the evidence as it is.
pub(crate) fn parts(comparison: &Comparison) -> Vec<String> {
    let asked = &comparison.what_if;
    let test = |key: &TestKey| title(&comparison.standing, key).unwrap_or_else(|| key.to_string());
    let mut parts = Vec::new();
    for without in &asked.without {
        let of_trial = comparison.records.trial.tests.iter();
        let names: Vec<String> = of_trial
            .filter(|one| without.covers(&one.key))
            .map(|one| test(&one.key))
            .collect();
        parts.push(format!("without {}", names.join(" and ")));
    }
    for (key, weight) in &asked.weights {
        parts.push(format!("{} weighs {}", test(key), figures::position(*weight)));
    }
    if !asked.scales.is_empty() {
        parts.push("the resemblance is counted on other scales".to_string());
    }
    parts.extend(duty_and_scale(asked));
    if asked.lets_in_gated {
        parts.push("candidates that failed a requirement stay in".to_string());
    }
    if asked.lets_in_not_sorting {
        parts.push("tests that do not tell good from poor oils keep their weight".to_string());
    }
    parts
}

fn duty_and_scale(asked: &WhatIf) -> Vec<String> {
    let mut parts = Vec::new();
    for (what, factor) in [("load", asked.duty.load), ("speed", asked.duty.speed)] {
        if factor != 1.0 {
            parts.push(format!("the machine at {} times its {what}", number(factor)));
        }
    }
    for (what, anchor) in [
        ("known good", &asked.known_good),
        ("known poor", &asked.known_poor),
    ] {
        match anchor {
            Some(Anchor::Oil(oil)) => parts.push(format!("{oil} as the {what} oil")),
            Some(Anchor::LeftOut) => parts.push(format!("without the {what} oil")),
            None => {}
        }
    }
    if asked.head_room != HEAD_ROOM {
        parts.push(format!(
            "a position counts up to {} of the scale beyond the reference oils",
            per_cent(asked.head_room)
        ));
    }
    parts
}

/// What another duty has changed, contact by contact.
fn duty(comparison: &Comparison) -> Vec<String> {
    comparison.duty.iter().map(of_contact).collect()
}

fn of_contact(contact: &ContactDuty) -> String {
    let changes: Vec<String> = contact
        .changes
        .iter()
        .map(|change| {
            let because = match change.law {
                None => "",
                Some(PressureLaw::SquareRoot) => " (the square root of the load, a line)",
                Some(PressureLaw::CubeRoot) => " (the cube root of the load, a point or an ellipse)",
                Some(PressureLaw::Proportional) => " (the load itself, conforming bodies)",
            };
            let label = change.label.to_lowercase();
            format!("{label} × {}{because}", number(change.factor))
        })
        .collect();
    if changes.is_empty() {
        return format!(
            "{}: nothing that is known of it depends on load or speed.",
            contact.contact
        );
    }
    format!("{}: {}.", contact.contact, changes.join(", "))
}

fn number(factor: f64) -> String {
    crate::web::preferences::preferences().number(factor)
}
