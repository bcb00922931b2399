//! A case of our own: the candidate that reads highest in this test, and what it did in the tests that resemble the machine.

use crate::explain::Case;
use crate::explain::reading::{Told, difference, rank};
use crate::explain::resembling::{Witness, difference_of};
use crate::explain::words::share;
use crate::records::{BlendCode, Level, Role};
use serde::Serialize;
use std::cmp::Ordering;

/// Most tests whose strips are shown besides this one.
const MOST: usize = 4;

/// The candidate.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Counter {
    /// Its code.
    pub blend: String,
    /// What it reads in this test.
    pub number: String,
    /// What it shows, as a heading.
    pub heading: String,
    /// The same, to read aloud.
    pub sentence: String,
    /// Whether a requirement failed it.
    pub rejected: bool,
    /// This test, then those that resemble the machine.
    pub rows: Vec<CounterRow>,
}

/// The candidate in one test.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CounterRow {
    /// Method and quantity.
    pub key: String,
    /// How closely the test resembles the machine; `None` where that is not known.
    pub resemblance: Option<f64>,
    /// What it reads, what the known good reads, what the blend of the page reads.
    pub read: [Option<String>; 3],
    /// It beside the known good: better, worse, cannot be told apart.
    pub told: Option<&'static str>,
}

/// The candidate that reads best, if it is worse than the known good in a test that resembles the machine; of equals the
/// first that is; `None` where none is.
pub(super) fn counter(case: &Case<'_>, witnesses: &[Witness<'_>]) -> Option<Counter> {
    let read = |blend: &BlendCode| case.number_of(blend).filter(|number| !number.from_data_sheet);
    let candidates = case.records.with_role(Role::Candidate);
    let mut read_best: Vec<(&BlendCode, (f64, f64))> = candidates
        .filter_map(|blend| Some((blend, rank(case.quantity, &read(blend)?))))
        .collect();
    let by_rank = |a: &(f64, f64), b: &(f64, f64)| a.partial_cmp(b).unwrap_or(Ordering::Equal);
    read_best.sort_by(|a, b| by_rank(&b.1, &a.1));
    let highest = read_best.first()?.1;
    let mut at_top = read_best.iter().filter(|(_, place)| *place == highest);
    let (blend, _) = *at_top.find(|(blend, _)| is_worse_somewhere(case, witnesses, blend))?;
    let told = |witness: &Witness<'_>| difference_of(case, witness, blend).map(|found| found.told);
    let judged: Vec<(&Witness<'_>, Told)> = witnesses
        .iter()
        .filter(|witness| witness.test.key != case.test.key)
        .filter_map(|witness| Some((witness, told(witness)?)))
        .collect();
    let worse = judged.iter().filter(|(_, told)| *told == Told::Worse).count();
    let number = case.words_of(&read(blend)?);
    let end = if case.quantity.better.sign() > 0.0 {
        "highest"
    } else {
        "lowest"
    };
    let mut shown: Vec<&Witness<'_>> = judged.iter().map(|(witness, _)| *witness).collect();
    shown.sort_by(|a, b| b.resemblance.total_cmp(&a.resemblance));
    shown.truncate(MOST);
    let of = format!("in {} like this machine", share(worse, judged.len(), "test"));
    let good = case.reference(case.test, Level::KnownGood);
    let words = |blend: Option<&BlendCode>| case.words_in(case.test, case.quantity, blend?);
    let this = CounterRow {
        key: case.test.key.to_string(),
        resemblance: crate::explain::resembling::nearest(case.test).map(|(_, value)| value),
        read: [words(Some(blend)), words(good), words(Some(case.blend))],
        told: good
            .and_then(|good| difference(case.records, case.test, case.quantity, blend, good))
            .map(|found| found.told.words()),
    };
    let row = |witness: &&Witness<'_>| {
        let words = |blend: Option<&BlendCode>| case.words_in(witness.test, witness.quantity, blend?);
        CounterRow {
            key: witness.test.key.to_string(),
            resemblance: Some(witness.resemblance),
            read: [words(Some(blend)), words(witness.good), words(Some(case.blend))],
            told: told(witness).map(Told::words),
        }
    };
    Some(Counter {
        heading: format!(
            "A case from our own trials: {blend} reads {number}, the {end}, and is worse than the known good {of}"
        ),
        sentence: format!("Our own {end}, {number}, did worse than a known good oil {of}."),
        rejected: case
            .standing
            .candidate(blend)
            .is_some_and(|candidate| candidate.is_out()),
        blend: blend.to_string(),
        number,
        rows: std::iter::once(this).chain(shown.iter().map(row)).collect(),
    })
}

fn is_worse_somewhere(case: &Case<'_>, witnesses: &[Witness<'_>], blend: &BlendCode) -> bool {
    let others = witnesses
        .iter()
        .filter(|witness| witness.test.key != case.test.key);
    others
        .filter_map(|witness| difference_of(case, witness, blend))
        .any(|found| found.told == Told::Worse)
}
