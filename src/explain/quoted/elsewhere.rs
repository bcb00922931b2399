//! Where a value cannot be one of its test: the tests of the trial of which it can be one.

use crate::catalogue::{Bounds, Use};
use crate::explain::quoted::QuotedAsk;
use crate::explain::quoted::loose::loosened;
use crate::explain::quoted::read::value;
use crate::explain::words::inside;
use crate::explain::{AskFault, Case};
use serde::Serialize;

/// Most tests that are named.
const MOST: usize = 3;

/// A test of the trial of which a value can be one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct QuotedElsewhere {
    /// `Is that a wear scar diameter? ASTM D4172, condition B`.
    pub question: String,
    /// Method id.
    pub method: String,
    /// Quantity id.
    pub quantity: String,
}

/// The tests of which a refused value can be one, in the order of the trial.
pub(super) fn elsewhere(case: &Case<'_>, asked: &QuotedAsk, faults: &[AskFault]) -> Vec<QuotedElsewhere> {
    if !faults
        .iter()
        .any(|fault| ["value", "unit"].contains(&fault.field))
        || asked.value.trim().is_empty()
    {
        return Vec::new();
    }
    let tests = case.records.trial.tests.iter();
    let others = tests.filter(|test| test.key != case.test.key && test.used_to != Use::Gate);
    let fits = others.filter_map(|test| {
        let (method, quantity) = case.records.test(&test.key)?;
        let loose = loosened(&asked.value, quantity);
        let (reading, _) = value(
            &loose.text,
            quantity.unit.word(),
            Bounds::of(method, quantity, ""),
        )
        .ok()?;
        (reading.unusual.is_none() && !reading.off_ladder).then(|| QuotedElsewhere {
            question: format!(
                "Is that {}? {}",
                with_article(&inside(&quantity.label)),
                method.standard
            ),
            method: method.id.to_string(),
            quantity: quantity.id.clone(),
        })
    });
    fits.take(MOST).collect()
}

fn with_article(what: &str) -> String {
    let vowel = what.starts_with(|c: char| "aeiouAEIO".contains(c));
    format!("{} {what}", if vowel { "an" } else { "a" })
}
