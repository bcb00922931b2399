//! A what-if: which tests and candidates count, with which weights.

use std::borrow::Cow;
use std::collections::BTreeSet;
use std::sync::{Arc, OnceLock};

use crate::standing::kernel::input::{Checked, Missing, check_weights};
use crate::standing::kernel::weights::WeightDraws;
use crate::standing::kernel::{Fitted, KernelError};

/// Where the weights come from.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Weighting {
    /// As in the input, uncertain.
    #[default]
    AsGiven,
    /// These mean weights, one per test of the input, uncertain in the same way.
    Instead(Vec<f64>),
    /// Every method the same, certain. Tests whose weight is 0 count too, unless they are excluded.
    Equal,
    /// All proportions of the methods equally likely. Tests whose weight is 0 count too, unless they are excluded.
    FlatRandom,
}

/// A what-if on fitted draws. The default is the input as it stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Selection {
    /// Where the weights come from.
    pub weighting: Weighting,
    /// Tests that do not count, by place in the input; their weight is not handed to others.
    pub excluded_tests: BTreeSet<usize>,
    /// Candidates that are out of the standing, by place in the input.
    pub candidates_out: BTreeSet<usize>,
    /// Head-room other than the input's; 0: nothing counts beyond the references.
    pub head_room: Option<f64>,
}

/// A selection on fitted draws. What is summed for its [`Ranking`](crate::standing::kernel::Ranking) is kept for what is
/// asked of it afterwards.
pub struct Weighed<'a> {
    pub(super) fitted: &'a Fitted,
    /// Mean weight per test, 0 where it does not count.
    pub(super) weights: Vec<f64>,
    pub(super) draws: Cow<'a, WeightDraws>,
    /// Tests with a weight, in summing order.
    pub(super) counted: Vec<usize>,
    /// Candidates in the standing.
    pub(super) present: Vec<usize>,
    pub(super) head_room: f64,
    /// Mean positions per test and candidate, where the head-room is not the input's.
    means_anew: Option<Vec<Vec<f64>>>,
    /// Sums of each stretch, once they were summed for the ranking.
    pub(super) kept: OnceLock<Vec<Vec<f64>>>,
    pub(super) beside: Option<Beside<'a>>,
}

/// The same weights and candidates on other fits, of which only some tests are others.
pub(super) struct Beside<'a> {
    pub(super) other: &'a Weighed<'a>,
    /// Those tests, by place among the counted ones.
    pub(super) changed: Vec<usize>,
}

impl Fitted {
    /// What a selection weighs.
    ///
    /// # Errors
    /// [`KernelError`] when the selection names what is not there or its weights are out of range.
    pub fn weigh(&self, selection: &Selection) -> Result<Weighed<'_>, KernelError> {
        let tests = &self.input.tests;
        let head_room = selection.head_room.unwrap_or(self.input.head_room);
        if !(0.0..=10.0).contains(&head_room) {
            return Err(KernelError::Setting(Checked::HeadRoom));
        }
        let number = self.input.candidate_streams.len();
        not_beyond(&selection.excluded_tests, tests.len(), Missing::ExcludedTest)?;
        not_beyond(&selection.candidates_out, number, Missing::CandidateOut)?;
        let excluded = |k: usize| selection.excluded_tests.contains(&k);
        let given: Vec<f64> = tests.iter().map(|t| t.weight).collect();
        let (mut weights, draws) = match &selection.weighting {
            Weighting::AsGiven => (given, Cow::Borrowed(&self.given)),
            Weighting::Instead(weights) => {
                if weights.len() != tests.len() {
                    return Err(KernelError::NotThere(Missing::Weight));
                }
                check_weights(tests, weights)?;
                let draws = WeightDraws::uncertain(&self.methods, weights, &self.input, &self.drawn_before);
                (weights.clone(), Cow::Owned(draws))
            }
            Weighting::Equal => {
                let equal = self.methods.equal(&given, excluded);
                let draws = WeightDraws::certain(&self.methods, &equal, &self.input);
                (equal, Cow::Owned(draws))
            }
            Weighting::FlatRandom => {
                let equal = self.methods.equal(&given, excluded);
                let draws = WeightDraws::flat(&self.methods, &equal, &self.input);
                (equal, Cow::Owned(draws))
            }
        };
        selection.excluded_tests.iter().for_each(|&k| weights[k] = 0.0);
        Ok(Weighed {
            fitted: self,
            counted: self.order.iter().copied().filter(|&k| weights[k] > 0.0).collect(),
            weights,
            draws,
            present: (0..number)
                .filter(|i| !selection.candidates_out.contains(i))
                .collect(),
            head_room,
            means_anew: (head_room != self.input.head_room)
                .then(|| self.tests.iter().map(|test| test.means_with(head_room)).collect()),
            kept: OnceLock::new(),
            beside: None,
        })
    }
}

impl<'a> Weighed<'a> {
    /// The same, summed from what is kept of another wherever only a few tests differ: the sums are then those of the
    /// other, less these tests as they were, and with these as they are.
    pub(crate) fn beside(self, other: &'a Weighed<'a>) -> Self {
        let fits = |of: &Self, at: usize| Arc::clone(&of.fitted.tests[of.counted[at]]);
        let alike = self.head_room == other.head_room
            && self.present == other.present
            && self.counted == other.counted
            && self.draws.are(&other.draws);
        if !alike || other.kept.get().is_none() {
            return self;
        }
        let places = 0..self.counted.len();
        let changed: Vec<usize> = places
            .filter(|at| !Arc::ptr_eq(&fits(&self, *at), &fits(other, *at)))
            .collect();
        let fewer = 2 * changed.len() < self.counted.len();
        Self {
            beside: fewer.then_some(Beside { other, changed }),
            ..self
        }
    }
}

impl Weighed<'_> {
    /// The mean weight of every test, 0 where it does not count.
    pub(crate) fn weights(&self) -> &[f64] {
        &self.weights
    }

    /// How many candidates are in the standing.
    pub(crate) fn candidates_in(&self) -> usize {
        self.present.len()
    }

    /// The same with every weight at its mean.
    pub(super) fn with_certain_weights(&self) -> Weighed<'_> {
        let fitted = self.fitted;
        Weighed {
            fitted,
            draws: Cow::Owned(WeightDraws::certain(
                &fitted.methods,
                &self.weights,
                &fitted.input,
            )),
            weights: self.weights.clone(),
            counted: self.counted.clone(),
            present: self.present.clone(),
            head_room: self.head_room,
            means_anew: self.means_anew.clone(),
            kept: OnceLock::new(),
            beside: None,
        }
    }

    /// Mean position of a candidate in a test.
    pub(super) fn mean(&self, test: usize, candidate: usize) -> f64 {
        match &self.means_anew {
            Some(means) => means[test][candidate],
            None => self.fitted.tests[test].means[candidate],
        }
    }

    /// Sum of the mean weights of the counted tests.
    pub(super) fn total_weight(&self, left_out: impl Fn(usize) -> bool) -> f64 {
        self.counted
            .iter()
            .filter(|k| !left_out(**k))
            .map(|&k| self.weights[k])
            .sum()
    }

    /// Score of every candidate with mean weights and mean positions; all 0 where nothing is weighed.
    pub(super) fn scores(&self, left_out: impl Fn(usize) -> bool) -> Vec<f64> {
        let total = self.total_weight(&left_out);
        let number = self.fitted.input.candidate_streams.len();
        if total <= 0.0 {
            return vec![0.0; number];
        }
        let sum = |i: usize| -> f64 {
            let counted = self.counted.iter().filter(|k| !left_out(**k));
            counted.map(|&k| self.weights[k] * self.mean(k, i)).sum()
        };
        (0..number).map(|i| sum(i) / total).collect()
    }

    /// Candidates of the standing, greatest score first; equal scores in the order of their stream keys, which depends
    /// on neither names nor rows.
    pub(super) fn ranked(&self, scores: &[f64]) -> Vec<usize> {
        let mut ranked = self.present.clone();
        let streams = &self.fitted.input.candidate_streams;
        ranked.sort_by(|&a, &b| scores[b].total_cmp(&scores[a]).then(streams[a].cmp(&streams[b])));
        ranked
    }
}

fn not_beyond(
    places: &BTreeSet<usize>,
    number: usize,
    missing: fn(usize) -> Missing,
) -> Result<(), KernelError> {
    match places.last() {
        Some(&last) if last >= number => Err(KernelError::NotThere(missing(last))),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::MethodId;
    use crate::standing::kernel::{
        Anchors, BlockId, BlockInput, CellData, KernelInput, KnownFits, TestInput, WithoutTests,
        candidate_streams, fit,
    };
    use crate::stats::deviation::Deviation;
    use crate::stats::observation::Observation;
    use crate::stats::severity::BlockShift;

    fn read(value: f64) -> CellData {
        CellData::of(vec![(Observation::Exact(value), BlockId(0))])
    }

    /// Five tests of three candidates; `last` is what the third reads in the last.
    fn input(last: f64) -> KernelInput {
        let test = |place: usize| TestInput {
            key: format!("bench {place}"),
            method: MethodId::new(&format!("bench_{place}")).unwrap(),
            family: format!("bench {place}"),
            sign: 1.0,
            deviation: Deviation {
                sd: 0.3,
                freedom: 30.0,
            },
            cap: None,
            weight: 0.2 + 0.1 * place as f64,
            anchors: Anchors::Two {
                good: read(1.0),
                poor: read(0.0),
            },
            candidates: vec![read(0.5), read(0.6), read(if place == 4 { last } else { 0.4 })],
            control: None,
            middle: None,
        };
        let tests: Vec<TestInput> = (0..5).map(test).collect();
        let names = ["A", "B", "C"].map(String::from);
        KernelInput {
            candidate_streams: candidate_streams(&names, &tests),
            tests,
            blocks: vec![BlockInput {
                key: "block".to_string(),
                shift: BlockShift::NONE,
            }],
            head_room: 0.5,
            concentration: 15.0,
            draws: 3000,
            seed: 7,
        }
    }

    #[test]
    fn beside_another_only_the_tests_that_differ_are_summed_anew_and_the_counts_are_the_same() {
        let known = KnownFits::default();
        let streams = input(0.5).candidate_streams;
        let changed = KernelInput {
            candidate_streams: streams,
            ..input(0.9)
        };
        let (usual, other) = (fit(&input(0.5), &known).unwrap(), fit(&changed, &known).unwrap());
        let everything = Selection::default();
        let usual = usual.weigh(&everything).unwrap();
        let sets = [WithoutTests::default(), BTreeSet::from([1]).into()];
        // before its ranking nothing is kept that could be summed beside
        assert!(other.weigh(&everything).unwrap().beside(&usual).beside.is_none());
        usual.ranking();
        let alone = other.weigh(&everything).unwrap();
        let beside = other.weigh(&everything).unwrap().beside(&usual);
        assert_eq!(beside.beside.as_ref().unwrap().changed.len(), 1);
        assert_eq!(beside.leave_out(&sets).unwrap(), alone.leave_out(&sets).unwrap());
        assert_ne!(usual.leave_out(&sets).unwrap(), alone.leave_out(&sets).unwrap());
    }

    #[test]
    fn nothing_is_summed_beside_other_weights_candidates_or_head_room() {
        let fitted = fit(&input(0.5), &KnownFits::default()).unwrap();
        let usual = fitted.weigh(&Selection::default()).unwrap();
        usual.ranking();
        let otherwise = [
            Selection {
                weighting: Weighting::Equal,
                ..Selection::default()
            },
            Selection {
                candidates_out: BTreeSet::from([0]),
                ..Selection::default()
            },
            Selection {
                excluded_tests: BTreeSet::from([0]),
                ..Selection::default()
            },
            Selection {
                head_room: Some(0.0),
                ..Selection::default()
            },
        ];
        for selection in otherwise {
            let weighed = fitted.weigh(&selection).unwrap().beside(&usual);
            assert!(weighed.beside.is_none(), "{selection:?}");
        }
        assert!(
            fitted
                .weigh(&Selection::default())
                .unwrap()
                .beside(&usual)
                .beside
                .is_some()
        );
    }
}
