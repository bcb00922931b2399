//! Fitting: every cell once, every position drawn once.

use rayon::prelude::*;

use crate::standing::kernel::cells::{CellFit, CellFrame, CellSummary, OpenShift, adjusted, open_shifts};
use crate::standing::kernel::positions::{draw_positions, mean_position, position_of_value};
use crate::standing::kernel::references::{Fixed, Scale, Validity};
use crate::standing::kernel::weights::{Methods, WeightDraws};
use crate::standing::kernel::{Anchors, BlockInput, CellData, KernelError, KernelInput, TestInput, Who};
use crate::stats::cell::{Grid, Likelihoods, Prior};
use crate::stats::draws::StreamKey;
use crate::stats::precision::critical_difference;

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
    pub(super) positions: Vec<Vec<f32>>,
    /// Mean positions with the head-room of the input.
    pub(super) means: Vec<f64>,
}

impl TestFit {
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
    pub(super) tests: Vec<TestFit>,
    /// Tests in the order of their keys: sums run in this order, whatever order the input has.
    pub(super) order: Vec<usize>,
    pub(super) methods: Methods,
    pub(super) given: WeightDraws,
}

impl Fitted {
    /// The fitted tests, in the order of the input.
    pub fn tests(&self) -> &[TestFit] {
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
    input.check()?;
    let mut order: Vec<usize> = (0..input.tests.len()).collect();
    order.sort_by(|&a, &b| input.tests[a].key.cmp(&input.tests[b].key));
    let frames: Vec<TestFrame> = input
        .tests
        .par_iter()
        .map(|test| TestFrame::new(test, input))
        .collect::<Result<_, _>>()?;
    let count = input.candidate_streams.len();
    let cells: Vec<(CellFit, Vec<f32>, f64)> = (0..input.tests.len() * count)
        .into_par_iter()
        .map(|i| frames[i / count].candidate(i % count, &input.tests[i / count], input))
        .collect::<Result<_, _>>()?;
    let mut cells = cells.into_iter();
    let tests = frames
        .into_iter()
        .map(|frame| frame.finish(cells.by_ref().take(count)))
        .collect();
    let methods = Methods::new(&input.tests, &order);
    let weights: Vec<f64> = input.tests.iter().map(|t| t.weight).collect();
    let given = WeightDraws::uncertain(&methods, &weights, input);
    Ok(Fitted {
        input: input.clone(),
        tests,
        order,
        methods,
        given,
    })
}

/// A test before its candidates: references fitted, scale drawn.
struct TestFrame {
    fit: TestFit,
    frame: CellFrame,
    open: Vec<OpenShift>,
    scale: Scale,
}

impl TestFrame {
    fn new(test: &TestInput, input: &KernelInput) -> Result<Self, KernelError> {
        let blocks = &input.blocks;
        let open = open_shifts(test, blocks);
        let cap = test.cap.map(|cap| test.sign * cap);
        let top = cap.unwrap_or(f64::INFINITY);
        let range = range_of(test, blocks);
        let wide = Prior::of_a_reference(range, test.sd);
        let fixed = frame_of(wide, range, test, blocks, None, |t| fixed_cells(t).collect());
        let fit_fixed = |cell: &CellData| fixed.fit(cell, test, blocks, &open);
        let (good, poor, floor, fixed_gap, prior) = match &test.anchors {
            Anchors::Two { good, poor } => {
                let (good, poor) = (fit_fixed(good)?, fit_fixed(poor)?);
                let floor = critical_difference(test.sd, good.results, poor.results);
                let held = |cell: &CellFit| cell.posterior.mean().min(top);
                let prior = Prior::between_references(held(&good), held(&poor), floor);
                (good, Some(poor), Some(floor), 0.0, prior)
            }
            Anchors::One {
                good,
                reproducibility,
            } => {
                let good = fit_fixed(good)?;
                let prior =
                    Prior::beside_one_reference(good.posterior.mean().min(top), 1.0, *reproducibility);
                (good, None, None, 2.0 * reproducibility, prior)
            }
        };
        let control = test
            .control
            .as_ref()
            .filter(|c| !c.observations.is_empty())
            .map(fit_fixed)
            .transpose()?;
        let middle = test
            .middle
            .as_ref()
            .filter(|c| !c.observations.is_empty())
            .map(fit_fixed)
            .transpose()?;
        let prior_shares = anchor_shares(&good, poor.as_ref());
        let frame = frame_of(prior, range, test, blocks, Some(prior_shares), |t| {
            t.candidates.iter().collect()
        });
        let of_test = Fixed {
            key: &test.key,
            good: &good,
            poor: poor.as_ref(),
            control: control.as_ref(),
            middle: middle.as_ref(),
            cap: top,
            floor: floor.unwrap_or_default(),
            fixed_gap,
            open: &open,
        };
        let (scale, validity) = of_test.draw(input.seed, input.draws);
        let lattice = of_test.lattice();
        let fit = TestFit {
            sign: test.sign,
            cap,
            candidate_prior: prior,
            floor,
            candidates: Vec::new(),
            good,
            poor,
            control,
            middle,
            validity,
            lattice,
            positions: Vec::new(),
            means: Vec::new(),
        };
        Ok(Self {
            fit,
            frame,
            open,
            scale,
        })
    }

    /// Cell, drawn positions and mean position of one candidate.
    fn candidate(
        &self,
        candidate: usize,
        test: &TestInput,
        input: &KernelInput,
    ) -> Result<(CellFit, Vec<f32>, f64), KernelError> {
        let cell = self
            .frame
            .fit(&test.candidates[candidate], test, &input.blocks, &self.open)?;
        let stream = StreamKey::new("cell")
            .text(&test.key)
            .number(input.candidate_streams[candidate])
            .value();
        let positions = draw_positions(&cell, &self.scale, self.fit.top(), input.seed, stream);
        let mean = mean_position(&cell, &self.fit.lattice, self.fit.top(), input.head_room);
        Ok((cell, positions, mean))
    }

    fn finish(self, cells: impl Iterator<Item = (CellFit, Vec<f32>, f64)>) -> TestFit {
        let mut fit = self.fit;
        for (cell, positions, mean) in cells {
            fit.candidates.push(cell);
            fit.positions.push(positions);
            fit.means.push(mean);
        }
        fit
    }
}

/// Least and greatest adjusted number named by any result of the test. The references always have results.
fn range_of(test: &TestInput, blocks: &[BlockInput]) -> (f64, f64) {
    test.cells()
        .flat_map(|cell| adjusted(cell, test, blocks))
        .map(|o| o.ends())
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
        .unwrap_or((0.0, 0.0))
}

/// References, control fluid and middle reference.
fn fixed_cells(test: &TestInput) -> impl Iterator<Item = &CellData> {
    test.cells().skip(test.candidates.len())
}

fn frame_of<'a>(
    prior: Prior,
    range: (f64, f64),
    test: &'a TestInput,
    blocks: &[BlockInput],
    prior_shares: Option<Vec<f64>>,
    cells: impl Fn(&'a TestInput) -> Vec<&'a CellData>,
) -> CellFrame {
    let mut likelihoods = Likelihoods::new(Grid::covering(prior, Some(range), test.sd), test.sd);
    for cell in cells(test) {
        adjusted(cell, test, blocks)
            .into_iter()
            .for_each(|o| likelihoods.prepare(o));
    }
    CellFrame {
        prior,
        likelihoods,
        prior_shares,
    }
}

/// A candidate's prior stands midway between the references (or beside the one) and moves as they do.
fn anchor_shares(good: &CellFit, poor: Option<&CellFit>) -> Vec<f64> {
    match poor {
        Some(poor) => good
            .shares
            .iter()
            .zip(&poor.shares)
            .map(|(g, p)| 0.5 * (g + p))
            .collect(),
        None => good.shares.clone(),
    }
}
