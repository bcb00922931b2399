//! Any two blends of a trial, test by test: by how much one differs from the other, and whether that tells them apart.

use crate::records::{BlendCode, TestKey, TrialRecords};
use crate::standing::WhatIf;
use crate::standing::fit_cache::FitCache;
use crate::standing::prepare::{Case, Departure, prepare};
use crate::standing::verdicts::{Verdict, between};

/// The first against the second in every test of the trial, in its order; `None` where not both were run or nothing says
/// how far results scatter. The critical difference judges, as only two blends are compared.
pub fn head_to_head(
    records: &TrialRecords,
    fit_cache: &FitCache,
    (one, other): (&BlendCode, &BlendCode),
) -> Vec<(TestKey, Option<Verdict>)> {
    let what_if = WhatIf::default();
    let of_records = fit_cache.of(records, &what_if);
    let case = Case {
        records,
        what_if: &what_if,
        fits: &fit_cache.fits,
        known: &of_records,
    };
    let prepared = prepare(case, Departure::NONE);
    let tests = prepared.tests.iter().enumerate();
    tests
        .map(|(place, test)| (test.evidence.key().clone(), between(&prepared, place, one, other)))
        .collect()
}
