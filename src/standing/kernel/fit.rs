//! Fitting: every cell once, every position drawn once.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

use rayon::prelude::*;

use crate::standing::kernel::cells::{CellFit, CellSummary};
use crate::standing::kernel::frame::TestFrame;
use crate::standing::kernel::known::KnownFits;
use crate::standing::kernel::positions::{mean_position, position_of_value};
use crate::standing::kernel::references::{Scale, Validity};
use crate::standing::kernel::weights::{DrawnBefore, Methods, WeightDraws};
use crate::standing::kernel::{KernelError, KernelInput, TestInput, Who};
use crate::stats::cell::Prior;

/// One fitted test: its cells, its scale, and the positions of the candidates.
#[derive(Clone, Debug)]
pub struct TestFit {
    pub(super) sign: f64,
    pub(super) cap: Option<f64>,
    pub(super) candidate_prior: Prior,
    pub(super) floor: Option<f64>,
    pub(super) candidates: Vec<CellFit>,
    pub(super) good: CellFit,
    pub(super) poor: Option<CellFit>,
    pub(super) control: Option<CellFit>,
    pub(super) middle: Option<CellFit>,
    pub(super) validity: Validity,
    /// Scale at the lattice points.
    pub(super) lattice: Scale,
    /// Drawn positions, one list per candidate, not yet held within the head-room.
    pub(super) positions: Vec<Arc<Vec<f32>>>,
    /// Mean positions with the head-room of the input.
    pub(super) means: Vec<f64>,
    /// Probabilities that one blend is better than another, as far as they were asked for.
    pub(super) compared: Arc<Mutex<BTreeMap<(Who, Who), f64>>>,
}

impl TestFit {
    /// The same cells and positions; only the means are held within another head-room.
    pub(super) fn with_head_room(&self, head_room: f64) -> Self {
        let means = self.candidates.par_iter();
        Self {
            means: means
                .map(|cell| mean_position(cell, &self.lattice, self.top(), head_room))
                .collect(),
            ..self.clone()
        }
    }

    /// Cap with greater is better, infinite where there is none.
    pub(super) fn top(&self) -> f64 {
        self.cap.unwrap_or(f64::INFINITY)
    }

    /// How well the test sorted lubricants whose order is known.
    pub fn validity(&self) -> Validity {
        self.validity
    }

    /// Critical difference of the two reference means, the smallest gap accepted; `None` with one reference.
    pub fn smallest_gap(&self) -> Option<f64> {
        self.floor
    }

    /// Prior of a candidate on the caller's scale.
    pub fn candidate_prior(&self) -> Prior {
        Prior {
            mean: self.sign * self.candidate_prior.mean,
            sd: self.candidate_prior.sd,
        }
    }

    /// The fitted cell of a blend, on the scale turned so that greater is better; `None` where there is no such cell.
    pub fn cell(&self, who: Who) -> Option<&CellFit> {
        match who {
            Who::Candidate(i) => self.candidates.get(i),
            Who::Good => Some(&self.good),
            Who::Poor => self.poor.as_ref(),
            Who::Control => self.control.as_ref(),
            Who::Middle => self.middle.as_ref(),
        }
    }

    /// The cell of a blend in numbers, on the caller's scale.
    pub fn summary(&self, who: Who) -> Option<CellSummary> {
        self.cell(who)
            .map(|cell| CellSummary::of(cell, self.sign, self.cap))
    }

    /// Mean position of a value on the scale turned so that greater is better (as in [`CellFit::posterior`]), for
    /// weighing what a further result would move.
    pub fn position_of(&self, turned_value: f64, head_room: f64) -> f64 {
        position_of_value(turned_value, &self.lattice, self.top(), head_room)
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

    /// What was fitted.
    pub fn input(&self) -> &KernelInput {
        &self.input
    }
}

/// Computes every cell and draws every position.
///
/// # Errors
/// [`KernelError`], naming the field or test that cannot be used.
pub fn fit(input: &KernelInput) -> Result<Fitted, KernelError> {
    fit_knowing(input, &KnownFits::default())
}

/// The same, where what is known already is not computed again, and what is new is known from then on.
///
/// # Errors
/// As for [`fit`].
pub fn fit_knowing(input: &KernelInput, known: &KnownFits) -> Result<Fitted, KernelError> {
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
    let cells: Vec<(CellFit, Vec<f32>, f64)> = (0..tests.len() * count)
        .into_par_iter()
        .map(|i| frames[i / count].candidate(i % count, tests[i / count], input))
        .collect::<Result<_, _>>()?;
    let mut cells = cells.into_iter();
    Ok(frames
        .into_iter()
        .map(|frame| frame.finish(cells.by_ref().take(count)))
        .collect())
}
