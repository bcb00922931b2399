//! A test before its candidates, and how each candidate is placed in it.

use std::sync::Arc;

use crate::standing::kernel::cells::{CellFit, CellFrame, OpenShift, adjusted, open_shifts};
use crate::standing::kernel::positions::{draw_positions, mean_position};
use crate::standing::kernel::references::{Fixed, Scale};
use crate::standing::kernel::{Anchors, BlockInput, CellData, KernelError, KernelInput, TestFit, TestInput};
use crate::stats::cell::{Grid, Likelihoods, Prior};
use crate::stats::draws::StreamKey;
use crate::stats::observation::Observation;
use crate::stats::precision::critical_difference;

/// A test before its candidates: references fitted, scale drawn.
pub(super) struct TestFrame {
    fit: TestFit,
    frame: CellFrame,
    open: Vec<OpenShift>,
    scale: Scale,
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
