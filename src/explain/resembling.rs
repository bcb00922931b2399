//! What the tests that resemble the machine say about a blend.

use crate::catalogue::{MethodId, Quantity};
use crate::explain::Case;
use crate::explain::reading::{Difference, Told, difference, number};
use crate::records::{BlendCode, Level};
use crate::standing::TestStanding;
use serde::Serialize;

/// From this resemblance on a test counts as one that resembles the machine (ours).
pub const RESEMBLES: f64 = 0.4;

/// One test that resembles the machine, with what it says.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ResemblingRow {
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
    /// The machine contact that it resembles.
    pub contact: String,
    /// How closely.
    pub resemblance: f64,
    /// Its weight in the standing.
    pub weight: f64,
    /// Whether it is the test that is explained.
    pub is_this: bool,
    /// The blend's number with its unit; `None` where it was not run.
    pub blend: Option<String>,
    /// The known good's.
    pub known_good: Option<String>,
    /// The known poor's.
    pub known_poor: Option<String>,
    /// The front-runner's; `None` too where the blend is the front-runner.
    pub front_runner: Option<String>,
    /// The blend against the known good: better, worse, or cannot be told apart.
    pub against_known_good: Option<&'static str>,
    /// The blend against the front-runner.
    pub against_front_runner: Option<&'static str>,
}

/// One test that resembles the machine, as the conclusion weighs it.
#[derive(Clone, Debug)]
pub(crate) struct Witness<'a> {
    pub(crate) test: &'a TestStanding,
    pub(crate) quantity: &'a Quantity,
    pub(crate) contact: &'a str,
    pub(crate) resemblance: f64,
    pub(crate) good: Option<&'a BlendCode>,
    pub(crate) is_run: bool,
    pub(crate) against_good: Option<Difference>,
    pub(crate) against_front: Option<Difference>,
    /// Whether another candidate of the standing is better by more than the critical difference; `None` where no
    /// other can be judged beside it.
    pub(crate) is_beaten: Option<bool>,
}

/// The contact that a test resembles most among those for whose failure modes it speaks.
pub(crate) fn nearest_that_matters(test: &TestStanding) -> Option<(&str, f64)> {
    let speaks = test.contacts.iter().filter(|contact| contact.relevance > 0.0);
    speaks
        .filter_map(|contact| Some((contact.contact.as_str(), contact.resemblance.value?)))
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

/// The contact that a test resembles most of all.
pub(crate) fn nearest(test: &TestStanding) -> Option<(&str, f64)> {
    let known = test.contacts.iter();
    known
        .filter_map(|contact| Some((contact.contact.as_str(), contact.resemblance.value?)))
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

/// Whether a test is weighed and resembles, at 0.4 or more, a machine contact for whose failure modes it speaks.
pub(crate) fn resembles(test: &TestStanding) -> bool {
    test.weight > 0.0 && nearest_that_matters(test).is_some_and(|(_, value)| value >= RESEMBLES)
}

/// Every test that resembles the machine, the heaviest first.
pub(crate) fn witnesses<'a>(case: &Case<'a>) -> Vec<Witness<'a>> {
    let tests = case.standing.tests.iter().filter(|test| resembles(test));
    tests.filter_map(|test| witness(case, test)).collect()
}

fn witness<'a>(case: &Case<'a>, test: &'a TestStanding) -> Option<Witness<'a>> {
    let (_, quantity) = case.records.test(&test.key)?;
    let (contact, resemblance) = nearest_that_matters(test)?;
    let good = case.reference(test, Level::KnownGood);
    let against = |other: &BlendCode| difference(case.records, test, quantity, case.blend, other);
    let rivals = case.standing.candidates.iter().filter(|c| !c.is_out());
    let beside: Vec<Told> = rivals
        .filter(|rival| &rival.blend != case.blend)
        .filter_map(|rival| against(&rival.blend).map(|difference| difference.told))
        .collect();
    let is_beaten = (!beside.is_empty()).then(|| beside.contains(&Told::Worse));
    Some(Witness {
        test,
        quantity,
        contact,
        resemblance,
        good,
        is_run: number(case.records, test, quantity, case.blend).is_some_and(|n| !n.from_data_sheet),
        against_good: good.and_then(against),
        against_front: case.front_apart().and_then(against),
        is_beaten,
    })
}

/// A blend beside the known good of a test.
pub(crate) fn difference_of(case: &Case<'_>, witness: &Witness<'_>, blend: &BlendCode) -> Option<Difference> {
    difference(case.records, witness.test, witness.quantity, blend, witness.good?)
}

/// The rows of the table.
pub(crate) fn rows(case: &Case<'_>, witnesses: &[Witness<'_>]) -> Vec<ResemblingRow> {
    witnesses.iter().map(|witness| row(case, witness)).collect()
}

fn row(case: &Case<'_>, witness: &Witness<'_>) -> ResemblingRow {
    let test = witness.test;
    let of = |blend: Option<&BlendCode>| case.words_in(test, witness.quantity, blend?);
    let told = |difference: &Option<Difference>| difference.as_ref().map(|d| d.told.words());
    ResemblingRow {
        key: test.key.to_string(),
        method: test.key.method.clone(),
        quantity: test.key.quantity.clone(),
        label: test.label.clone(),
        standard: test.standard.clone(),
        contact: witness.contact.to_string(),
        resemblance: witness.resemblance,
        weight: test.weight,
        is_this: test.key == case.test.key,
        blend: of(Some(case.blend)),
        known_good: of(witness.good),
        known_poor: of(case.reference(test, Level::KnownPoor)),
        front_runner: of(case.front_apart()),
        against_known_good: told(&witness.against_good),
        against_front_runner: told(&witness.against_front),
    }
}
