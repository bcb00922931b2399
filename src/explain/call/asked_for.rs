//! What to ask for instead of a better number of the same test: the tests that resemble the machine contact.

use crate::catalogue::{MethodId, Origin};
use crate::explain::Case;
use crate::explain::around::unscored;
use crate::explain::resembling::{RESEMBLES, Witness};
use crate::explain::words::{and, unit_word};
use crate::prose::standing::number_of_standard;
use serde::Serialize;

/// Most tests that are asked for: as many as an answer of several numbers takes.
const MOST: usize = 8;

/// A test to ask for.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AskedFor {
    /// Method and quantity.
    pub key: String,
    /// Method id.
    pub method: MethodId,
    /// Quantity id.
    pub quantity: String,
    /// Quantity label.
    pub label: String,
    /// Standard.
    pub standard: String,
    /// How closely it resembles the chosen contact.
    pub resemblance: f64,
    /// What the candidate reads in it, with the unit; `None` where it was not run.
    pub ours: Option<String>,
    /// The unit in which a number is expected; empty where it has none.
    pub unit: &'static str,
}

impl AskedFor {
    /// `DIN 51819-3`: whoever has the standard knows what is measured.
    pub(super) fn spoken(&self) -> String {
        number_of_standard(&self.standard).to_string()
    }
}

/// The tests that resemble the chosen contact and score what fails there, the most alike first; none that only this
/// laboratory can run.
pub(super) fn asked_for(case: &Case<'_>, witnesses: &[Witness<'_>], contact: Option<&str>) -> Vec<AskedFor> {
    let likeness = |witness: &Witness<'_>| {
        let (method, _) = case.records.test(&witness.test.key)?;
        if method.origin == Origin::Own {
            return None;
        }
        let mut contacts = witness.test.contacts.iter();
        let chosen = contacts.find(|found| Some(found.contact.as_str()) == contact)?;
        let value = chosen.resemblance.value.filter(|_| chosen.relevance > 0.0)?;
        (value >= RESEMBLES).then_some(value)
    };
    let alike = witnesses.iter().filter_map(|witness| {
        let shown = case.shown.in_unit(witness.quantity.unit);
        Some(AskedFor {
            key: witness.test.key.to_string(),
            method: witness.test.key.method.clone(),
            quantity: witness.test.key.quantity.clone(),
            label: case.shown.dress_within(&witness.test.label),
            standard: witness.test.standard.clone(),
            resemblance: likeness(witness)?,
            ours: case.words_in(witness.test, witness.quantity, case.blend),
            unit: if shown.is_as_kept() {
                unit_word(witness.quantity.unit)
            } else {
                shown.word()
            },
        })
    });
    let mut found: Vec<AskedFor> = alike.collect();
    found.sort_by(|a, b| b.resemblance.total_cmp(&a.resemblance).then(a.key.cmp(&b.key)));
    found.truncate(MOST);
    found
}

/// What matters in the machine and is scored by nothing that was run.
pub(super) fn untested(case: &Case<'_>) -> Vec<String> {
    let contacts = case.records.machine.contacts.iter();
    let mut modes: Vec<String> = contacts.flat_map(|contact| unscored(case, contact)).collect();
    modes.sort();
    modes.dedup();
    modes
}

/// The request as a text to send.
pub(super) fn request(case: &Case<'_>, ask_for: &[AskedFor], untested: &[String]) -> String {
    let mut lines = vec![format!(
        "For the {} please send, with batch, laboratory and number of runs:",
        case.records.machine.name
    )];
    let number = |(at, test): (usize, &AskedFor)| {
        let unit = match test.unit {
            "" => String::new(),
            unit => format!(", in {unit}"),
        };
        format!("{}. {}, {}{unit}", at + 1, test.label, test.standard)
    };
    lines.extend(ask_for.iter().enumerate().map(number));
    if !untested.is_empty() {
        let at = ask_for.len() + 1;
        lines.push(format!("{at}. Any test that scores {}", and(untested)));
    }
    if lines.len() == 1 {
        return String::new();
    }
    lines.join("\n")
}
