//! One row per test: its share of the weight, which contact of the machine it resembles, and what holds that back.

use crate::charts::{Amount, Svg, weight_bar};
use crate::explain::gap;
use crate::prose::reasons::not_weighed;
use crate::prose::standing::{number_of_standard, per_cent, short_name};
use crate::records::TrialRecords;
use crate::resemblance::{TermLikeness, TermValue};
use crate::standing::{ContactLikeness, Standing, TestStanding};
use crate::web::figures;
use crate::web::pages::comparison::likeness::{self, ContactRow, TOLD_AS_ALIKE};
use crate::web::pages::explanation;
use crate::web::preferences::preferences;

/// One test.
pub(super) struct WeightRow {
    pub(super) key: String,
    pub(super) anchor: String,
    pub(super) label: String,
    pub(super) title: String,
    pub(super) standard: String,
    pub(super) href: String,
    pub(super) extreme: bool,
    pub(super) bar: Svg,
    pub(super) share: String,
    /// The greatest resemblance to a contact for which the test speaks, and that contact.
    pub(super) resemblance: String,
    pub(super) contact: String,
    /// The term that takes most off it; empty where it is told as alike.
    pub(super) held_back: String,
    pub(super) relevance: String,
    /// Why it is not weighed; empty when it is.
    pub(super) why_not: String,
    pub(super) contacts: Vec<ContactRow>,
    /// Whether the method has several contacts, so that it is said which of them is compared.
    pub(super) several_contacts: bool,
}

/// The tests that are weighed, the heaviest first.
pub(super) fn weighed(standing: &Standing, records: &TrialRecords) -> Vec<WeightRow> {
    let mut tests: Vec<&TestStanding> = standing.tests.iter().filter(|test| test.weight > 0.0).collect();
    tests.sort_by(|a, b| b.weight.total_cmp(&a.weight).then(a.key.cmp(&b.key)));
    tests
        .into_iter()
        .map(|test| row(test, standing, records))
        .collect()
}

/// The tests that are not, in the order of the trial.
pub(super) fn without_weight(standing: &Standing, records: &TrialRecords) -> Vec<WeightRow> {
    let tests = standing.tests.iter().filter(|test| test.weight <= 0.0);
    tests.map(|test| row(test, standing, records)).collect()
}

fn row(test: &TestStanding, standing: &Standing, records: &TrialRecords) -> WeightRow {
    let all: f64 = standing.tests.iter().map(|test| test.weight).sum();
    let share = if all > 0.0 { test.weight / all } else { 0.0 };
    let nearest = nearest(test);
    let limit = nearest.and_then(|contact| contact.resemblance.most_limiting());
    let limit = limit.filter(|limit| limit.similarity.is_some_and(|alike| alike < TOLD_AS_ALIKE));
    WeightRow {
        key: test.key.to_string(),
        anchor: super::anchor(test),
        label: short_name(standing, test),
        title: figures::title(records, &test.key, &test.title),
        standard: number_of_standard(&test.standard).to_string(),
        href: explanation::address(&records.trial.slug, &test.key),
        extreme: test.extreme,
        bar: weight_bar(Amount::new(Some(share))),
        share: per_cent(share),
        resemblance: figures::known_position(test.resemblance_best),
        contact: nearest.map(|contact| contact.contact.clone()).unwrap_or_default(),
        held_back: limit.map(held_back).unwrap_or_default(),
        relevance: figures::known_position(test.relevance),
        why_not: test
            .excluded
            .as_ref()
            .map(|why| not_weighed(why, preferences()))
            .unwrap_or_default(),
        contacts: likeness::rows(test),
        several_contacts: (records.test(&test.key)).is_some_and(|(method, _)| method.contacts.len() > 1),
    }
}

/// The contact that the test resembles most of those for which it speaks.
fn nearest(test: &TestStanding) -> Option<&ContactLikeness> {
    let speaks = test.contacts.iter().filter(|contact| contact.relevance > 0.0);
    let value = |contact: &&ContactLikeness| contact.resemblance.value.unwrap_or(-1.0);
    speaks.max_by(|a, b| value(a).total_cmp(&value(b)))
}

/// `pressure: 4.1 times the highest in the machine`, `motion: one way, the machine reversing`.
fn held_back(limit: &TermLikeness) -> String {
    let label = limit.term.label().to_lowercase();
    match (&limit.test, &limit.machine) {
        (TermValue::Word(test), TermValue::Word(machine)) => {
            format!("{label}: {test}, the machine {machine}")
        }
        _ => format!("{label}: {}", gap(limit, preferences())),
    }
}
