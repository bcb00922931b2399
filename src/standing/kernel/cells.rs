//! One cell, the posterior of one blend in one test, with how the open part of the block shifts reaches it; and a test
//! before its candidates, with how each of them is placed in it.
//!
//! Inside the kernel every scale is turned so that greater is better.

use crate::standing::kernel::positions::{draw_positions, mean_position};
use crate::standing::kernel::references::{Fixed, PositionScale};
use crate::standing::kernel::{
    Anchors, BlockId, BlockInput, CellData, KernelError, KernelInput, TestFit, TestInput,
};
use crate::stats::cell::{Grid, Likelihoods, Posterior, Prior};
use crate::stats::draws::StreamKey;
use crate::stats::observation::Observation;
use crate::stats::precision::critical_difference;
use std::sync::Arc;

/// A fitted cell. Its scale is turned so that greater is better.
///
/// Block shifts: the posterior is computed from results with the mean shift of their block taken off. What is open of
/// a block's shift, d, is one draw shared by everything run in the block, and the cell's value moves by `-share * d`.
/// The share is the part of the cell's information that came from the block: its part of the number of results, times
/// the part the data have in the posterior, 1 - posterior variance / prior variance. The prior of a candidate hangs on
/// the reference oils, so its part moves as they do. With normal results this is exact; with censored ones it is an
/// approximation (a censored result is taken to inform like any other of its cell). When everything ran in one
/// block, every share is 1 and the shift cancels exactly.
#[derive(Clone, Debug)]
pub struct CellFit {
    pub(super) posterior: Posterior,
    /// One per block of the test whose shift is open.
    pub(super) shares: Vec<f64>,
    pub(super) results: usize,
}

impl CellFit {
    /// The posterior, greater is better, with the mean shift of each block taken off.
    pub fn posterior(&self) -> &Posterior {
        &self.posterior
    }
}

/// A cell on the scale of its test, as the caller gave it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CellSummary {
    /// Posterior mean on the working scale.
    pub mean: f64,
    /// 5 % and 95 % points on the working scale.
    pub interval: (f64, f64),
    /// Number of results.
    pub results: usize,
}

impl CellSummary {
    pub(super) fn of(cell: &CellFit, sign: f64) -> Self {
        let posterior = &cell.posterior;
        let (low, high) = (posterior.quantile(0.05), posterior.quantile(0.95));
        Self {
            mean: sign * posterior.mean(),
            interval: if sign < 0.0 { (-high, -low) } else { (low, high) },
            results: cell.results,
        }
    }
}

/// A block of the test whose shift is not fully known.
#[derive(Clone, Copy, Debug)]
pub(super) struct OpenShift {
    /// Place in the input's list of blocks.
    pub(super) block: usize,
    /// Standard deviation of what is open.
    pub(super) sd: f64,
    /// Key of its random numbers.
    pub(super) stream: u64,
}

/// Blocks of the test with an open shift, by key, so that their order in the input does not matter.
pub(super) fn open_shifts(test: &TestInput, blocks: &[BlockInput]) -> Vec<OpenShift> {
    let mut used: Vec<usize> = test
        .cells()
        .flat_map(|c| c.observations.iter().map(|(_, b)| b.0))
        .collect();
    used.sort_unstable();
    used.dedup();
    used.retain(|&b| blocks[b].shift.variance > 0.0);
    used.sort_by(|&a, &b| blocks[a].key.cmp(&blocks[b].key));
    let open = |block: usize| OpenShift {
        block,
        sd: blocks[block].shift.variance.sqrt(),
        stream: StreamKey::new("block").text(&blocks[block].key).value(),
    };
    used.into_iter().map(open).collect()
}

/// Results turned so that greater is better, with the mean shift of their block taken off.
pub(super) fn adjusted(cell: &CellData, test: &TestInput, blocks: &[BlockInput]) -> Vec<Observation> {
    let adjust =
        |&(o, b): &(Observation, BlockId)| test.oriented(o).shifted(-test.sign * blocks[b.0].shift.mean);
    cell.observations.iter().map(adjust).collect()
}

/// How a cell is fitted: its prior, the kept likelihoods, and how the prior itself moves with the open shifts.
pub(super) struct CellFrame {
    pub(super) prior: Prior,
    pub(super) likelihoods: Likelihoods,
    /// `None` for reference oils and other fixed fluids, whose prior is wide: it moves with the data.
    pub(super) prior_shares: Option<Vec<f64>>,
}

impl CellFrame {
    pub(super) fn fit(
        &self,
        cell: &CellData,
        test: &TestInput,
        blocks: &[BlockInput],
        open: &[OpenShift],
    ) -> Result<CellFit, KernelError> {
        let observations = adjusted(cell, test, blocks);
        let posterior = Posterior::from_likelihoods(self.prior, &self.likelihoods, &observations)
            .ok_or_else(|| KernelError::NothingPossible(test.key.clone()))?;
        let results = observations.len();
        let data_part = match self.prior_shares {
            _ if results == 0 => 0.0,
            None => 1.0,
            Some(_) => (1.0 - (posterior.sd() / self.prior.sd).powi(2)).clamp(0.0, 1.0),
        };
        let share = |(i, shift): (usize, &OpenShift)| {
            let here = cell
                .observations
                .iter()
                .filter(|(_, b)| b.0 == shift.block)
                .count();
            let of_results = here as f64 / results.max(1) as f64;
            let of_prior = self.prior_shares.as_ref().map_or(0.0, |shares| shares[i]);
            data_part * of_results + (1.0 - data_part) * of_prior
        };
        let shares = open.iter().enumerate().map(share).collect();
        Ok(CellFit {
            posterior,
            shares,
            results,
        })
    }
}

/// A test before its candidates: references fitted, scale drawn.
pub(super) struct TestFrame {
    fit: TestFit,
    frame: CellFrame,
    open: Vec<OpenShift>,
    scale: PositionScale,
}

impl TestFrame {
    /// `draws` may be 0 where mean positions are all that is asked.
    pub(super) fn new(test: &TestInput, input: &KernelInput, draws: usize) -> Result<Self, KernelError> {
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
        let where_run = |cell: &Option<CellData>| {
            let run = cell.as_ref().filter(|cell| !cell.observations.is_empty());
            run.map(fit_fixed).transpose()
        };
        let (control, middle) = (where_run(&test.control)?, where_run(&test.middle)?);
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
        let (scale, validity) = of_test.draw(input.seed, draws);
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
            compared: Arc::default(),
        };
        Ok(Self {
            fit,
            frame,
            open,
            scale,
        })
    }

    /// Cell, drawn positions and mean position of one candidate.
    pub(super) fn candidate(
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

    pub(super) fn finish(self, cells: impl Iterator<Item = (CellFit, Vec<f32>, f64)>) -> TestFit {
        let mut fit = self.fit;
        for (cell, positions, mean) in cells {
            fit.candidates.push(cell);
            fit.positions.push(Arc::new(positions));
            fit.means.push(mean);
        }
        fit
    }
}

/// Least and greatest adjusted number named by any result of the test. The references always have results.
pub(super) fn range_of(test: &TestInput, blocks: &[BlockInput]) -> (f64, f64) {
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
    let of_cell = |cell: &CellData| adjusted(cell, test, blocks);
    let results: Vec<Vec<Observation>> = cells(test).into_iter().map(of_cell).collect();
    likelihoods.prepare(prior, &results);
    CellFrame {
        prior,
        likelihoods,
        prior_shares,
    }
}

/// A candidate's prior stands midway between the references (or beside the one) and moves as they do.
pub(super) fn anchor_shares(good: &CellFit, poor: Option<&CellFit>) -> Vec<f64> {
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
