//! One cell, what is known of one blend in one test, with how the open part of the block shifts reaches it; and a test
//! before its candidates, with how each of them is placed in it.
//!
//! Inside the kernel every scale is turned so that greater is better.

use crate::standing::kernel::positions::{
    LatticeDimension, draw_ratios, mean_position, placed, ratios_on_lattice,
};
use crate::standing::kernel::references::{Doubt, Fixed, Length, PositionScale};
use crate::standing::kernel::{
    Anchors, BlockId, BlockInput, CellData, KernelError, KernelInput, TestFit, TestInput,
};
use crate::stats::cell::{Distribution, Grid, Likelihoods, Mixture, Posterior, Prior};
use crate::stats::deviation::Deviation;
use crate::stats::draws::StreamKey;
use crate::stats::lattice;
use crate::stats::observation::Observation;
use crate::stats::precision::critical_difference;
use std::sync::Arc;

/// A fitted cell. Its scale is turned so that greater is better.
///
/// Block shifts: the cell is computed from results with the mean shift of their block taken off. What is open of a
/// block's shift, d, is one draw shared by everything run in the block, and the cell's value moves by `-share * d`. The
/// share is the block's part of the number of results: the prior of a cell with results is so wide that it tells nothing.
/// The prior of a missing candidate hangs on the reference oils and moves as they do. With normal results this is exact;
/// with censored ones it is an approximation (a censored result is taken to inform like any other of its cell). When
/// everything ran in one block, every share is 1 and the shift cancels exactly.
#[derive(Clone, Debug)]
pub struct CellFit {
    pub(super) value: Mixture,
    pub(super) deviation: OfWhom,
    /// One per block of the test whose shift is open.
    pub(super) shares: Vec<f64>,
    /// Standard deviation of what is open of the shifts, as the cell has its shares of them.
    pub(super) open_sd: f64,
    pub(super) results: usize,
}

/// Whose doubt about the deviation a cell shares.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum OfWhom {
    /// The test's, with all other cells.
    Test,
    /// Its own, and what there is to doubt.
    Own(Doubt),
}

impl CellFit {
    /// What is known of the value, greater is better, with the mean shift of each block taken off.
    pub fn value(&self) -> &Mixture {
        &self.value
    }

    /// The part of its own doubt in each draw; `None` where the cell shares the test's.
    pub(super) fn own_parts(&self, seed: u64, stream: u64, draws: usize) -> Option<Vec<u8>> {
        match self.deviation {
            OfWhom::Test => None,
            OfWhom::Own(doubt) => {
                let key = StreamKey::new("own-deviation").number(stream).value();
                Some(doubt.drawn(seed, key, draws))
            }
        }
    }

    fn doubt_dimension(&self) -> usize {
        match self.deviation {
            OfWhom::Test => LatticeDimension::Deviation.place(),
            OfWhom::Own(_) => LatticeDimension::OwnDeviation.place(),
        }
    }

    /// The value at every lattice point, by the coordinate `dimension`.
    pub(super) fn on_lattice(&self, dimension: LatticeDimension) -> Vec<f64> {
        let doubt = lattice::axis(self.doubt_dimension());
        self.value
            .on_lattice(dimension.place(), |point| doubt.coordinate(point))
    }

    /// The part of the doubt that holds at a lattice point.
    pub(super) fn part_on_lattice(&self, point: usize) -> usize {
        let doubt = lattice::axis(self.doubt_dimension());
        self.value.part_at(doubt.coordinate(point))
    }
}

/// A cell on the scale of its test, as the caller gave it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CellSummary {
    /// Posterior mean on the working scale.
    pub mean: f64,
    /// 5 % and 95 % points on the working scale, with what is open of the block shifts: that widens either side by the sum
    /// of squares, which is exact for normal results. The mean lies between them.
    pub interval: (f64, f64),
    /// Number of results.
    pub results: usize,
}

/// The 95 % point of the normal distribution, in standard deviations.
const BEYOND_5_PER_CENT: f64 = 1.644_853_626_951_472_2;

impl CellSummary {
    pub(super) fn of(cell: &CellFit, sign: f64) -> Self {
        let mean = cell.value.mean();
        let open = BEYOND_5_PER_CENT * cell.open_sd;
        let widened = |end: f64| mean + (end - mean).signum() * (end - mean).hypot(open);
        let (low, high) = (
            widened(cell.value.quantile(0.05).min(mean)),
            widened(cell.value.quantile(0.95).max(mean)),
        );
        Self {
            mean: sign * mean,
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

/// How a cell is fitted: the prior of cells with results, the prior of a candidate without, and the likelihoods kept for
/// each part of the doubt about the deviation.
#[derive(Clone, Debug)]
pub(super) struct CellFrame {
    with_results: Prior,
    /// `None` before the reference oils are fitted.
    without: Option<Missing>,
    grid: Grid,
    /// One per part, each with the part's deviation.
    likelihoods: Vec<Likelihoods>,
    open: Vec<OpenShift>,
}

/// What stands for a candidate that was not run.
#[derive(Clone, Debug)]
struct Missing {
    prior: Prior,
    /// How the prior moves with the open shifts.
    shares: Vec<f64>,
}

/// The grid reaches this many deviations of the largest part beyond the data, but never more than so many of the
/// estimate.
const MARGIN: f64 = 8.0;
const MOST_MARGIN: f64 = 40.0;

impl CellFrame {
    fn new(test: &TestInput, blocks: &[BlockInput]) -> Self {
        let range = range_of(test, blocks);
        let with_results = Prior::of_results(range, test.deviation.sd);
        let parts = test.deviation.in_parts();
        let own = test.cells().filter_map(|cell| cell.own_deviation);
        let largest = own
            .flat_map(|own| own.in_parts())
            .chain(parts.iter().copied())
            .fold(0.0, f64::max);
        let margin = (MARGIN * largest).min(MOST_MARGIN * test.deviation.sd);
        let grid = Grid::covering(with_results, Some(range), margin);
        let cells: Vec<Vec<Observation>> = test
            .cells()
            .filter(|cell| cell.own_deviation.is_none())
            .map(|cell| adjusted(cell, test, blocks))
            .filter(|results| numbers(results).is_none())
            .collect();
        let prepared = |sd: &f64| {
            let mut likelihoods = Likelihoods::new(grid, *sd);
            likelihoods.prepare(with_results, &cells);
            likelihoods
        };
        Self {
            with_results,
            without: None,
            grid,
            likelihoods: parts.iter().map(prepared).collect(),
            open: open_shifts(test, blocks),
        }
    }

    /// The same without what was kept to fit many cells quickly.
    fn bare(&self) -> Self {
        let bare = |kept: &Likelihoods| Likelihoods::new(self.grid, kept.sd());
        Self {
            likelihoods: self.likelihoods.iter().map(bare).collect(),
            ..self.clone()
        }
    }

    pub(super) fn fit(
        &self,
        cell: &CellData,
        test: &TestInput,
        blocks: &[BlockInput],
    ) -> Result<CellFit, KernelError> {
        let observations = adjusted(cell, test, blocks);
        let own: Option<Vec<Likelihoods>> = cell.own_deviation.map(|own: Deviation| {
            own.in_parts()
                .into_iter()
                .map(|sd| Likelihoods::new(self.grid, sd))
                .collect()
        });
        let nothing_possible = || KernelError::NothingPossible(test.key.clone());
        let value = match (&self.without, observations.is_empty()) {
            (Some(missing), true) => {
                let Prior { mean, sd } = missing.prior;
                Mixture::new(vec![Distribution::Normal { mean, sd }])
            }
            _ => self.mixture(&observations, own.as_ref().unwrap_or(&self.likelihoods)),
        };
        let results = observations.len();
        let share = |(i, shift): (usize, &OpenShift)| {
            let here = cell
                .observations
                .iter()
                .filter(|(_, b)| b.0 == shift.block)
                .count();
            match &self.without {
                Some(missing) if results == 0 => missing.shares[i],
                _ => here as f64 / results.max(1) as f64,
            }
        };
        let shares: Vec<f64> = self.open.iter().enumerate().map(share).collect();
        let open_parts = shares.iter().zip(&self.open);
        let open_variance: f64 = open_parts.map(|(share, open)| (share * open.sd).powi(2)).sum();
        Ok(CellFit {
            value: value.ok_or_else(nothing_possible)?,
            deviation: cell
                .own_deviation
                .map_or(OfWhom::Test, |own| OfWhom::Own(Doubt::about(own))),
            shares,
            open_sd: open_variance.sqrt(),
            results,
        })
    }

    fn mixture(&self, observations: &[Observation], likelihoods: &[Likelihoods]) -> Option<Mixture> {
        let prior = self.with_results;
        let part = |likelihoods: &Likelihoods| match numbers(observations) {
            Some(numbers) => Some(Distribution::after_numbers(prior, &numbers, likelihoods.sd())),
            None => Posterior::from_likelihoods(prior, likelihoods, observations).map(Distribution::Gridded),
        };
        Mixture::new(likelihoods.iter().map(part).collect::<Option<_>>()?)
    }
}

/// The results where all were read as numbers, in their fixed order.
fn numbers(observations: &[Observation]) -> Option<Vec<f64>> {
    let number = |observation: &Observation| match observation {
        Observation::Exact(number) => Some(*number),
        _ => None,
    };
    let mut numbers: Vec<f64> = observations.iter().map(number).collect::<Option<_>>()?;
    numbers.sort_by(f64::total_cmp);
    Some(numbers)
}

/// A test before its candidates: references fitted, scale drawn.
pub(super) struct TestFrame {
    fit: TestFit,
    frame: CellFrame,
    scale: PositionScale,
}

/// A candidate in a test: its cell, its drawn ratios and their positions, its ratios on the lattice and their mean
/// position.
pub(super) struct CandidateFit {
    pub(super) cell: CellFit,
    pub(super) ratios: Arc<Vec<f32>>,
    pub(super) positions: Arc<Vec<f32>>,
    pub(super) lattice_ratios: Arc<Vec<f64>>,
    pub(super) mean: f64,
}

impl TestFrame {
    /// `draws` may be 0 where mean positions are all that is asked.
    pub(super) fn new(test: &TestInput, input: &KernelInput, draws: usize) -> Result<Self, KernelError> {
        let blocks = &input.blocks;
        let cap = test.cap.map(|cap| test.sign * cap);
        let top = cap.unwrap_or(f64::INFINITY);
        let mut frame = CellFrame::new(test, blocks);
        let where_run = |cell: Option<&CellData>| {
            let run = cell.filter(|cell| !cell.observations.is_empty());
            run.map(|cell| frame.fit(cell, test, blocks)).transpose()
        };
        let (good, poor) = (where_run(test.anchors.good())?, where_run(test.anchors.poor())?);
        let control = where_run(test.control.as_ref())?;
        let middle = where_run(test.middle.as_ref())?;
        let results = |cell: &Option<CellFit>| cell.as_ref().map_or(0, |cell| cell.results);
        let held = |cell: &Option<CellFit>| cell.as_ref().map(|cell| cell.value.mean().min(top));
        let (good_mean, poor_mean) = (held(&good).unwrap_or_default(), held(&poor).unwrap_or_default());
        let (length, prior) = match &test.anchors {
            Anchors::Two { .. } => {
                let least = critical_difference(test.deviation.sd, results(&good), results(&poor));
                let prior = Prior::between_references(good_mean, poor_mean, least);
                (Length::AtLeast(least), prior)
            }
            Anchors::Good { reproducibility, .. } => {
                let length = 2.0 * reproducibility;
                (
                    Length::Fixed(length),
                    Prior::across((good_mean - length, good_mean)),
                )
            }
            Anchors::Poor { reproducibility, .. } => {
                let length = 2.0 * reproducibility;
                (
                    Length::Fixed(length),
                    Prior::across((poor_mean, poor_mean + length)),
                )
            }
        };
        frame.without = Some(Missing {
            prior,
            shares: anchor_shares(good.as_ref(), poor.as_ref()),
        });
        let of_test = Fixed {
            key: &test.key,
            good: good.as_ref(),
            poor: poor.as_ref(),
            control: control.as_ref(),
            middle: middle.as_ref(),
            cap: top,
            length,
            deviation_in_doubt: Doubt::about(test.deviation),
            open: &frame.open,
        };
        let (scale, validity) = of_test.draw(input.seed, draws);
        let fit = TestFit {
            sign: test.sign,
            cap,
            length,
            head_room: input.head_room,
            candidates: Vec::new(),
            validity,
            lattice: of_test.lattice(),
            ratios: Vec::new(),
            positions: Vec::new(),
            lattice_ratios: Vec::new(),
            means: Vec::new(),
            compared: Arc::default(),
            frame: frame.bare(),
            good,
            poor,
            control,
            middle,
        };
        Ok(Self { fit, frame, scale })
    }

    /// One candidate in the test.
    pub(super) fn candidate(
        &self,
        candidate: usize,
        test: &TestInput,
        input: &KernelInput,
    ) -> Result<CandidateFit, KernelError> {
        let cell = self.frame.fit(&test.candidates[candidate], test, &input.blocks)?;
        let stream = StreamKey::new("cell")
            .text(&test.key)
            .number(input.candidate_streams[candidate])
            .value();
        let ratios = draw_ratios(&cell, &self.scale, self.fit.top(), (input.seed, stream));
        let positions = placed(&ratios, input.head_room);
        let lattice_ratios = ratios_on_lattice(&cell, &self.fit.lattice, self.fit.top());
        Ok(CandidateFit {
            cell,
            ratios: Arc::new(ratios),
            positions: Arc::new(positions),
            mean: mean_position(&lattice_ratios, input.head_room),
            lattice_ratios: Arc::new(lattice_ratios),
        })
    }

    pub(super) fn finish(self, candidates: impl Iterator<Item = CandidateFit>) -> TestFit {
        let mut fit = self.fit;
        for candidate in candidates {
            fit.candidates.push(candidate.cell);
            fit.ratios.push(candidate.ratios);
            fit.positions.push(candidate.positions);
            fit.lattice_ratios.push(candidate.lattice_ratios);
            fit.means.push(candidate.mean);
        }
        fit
    }
}

/// Least and greatest adjusted number named by any result of the test. A reference always has results.
fn range_of(test: &TestInput, blocks: &[BlockInput]) -> (f64, f64) {
    test.cells()
        .flat_map(|cell| adjusted(cell, test, blocks))
        .map(|o| o.ends())
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
        .unwrap_or((0.0, 0.0))
}

/// The prior of a missing candidate stands midway between the references (or beside the one) and moves as they do.
fn anchor_shares(good: Option<&CellFit>, poor: Option<&CellFit>) -> Vec<f64> {
    match (good, poor) {
        (Some(good), Some(poor)) => good
            .shares
            .iter()
            .zip(&poor.shares)
            .map(|(g, p)| 0.5 * (g + p))
            .collect(),
        (one, other) => one.or(other).map(|cell| cell.shares.clone()).unwrap_or_default(),
    }
}
