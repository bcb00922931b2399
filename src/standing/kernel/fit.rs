//! Fitting: every cell once, every position drawn once, what was fitted and drawn for one question kept for the next;
//! and which of two blends is better in a fitted test.

use crate::standing::fit_cache::ByKey;
use crate::standing::kernel::cells::{CandidateFit, CellFit, CellFrame, CellSummary, OfWhom, TestFrame};
use crate::standing::kernel::input::FittedFrom;
use crate::standing::kernel::positions::{
    PositionSummary, mean_position, placed, position_of_value, ratios_on_lattice,
};
use crate::standing::kernel::references::{Length, PositionScale, Validity};
use crate::standing::kernel::weights::{DrawnBefore, Methods, WeightDraws};
use crate::standing::kernel::{KernelError, KernelInput, TestInput};
use crate::stats::lattice;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError, Weak};

/// One fitted test: its cells, its scale, and the positions of the candidates.
#[derive(Clone, Debug)]
pub struct TestFit {
    pub(super) sign: f64,
    pub(super) cap: Option<f64>,
    pub(super) length: Length,
    pub(super) head_room: f64,
    pub(super) candidates: Vec<CellFit>,
    pub(super) good: Option<CellFit>,
    pub(super) poor: Option<CellFit>,
    pub(super) control: Option<CellFit>,
    pub(super) middle: Option<CellFit>,
    pub(super) validity: Validity,
    /// The scale at the lattice points.
    pub(super) lattice: PositionScale,
    /// How a further cell is fitted.
    pub(super) frame: CellFrame,
    /// How much of the way from 0 to 1 each candidate has gone, per draw.
    pub(super) ratios: Vec<Arc<Vec<f32>>>,
    /// Their positions with the head-room of the input.
    pub(super) positions: Vec<Arc<Vec<f32>>>,
    /// How much of the way each candidate has gone, per lattice point.
    pub(super) lattice_ratios: Vec<Arc<Vec<f64>>>,
    /// Their mean positions.
    pub(super) means: Vec<f64>,
    /// Probabilities that one blend is better than another, as far as they were asked for.
    pub(super) compared: Arc<ByKey<(Who, Who), Option<f64>, { usize::MAX }>>,
}

impl TestFit {
    /// The same cells and draws; only the positions are of another head-room.
    pub(super) fn with_head_room(&self, head_room: f64) -> Self {
        let placed = |ratios: &Arc<Vec<f32>>| Arc::new(placed(ratios, head_room));
        Self {
            head_room,
            positions: self.ratios.par_iter().map(placed).collect(),
            means: self.means_with(head_room),
            ..self.clone()
        }
    }

    /// Mean positions of the candidates with another head-room.
    pub(super) fn means_with(&self, head_room: f64) -> Vec<f64> {
        let mean = |ratios: &Arc<Vec<f64>>| mean_position(ratios, head_room);
        self.lattice_ratios.par_iter().map(mean).collect()
    }

    /// Cap with greater is better, infinite where there is none.
    pub(super) fn top(&self) -> f64 {
        self.cap.unwrap_or(f64::INFINITY)
    }

    /// How much counts beyond the reference oils, in ways between them.
    pub fn head_room(&self) -> f64 {
        self.head_room
    }

    /// How well the test sorted lubricants whose order is known.
    pub fn validity(&self) -> Validity {
        self.validity
    }

    /// Critical difference of the two reference means, the smallest gap accepted; `None` with one reference.
    pub fn smallest_gap(&self) -> Option<f64> {
        match self.length {
            Length::AtLeast(least) => Some(least),
            Length::Fixed(_) => None,
        }
    }

    /// The fitted cell of a blend, on the scale turned so that greater is better; `None` where there is no such cell.
    pub fn cell(&self, who: Who) -> Option<&CellFit> {
        match who {
            Who::Candidate(i) => self.candidates.get(i),
            Who::Good => self.good.as_ref(),
            Who::Poor => self.poor.as_ref(),
            Who::Control => self.control.as_ref(),
            Who::Middle => self.middle.as_ref(),
        }
    }

    /// The cell of a blend in numbers, on the caller's scale.
    pub fn summary(&self, who: Who) -> Option<CellSummary> {
        self.cell(who).map(|cell| CellSummary::of(cell, self.sign))
    }

    /// The position of a blend that counts: its value, the reference oils' doubt and the deviation's included; `None`
    /// where there is no such cell.
    pub fn position(&self, who: Who) -> Option<PositionSummary> {
        let summary = |ratios: &[f64]| PositionSummary::of(ratios, self.head_room);
        match who {
            Who::Candidate(i) => self.lattice_ratios.get(i).map(|ratios| summary(ratios)),
            _ => Some(summary(&ratios_on_lattice(
                self.cell(who)?,
                &self.lattice,
                self.top(),
            ))),
        }
    }

    /// Mean position of a value on the scale turned so that greater is better (as in [`CellFit::value`]), for weighing
    /// what a further result would move.
    pub fn position_of(&self, turned_value: f64) -> f64 {
        position_of_value(turned_value, &self.lattice, self.top(), self.head_room)
    }
}

/// All cells and draws; answers what-ifs on the same draws.
#[derive(Clone, Debug)]
pub struct Fitted {
    pub(super) input: KernelInput,
    pub(super) tests: Vec<Arc<TestFit>>,
    /// Tests in the order of their keys: sums run in this order, whatever order the input has.
    pub(super) order: Vec<usize>,
    pub(super) methods: Methods,
    pub(super) given: WeightDraws,
    pub(super) drawn_before: DrawnBefore,
}

impl Fitted {
    /// The fitted tests, in the order of the input.
    pub fn tests(&self) -> &[Arc<TestFit>] {
        &self.tests
    }

    /// Whether each of its tests is one fit with the other's.
    pub(crate) fn has_the_fits_of(&self, other: &Self) -> bool {
        let pairs = || self.tests.iter().zip(&other.tests);
        self.tests.len() == other.tests.len() && pairs().all(|(one, other)| Arc::ptr_eq(one, other))
    }

    /// What was fitted.
    pub fn input(&self) -> &KernelInput {
        &self.input
    }
}

/// Computes every cell and draws every position. What is known already is not computed again, and what is new is known
/// from then on.
///
/// # Errors
/// [`KernelError`], naming the field or test that cannot be used.
pub fn fit(input: &KernelInput, known: &KnownFits) -> Result<Fitted, KernelError> {
    input.check()?;
    let mut order: Vec<usize> = (0..input.tests.len()).collect();
    order.sort_by(|&a, &b| input.tests[a].key.cmp(&input.tests[b].key));
    let found: Vec<Option<Arc<TestFit>>> = input
        .tests
        .par_iter()
        .map(|test| known.fit_of(test, input))
        .collect();
    let new: Vec<&TestInput> = input
        .tests
        .iter()
        .zip(&found)
        .filter(|(_, found)| found.is_none())
        .map(|(test, _)| test)
        .collect();
    let fitted: Vec<Arc<TestFit>> = fit_tests(&new, input)?.into_iter().map(Arc::new).collect();
    for (test, fit) in new.iter().zip(&fitted) {
        known.add(test, input, fit);
    }
    let mut fitted = fitted.into_iter();
    let tests = found
        .into_iter()
        .filter_map(|found| found.or_else(|| fitted.next()))
        .collect();
    let methods = Methods::new(&input.tests, &order);
    let weights: Vec<f64> = input.tests.iter().map(|t| t.weight).collect();
    let drawn_before = known.weights.clone();
    let given = WeightDraws::uncertain(&methods, &weights, input, &drawn_before);
    Ok(Fitted {
        input: input.clone(),
        tests,
        order,
        methods,
        given,
        drawn_before,
    })
}

fn fit_tests(tests: &[&TestInput], input: &KernelInput) -> Result<Vec<TestFit>, KernelError> {
    let frames: Vec<TestFrame> = tests
        .par_iter()
        .map(|test| TestFrame::new(test, input, input.draws))
        .collect::<Result<_, _>>()?;
    let count = input.candidate_streams.len();
    let cells: Vec<CandidateFit> = (0..tests.len() * count)
        .into_par_iter()
        .map(|i| frames[i / count].candidate(i % count, tests[i / count], input))
        .collect::<Result<_, _>>()?;
    let mut cells = cells.into_iter();
    Ok(frames
        .into_iter()
        .map(|frame| frame.finish(cells.by_ref().take(count)))
        .collect())
}

/// Most positions that are held, over all fits: 4 bytes each (ours).
const MOST_POSITIONS: usize = 48 << 20;

/// Fits of tests, by all that they hang on: an answer with them is the same, bit for bit, as without. Shared between
/// threads. When about 200 MB are held they are let go; those that somebody still works with are found all the same.
#[derive(Debug, Default)]
pub struct KnownFits {
    held: Mutex<Held>,
    pub(super) weights: DrawnBefore,
}

#[derive(Debug, Default)]
struct Held {
    /// Per test and draws: fits with different head-room.
    fits: BTreeMap<Drawn, Vec<(f64, Weak<TestFit>)>>,
    /// What would go if nobody else had it.
    kept: Vec<Arc<TestFit>>,
    /// How many positions those have.
    positions: usize,
}

impl Held {
    /// Lets go of what is kept.
    fn let_go(&mut self) {
        self.kept.clear();
        self.positions = 0;
        self.fits.retain(|_, fits| {
            fits.retain(|(_, fit)| fit.strong_count() > 0);
            !fits.is_empty()
        });
    }
}

/// A test and how its positions are drawn.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Drawn {
    test: FittedFrom,
    draws: usize,
    seed: u64,
    streams: Vec<u64>,
}

impl Drawn {
    fn of(test: &TestInput, input: &KernelInput) -> Self {
        Self {
            test: test.fitted_from(&input.blocks),
            draws: input.draws,
            seed: input.seed,
            streams: input.candidate_streams.clone(),
        }
    }
}

impl KnownFits {
    /// The fit of a test, where it is known; with another head-room only its positions are computed.
    pub(super) fn fit_of(&self, test: &TestInput, input: &KernelInput) -> Option<Arc<TestFit>> {
        let drawn = Drawn::of(test, input);
        let other = {
            let held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
            let fits = held.fits.get(&drawn)?;
            let mut same = fits.iter().filter(|(head_room, _)| *head_room == input.head_room);
            if let Some(fit) = same.find_map(|(_, fit)| fit.upgrade()) {
                return Some(fit);
            }
            fits.iter().find_map(|(_, fit)| fit.upgrade())?
        };
        let fit = Arc::new(other.with_head_room(input.head_room));
        let positions = input.draws * fit.candidates.len();
        self.hold(drawn, input.head_room, &fit, positions);
        Some(fit)
    }

    pub(super) fn add(&self, test: &TestInput, input: &KernelInput, fit: &Arc<TestFit>) {
        // ratios and positions
        let positions = 2 * input.draws * fit.candidates.len();
        self.hold(Drawn::of(test, input), input.head_room, fit, positions);
    }

    fn hold(&self, drawn: Drawn, head_room: f64, fit: &Arc<TestFit>, positions: usize) {
        let mut held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        if held.positions + positions > MOST_POSITIONS {
            held.let_go();
        }
        held.positions += positions;
        held.kept.push(Arc::clone(fit));
        held.fits
            .entry(drawn)
            .or_default()
            .push((head_room, Arc::downgrade(fit)));
    }
}

/// A blend of one test.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Who {
    /// Candidate by its place in the input.
    Candidate(usize),
    /// Known good reference oil.
    Good,
    /// Known poor reference oil.
    Poor,
    /// Control fluid.
    Control,
    /// Reference oil known to lie between the two.
    Middle,
}

/// Every so many lattice points are used for the open part of the block shifts.
const STRIDE: usize = 16;

impl Fitted {
    /// Probability that `one` is better than `other` in a test (its place in the input), both held at the cap, where
    /// equal values do not count. Computed on the grid, without random numbers; open block shifts are averaged over
    /// lattice points. `None` where a cell is not there.
    pub fn probability_better(&self, test: usize, one: Who, other: Who) -> Option<f64> {
        let test = self.tests.get(test)?;
        test.compared
            .get_or((one, other), || test.probability_better(one, other))
    }
}

impl TestFit {
    fn probability_better(&self, one: Who, other: Who) -> Option<f64> {
        let (one, other) = (self.cell(one)?, self.cell(other)?);
        let top = self.top();
        let at = |(part, others), own_shift, other_shift| {
            one.value
                .part_above_other(part, (&other.value, others), top, own_shift, other_shift)
        };
        let mean = |values: &mut dyn ExactSizeIterator<Item = f64>| {
            let number = values.len() as f64;
            values.sum::<f64>() / number
        };
        if self.lattice.shifts.is_empty() && one.deviation == OfWhom::Test && other.deviation == OfWhom::Test
        {
            let parts = one.value.parts().max(other.value.parts());
            let middle = |part: usize| (part as f64 + 0.5) / parts as f64;
            let both = |part: usize| (one.value.part_at(middle(part)), other.value.part_at(middle(part)));
            return Some(mean(&mut (0..parts).map(|part| at(both(part), 0.0, 0.0))));
        }
        let points = (0..lattice::POINTS).step_by(STRIDE);
        let both = |p: usize| (one.part_on_lattice(p), other.part_on_lattice(p));
        let moved = |cell, p| self.lattice.moved(cell, p);
        Some(mean(
            &mut points.map(|p| at(both(p), moved(one, p), moved(other, p))),
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::MethodId;
    use crate::standing::kernel::{Anchors, BlockId, BlockInput, CellData, candidate_streams};
    use crate::stats::deviation::Deviation;
    use crate::stats::observation::Observation;
    use crate::stats::severity::BlockShift;

    fn input() -> KernelInput {
        let read = |value| CellData::of(vec![(Observation::Exact(value), BlockId(0))]);
        let test = TestInput {
            key: "bench".to_string(),
            method: MethodId::new("bench").unwrap(),
            family: "bench".to_string(),
            sign: 1.0,
            deviation: Deviation {
                sd: 0.1,
                freedom: 30.0,
            },
            cap: None,
            weight: 0.5,
            anchors: Anchors::Two {
                good: read(1.0),
                poor: read(0.0),
            },
            candidates: vec![read(0.4), read(0.6)],
            control: None,
            middle: None,
        };
        let tests = vec![test];
        KernelInput {
            candidate_streams: candidate_streams(&["A".to_string(), "B".to_string()], &tests),
            tests,
            blocks: vec![BlockInput {
                key: "block".to_string(),
                shift: BlockShift::NONE,
            }],
            head_room: 0.5,
            concentration: 15.0,
            draws: 100,
            seed: 7,
        }
    }

    #[test]
    fn what_was_let_go_is_found_while_somebody_works_with_it_and_not_after() {
        let (input, known) = (input(), KnownFits::default());
        let fitted = fit(&input, &known).unwrap();
        known.held.lock().unwrap().let_go();
        let found = known.fit_of(&input.tests[0], &input).unwrap();
        assert!(Arc::ptr_eq(&found, &fitted.tests[0]));
        drop((found, fitted));
        assert!(known.fit_of(&input.tests[0], &input).is_none());
        known.held.lock().unwrap().let_go();
        assert!(known.held.lock().unwrap().fits.is_empty());
    }
}
