//! What a trial answers that asks whether its candidates are no worse than one blend, as JSON.

use crate::prose::no_worse;
use crate::records::{BlendCode, TestKey};
use crate::standing::{ComparedTest, Equivalence, NoWorse, Within};
use crate::units::DisplayPreferences;
use serde::Serialize;

/// Differences are on the test's working scale, positive where the candidate is better; the critical difference is that
/// of one run on each.
#[derive(Serialize)]
pub(super) struct EquivalenceJson<'a> {
    key: &'a TestKey,
    blend: &'a BlendCode,
    against: &'a BlendCode,
    difference: Option<f64>,
    lo: Option<f64>,
    hi: Option<f64>,
    critical_difference: Option<f64>,
    inside_margin: bool,
    not_told: Option<String>,
}

impl<'a> EquivalenceJson<'a> {
    pub(super) fn all(of: &'a Equivalence) -> Vec<Self> {
        let each = of.candidates.iter().flat_map(|one| {
            let tests = one.tests.iter();
            tests.map(move |test| Self::of(&of.against, &one.blend, test))
        });
        each.collect()
    }

    fn of(against: &'a BlendCode, blend: &'a BlendCode, test: &'a ComparedTest) -> Self {
        let told = test.told.as_ref().ok();
        Self {
            key: &test.key,
            blend,
            against,
            difference: told.map(|told| told.difference),
            lo: told.map(|told| told.lo),
            hi: told.map(|told| told.hi),
            critical_difference: told.map(|told| told.critical),
            inside_margin: told.is_some_and(|told| told.within == Within::Inside),
            not_told: test.told.as_ref().err().map(no_worse::not_told),
        }
    }
}

/// The answer for one candidate; `worst` in critical differences.
#[derive(Serialize)]
pub(super) struct NoWorseJson<'a> {
    blend: &'a BlendCode,
    against: &'a BlendCode,
    margin: f64,
    answer: &'static str,
    worst: Option<f64>,
    worst_in: Option<&'a TestKey>,
    not_covered: Vec<&'static str>,
    text: String,
}

impl<'a> NoWorseJson<'a> {
    pub(super) fn all(of: &'a Equivalence) -> Vec<Self> {
        let one = |one: &'a NoWorse| {
            let greatest = one.greatest();
            Self {
                blend: &one.blend,
                against: &of.against,
                margin: of.margin,
                answer: one.answer.word(),
                worst: greatest.map(|(_, told)| told.worst()),
                worst_in: greatest.map(|(test, _)| &test.key),
                not_covered: one.untested.iter().map(|mode| mode.word()).collect(),
                text: no_worse::of_candidate(of, one, DisplayPreferences::default()),
            }
        };
        of.candidates.iter().map(one).collect()
    }
}
