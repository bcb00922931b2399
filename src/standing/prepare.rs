//! From records to the numbers that the kernel works with.

use crate::catalogue::Better;
use crate::records::{BlendCode, Confidence, Role, RunResult, TestKey, TrialRecords};
use crate::resemblance::{Scales, Voter, votes};
use crate::standing::evidence::{Cell, Evidence, gather_without};
use crate::standing::fit_cache::KnownOfRecords;
use crate::standing::kernel::{
    Anchors, BlockId, BlockInput, CellData, Fitted, KernelError, KernelInput, KnownFits, TestInput,
    candidate_streams, fit,
};
use crate::standing::levels::Block;
use crate::standing::likeness::{Likeness, MachineSide, SideBySide, side_by_side};
use crate::standing::shifts::{Adjust, shifts};
use crate::standing::spread::{Spread, spread};
use crate::standing::{NotWeighed, WhatIf};
use crate::stats::observation::Observation;
use std::collections::BTreeMap;

/// How fast positions beyond the references slow down (ours).
pub const HEAD_ROOM: f64 = 0.5;
/// The greatest that may be asked for.
pub const MOST_HEAD_ROOM: f64 = 1.0;

/// What is judged, and what is known of it already.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Case<'a> {
    /// The records, as the question has them.
    pub(crate) records: &'a TrialRecords,
    /// The question.
    pub(crate) what_if: &'a WhatIf,
    /// What was fitted for other questions.
    pub(crate) fits: &'a KnownFits,
    /// What else is known of these records.
    pub(crate) known: &'a KnownOfRecords,
}

/// One test of the trial with everything that is known before the draws.
#[derive(Clone, Debug)]
pub(crate) struct Test<'a> {
    /// Results by blend.
    pub(crate) evidence: Evidence<'a>,
    /// Its contacts beside the machine's.
    pub(crate) sides: SideBySide,
    /// Resemblance to the machine.
    pub(crate) likeness: Likeness,
    /// Scatter; `None` when nothing says how large it is.
    pub(crate) spread: Option<Spread>,
}

impl<'a> Test<'a> {
    /// A test on some scales of the resemblance.
    pub(crate) fn new(evidence: Evidence<'a>, sides: SideBySide, scales: &Scales) -> Self {
        Self {
            spread: spread(&evidence),
            likeness: sides.on(scales),
            evidence,
            sides,
        }
    }

    /// Its vote with a weight before grouping.
    pub(crate) fn voter(&self, raw_weight: f64) -> Voter<'_> {
        Voter {
            method: &self.evidence.method.id,
            family: self.evidence.method.family(),
            raw_weight,
        }
    }
}

/// A trial made ready, and fitted where it can be.
#[derive(Clone, Debug)]
pub(crate) struct Prepared<'a> {
    /// Every test of the trial.
    pub(crate) tests: Vec<Test<'a>>,
    /// Candidates, in the trial's order.
    pub(crate) candidates: Vec<&'a BlendCode>,
    /// Which of `tests` were fitted, in the kernel's order.
    pub(crate) fitted_tests: Vec<usize>,
    /// Why a test could not be fitted.
    pub(crate) unfitted: BTreeMap<usize, NotWeighed>,
    /// The draws; `None` where no test could be fitted.
    pub(crate) fitted: Option<Fitted>,
    /// Keys of the candidates' random numbers.
    pub(crate) streams: Vec<u64>,
}

/// What a preparation departs in from the records as they are.
pub(crate) struct Departure<'f> {
    /// Results that are left out.
    pub(crate) leaves_out: &'f dyn Fn(&RunResult) -> bool,
    /// Whether severity is adjusted.
    pub(crate) adjust: Adjust,
    /// Whether blocks end where the level of a rig changed.
    pub(crate) cut: Cut,
    /// The preparation of the records as they are: its random numbers and contacts are taken over, so that differences
    /// are differences.
    pub(crate) from: Option<&'f Prepared<'f>>,
}

impl Departure<'_> {
    /// The records as they are.
    pub(crate) const NONE: Departure<'static> = Departure {
        leaves_out: &|_| false,
        adjust: Adjust::Severity,
        cut: Cut::AtChanges,
        from: None,
    };
}

/// Where blocks end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Cut {
    /// Where the level of a rig changed.
    AtChanges,
    /// Nowhere: as if no change had been seen.
    Nowhere,
}

/// Makes a trial ready: evidence, scatter, resemblance, cells and draws.
pub(crate) fn prepare<'a>(case: Case<'a>, departure: Departure) -> Prepared<'a> {
    let Case { records, what_if, .. } = case;
    let levels = |place: usize| {
        let before = departure.from?.tests.get(place)?;
        let levels = &before.evidence.levels;
        Some(match departure.cut {
            Cut::AtChanges => levels.clone(),
            Cut::Nowhere => levels.uncut(),
        })
    };
    let evidence = gather_without(records, departure.leaves_out, levels);
    let scales = what_if.scales_over(&records.term_scales);
    let machine = MachineSide::of(records);
    let sides: Vec<SideBySide> = (0..evidence.len())
        .map(|place| {
            let known = departure
                .from
                .and_then(|from| known_sides(from, &evidence, place));
            known.unwrap_or_else(|| side_by_side(&machine, &evidence[place], &evidence))
        })
        .collect();
    let with_sides = evidence.into_iter().zip(sides);
    let tests: Vec<Test> = with_sides
        .map(|(evidence, sides)| Test::new(evidence, sides, &scales))
        .collect();
    let candidates: Vec<&BlendCode> = records.with_role(Role::Candidate).collect();
    let mut prepared = Prepared {
        fitted_tests: Vec::new(),
        unfitted: BTreeMap::new(),
        fitted: None,
        streams: Vec::new(),
        tests,
        candidates,
    };
    prepared.fit(case, departure);
    prepared
}

/// The contacts of a test as they were, where no result of its method is another one: they hang on nothing else.
fn known_sides(from: &Prepared, evidence: &[Evidence], place: usize) -> Option<SideBySide> {
    let method = &evidence[place].key().method;
    let same = |(one, before): (&Evidence, &Test)| {
        &one.key().method != method || one.has_the_results_of(&before.evidence)
    };
    let all_same = evidence.len() == from.tests.len() && evidence.iter().zip(&from.tests).all(same);
    all_same.then(|| from.tests[place].sides.clone())
}

impl<'a> Prepared<'a> {
    /// The same cells and draws with the resemblance on other scales: nothing that was fitted depends on them.
    pub(crate) fn on_scales(&self, scales: &Scales) -> Prepared<'a> {
        let mut other = self.clone();
        for test in &mut other.tests {
            test.likeness = test.sides.on(scales);
        }
        other
    }

    fn fit(&mut self, case: Case, departure: Departure) {
        for (place, test) in self.tests.iter().enumerate() {
            match why_not_fitted(test) {
                Some(why) => {
                    self.unfitted.insert(place, why);
                }
                None => self.fitted_tests.push(place),
            }
        }
        loop {
            let mut input = self.input(case.records, case.what_if, departure.adjust);
            let names: Vec<String> = self.candidates.iter().map(ToString::to_string).collect();
            let own_streams = || candidate_streams(&names, &input.tests);
            self.streams = departure
                .from
                .map_or_else(own_streams, |from| from.streams.clone());
            input.candidate_streams = self.streams.clone();
            if input.tests.is_empty() || self.candidates.is_empty() {
                return;
            }
            match fit(&input, case.fits) {
                Ok(fitted) => {
                    self.fitted = Some(fitted);
                    return;
                }
                Err(error) => {
                    if !self.drop_test_of(&error) {
                        return;
                    }
                }
            }
        }
    }

    /// Takes out the test that an error names; false when it names none.
    fn drop_test_of(&mut self, error: &KernelError) -> bool {
        let (KernelError::NothingPossible(key)
        | KernelError::Test { key, .. }
        | KernelError::Result { key, .. }) = error
        else {
            let all = std::mem::take(&mut self.fitted_tests);
            let not_computed = NotWeighed::NotComputed(error.clone());
            self.unfitted
                .extend(all.into_iter().map(|place| (place, not_computed.clone())));
            return false;
        };
        let named = |place: &usize| self.tests[*place].evidence.key().to_string() == *key;
        let Some(at) = self.fitted_tests.iter().position(named) else {
            return false;
        };
        let place = self.fitted_tests.remove(at);
        self.unfitted
            .insert(place, NotWeighed::NotComputed(error.clone()));
        true
    }

    fn input(&self, records: &TrialRecords, what_if: &WhatIf, adjust: Adjust) -> KernelInput {
        let mut blocks = Vec::new();
        let tests = self
            .fitted_tests
            .iter()
            .filter_map(|place| self.test_input(&self.tests[*place], adjust, &mut blocks));
        let tests: Vec<TestInput> = tests.collect();
        KernelInput {
            candidate_streams: Vec::new(),
            tests,
            blocks,
            head_room: what_if.head_room,
            concentration: concentration(records.trial.machine_confidence),
            draws: what_if.draws,
            seed: what_if.seed,
        }
    }

    fn test_input(&self, test: &Test, adjust: Adjust, blocks: &mut Vec<BlockInput>) -> Option<TestInput> {
        let evidence = &test.evidence;
        let spread = test.spread.as_ref()?;
        let key = evidence.key().to_string();
        let mut ids: BTreeMap<Block, BlockId> = BTreeMap::new();
        for (block, shift) in shifts(evidence, spread, adjust) {
            let block_key = format!("{key} {block}");
            ids.insert(block, BlockId(blocks.len()));
            blocks.push(BlockInput {
                key: block_key,
                shift,
            });
        }
        let sign = evidence.quantity.better.sign();
        let stopped = stopped_observation(evidence, spread);
        let data = |cell: &Cell| CellData {
            observations: cell
                .runs
                .iter()
                .map(|run| (run.observation, ids[&run.block]))
                .chain(
                    cell.stopped
                        .iter()
                        .filter_map(|block| Some((stopped?, ids[block]))),
                )
                .collect(),
            own_deviation: spread.departing.get(cell.blend).copied(),
        };
        let of = |blend: Option<&BlendCode>| blend.and_then(|blend| evidence.cell(blend)).map(data);
        let reproducibility = spread.reproducibility;
        let anchors = match (of(evidence.good), of(evidence.poor)) {
            (Some(good), Some(poor)) => Anchors::Two { good, poor },
            (Some(good), None) => Anchors::Good {
                good,
                reproducibility,
            },
            (None, Some(poor)) => Anchors::Poor {
                poor,
                reproducibility,
            },
            (None, None) => return None,
        };
        let candidates = self
            .candidates
            .iter()
            .map(|blend| of(Some(blend)).unwrap_or_default())
            .collect();
        Some(TestInput {
            key,
            method: evidence.key().method.clone(),
            family: evidence.method.family().to_string(),
            sign,
            deviation: spread.deviation(),
            cap: evidence.working_cap(),
            weight: 0.0,
            anchors,
            candidates,
            control: of(evidence.control),
            middle: of(evidence.middle),
        })
    }

    /// The test at a place in the kernel's order.
    pub(crate) fn fitted_test(&self, at: usize) -> &Test<'a> {
        &self.tests[self.fitted_tests[at]]
    }

    /// The fitted tests, in the kernel's order.
    pub(crate) fn fitted_keys(&self) -> Vec<TestKey> {
        let fitted = self.fitted_tests.iter();
        fitted
            .map(|place| self.tests[*place].evidence.key().clone())
            .collect()
    }

    /// Weights after grouping, in the kernel's order, from weights before grouping per test.
    pub(crate) fn grouped(&self, raw: &[f64]) -> Vec<f64> {
        let of_test = |(place, raw): (&usize, &f64)| self.tests[*place].voter(*raw);
        let voters: Vec<Voter> = self.fitted_tests.iter().zip(raw).map(of_test).collect();
        votes(&voters)
    }
}

fn why_not_fitted(test: &Test) -> Option<NotWeighed> {
    let evidence = &test.evidence;
    if !evidence.is_run() {
        let quoted = evidence.cells.iter().any(|cell| !cell.data_sheet.is_empty());
        return Some(if quoted {
            NotWeighed::DataSheetOnly
        } else {
            NotWeighed::NotRun
        });
    }
    if !evidence.method.has_contact() {
        return Some(NotWeighed::NoContact);
    }
    let one_reference = match (evidence.good, evidence.poor) {
        (None, None) => return Some(NotWeighed::NoReference),
        (good, poor) => good.is_none() || poor.is_none(),
    };
    let Some(spread) = test.spread.as_ref() else {
        return Some(NotWeighed::NoPrecision);
    };
    (one_reference && !spread.states_reproducibility()).then_some(NotWeighed::NoReproducibility)
}

/// Concentration of the uncertain weights (ours).
fn concentration(confidence: Confidence) -> f64 {
    match confidence {
        Confidence::Low => 5.0,
        Confidence::Medium => 15.0,
        Confidence::High => 50.0,
    }
}

/// A run stopped for cause is no better than the known poor; with one reference, than position 0.
fn stopped_observation(evidence: &Evidence, spread: &Spread) -> Option<Observation> {
    let mean_of = |blend: &BlendCode| {
        let cell = evidence.cell(blend)?;
        let mut middles: Vec<f64> = cell
            .runs
            .iter()
            .map(|run| run.observation.ends())
            .map(|(lo, hi)| 0.5 * (lo + hi))
            .collect();
        middles.sort_by(f64::total_cmp);
        (!middles.is_empty()).then(|| middles.iter().sum::<f64>() / middles.len() as f64)
    };
    let sign = evidence.quantity.better.sign();
    let poor = match evidence.poor {
        Some(poor) => mean_of(poor)?,
        None => mean_of(evidence.good?)? - sign * 2.0 * spread.reproducibility,
    };
    Some(match evidence.quantity.better {
        Better::Higher => Observation::Below(poor),
        Better::Lower => Observation::Above(poor),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ours: how far the uncertain weights of a machine spread.
    #[test]
    fn the_concentration_of_the_weights_follows_what_is_known_of_the_machine() {
        let of = [Confidence::Low, Confidence::Medium, Confidence::High].map(concentration);
        assert_eq!(of, [5.0, 15.0, 50.0]);
    }
}
